"""Doubt that helps: the slip that explains the readings is named, and only what every explanation says is told."""

from __future__ import annotations

import math
from collections.abc import Sequence

import aim_makers as make
import numpy as np
import pytest
from attrs import evolve

from standtrue.aim.bodies import Body, Network, Reading
from standtrue.aim.doubt_told import told_of
from standtrue.aim.explained import LARGEST, SMALLEST, explanations, leave_each_out
from standtrue.aim.network import Adjustment, adjust
from standtrue.aim.setup import SetupAnswer, check_setup
from standtrue.aim.slips import RATE, SHARES
from standtrue.model.setup import Figure, Tie, points_of
from standtrue.model.verdict import Verdict
from standtrue.show.answers.doubt import of_doubt
from standtrue.show.words.reader import ENGLISH

FL, FR, RL, RR = "hub front left", "hub front right", "hub rear left", "hub rear right"
SCENE = make.scene()


def tape(start: str, end: str) -> Reading:
    return Reading("distance", (start,), (end,), 0.0, 0.001, plumbed=True)


TAKEN = (
    tape(RL, "board left"),
    tape(RL, "board right"),
    tape(RR, "board left"),
    tape(RR, "board right"),
    tape(FL, "board right"),
    tape(FR, "board left"),
    Reading("offset", points_of("thrust line"), ("board left",), 0.0, 0.001),
    Reading("offset", points_of("thrust line"), ("board right",), 0.0, 0.001),
    Reading("height", (), ("board",), 0.0, 0.001),
    Reading("height", (), ("board top",), 0.0, 0.001),
    Reading("height", (), ("board bottom",), 0.0, 0.001),
    Reading("lean", (), ("board",), 0.0, math.radians(0.1)),
)


def sound(seed: int = 5) -> list[Reading]:
    """What is read of a board that stands as planned: to a tenth of a millimeter."""
    network = SCENE.network(TAKEN)
    read = make.read(network, TAKEN, network.start, np.random.default_rng(seed))
    return [evolve(r, value=round(r.value, 4)) for r in read]


def with_values(read: Sequence[Reading], values: dict[int, float]) -> SetupAnswer:
    return check_setup(SCENE, [evolve(r, value=values[i]) if i in values else r for i, r in enumerate(read)])


def words(answer: SetupAnswer) -> list[str]:
    return ENGLISH.reasons(told_of(answer))


def kinds(answer: SetupAnswer) -> list[str]:
    assert answer.doubt is not None
    return [cause.slip.kind for cause in answer.doubt.causes]


def named(answer: SetupAnswer) -> list[tuple[int, ...]]:
    assert answer.doubt is not None
    return [suspect.readings for suspect in answer.doubt.suspects]


def test_sound_readings_leave_no_doubt() -> None:
    answer = check_setup(SCENE, sound())
    assert answer.doubt is None
    assert answer.verdict is Verdict.ACCEPT
    assert told_of(answer) == ()


@pytest.mark.parametrize("wrong", range(11))
@pytest.mark.parametrize("size", [-0.050, 0.050])
def test_one_blunder_of_50_mm_is_named_and_never_rejects_a_right_board(wrong: int, size: float) -> None:
    read = sound()
    answer = with_values(read, {wrong: read[wrong].value + size})
    assert any(wrong in readings for readings in named(answer)[:2])
    assert answer.verdict is Verdict.CANNOT_TELL
    (target,) = answer.targets
    assert target.verdict is not Verdict.REJECT
    correct = target.correct
    if correct is not None:
        assert max(abs(correct.forward_m), abs(correct.left_m), abs(correct.up_m)) < 0.004
        assert target.from_others


def test_digits_swapped() -> None:
    read = sound()
    text = f"{read[0].value * 1000:.0f}"
    assert text[0] != text[1]
    wrong = text[1] + text[0] + text[2:]
    typed = Figure(wrong, ((0, len(wrong), 0.001),))
    slipped = [evolve(read[0], value=int(wrong) / 1000, typed=typed), *read[1:]]
    answer = check_setup(SCENE, slipped)
    assert kinds(answer) == ["digits swapped"]
    assert words(answer)[1] == f"reading 1: two digits swapped would explain it, {wrong} for {text}"
    assert words(answer)[0].startswith("this does not go with the others: reading 1 (distance hub rear left to ")


def test_a_digit_in_feet_and_inches() -> None:
    """The inches of a figure typed in feet and inches: 10 in for 1 ft 10 in would be a miscount, 17 for 71 digits."""
    read = sound()
    inches = read[4].value / 0.0254
    feet, rest = int(inches // 12), inches % 12
    text = f"{feet + 1} ft {rest:.2f} in"
    runs = ((0, len(str(feet + 1)), 0.3048), (text.index("ft") + 3, len(text) - 3, 0.0254))
    slipped = [evolve(r, value=r.value + 0.3048, typed=Figure(text, runs)) if i == 4 else r for i, r in enumerate(read)]
    answer = check_setup(SCENE, slipped)
    assert "miscount" in kinds(answer)
    assert set(kinds(answer)) <= {"miscount", "digit wrong"}


def test_the_other_wheel_and_the_other_side() -> None:
    read = sound()
    network = SCENE.network(TAKEN)
    other = evolve(read[0], start=(FL,))
    elsewhere = float(network.predict([other], network.start)[0][0])
    answer = with_values(read, {0: elsewhere})
    assert kinds(answer) == ["other point"]
    assert words(answer)[1] == "reading 1: it would be explained if it was read at hub front left, not at hub rear left"
    swapped = [evolve(r, value=w.value) for r, w in zip(read[:4], (read[1], read[0], read[3], read[2]), strict=True)]
    answer = check_setup(SCENE, [*swapped, *read[4:]])
    # The four diagonals of a board that stands square are alike in pairs: only the straight and crossing ones differ.
    assert answer.doubt is not None
    assert answer.verdict is Verdict.CANNOT_TELL


def test_the_sign_of_an_offset() -> None:
    read = sound()
    answer = with_values(read, {6: -read[6].value})
    assert named(answer) == [(6,)]
    assert kinds(answer) == ["sign"] or "board sides" in kinds(answer)


def test_feet_for_meters_is_named_whether_it_fits_into_the_room_or_not() -> None:
    read = sound()
    answer = with_values(read, {4: read[4].value / 0.3048})
    said = " ".join([*words(answer), *(ENGLISH.reason(q.perhaps) for q in answer.questions if q.perhaps is not None)])
    assert "read in feet and typed as meters" in said


def test_two_values_exchanged_and_an_exchange_that_no_single_reading_explains() -> None:
    read = sound()
    answer = with_values(read, {0: read[4].value, 4: read[0].value})
    assert named(answer) == [(0, 4)]
    assert kinds(answer) == ["exchanged"]
    assert words(answer)[0].startswith("these do not go with the others: reading 1")
    told = of_doubt(answer)
    assert told is not None
    assert told.suspects[0].readings == [1, 5]
    assert told.causes[0].words == "readings 1 and 5: the two values exchanged would explain it"


def test_two_slips_at_once_are_explained_by_no_single_one_and_nothing_is_told() -> None:
    read = sound()
    answer = with_values(read, {0: read[0].value + 0.137, 8: read[8].value - 0.061})
    assert answer.doubt is not None
    assert not answer.doubt.explained
    assert words(answer)[-1] == "no single slip explains it: take all readings again"
    (target,) = answer.targets
    assert (target.verdict, target.correct) == (Verdict.CANNOT_TELL, None)
    assert make.said(target.because) == ("it hangs on which reading is wrong: take that again first",)


def test_a_board_that_every_explanation_finds_out_of_place_is_rejected() -> None:
    network = SCENE.network(TAKEN)
    truth = network.start.copy()
    truth[network.column("board", "x")] += 0.030
    read = make.read(network, TAKEN, truth, np.random.default_rng(3))
    answer = with_values(read, {0: read[0].value + 0.050})
    (target,) = answer.targets
    assert target.verdict is Verdict.REJECT
    assert target.from_others
    assert target.correct is not None
    assert target.correct.left_m == pytest.approx(0.030, abs=0.004)


def test_what_the_suspects_leave_open_is_not_told() -> None:
    """Height read twice, 40 mm apart: either may be wrong, and nobody knows which way the board is to go."""
    read = [r for i, r in enumerate(sound()) if i not in (9, 10)]
    again = evolve(read[8], value=read[8].value + 0.040)
    answer = check_setup(SCENE, [*read, again])
    assert sorted(named(answer)) == [(8,), (10,)]
    (target,) = answer.targets
    assert target.verdict is Verdict.CANNOT_TELL
    assert target.correct is not None
    assert target.correct.up_m == 0.0
    told = of_doubt(answer)
    assert told is not None
    assert {result.without[0] for result in told.results if result.without} == {9, 11}
    ups = [part.deviation_m for r in told.results for t in r.targets for part in t.parts if part.name == "height"]
    assert max(u for u in ups if u is not None) - min(u for u in ups if u is not None) == pytest.approx(0.04, abs=0.001)


def test_how_likely_by_brute_force() -> None:
    """A point on a line, read three times, once too far: every explanation integrated over the point and the error.

    The error has the density that the program takes it to have; the sum over a fine grid is independent of how the
    program computes.
    """
    marks = Body("marks", (("a", (0.0, 0.0, 0.0)),))
    network = Network([marks, Body("it", (("P", (0.0, 0.0, 0.0)),), (2.0, 0.0, 0.0), free=("x",))])
    u, values = 0.002, (2.0, 2.001, 2.0135)
    found = adjust(network, [Reading("distance", ("a",), ("P",), v, u) for v in values])
    assert isinstance(found, Adjustment)
    told = explanations(SCENE, found, leave_each_out(found))
    ours = {e.readings: e.probability for e in told if e.slip is None}
    at = np.linspace(1.97, 2.05, 4001)
    errors = np.linspace(-0.06, 0.06, 6001)
    flat = 1.0 / (2.0 * np.maximum(np.abs(errors), SMALLEST[0]) * math.log(LARGEST[0] / SMALLEST[0]))

    def normal(off: np.ndarray) -> np.ndarray:
        return np.exp(-0.5 * (off / u) ** 2) / (u * math.sqrt(math.tau))

    everything = float(np.sum(np.prod([normal(at - v) for v in values], axis=0)) * (at[1] - at[0]))
    spread = np.array([np.sum(normal(at[k] + errors - values[2]) * flat) for k in range(len(at))])
    third = np.prod([normal(at - v) for v in values[:2]], axis=0) * spread * (errors[1] - errors[0])
    misread = RATE * SHARES["misread"] * float(np.sum(third) * (at[1] - at[0]))
    assert ours[(2,)] / ours[()] == pytest.approx(misread / everything, rel=0.1)


TIED = (tape("A", RL), tape("B", RR), tape("A", RR), tape("C", FL), tape("D", FR), tape("B", RL))


def tied(off_m: float, said: Tie) -> SetupAnswer:
    """A car that stands so far ahead of its plan, by six tapes from the floor's marks, and what somebody says of it."""
    scene = evolve(SCENE, ties=(said,))
    network = scene.network((*TIED, *TAKEN))
    truth = network.start.copy()
    for body in ("the car", "board"):
        truth[network.column(body, "y")] += off_m  # the car looks along +y
    return check_setup(scene, make.read(network, (*TIED, *TAKEN), truth, np.random.default_rng(8)))


def test_a_statement_that_the_readings_contradict_is_what_is_asked_about() -> None:
    on_the_marks = Tie("wheels on the painted marks", 0.020 / math.sqrt(3.0))
    assert tied(0.010, on_the_marks).doubt is None
    answer = tied(0.300, on_the_marks)
    assert answer.verdict is Verdict.CANNOT_TELL
    assert answer.doubt is not None
    assert answer.numbers[answer.doubt.suspects[0].readings[0]] == 0
    assert words(answer)[0].startswith("this does not go with the others: ")
    assert "stated" in words(answer)[0]
    assert answer.car is not None
    assert answer.car.forward_m == pytest.approx(0.300, abs=0.005)


def test_a_wheelbase_that_is_not_as_on_paper_is_named_as_such() -> None:
    """Known to 0.1 mm on paper, and 20 mm longer at the car: what the paper says is named, and no reading."""
    network = SCENE.network(TAKEN)
    truth = network.start.copy()
    truth[network.column("the car", "wheelbase")] += 0.020
    answer = check_setup(SCENE, make.read(network, TAKEN, truth, np.random.default_rng(9)))
    assert "wheelbase, as the car's document has it, " in words(answer)[0]
    assert answer.doubt is not None
    assert {answer.numbers[i] for i in answer.doubt.again} == {0}
    assert answer.verdict is Verdict.CANNOT_TELL
    (target,) = answer.targets
    assert {stands.targets[0].verdict for stands in answer.without} == {Verdict.ACCEPT}
    assert target.from_others
