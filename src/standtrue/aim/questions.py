"""Readings that cannot be, or hardly can be: questioned before they are believed."""

from __future__ import annotations

import difflib
import math
from collections.abc import Sequence

from attrs import frozen

from standtrue.aim.bodies import Network, Reading
from standtrue.aim.scene import Scene
from standtrue.aim.titles import title_of
from standtrue.model.reason import Reason, Term, because

FAR_M = 1.0
FAR_RAD = math.radians(20.0)
"""A reading this far from what was planned is questioned."""

UNITS: tuple[tuple[float, Term], ...] = (
    (0.0254, Term("inches")),
    (0.3048, Term("feet")),
    (0.001, Term("millimeters")),
    (0.01, Term("centimeters")),
    (1.0, Term("meters")),
)
"""The units that a tape may have, metres."""


@frozen
class Question:
    """A reading that needs a second look: which one, why, and whether it is impossible (and was left out).

    `perhaps` is a slip that would explain it.
    """

    reading: int
    why: Reason
    impossible: bool
    perhaps: Reason | None = None


def question_readings(scene: Scene, readings: Sequence[Reading]) -> tuple[Question, ...]:
    """Every reading that names no known point, goes beyond the room, or lies far from the plan."""
    network = scene.network(())
    known = [i for i, r in enumerate(readings) if not network.missing([r])]
    values = network.predict([readings[i] for i in known], network.start)[0]
    plan = dict(zip(known, map(float, values), strict=True))
    floors = [scene.site.outline, *(d.apron for d in scene.site.doors if d.may_stand_open and d.apron is not None)]
    xs, ys = zip(*(p for outline in floors for p in outline), strict=True)
    high = scene.site.clear_height_m
    longest = math.hypot(max(xs) - min(xs), max(ys) - min(ys), high if high is not None else 0.0)
    questions = []
    for number, reading in enumerate(readings):
        if number not in plan:
            questions.append(_unknown_point(number, reading, scene, network))
            continue
        code = _impossible(reading, longest, high)
        if code is None and reading.what == "height" and not reading.start and scene.start_matters(reading.end[0]):
            why = because("reading-height-without-start", reading=title_of(reading, scene))
            questions.append(Question(number, why, False))
        elif code is not None or _far(reading, plan[number]):
            why = because(code or "reading-far-from-plan", reading=title_of(reading, scene))
            questions.append(Question(number, why, code is not None, _other_unit(reading, plan[number])))
    return tuple(questions)


def _unknown_point(number: int, reading: Reading, scene: Scene, network: Network) -> Question:
    """A reading that names points which are not there, and those that may be meant."""
    missing = network.missing([reading])
    near = tuple(n for m in missing for n in difflib.get_close_matches(m, network.points, n=1))
    why = because("reading-unknown-point", reading=title_of(reading, scene), points=missing)
    return Question(number, why, True, because("perhaps-other-point", points=near) if near else None)


def _impossible(reading: Reading, longest_m: float, high_m: float | None) -> str | None:
    """Why a reading cannot be, as a reason's code; None where it can."""
    if any(len(set(ends)) < len(ends) for ends in _pairs(reading)):
        return "reading-to-itself"
    if reading.is_angle:
        return "reading-beyond-a-turn" if abs(reading.value) > math.tau else None
    if reading.what == "distance" and reading.value <= 0.0:
        return "reading-not-positive"
    if abs(reading.value) > longest_m:
        return "reading-longer-than-room"
    if reading.what == "height" and high_m is not None and abs(reading.value) > high_m:
        return "reading-higher-than-room"
    return None


def _pairs(reading: Reading) -> tuple[tuple[str, ...], ...]:
    """The points that must differ: of each line, or the two ends."""
    if reading.what in ("offset", "angle"):
        return reading.start, reading.end
    return ((*reading.start, *reading.end),)


def _far(reading: Reading, planned: float) -> bool:
    off = reading.value - planned
    if reading.is_angle:
        return abs(math.remainder(off, math.tau)) > FAR_RAD
    return abs(off) > FAR_M


def _other_unit(reading: Reading, planned: float) -> Reason | None:
    """Whether the same figure in another unit would be about what was planned."""
    if reading.is_angle or abs(planned) < 0.05:
        return None
    for one, typed in UNITS:
        for two, read in UNITS:
            if one != two and abs(reading.value / one * two - planned) < 0.05 * abs(planned):
                return because("perhaps-other-unit", read=read, typed=typed)
    return None
