"""The floor under a set-up's car and targets: a plane along which the car pitches says nothing. All invented."""

from __future__ import annotations

import math

import pytest
from attrs import evolve

from standtrue.aim.scene import Scene
from standtrue.demo import demo_files
from standtrue.documents import Folder, gather, load_text
from standtrue.model.basics import Place
from standtrue.model.shop import Shop
from standtrue.model.survey import Survey, SurveyPoint
from standtrue.work.aim.floors import floor_for_setup, standing_floor
from standtrue.work.aim.setups import scene_of
from standtrue.work.place.level import surveyed_floor


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
    floor = surveyed_floor(inclined(scene, 0.001))
    told = standing_floor(floor, scene.card, scene.vehicle, scene.site, scene.place)
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
