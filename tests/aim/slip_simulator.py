"""Set-ups with one slip in their readings, by a geometry of our own: nothing here knows how the program computes.

A truth is drawn, read with the errors that the readings state, and one slip is put in, as somebody would make it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence

import numpy as np
from attrs import evolve, frozen
from numpy.typing import NDArray

from standtrue.aim.bodies import Reading
from standtrue.aim.setup import SetupAnswer, check_setup
from standtrue.model.verdict import Verdict

Spot = NDArray[np.float64]
Truth = Mapping[str, Spot]
"""Every point by its name, in the site frame."""

LENGTHS = ("distance", "offset", "height")


def turned(point: Sequence[float], at: Sequence[float] | Spot, turn: float, lean: float = 0.0) -> Spot:
    """A point of a body that leans about its own y axis, turns, and is then put where it stands."""
    x, y, z = point
    ahead, up = x * math.cos(lean) + z * math.sin(lean), z * math.cos(lean) - x * math.sin(lean)
    east = ahead * math.cos(turn) - y * math.sin(turn)
    north = ahead * math.sin(turn) + y * math.cos(turn)
    return np.array([at[0] + east, at[1] + north, at[2] + up])


def value(reading: Reading, truth: Truth, lean: float) -> float:
    """What an errorless instrument would show: by plane trigonometry, as one would do it on paper."""
    # Heights start at the floor, which is level here.
    named = reading.end if reading.what == "height" else reading.points
    ends = [truth[name] for name in named] if reading.what != "lean" else []
    if reading.what == "distance":
        flat = math.hypot(ends[1][0] - ends[0][0], ends[1][1] - ends[0][1])
        return flat if reading.plumbed else math.hypot(flat, ends[1][2] - ends[0][2])
    if reading.what == "offset":
        (ax, ay, _), (bx, by, _), (px, py, _) = ends
        line, to = math.atan2(by - ay, bx - ax), math.atan2(py - ay, px - ax)
        return math.hypot(px - ax, py - ay) * math.sin(to - line)
    if reading.what == "height":
        return float(ends[-1][2])
    return lean


@frozen
class Slipped:
    """Readings with one slip: what kind, in which readings, and whether it is one of those that were asked for."""

    kind: str
    wrong: tuple[int, ...]
    readings: tuple[Reading, ...]


WORDS = (("left", "right"), ("right", "left"), ("front", "rear"), ("rear", "front"))

Slip = Callable[[list[Reading], Truth, np.random.Generator], Slipped | None]


def _put(kind: str, read: list[Reading], changed: Mapping[int, float]) -> Slipped:
    """The readings with these values in place of their own, as typed: whole millimeters."""
    slipped = [evolve(r, value=round(changed[i], 4)) if i in changed else r for i, r in enumerate(read)]
    return Slipped(kind, tuple(changed), tuple(slipped))


def fifty(read: list[Reading], _: Truth, rng: np.random.Generator) -> Slipped | None:
    """One blunder of 50 mm."""
    i = int(rng.choice([k for k, r in enumerate(read) if r.what in LENGTHS]))
    return _put("50 mm", read, {i: read[i].value + float(rng.choice([-0.050, 0.050]))})


def any_size(read: list[Reading], _: Truth, rng: np.random.Generator) -> Slipped | None:
    """One blunder between 25 and 250 mm, every size as likely as one twice as large."""
    i = int(rng.choice([k for k, r in enumerate(read) if r.what in LENGTHS]))
    size = 0.025 * 10.0 ** float(rng.uniform(0.0, 1.0))
    return _put("25 to 250 mm", read, {i: read[i].value + float(rng.choice([-size, size]))})


def digits(read: list[Reading], _: Truth, rng: np.random.Generator) -> Slipped | None:
    """Two neighboring digits of the whole millimeters swapped."""
    i = int(rng.choice([k for k, r in enumerate(read) if r.what in LENGTHS]))
    text = f"{abs(read[i].value) * 1000:.0f}"
    places = [k for k in range(len(text) - 1) if text[k] != text[k + 1]]
    if not places:
        return None
    k = int(rng.choice(places))
    wrong = int(text[:k] + text[k + 1] + text[k] + text[k + 2 :]) / 1000
    return _put("digits swapped", read, {i: math.copysign(wrong, read[i].value)})


def sign(read: list[Reading], _: Truth, rng: np.random.Generator) -> Slipped | None:
    """An offset to the wrong side of its line."""
    offsets = [k for k, r in enumerate(read) if r.what == "offset"]
    if not offsets:
        return None
    i = int(rng.choice(offsets))
    return _put("sign of an offset", read, {i: -read[i].value})


def _read_elsewhere(
    kind: str, on_board: bool, read: list[Reading], truth: Truth, rng: np.random.Generator
) -> Slipped | None:
    """A distance taken from or to a point whose name differs by one word."""
    found = []
    for i, reading in enumerate(read):
        for name in reading.points if reading.what == "distance" else ():
            for one, other in WORDS if name.startswith("board") == on_board else ():
                twin = name.replace(one, other)
                if one in name.split() and twin in truth and twin not in reading.points:
                    found.append((i, name, twin))
    if not found:
        return None
    i, name, twin = found[int(rng.integers(len(found)))]
    meant = evolve(
        read[i],
        start=tuple(twin if p == name else p for p in read[i].start),
        end=tuple(twin if p == name else p for p in read[i].end),
    )
    off = value(meant, truth, 0.0) - value(read[i], truth, 0.0)
    return _put(kind, read, {i: read[i].value + off})


def wheel(read: list[Reading], truth: Truth, rng: np.random.Generator) -> Slipped | None:
    """A distance from the left wheel for the right, or the front for the rear."""
    return _read_elsewhere("wrong wheel", False, read, truth, rng)


def sides(read: list[Reading], truth: Truth, rng: np.random.Generator) -> Slipped | None:
    """A distance to the board's other side."""
    return _read_elsewhere("wrong side", True, read, truth, rng)


def feet(read: list[Reading], _: Truth, rng: np.random.Generator) -> Slipped | None:
    """Read in feet, typed as meters."""
    i = int(rng.choice([k for k, r in enumerate(read) if r.what == "distance"]))
    return _put("feet for meters", read, {i: read[i].value / 0.3048})


SLIPS: tuple[Slip, ...] = (fifty, any_size, digits, sign, wheel, sides, feet)


@frozen
class Outcome:
    """What the program made of one slip. `found`: an alarm or a question. `named`: its reading, or all of them, are
    among at most two that are named. `cause`: its kind is named. `misled`: a correction that leaves the target out of
    tolerance, or puts it there; `as_if_sure` where it is told without a mark of doubt."""

    kind: str
    found: bool
    named: bool
    cause: bool
    misled: bool
    as_if_sure: bool


CAUSES = {
    "digits swapped": "digits swapped",
    "sign of an offset": "sign",
    "wrong wheel": "other point",
    "wrong side": "board sides",
    "feet for meters": "other unit",
}


def judged(answer: SetupAnswer, slipped: Slipped, truly_off: Spot) -> Outcome:
    """Held against the truth: `truly_off` are the target's deviations in the order of the parts."""
    questioned = {q.reading for q in answer.questions}
    told = answer.doubt.suspects if answer.doubt is not None else ()
    suspects = [{answer.numbers[i] - 1 for i in s.readings} for s in told]
    few = len(suspects) <= 2
    named = set(slipped.wrong) <= questioned or (few and any(set(slipped.wrong) <= s for s in suspects))
    kinds = {c.slip.kind for c in answer.doubt.causes} if answer.doubt is not None else set()
    cause = CAUSES.get(slipped.kind) in kinds or any(q.perhaps is not None for q in answer.questions)
    (target,) = answer.targets
    misled = False
    if target.correct is not None and target.verdict is not Verdict.ACCEPT:
        misled = any(_leaves_out(answer, k, off) for k, off in enumerate(truly_off))
    found = answer.doubt is not None or bool(questioned)
    return Outcome(slipped.kind, found, named or cause, cause, misled, misled and not target.from_others)


def _leaves_out(answer: SetupAnswer, k: int, truly_off: float) -> bool:
    """Whether a part is out of tolerance once the correction that is told for it is made."""
    (target,) = answer.targets
    part = target.parts[k]
    told = _told(answer, k)
    return part.limit is not None and told and abs(truly_off - part.deviation) > part.limit


def _told(answer: SetupAnswer, k: int) -> bool:
    """Whether the correction has anything to say of a part."""
    (target,) = answer.targets
    correct = target.correct
    if correct is None:
        return False
    parts = (correct.forward_m or correct.left_m, correct.forward_m or correct.left_m, correct.up_m, correct.turn_rad)
    return bool((*parts, correct.lean_rad)[k])


__all__ = ["SLIPS", "Outcome", "Slipped", "check_setup", "judged", "turned", "value"]
