"""Readings as typed along ways that no tape can follow; lines to chalk, from closed forms."""

from __future__ import annotations

import math

import aim_makers as make
import pytest
from attrs import evolve

from standtrue.aim.alignment import Angle
from standtrue.aim.bodies import Reading
from standtrue.aim.chalk import CLEAR_M, chalk_lines
from standtrue.aim.planning import plan_setup
from standtrue.aim.scene import Scene
from standtrue.aim.setup import SetupAnswer, check_setup
from standtrue.aim.sight import Sight
from standtrue.aim.ways import with_ways_questioned
from standtrue.model.ground import Grounds
from standtrue.model.lift import Obstacle
from standtrue.model.setup import LINES, Instrument
from standtrue.model.verdict import Verdict
from standtrue.show.words.aim import question_words
from standtrue.show.words.reader import ENGLISH

TAPE = Instrument("distance", 0.001, plumbed=True)
LEVEL = Instrument("height", 0.001)


def sight_of(scene: Scene) -> Sight:
    return Sight(scene, Grounds(scene.site).at_rest())


def typed(scene: Scene, *more: Reading) -> SetupAnswer:
    """A sound set-up's readings with others behind them, all as planned, with their ways looked at."""
    plan = plan_setup(scene, (TAPE, LEVEL), sight=sight_of(scene), room=0.1)
    readings = [*plan.readings, *more]
    network = scene.network(readings)
    exact = make.read(network, readings, network.start, None)
    return with_ways_questioned(check_setup(scene, exact), exact, sight_of(scene))


def test_readings_that_hands_can_take_are_not_questioned() -> None:
    answer = typed(make.scene())
    assert answer.questions == ()
    assert answer.verdict is Verdict.ACCEPT


def test_a_wheel_center_is_questioned_and_what_to_use_is_named() -> None:
    below = Reading("distance", ("wheel rear left",), ("board",), 0.0, 0.001, plumbed=True)
    answer = typed(make.scene(), below)
    (asked,) = answer.questions
    assert question_words(asked, ENGLISH) == (
        "distance wheel rear left to board on the floor: wheel rear left lies under the tire; use hub rear left"
    )
    assert answer.verdict is Verdict.CANNOT_TELL


def test_a_tape_through_a_column_is_questioned_and_the_column_named() -> None:
    column = Obstacle("column A1", ((2.2, 6.0), (2.5, 6.0), (2.5, 6.3), (2.2, 6.3)), 0.0, 4.0)
    scene = evolve(make.scene(), site=evolve(make.SITE, obstacles=(column,)))
    through = Reading("distance", ("hub front left",), ("board left",), 0.0, 0.001, plumbed=True)
    (asked,) = [q for q in typed(scene, through).questions if not q.impossible]
    assert "no tape can follow it, column A1 is in the way" in question_words(asked, ENGLISH)


@pytest.mark.parametrize("angle_deg", [-0.4, 0.0, 0.04])
def test_the_thrust_line_lies_as_far_from_each_string_as_by_hand(angle_deg: float) -> None:
    """The strings run straight along a car with alike tracks; the thrust line leaves its middle by the tangent."""
    angle = math.radians(angle_deg)
    car = evolve(make.CAR, track_rear_m=make.CAR.track_front_m)
    scene = evolve(make.scene(thrust=Angle(angle, 1e-4)), vehicle=car)
    (line,) = chalk_lines(scene, sight_of(scene))
    assert line.clear
    assert line.heading_rad == angle
    half = {p.name: p.spot for p in scene.at_car.points}["hub rear left"][1]
    for mark, along in zip(line.marks, (car.front_x_m + CLEAR_M, 6.0 * math.cos(angle)), strict=True):
        left, right = mark.strings
        assert left.offset_m == pytest.approx(half - along * math.tan(angle), abs=1e-9)
        assert right.offset_m == pytest.approx(half + along * math.tan(angle), abs=1e-9)
        assert left.offset_m + right.offset_m == pytest.approx(2 * half, abs=1e-9)
        assert left.beyond_m == pytest.approx(along - car.wheelbase_m, abs=1e-9)


def test_a_column_on_the_thrust_line_keeps_it_from_being_chalked() -> None:
    column = Obstacle("column", ((2.9, 6.5), (3.1, 6.5), (3.1, 6.7), (2.9, 6.7)), 0.0, 4.0)
    scene = evolve(make.scene(), site=evolve(make.SITE, obstacles=(column,)))
    (line,) = chalk_lines(scene, sight_of(scene))
    assert not line.clear
    offset = Reading("offset", LINES["thrust line"], ("board",), 0.0, 0.001)
    assert sight_of(scene).view(offset).stopped_by
