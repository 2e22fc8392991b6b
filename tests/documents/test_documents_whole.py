"""Documents with every field of the contract, read into the model."""

from __future__ import annotations

import inspect
import math

import pytest
from document_makers import GONE, KINDS, WHOLE, put, whole
from pydantic import BaseModel

from standtrue.documents import Folder, gather, read_document, read_folder
from standtrue.documents.procedure import ProcedureForm, to_procedures
from standtrue.documents.zones import mirror
from standtrue.model.basics import Place
from standtrue.model.job import FittedSensor, Stands
from standtrue.model.procedure import Procedure, Questioned, Source, Zone
from standtrue.model.reason import Text
from standtrue.model.site import Site, SiteReader
from standtrue.model.vehicle import WHEELS

WAYS = {"outline", "box", "circle", "sector"}


@pytest.fixture(scope="module")
def folder() -> Folder:
    return read_folder(WHOLE)


def note_fields(value: object, met: set[str], used: set[str]) -> None:
    """Every field of the forms met, by the form that declares it, and those that the document sets."""
    if isinstance(value, BaseModel):
        for name in type(value).model_fields:
            owner = next(form for form in type(value).__mro__ if name in inspect.get_annotations(form))
            key = f"{owner.__name__}.{name}"
            met.add(key)
            if name in value.model_fields_set:
                used.add(key)
            note_fields(getattr(value, name), met, used)
    elif isinstance(value, tuple):
        for item in value:
            note_fields(item, met, used)


def test_the_whole_documents_set_every_field() -> None:
    met: set[str] = set()
    used: set[str] = set()
    for kind in KINDS:
        document = read_document(whole(kind), kind)
        assert document.faults == ()
        note_fields(document.form, met, used)
    assert len(met) > 150
    assert met == used


def test_the_whole_folder_is_sound(folder: Folder) -> None:
    assert folder.faults == ()
    assert folder.warnings == ()
    assert {mark.kind for mark in folder.documents} == set(KINDS)
    assert all(mark.demonstration for mark in folder.documents)


def test_site(folder: Folder) -> None:
    site: Site = folder.sites["whole site"]
    assert site.outline == ((0, 0), (20, 0), (20, 10), (0, 10))  # turned counter-clockwise, first corner kept
    assert site.datum.at == (1, 0)
    assert site.datum.direction_rad == math.pi / 2
    assert site.clear_height_m == 4.2
    assert not site.wall_metal
    assert [light.lux for light in site.light] == [500, 420]
    assert (site.gaps.body_m, site.gaps.exit_m) == (0.06, 0.5)
    door = site.doors[0]
    assert (door.start, door.end, door.height_m, door.may_stand_open) == ((20, 2), (20, 6), 4, True)
    assert door.track is not None
    assert (door.track.bottom_m, door.track.top_m) == (3.8, 4.1)
    bay = site.bays[0]
    closed = [{bay.outline[i], bay.outline[(i + 1) % 4]} for i in bay.closed_edges]
    assert {(1, 1), (1, 5)} in closed  # edges 0 and 1 as written, though the outline was turned
    assert {(1, 5), (9, 5)} in closed
    assert site.voids[0].covers[0].load_kg == pytest.approx(1360.77711)
    assert site.voids[0].closed == ("front boards",)
    assert [placed.lift.name for placed in site.lifts] == ["whole lift", "lift b"]
    assert site.lifts[1].lift.carries == "body"
    assert site.lifts[0].heading_rad == math.pi
    assert site.hours[0] == ("monday", "08:00", "17:00")
    assert [row for row in site.hours if row[0] == "saturday"] == [
        ("saturday", "08:00", "10:00"),
        ("saturday", "11:00", "12:30"),
    ]
    assert len(site.hours) == 7
    assert site.closed_on == ("2026-07-03", "2026-12-25")
    assert site.people[0].away_on == ("2026-12-24",)
    assert site.pace.drive_mps == (0.9144, 0.9144)
    assert site.pace.turn_back_s == (5, 10)
    assert site.sent_out[0].minutes_s == (3600, 10800)
    assert site.sent_out[0].transport_s == (1800, 3600)
    assert site.sent_out[0].takes_s == (5400, 14400)
    assert site.sent_out[0].work == ("glass", "alignment")


def test_equipment_is_stored_where_its_footprint_is_put(folder: Folder) -> None:
    frame = folder.sites["whole site"].equipment[0]
    assert frame.footprint is not None
    assert frame.store is not None
    assert all(
        math.dist((17, 9), point) == pytest.approx(math.hypot(*foot))
        for point, foot in zip(frame.store, frame.footprint, strict=True)
    )
    assert (frame.set_up_s, frame.put_away_s) == ((120, 180), (60, 60))
    site = put(whole("site"), "equipment[0].store", {"box": [17, 9, 18, 9.5]})
    site = put(site, "lifts[0]", {"name": "x", "at": [3, 3], "states": [{"name": "down"}]})
    assert read_document(site, "x").faults == ()


def test_lift(folder: Folder) -> None:
    lift = folder.lifts["whole lift"]
    assert lift.rest.name == "down"
    assert lift.locks_m == (0, 0.6, 1.2)
    assert lift.travel_s == (40, 60)
    assert lift.capacity_kg == pytest.approx(4082.33133)
    assert [post.name for post in lift.posts] == ["left post", "post 2"]
    assert lift.state("up").deck_height_m == (0.3, 1.2)
    assert lift.arms[0].swing_rad == (math.radians(300), math.radians(60) + 2 * math.pi)
    assert len(lift.rest.fills[0]) >= 12


def test_vehicle(folder: Folder) -> None:
    car = folder.vehicles["whole car"]
    assert car.estimated == ()
    assert (car.length_m, car.width_m, car.wheelbase_m) == (4.6, 1.85, 2.7)
    assert car.years == (2021, 2024)
    assert dict(car.alignment)["toe rear left"] == (0.0, math.radians(0.2))
    assert dict(car.ride_height) == {"front": (0.38, 0.4), "front nominal": (0.39, 0.39)}
    assert car.sensors[0].tilt_rad == math.radians(0.5)
    assert car.outline is not None


def test_a_card_for_each_side_is_two_cards(folder: Folder) -> None:
    older, left, right = folder.procedures
    assert (older.source.status, older.source.superseded_by) == ("superseded", ("whole card",))
    assert (left.key, right.key) == ("whole card/left", "whole card/right")
    assert left.source == Source(
        "invented",
        "2",
        "2026-01-15",
        "questioned",
        "A. Carder",
        "2026-01-15",
        "B. Reader",
        "2026-01-16",
        ("older card",),
        questioned=(Questioned(Text("the beam is 9 m long"), "C. Mender", "2026-02-01", "TR-1"),),
    )
    assert [(one.says.en, one.says.es, one.code) for one in left.causes] == [
        ("the bumper cover is painted over the sensor", "", ""),
        ("the target is not seen", "no se ve el blanco", "C1A67"),
    ]
    assert left.minutes.put_away_s == (90, 90)
    assert left.floor_level is not None
    assert right.floor_level is not None
    assert left.floor_level.within_rad == math.radians(0.3)
    assert left.floor_level.over == ("beam", "wheel front left")
    assert right.floor_level.over == ("beam", "wheel front right")
    assert left.drive is not None
    assert left.drive.distance_m == (3000, 8000)
    assert left.conditions[0].what == "tire pressure"
    assert (left.conditions[0].low, left.conditions[0].unit) == (2.2, "bar")
    assert left.variants[0].supports == ("floor",)
    assert left.variants[0].minutes is not None
    assert left.variants[0].minutes.run_s == (1200, 1200)
    assert [zone.anchor for zone in left.zones] == ["sensor", "wheel front left"]
    assert [zone.anchor for zone in right.zones] == ["sensor", "wheel front right"]
    assert set(right.zones[0].outline) == {(x, -y) for x, y in left.zones[0].outline}
    assert right.targets[0].anchor == "right"
    assert right.targets[0].at == (3, -1, 0.6)
    assert right.targets[0].facing_rad == -left.targets[0].facing_rad
    assert right.targets[0].positions[1].facing_rad == -math.radians(210)
    assert right.targets[0].swept == ((3, -1), (4, -2))
    assert right.variants[0].targets[0].anchor == "left"
    assert mirror(mirror(left)) == left


def card(**changes: object) -> Procedure:
    document = whole("procedure") | changes
    form = read_document({key: value for key, value in document.items() if value is not GONE}, "x").form
    assert isinstance(form, ProcedureForm)
    return to_procedures(form)[0]


def test_a_sector_is_the_zone_it_would_be_as_points() -> None:
    zone: Zone = card().zones[0]
    angles = [math.degrees(math.atan2(y, x)) for x, y in zone.outline]
    assert [min(angles), max(angles)] == pytest.approx([10, 80])
    assert (zone.turned, zone.from_floor, zone.bottom_m, zone.top_m) == (True, True, 0.2, 1.5)


def test_short_forms_of_a_card() -> None:
    short = card(
        sensor="Surround view camera",
        minutes=[3, 4],
        floor_level="5 mm",
        supports="lift_down",
        drive=GONE,
        method="Static",
    )
    assert (short.sensor, short.side, short.method) == ("surround-view camera", None, "static")
    assert short.minutes.run_s == (180, 240)
    assert short.supports == ("lift down",)
    assert short.floor_level is not None
    assert short.floor_level.within_m == 0.005
    level = card(floor_level={"within": "5 mm", "over": ["beam", "wheels", "wheel front left"]}).floor_level
    assert level is not None
    assert level.over == ("beam", *WHEELS)
    assert card(source={"title": "x"}).source.status == "demonstration"
    assert card(source={"title": "x"}, demonstration=False).source.status == "transcribed"


def test_rules(folder: Folder) -> None:
    rule, other = folder.rules["whole rules"].rules
    assert other.event == "side of the hood dented"
    assert other.because == rule.because
    assert (rule.event, rule.where, rule.part, rule.how) == ("fender removed", "left", "fender", "conditional")
    assert [(c.sensor, c.side) for c in rule.calibrate] == [("front corner radar", "left"), ("forward camera", None)]


def test_job(folder: Folder) -> None:
    job = folder.jobs["whole job"]
    assert (job.site, job.vehicle, job.order_number, job.odometer) == ("whole site", "whole car", "1001", "45210 mi")
    assert job.fitted == (FittedSensor("front radar"), FittedSensor("rear corner radar", "left"))
    assert job.not_fitted == (FittedSensor("lidar"), FittedSensor("night-vision camera"))
    assert (job.events[0].event, job.events[0].part) == ("windshield replaced", "windshield")
    assert (job.work[0].minutes_s, job.work[0].wait_s, job.work[0].blocks) == ((3600, 5400), (3600, 3600), "drive")
    assert job.drivable == "glass"
    assert [(scan.when, scan.findings) for scan in job.scans] == [("before", ("camera blocked",)), ("after", ())]
    assert (job.readings[0].value, job.readings[0].unit) == (2.4, "bar")
    assert [decision.verdict for decision in job.decisions] == ["drop", "keep", "drop"]
    assert [decision.on for decision in job.decisions] == ["2026-03-02", "", ""]
    assert [decision.procedure for decision in job.decisions] == ["whole card", "whole card/left", ""]
    assert job.decisions[2].event == job.events[1].event == "ladder fell on the hood"
    assert (job.arrives, job.promised) == ("2026-03-02T08:30:00", "2026-03-02")
    assert [(one.what, one.at, one.by) for one in job.done] == [
        ("whole card/left", "2026-03-02T08:35:00", ""),
        ("pre-scan", "2026-03-02T08:40:00", "A"),
    ]
    assert job.stands == Stands(Place(6.0, 4.0, math.pi / 2), "floor", 0.0)


def test_mix(folder: Folder) -> None:
    assert [(entry.vehicle, entry.share) for entry in folder.mixes["whole mix"].vehicles] == [("whole car", 3.0)]


@pytest.mark.parametrize(
    ("kind", "path", "other", "field"),
    [
        ("vehicle", "tire_width", "tyre_width", "tire_width"),
        ("vehicle", "hood_open", "bonnet_open", "hood_open"),
        ("vehicle", "liftgate_open", "tailgate_open", "liftgate_open"),
    ],
)
def test_other_spellings_of_fields(kind: str, path: str, other: str, field: str) -> None:
    document = whole(kind)
    document[other] = document.pop(path)
    read = read_document(document, "x")
    assert read.faults == ()
    assert getattr(read.form, field) is not None
    document[other] = "wide"
    assert {fault.field for fault in read_document(document, "x").faults} == {other}  # as the file spells it


@pytest.mark.parametrize(
    ("written", "event"),
    [
        ("Windscreen replaced", "windshield replaced"),
        ("tyres_replaced", "tires replaced"),
        ("TAILGATE removed", "liftgate removed"),
        ("wing removed", "fender removed"),
        ("wing mirror removed", "door mirror removed"),
        ("headlight removed", "headlamp removed"),
        ("Headlights removed", "headlamp removed"),
        ("boot lid removed", "trunk lid removed"),
        ("tailgate removed", "liftgate removed"),
        ("Flooded", "flood"),
        ("Tow hitch  fitted", "tow bar fitted"),
        ("Badge replaced", "emblem replaced"),
        ("Struck by a ladder", "struck by a ladder"),
    ],
)
def test_other_spellings_of_events(written: str, event: str) -> None:
    form = read_document(put(whole("job"), "events[0].event", written), "x").form
    assert form is not None
    assert form.model_dump()["events"][0]["event"] == event


def test_drivable_as_true_or_false() -> None:
    for written, read in ((True, "yes"), (False, "no"), ("No", "no"), ("glass", "glass")):
        form = read_document(put(whole("job"), "drivable", written), "x").form
        assert form is not None
        assert form.model_dump()["drivable"] == read


def test_a_text_for_people_is_a_string_or_one_for_each_language() -> None:
    site, rules = read_document(whole("site"), "s"), read_document(whole("rules"), "r")
    read = gather([site, rules, read_document(whole("lift"), "l")])
    assert read.sites["whole site"].patches[0].why == Text(en="grate", es="rejilla")
    alone = read_document(put(whole("rules"), "rules[0].because", "The radar sits behind it."), "r")
    assert gather([alone]).faults == ()


def test_who_reads_a_site() -> None:
    documents = [read_document(whole("lift"), "l")]
    site = put(put(whole("site"), "reader.units", "US customary"), "reader.language", "Spanish")
    assert gather([*documents, read_document(site, "s")]).sites["whole site"].reader == SiteReader("us", "es", "letter")
    silent = put(whole("site"), "reader", GONE)
    assert gather([*documents, read_document(silent, "s")]).sites["whole site"].reader == SiteReader()
