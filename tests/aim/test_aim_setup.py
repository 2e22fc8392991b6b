"""Set-ups as they really stand: found from readings, corrected in words, decided with guard bands."""

from __future__ import annotations

import math
from collections.abc import Sequence

import aim_makers as make
import numpy as np
import pytest
from attrs import evolve
from hypothesis import given, settings
from hypothesis import strategies as st

from standtrue.aim.alignment import Angle
from standtrue.aim.bodies import Reading
from standtrue.aim.corrections import Correction, correction
from standtrue.aim.scene import CAR, Scene
from standtrue.aim.settle import possible_readings, settling_reading
from standtrue.aim.setup import SetupAnswer, check_setup
from standtrue.model.procedure import Tolerance
from standtrue.model.setup import MEASURES, POINTS_OF_MEASURE, Instrument, points_of
from standtrue.model.vehicle import WHEELS
from standtrue.model.verdict import Verdict
from standtrue.show.words.aim import correction_steps, question_words
from standtrue.show.words.reader import ENGLISH, Reader

law = settings(derandomize=True, deadline=None, max_examples=40)

TAPE = Instrument("distance", 0.001, plumbed=True)
LASER_LINE = Instrument("offset", 0.0005)
LEVEL = Instrument("height", 0.001)
PLENTY = (TAPE, LASER_LINE, LEVEL)


def taken(
    scene: Scene,
    instruments: Sequence[Instrument] = PLENTY,
    marks: bool = True,
    off: dict[tuple[str, str], float] | None = None,
    seed: int | None = None,
) -> list[Reading]:
    """Every possible reading of a truth that differs from the plan by `off`, with errors if there is a seed."""
    readings, _ = possible_readings(scene, instruments, marks)
    network = scene.network(readings)
    truth = network.start.copy()
    for (body, unknown), size in (off or {}).items():
        truth[network.unknowns.index((body, unknown))] += size
    return make.read(network, readings, truth, None if seed is None else np.random.default_rng(seed))


def parts(answer: SetupAnswer, target: int = 0) -> dict[str, float]:
    return {p.name: p.deviation for p in answer.targets[target].parts}


def test_a_set_up_as_planned_is_accepted() -> None:
    scene = make.scene()
    answer = check_setup(scene, taken(scene, seed=1))
    assert answer.verdict is Verdict.ACCEPT
    assert answer.car is not None
    assert (answer.car.forward_m, answer.car.left_m) == pytest.approx((0.0, 0.0), abs=0.003)
    assert not answer.questions
    assert not answer.refused
    assert answer.targets[0].part("along").measured
    assert answer.targets[0].part("lean").tested is None


def test_the_car_off_the_plan_moves_the_places_of_its_targets() -> None:
    scene = make.scene()
    off = {(CAR, "x"): 0.03, (CAR, "y"): 0.02, (CAR, "turn"): 0.01}
    answer = check_setup(scene, taken(scene, off=off))
    assert answer.car is not None
    # The car looks along +y: +x is to its right, +y ahead.
    assert answer.car.forward_m == pytest.approx(0.02, abs=1e-9)
    assert answer.car.left_m == pytest.approx(-0.03, abs=1e-9)
    assert answer.car.turn_rad == pytest.approx(0.01, abs=1e-9)
    goal = answer.corrected[0].center
    assert goal[0] == pytest.approx(3.03 - 6 * math.sin(0.01), abs=1e-9)
    assert goal[1] == pytest.approx(2.02 + 6 * math.cos(0.01), abs=1e-9)
    assert answer.verdict is Verdict.REJECT
    # The board still stands where it was planned, 5.98 m ahead of the car's rear axle and 30 mm left of it.
    assert parts(answer)["across"] == pytest.approx(0.03 * math.cos(0.01) - 5.98 * math.sin(0.01), abs=1e-9)
    assert answer.targets[0].correct is not None
    assert "30 mm to the car's left" in make.said(answer.targets[0].correct.steps)


def test_a_target_stood_where_its_readings_were_taken_whatever_the_car_did() -> None:
    scene = make.scene()
    off = {("board", "x"): 0.112, ("board", "y"): -0.05, ("board", "turn"): 0.02, ("board", "z"): 0.01}
    answer = check_setup(scene, taken(scene, off={**off, (CAR, "x"): 0.03, (CAR, "turn"): 0.01}))
    planned, stood = scene.targets[0], answer.targets[0].stood
    assert stood is not None
    truth = [p + off["board", u] for p, u in zip(planned.center, "xyz", strict=True)]
    assert stood.center == pytest.approx(truth, abs=1e-9)
    assert stood.facing_rad == pytest.approx(planned.facing_rad + 0.02, abs=1e-9)
    nothing = check_setup(scene, [])
    assert nothing.targets[0].stood is None


def test_corrections_in_words() -> None:
    scene = make.scene()
    off = {("board", "x"): 0.012, ("board", "turn"): math.radians(0.2), ("board", "z"): -0.002}
    answer = check_setup(scene, taken(scene, off=off))
    said = answer.targets[0].correct
    assert said is not None
    # The board is 1.2 m wide: each end moves 600 mm x sin 0.2° = 2.1 mm.
    turned = "turn it 0.2° clockwise, seen from above"
    assert correction_steps(said, ENGLISH) == (
        "12 mm to the car's left",
        "2 mm up",
        f"{turned} (each end moves 2 mm)",
    )
    assert correction_steps(said, Reader("us")) == (
        "1/2 in to the car's left",
        "1/16 in up",
        f"{turned} (each end moves 1/16 in)",
    )
    assert correction_steps(Correction(0.0002, -0.0004), ENGLISH) == ()
    assert correction_steps(Correction(0.0006, 0.002), Reader("us")) == ("1/16 in to the car's left",)
    assert correction_steps(Correction(-0.003, 0.0, -0.004, 0.01, -0.01), ENGLISH) == (
        "3 mm rearward, as the car looks",
        "4 mm down",
        "turn it 0.6° counter-clockwise, seen from above",
        "tip the printed side 0.6° up",
    )


@law
@given(st.floats(-0.02, 0.02), st.floats(-0.02, 0.02), st.floats(-0.02, 0.02), st.floats(-3, 3))
def test_a_correction_undoes_the_deviation(along: float, across: float, turn: float, axis: float) -> None:
    """In the directions of the car's line, whichever way the tolerance's own axes look."""
    told = correction((along, across, 0.0, turn, 0.0), axis)
    c, s = math.cos(axis), math.sin(axis)
    assert c * along - s * across + told.forward_m == pytest.approx(0.0, abs=1e-12)
    assert s * along + c * across + told.left_m == pytest.approx(0.0, abs=1e-12)
    assert told.turn_rad == -turn


def test_readings_from_the_car_alone_leave_the_floor_out_of_it() -> None:
    scene = make.scene()
    answer = check_setup(scene, taken(scene, marks=False, off={("board", "x"): 0.002}, seed=4))
    assert answer.car is None
    assert answer.verdict is Verdict.ACCEPT
    assert parts(answer)["across"] == pytest.approx(-0.002, abs=0.002)


def test_what_is_not_fixed_is_told_and_the_rest_is_answered() -> None:
    second = evolve(make.BOARD, name="second", at=(5.0, 1.5, 1.0))
    scene = make.scene(make.BOARD, second)
    readings = taken(scene, marks=False)
    few = [r for r in readings if not any("second" in p for p in r.points)]
    few += [r for r in readings if r.end == ("second",) and r.what == "distance"][:1]
    answer = check_setup(scene, few)
    assert [t.verdict for t in answer.targets] == [Verdict.ACCEPT, Verdict.CANNOT_TELL]
    assert answer.verdict is Verdict.CANNOT_TELL
    assert make.said(answer.targets[1].because) == ("second is not fixed: its place sideways",)
    nothing = check_setup(scene, [])
    assert nothing.verdict is Verdict.CANNOT_TELL
    assert make.said(nothing.refused) == ("no readings",)


def test_a_turn_that_is_not_fixed_does_not_spoil_the_place() -> None:
    """Two tapes to the center fix the place; the offset of one side alone could be the place or the turn."""
    scene = make.scene()
    every = taken(scene, marks=False, off={("board", "y"): 0.004})
    tapes = [r for r in every if r.end == ("board",) and r.start in (("hub rear left",), ("hub rear right",))]
    side = next(r for r in every if r.end == ("board left",) and r.what == "offset")
    answer = check_setup(scene, [*tapes, evolve(side, value=side.value + 0.1)])
    assert make.said(answer.refused) == ("board is not fixed: its turn, seen from above",)
    assert answer.readings == tuple(tapes)
    assert parts(answer)["along"] == pytest.approx(0.004, abs=1e-9)
    assert not answer.targets[0].part("turn").measured


def test_a_card_with_an_unmeasured_tolerance_cannot_be_accepted() -> None:
    scene = make.scene()
    readings = [r for r in taken(scene, marks=False) if r.end == ("board",)]
    answer = check_setup(scene, readings)
    assert make.said(answer.targets[0].because) == ("turn: not measured",)
    assert answer.targets[0].verdict is Verdict.CANNOT_TELL


def test_a_card_without_tolerances_gives_figures_but_no_verdict() -> None:
    scene = make.scene(evolve(make.BOARD, tolerance=Tolerance()))
    answer = check_setup(scene, taken(scene, marks=False, off={("board", "y"): 0.004}))
    assert make.said(answer.targets[0].because) == ("the card states no tolerance",)
    assert answer.verdict is Verdict.CANNOT_TELL
    assert parts(answer)["along"] == pytest.approx(0.004, abs=1e-9)


def test_a_blunder_keeps_a_set_up_from_being_accepted_and_is_named() -> None:
    scene = make.scene()
    readings = taken(scene, seed=5)
    wrong = next(i for i, r in enumerate(readings) if r.what == "distance")
    readings[wrong] = evolve(readings[wrong], value=readings[wrong].value + 0.020)
    answer = check_setup(scene, readings)
    assert answer.verdict is not Verdict.ACCEPT
    assert answer.suspects == (readings[wrong],)
    assert answer.blunder is not None
    assert answer.blunder.size == pytest.approx(0.020, abs=0.005)


def test_98_inches_typed_as_millimeters_are_questioned() -> None:
    scene = make.scene()
    readings = taken(scene)
    inches = readings[0].value / 0.0254
    answer = check_setup(scene, [evolve(readings[0], value=inches / 1000), *readings[1:]])
    (asked,) = answer.questions
    assert not asked.impossible
    unit = "was it read in inches and typed as millimeters?"
    assert question_words(asked, ENGLISH).endswith(f"far from what was planned ({unit})")
    assert answer.verdict is not Verdict.ACCEPT


@pytest.mark.parametrize(
    ("value", "end", "words"),
    [
        (90.0, "board", "longer than the room"),
        (-1.0, "board", "a distance is greater than 0"),
        (5.0, "boared", "no point is called boared (did you mean board?)"),
    ],
)
def test_impossible_readings_are_questioned_and_left_out(value: float, end: str, words: str) -> None:
    scene = make.scene()
    readings = taken(scene)
    answer = check_setup(scene, [evolve(readings[0], value=value, end=(end,)), *readings[1:]])
    (asked,) = answer.questions
    assert (asked.reading, asked.impossible) == (0, True)
    assert words in question_words(asked, ENGLISH)
    assert len(answer.readings) == len(readings) - 1
    assert parts(answer)["along"] == pytest.approx(0.0, abs=1e-9)
    assert answer.verdict is Verdict.CANNOT_TELL


def test_a_reading_from_a_point_to_itself_is_questioned() -> None:
    scene = make.scene()
    itself = Reading("angle", ("board", "board"), ("board left", "board right"), 0.0, 0.01)
    answer = check_setup(scene, [*taken(scene), itself])
    assert [question_words(q, ENGLISH) for q in answer.questions] == [
        "angle from board - board to board left, looking at its printed side "
        "- board right, looking at its printed side: it goes from a point to itself"
    ]
    assert itself not in answer.readings


@pytest.mark.parametrize("seed", range(120))
def test_whatever_is_read_gets_an_answer(seed: int) -> None:
    """Readings between any points of any bodies, about right or not: a verdict or a reason, never an exception."""
    rng = np.random.default_rng(seed)
    scene = make.scene(make.BOARD, evolve(make.BOARD, name="second", at=(5.0, 1.5, 1.0)))
    points = [name for body in scene.network([]).bodies for name, _ in body.points]
    readings = []
    for _ in range(int(rng.integers(0, 15))):
        what = MEASURES[int(rng.integers(len(MEASURES)))]
        starts, ends = POINTS_OF_MEASURE[what]
        names = [points[int(i)] for i in rng.integers(0, len(points), starts[-1] + ends)]
        u = float(10 ** rng.uniform(-4, -1))
        readings.append(Reading(what, tuple(names[: starts[-1]]), tuple(names[starts[-1] :]), 0.0, u))
    network = scene.network(readings)
    read = make.read(network, readings, network.start + 0.002, rng)
    wild = [evolve(r, value=float(rng.uniform(-3, 9))) if rng.random() < 0.1 else r for r in read]
    answer = check_setup(scene, wild)
    assert answer.verdict in Verdict
    candidates, _ = possible_readings(scene, PLENTY, marks=True)
    for target in answer.targets:
        assert (target.verdict is Verdict.ACCEPT) == (not target.because)
        told = settling_reading(answer, target, candidates)
        assert told is None or 0.5 <= told.probability <= 1.0 + 1e-9


def test_heights_and_angles_are_questioned_too() -> None:
    scene = make.scene()
    readings = taken(scene)
    high = [evolve(r, value=4.0) if r.what == "height" else r for r in readings]
    assert "higher than the room" in question_words(check_setup(scene, high).questions[0], ENGLISH)
    turned = [*readings, Reading("angle", points_of("centerline"), ("board left", "board right"), 1.0, 0.01)]
    assert "far from what was planned" in question_words(check_setup(scene, turned).questions[0], ENGLISH)


def test_the_reading_that_settles_a_doubt() -> None:
    scene = make.scene(thrust=Angle(0.0))
    straight = evolve(TAPE, plumbed=False)
    tapes = taken(scene, (straight, LEVEL), marks=False, off={("board", "x"): 0.0035})
    answer = check_setup(scene, tapes)
    target = answer.targets[0]
    assert make.said(target.because) == ("across: too near the limit to tell at this uncertainty",)
    candidates, _ = possible_readings(scene, PLENTY)
    told = settling_reading(answer, target, candidates)
    assert told is not None
    assert told.reading.what == "offset"
    assert told.probability > 0.7
    measured = next(r for r in taken(scene, off={("board", "x"): 0.0035}) if r.points == told.reading.points)
    settled = check_setup(scene, [*tapes, measured])
    assert settled.targets[0].verdict is Verdict.ACCEPT
    assert settling_reading(settled, settled.targets[0], candidates) is None


def test_no_reading_settles_what_hangs_on_the_thrust_angle() -> None:
    scene = make.scene(thrust=Angle(0.0, math.radians(0.05)))
    answer = check_setup(scene, taken(scene, marks=False))
    assert make.said(answer.targets[0].because) == ("across: too near the limit to tell at this uncertainty",)
    candidates, _ = possible_readings(scene, PLENTY)
    assert settling_reading(answer, answer.targets[0], candidates) is None


def test_a_target_just_out_of_tolerance_is_accepted_in_at_most_5_percent() -> None:
    scene = make.scene(thrust=Angle(0.0))
    accepted = [
        check_setup(
            scene, taken(scene, (TAPE, LEVEL, evolve(LASER_LINE, u=0.002)), False, {("board", "x"): 0.00505}, n)
        )
        for n in range(150)
    ]
    share = float(np.mean([a.targets[0].verdict is Verdict.ACCEPT for a in accepted]))
    assert share <= 0.05 + 2 * math.sqrt(0.05 * 0.95 / 150)


def test_deviations_of_a_corner_sensors_target_are_in_its_own_axes() -> None:
    corner = evolve(make.BOARD, name="reflector", anchor="sensor", at=(2.5, 0.0, 0.68), turned=True, size_m=None)
    scene = Scene(make.card(corner, sensor="rear corner radar"), make.CAR, make.SITE, make.PLACE, Angle(0.0))
    facing = make.PLACE.heading_rad + math.radians(140.0)
    off = {("reflector", "x"): 0.01 * math.cos(facing), ("reflector", "y"): 0.01 * math.sin(facing)}
    answer = check_setup(scene, taken(scene, marks=False, off=off))
    assert parts(answer)["along"] == pytest.approx(0.01, abs=1e-6)
    assert parts(answer)["across"] == pytest.approx(0.0, abs=1e-6)
    assert answer.targets[0].correct is not None
    assert make.said(answer.targets[0].correct.steps) == (
        "8 mm forward, as the car looks",
        "6 mm to the car's right",
    )


def test_the_sensor_and_the_lines_are_points_of_the_scene() -> None:
    scene = make.scene()
    names = {r for b in scene.network([]).bodies for r, _ in b.points}
    assert {"sensor", "datum", "A", *WHEELS, *points_of("thrust line"), "board top"} <= names
    assert Verdict.overall([]) is Verdict.CANNOT_TELL
