"""The demonstration shop is sound, whole, marked as invented, and tells the stories that its comments tell."""

from __future__ import annotations

import math
import re
import tomllib
from collections.abc import Callable, Iterable
from functools import cache

import pytest
import shapely
from attrs import evolve

from standtrue.demo import MAIN_JOB, demo_files
from standtrue.documents import Folder, gather, load_text
from standtrue.model.basics import SupportClass
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.model.job import FittedSensor
from standtrue.model.procedure import Procedure
from standtrue.model.rules import EVENTS
from standtrue.model.sensor_kinds import SENSOR_KINDS
from standtrue.model.site import Site
from standtrue.model.vehicle import Vehicle
from standtrue.needs.cards import choose_cards
from standtrue.needs.fitted import Slot
from standtrue.place.engine import any_fit
from standtrue.place.question.claims import missing_anchors


@cache
def shop() -> Folder:
    return gather(load_text(content, name) for name, content in demo_files().items())


def the_site() -> Site:
    (site,) = shop().sites.values()
    return site


def card(key: str) -> Procedure:
    return next(c for c in shop().procedures if c.key == key)


# Sound and whole


def test_the_folder_reads_without_fault_or_warning() -> None:
    assert shop().faults == ()
    assert shop().warnings == ()


def test_it_holds_what_the_tutorial_counts_on() -> None:
    found = shop()
    assert list(found.sites) == ["Tanbark Row"]
    assert len(found.lifts) == 2
    assert len(found.vehicles) == 8
    assert len(found.jobs) == 4
    assert len(found.mixes) == 1
    assert list(found.surveys) == ["hall floor, winter"]
    assert set(found.setups) == {"corrow camera", "corrow camera, moved"}
    assert MAIN_JOB in found.jobs


@pytest.mark.parametrize("name", demo_files())
def test_every_document_is_marked_as_invented(name: str) -> None:
    text = demo_files()[name].decode()
    document = tomllib.loads(text)
    assert document["schema"] == 1
    assert document["demonstration"] is True
    assert text.startswith("# ")
    if document["kind"] == "procedure":
        assert document["source"]["status"] == "demonstration"
        assert document["source"]["title"].startswith("Invented demonstration card: ")


def test_both_tapes_are_used() -> None:
    units = {tomllib.loads(content.decode()).get("units") for content in demo_files().values()}
    assert {"ft", "in", "mm", "m"} <= units


def test_every_sensor_kind_has_a_card() -> None:
    assert {c.sensor for c in shop().procedures} == set(SENSOR_KINDS)


def test_every_method_every_support_and_every_need_of_space_is_shown() -> None:
    cards = shop().procedures
    methods = {"static", "drive", "static or drive", "static then drive", "electronic"}
    assert {c.method for c in cards} == methods
    assert {s for c in cards for s in c.supports} == {"floor", "lift down", "lift up"}
    assert {z.needs for c in cards for z in c.zones} == {"stand", "walk", "clear", "metal-free", "plain"}
    assert any(c.variants for c in cards)


@pytest.mark.parametrize("vehicle", shop().vehicles.values(), ids=lambda v: v.name)
def test_every_sensor_of_every_car_has_a_card_that_can_be_placed(vehicle: Vehicle) -> None:
    for sensor in vehicle.sensors:
        choice = choose_cards(Slot(sensor.kind, sensor.side, sensor.option), shop().procedures, vehicle)
        assert choice.chain, (vehicle.name, sensor.kind)
        assert choice.warnings == ()
        assert [f for c in choice.chain for f in missing_anchors(c, vehicle)] == []


@pytest.mark.parametrize("vehicle", shop().vehicles.values(), ids=lambda v: v.name)
def test_cars_have_plausible_dimensions(vehicle: Vehicle) -> None:
    """Bounds of today's road cars: common practice, no source."""
    assert 3.8 < vehicle.length_m < 6.1
    assert 1.7 < vehicle.width_m < vehicle.width_over_mirrors_m < 2.5
    assert 2.4 < vehicle.wheelbase_m < 3.8
    assert vehicle.least_radius_m is not None
    assert 3.5 < vehicle.least_radius_m < 6.5
    body = shapely.Polygon(vehicle.body).buffer(0.15)
    assert all(body.contains(shapely.Point(s.at[:2])) for s in vehicle.sensors if s.at is not None)
    assert len(vehicle.lift_points) == 4


# Every name that is used exists


def test_cards_name_equipment_skills_and_steps_that_exist() -> None:
    site = the_site()
    equipment = {e.name for e in site.equipment}
    skills = {s for p in site.people for s in p.skills}
    steps = {c.name for c in shop().procedures} | set(SENSOR_KINDS) | set(EVENTS)
    for c in shop().procedures:
        assert set(c.equipment) <= equipment, c.key
        assert {t.equipment for t in c.targets} <= set(c.equipment), c.key
        assert set(c.skills) <= skills, c.key
        assert set(c.after) <= steps, c.key
        assert c.floor_level is None or set(c.floor_level.over) <= _places(c), c.key


def _places(c: Procedure) -> set[str]:
    wheels = {f"wheel {end} {side}" for end in ("front", "rear") for side in ("left", "right")}
    return {z.name for z in c.zones} | wheels


def test_the_site_names_cards_and_sensors_that_exist() -> None:
    site = the_site()
    assert {p for s in site.sent_out for p in s.procedures} <= {c.name for c in shop().procedures}
    assert {s for e in site.equipment for s in e.serves} <= {*SENSOR_KINDS, "wheel alignment"}
    assert {p.lift.name for p in site.lifts} == set(shop().lifts)


def test_jobs_name_work_skills_equipment_sensors_and_cards_that_exist() -> None:
    site = the_site()
    keys = {name for c in shop().procedures for name in (c.name, c.key)}
    skills = {s for p in site.people for s in p.skills}
    for job in shop().jobs.values():
        kinds = {s.kind for s in shop().vehicles[job.vehicle].sensors}
        assert _kinds(job.fitted) | _kinds(job.not_fitted) <= kinds
        names = {w.name for w in job.work}
        for work in job.work:
            assert set(work.skills) <= skills
            assert set(work.equipment) <= {e.name for e in site.equipment}
            assert set(work.after) <= names
        assert {d.procedure for d in job.decisions} <= keys
        assert job.order_number
        assert job.events
        assert job.work
        assert job.arrives < job.promised


def _kinds(listed: Iterable[FittedSensor]) -> set[str]:
    return {line.kind for line in listed}


def test_jobs_show_readings_decisions_and_both_lists_of_options() -> None:
    jobs = shop().jobs.values()
    assert any(job.readings for job in jobs)
    assert {d.verdict for job in jobs for d in job.decisions} == {"keep", "drop"}
    assert any(job.fitted for job in jobs)
    assert any(job.not_fitted for job in jobs)


def test_the_mix_is_whole() -> None:
    (mix,) = shop().mixes.values()
    assert {entry.vehicle for entry in mix.vehicles} == set(shop().vehicles)
    assert math.isclose(sum(entry.share for entry in mix.vehicles), 1.0)


# The shop as a place


def test_everything_stands_on_the_floor_of_the_shop() -> None:
    site = the_site()
    floor = shapely.Polygon(site.outline)
    for hole in site.holes:
        floor = floor.difference(shapely.Polygon(hole))
    assert shapely.Polygon(site.outline).area < shapely.box(*shapely.Polygon(site.outline).bounds).area
    outlines = [(b.name, b.outline) for b in site.bays]
    outlines += [(e.name, e.store) for e in site.equipment if e.store is not None]
    outlines += [(o.name, o.outline) for o in site.obstacles]
    outlines += [(v.name, v.outline) for v in site.voids]
    outlines += [(p.name, p.outline) for p in site.patches]
    for name, outline in outlines:
        assert shapely.Polygon(outline).within(floor.buffer(1e-6)), name


def test_stored_equipment_and_obstacles_do_not_overlap() -> None:
    site = the_site()
    stored = [(e.name, shapely.Polygon(e.store), 0.0) for e in site.equipment if e.store is not None]
    standing = [(o.name, shapely.Polygon(o.outline), o.bottom_m) for o in site.obstacles]
    low = [(name, shape) for name, shape, bottom in (*stored, *standing) if bottom < 2.2]
    for i, (name, shape) in enumerate(low):
        for other, othershape in low[i + 1 :]:
            assert shape.intersection(othershape).area < 1e-9, (name, other)


def test_people_are_roles() -> None:
    assert all(re.search(r"(technician|helper) [A-Z]$", p.name) for p in the_site().people)


# What the comments promise, as answers

CHANGES: dict[str, Callable[[Site], Site]] = {
    "as it stands": lambda site: site,
    "middle cover closed": lambda site: evolve(
        site, voids=tuple(evolve(v, closed=tuple(c.name for c in v.covers)) for v in site.voids)
    ),
    "no rolling bench": lambda site: _without(site, "rolling bench"),
    "no tool cabinet": lambda site: _without(site, "tool cabinet"),
    "no air duct": lambda site: _without(site, "air duct"),
}


def _without(site: Site, name: str) -> Site:
    kept = tuple(o for o in site.obstacles if o.name != name)
    assert len(kept) == len(site.obstacles) - 1
    return evolve(site, obstacles=kept)


@pytest.mark.parametrize(
    ("vehicle", "key", "support", "change", "fits"),
    [
        ("Oskerra Nib", "forward camera board", "lift down", "as it stands", True),
        ("Tavlin Corrow", "front radar reflector", "lift down", "as it stands", True),
        ("Tavlin Corrow", "forward camera wide board", "floor", "as it stands", True),
        ("Tavlin Corrow", "forward camera wide board", "lift down", "as it stands", False),
        ("Tavlin Corrow", "forward camera wide board", "lift down", "middle cover closed", True),
        ("Tavlin Corrow", "surround-view mats", "floor", "as it stands", False),
        ("Tavlin Corrow", "surround-view mats", "floor", "no rolling bench", True),
        ("Tavlin Brask", "rear corner radar reflector/left", "lift down", "as it stands", False),
        ("Tavlin Brask", "rear corner radar reflector/left", "lift down", "no tool cabinet", True),
        ("Tavlin Brask", "rear corner radar reflector/right", "lift down", "as it stands", True),
        ("Merrivo Sefra", "lidar wall", "floor", "as it stands", False),
        ("Merrivo Sefra", "lidar wall", "floor", "no rolling bench", True),
        ("Quendal Dromond", "tail lamp radar reflector/left", "lift down", "as it stands", False),
        ("Quendal Dromond", "tail lamp radar reflector/left", "lift up", "as it stands", True),
        ("Quendal Dromond", "ride height from below", "lift up", "as it stands", False),
        ("Quendal Dromond", "ride height from below", "lift up", "no air duct", True),
    ],
)
def test_the_shop_tells_its_stories(vehicle: str, key: str, support: SupportClass, change: str, fits: bool) -> None:
    site = CHANGES[change](the_site())
    assert any_fit(Grounds(site), shop().vehicles[vehicle], [card(key)], support) is Fits.of(fits)
