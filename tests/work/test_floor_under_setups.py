"""The floor under a set-up's car and targets: a plane along which the car pitches says nothing. All invented."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from attrs import evolve

from standtrue.aim.floor_level import asked_shapes
from standtrue.aim.scene import Scene
from standtrue.demo import demo_files
from standtrue.documents import Folder, gather, load_text
from standtrue.model.basics import Place
from standtrue.model.shop import Shop
from standtrue.model.survey import Loop, Sight, Survey, SurveyPoint
from standtrue.model.verdict import Verdict
from standtrue.show.answers.aim_parts import of_standing
from standtrue.show.answers.floor import of_floor
from standtrue.show.words.blocks import Table
from standtrue.show.words.floor import floor_blocks
from standtrue.show.words.reader import ENGLISH
from standtrue.work.aim.aiming import judge_measured
from standtrue.work.aim.floors import floor_for_setup, judge_floor, standing_floor
from standtrue.work.aim.setups import scene_of
from standtrue.work.place.level import LevelFloors


@pytest.fixture(scope="module")
def folder() -> Folder:
    return gather(load_text(content, name) for name, content in demo_files().items())


def inclined(scene: Scene, slope: float) -> Survey:
    """A survey of a plane that rises so much a metre the way the car looks."""
    c, s = math.cos(scene.place.heading_rad), math.sin(scene.place.heading_rad)
    at = [(x, y) for x in (0.0, 9.0, 21.0) for y in (0.0, 4.0, 15.0)]
    points = tuple(SurveyPoint((x, y), slope * (c * x + s * y), 0.0005) for x, y in at)
    return Survey("plane", scene.site.name, points)


def test_on_an_inclined_plane_heights_and_leans_are_the_cars_own(folder: Folder) -> None:
    scene, _ = scene_of(Shop(folder), folder.setups["corrow camera"])
    shop = Shop(evolve(folder, surveys={"plane": inclined(scene, 0.001)}))
    found = floor_for_setup(shop, scene)
    assert found is not None
    for target in scene.targets:
        above = found.above(target.name)
        assert above is not None
        assert above[0] == pytest.approx(0.0, abs=1e-9)
        assert 0.0 < above[1] < 0.002
        facing = target.facing_rad - scene.place.heading_rad
        assert found.tip(facing)[0] == pytest.approx(math.atan(0.001 * math.cos(facing)), abs=1e-9)
    floor = LevelFloors(inclined(scene, 0.001), scene.site)
    told = standing_floor(floor, scene.card, scene.vehicle, scene.place)
    assert [rise for _, rise, _ in told.stands_m] == pytest.approx([0.0] * len(scene.targets), abs=1e-9)


def test_no_floor_is_assumed(folder: Folder) -> None:
    scene, _ = scene_of(Shop(folder), folder.setups["corrow camera"])
    plane = inclined(scene, 0.001)
    none = Shop(evolve(folder, surveys={}))
    two = Shop(evolve(folder, surveys={"plane": plane, "other": evolve(plane, name="other")}))
    one = Shop(evolve(folder, surveys={"plane": plane}))
    assert floor_for_setup(none, scene) is None
    assert floor_for_setup(two, scene) is None
    assert floor_for_setup(one, evolve(scene, height_m=0.6)) is None
    assert floor_for_setup(one, evolve(scene, place=Place(60.0, 4.0, 0.0))) is None


def test_the_floor_that_is_told_uneven_is_not_what_a_level_car_stands_on(folder: Folder) -> None:
    """The largest level part of a floor may be elsewhere: with a car on level floor, the band is that of its floor."""
    scene, _ = scene_of(folder.shop(), folder.setups["corrow camera"])
    x0 = scene.place.x_m
    # The car's end of the hall lies 40 mm above the rest, which is larger.
    at = [(x, y) for x in (0.0, x0 - 9.0, x0 - 8.0, 21.0) for y in (0.0, 4.0, 15.0)]
    raised = tuple(SurveyPoint(p, 0.04 if p[0] > x0 - 8.5 else 0.0, 0.0005) for p in at)
    survey = Survey("two levels", scene.site.name, raised)
    shop = Shop(evolve(folder, surveys={"two levels": survey}))
    answer = judge_floor(shop, survey, scene.card, scene.vehicle, scene.place)
    assert answer.standing is not None
    assert answer.standing.verdict is Verdict.ACCEPT
    assert answer.band is not None
    stands = asked_shapes(scene.card, scene.vehicle, scene.place).values()
    for outline in answer.band.uneven:
        assert all(shapely.Polygon(outline).intersection(shapely.Polygon(o)).area < 1e-6 for o in stands)


def test_pitch_and_shims_say_how_well_they_are_known(folder: Folder) -> None:
    """In closed form on a plane: each wheel rests on heights known to u, so its shim to less than u sqrt 2."""
    scene, _ = scene_of(folder.shop(), folder.setups["corrow camera"])
    told = standing_floor(LevelFloors(inclined(scene, 0.002), scene.site), scene.card, scene.vehicle, scene.place)
    said = of_standing(told)
    assert said.pitch_deg == pytest.approx(-math.degrees(math.atan(0.002)), abs=1e-3)
    assert said.pitch_u_deg is not None
    assert 0.0 < said.pitch_u_deg < math.degrees(0.0005 * math.sqrt(2) / scene.vehicle.wheelbase_m)
    for shim in said.shims:
        expected = 0.0 if "front" in shim.wheel else 0.002 * scene.vehicle.wheelbase_m
        assert shim.shim_m == pytest.approx(expected, abs=1e-6)
        assert shim.u_m is not None
        assert 0.0 <= shim.u_m < 0.0005 * math.sqrt(2)
    # The front wheels are as high as each other to rounding: whichever is taken for the highest, the other has a u.
    assert sum(shim.u_m == 0.0 for shim in said.shims) == 1


def test_level_on_a_height_that_looks_misread_cannot_be_told(folder: Folder) -> None:
    """50 mm in one of 60 heights gave no word before. Now it is a question, and nothing rests on it."""
    scene, _ = scene_of(folder.shop(), folder.setups["corrow camera"])
    rng = np.random.default_rng(1)
    at = [(0.1 + 2.1 * i, 0.1 + 2.5 * j) for i in range(10) for j in range(6)]
    near = min(range(len(at)), key=lambda i: math.dist(at[i], (scene.place.x_m, scene.place.y_m)))
    heights = [float(rng.normal(0.0, 0.0005)) + (0.05 if i == near else 0.0) for i in range(len(at))]
    points = tuple(SurveyPoint(p, z, 0.0005) for p, z in zip(at, heights, strict=True))
    survey = Survey("misread", scene.site.name, points)
    shop = Shop(evolve(folder, surveys={"misread": survey}))
    answer = judge_floor(shop, survey, scene.card, scene.vehicle, scene.place)
    told = of_floor(answer)
    assert [one.point for one in told.misread] == [near]
    assert "read it again" in told.questions[0]
    assert told.standing is not None
    assert told.standing.level == "cannot tell"
    assert "read again first" in told.standing.level_because[0]
    # No height or lean is carried through it either.
    assert floor_for_setup(shop, scene) is None


@pytest.mark.parametrize(("u_m", "closes"), [(0.0004, False), (0.0015, True)])
def test_leveling_loops_are_told_with_how_they_close(folder: Folder, u_m: float, closes: bool) -> None:
    """A loop over three points with a misclosure of 4 mm; its 6 readings allow 2 u sqrt 6."""
    scene, _ = scene_of(folder.shop(), folder.setups["corrow camera"])
    book = [("A", 1.412, None), ("B", 1.288, 1.305), ("C", 1.402, 1.351), ("A", None, 1.442)]
    loop = Loop("hall", u_m, tuple(Sight(*row) for row in book))
    points = (SurveyPoint((0.5, 0.5), 0.0, 0.0005, "A"),)
    survey = Survey("book", scene.site.name, points, loops=(loop,), leveled=(("B", (20.0, 0.5)), ("C", (10.0, 14.0))))
    answer = judge_floor(Shop(evolve(folder, surveys={"book": survey})), survey, scene.card, scene.vehicle, scene.place)
    told = of_floor(answer)
    (one,) = told.loops
    assert (one.loop, one.closes) == ("hall", closes)
    assert one.misclosure_m == pytest.approx(0.004, abs=1e-6)
    assert one.allowed_m == pytest.approx(2 * u_m * math.sqrt(6), abs=1e-6)
    assert [p.name for p in told.leveled] == ["B", "C"]
    assert told.leveled[0].height_m == pytest.approx(0.107 - 0.004 / 3, abs=1e-6)
    rows = {row[0]: row[1] for block in floor_blocks(answer, ENGLISH) if isinstance(block, Table) for row in block.rows}
    assert rows["loop hall"].startswith("closes to 4 mm" if closes else "does not close: off by 4 mm")
    assert told.standing is not None
    assert bool(told.questions) is not closes
    assert (told.standing.level == "cannot tell") or closes


def test_the_gate_asks_for_doubtful_heights_again(folder: Folder) -> None:
    scene, _ = scene_of(folder.shop(), folder.setups["corrow camera"])
    at = [(0.1 + 2.1 * i, 0.1 + 2.5 * j) for i in range(10) for j in range(6)]
    near = min(range(len(at)), key=lambda i: math.dist(at[i], (scene.place.x_m, scene.place.y_m)))
    points = tuple(SurveyPoint(p, 0.05 if i == near else 0.0, 0.0005) for i, p in enumerate(at))
    shop = Shop(evolve(folder, surveys={"misread": Survey("misread", scene.site.name, points)}))
    codes = {hold.what.code for hold in judge_measured(shop, folder.setups["corrow camera"]).gate.holds}
    assert "floor-there-misread" in codes
    assert "floor-there-too-near-limit" not in codes
