"""Cautions of a set-up and of loads: what is there is named, what is not there is not."""

from __future__ import annotations

from pathlib import Path

import pytest
from attrs import evolve

from standtrue.demo import write_demo
from standtrue.model.lift import Arm, Lift, LiftState, PlacedLift
from standtrue.show.words.alignment import loads_line
from standtrue.show.words.reader import ENGLISH
from standtrue.work.aim.aiming import judge_measured
from standtrue.work.aim.laying import lay_targets_out
from standtrue.work.aim.loads import judge_loads
from standtrue.work.ask import open_shop


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    write_demo(tmp_path / "shop")
    return tmp_path / "shop"


def cautions(folder: Path, on: str, height_m: float = 0.0) -> list[set[str]]:
    """Of the targets and of what was measured, for the demonstration's set-up on something else."""
    shop = open_shop(folder)
    setup = evolve(shop.setups["corrow camera, moved"], on=on, height_m=height_m, instruments=(), readings=())
    answers = lay_targets_out(shop, setup), judge_measured(shop, setup)
    return [{caution.code for caution in answer.basis.cautions} for answer in answers]


def test_a_lift_that_is_down_is_not_named_as_raised_and_the_open_pit_is(folder: Path) -> None:
    for told in cautions(folder, "flush lift/down"):
        assert "raised-lift" not in told
        assert "open-pit" in told
    for told in cautions(folder, "flush lift/up", 0.45):
        assert {"raised-lift", "open-pit"} <= told


def test_a_pit_that_is_covered_is_not_named_as_open(folder: Path) -> None:
    site = next(f for f in folder.iterdir() if 'kind = "site"' in f.read_text("utf-8"))
    text = site.read_text("utf-8").replace(
        'closed = ["near cover", "far cover"]', 'closed = ["near cover", "middle cover", "far cover"]'
    )
    site.write_text(text, "utf-8")
    for told in cautions(folder, "floor"):
        assert not told & {"open-pit", "raised-lift", "moving-car"}


def test_a_car_that_tips_is_not_called_too_heavy(folder: Path) -> None:
    shop = open_shop(folder)
    points = ((1.9, 0.7), (1.9, -0.7), (2.7, 0.7), (2.7, -0.7))
    arms = tuple(Arm((0.0, 0.0), (0.6, 1.2), (0.0, 1.0), 5000.0) for _ in range(4))
    lift = PlacedLift(
        "posts", (0.0, 0.0), 0.0, Lift("posts", (LiftState("down", (0.0, 0.0)),), "body", 5000.0, arms=arms)
    )
    car = evolve(shop.vehicles["Tavlin Corrow"], lift_points=points, front_axle_share=0.45)
    answer = judge_loads(shop, car, lift)
    assert "overload" not in {caution.code for caution in answer.basis.cautions}
    assert loads_line(answer, ENGLISH) == "Do not raise this car on this lift: the car would tip."
    heavy = judge_loads(shop, evolve(car, mass_kg=6000.0), lift)
    assert "overload" in {caution.code for caution in heavy.basis.cautions}
    assert "too much on the whole car" in loads_line(heavy, ENGLISH)
