"""Readings that cannot be, or hardly can be: questioned before they are believed."""

from __future__ import annotations

import difflib
import math
from collections.abc import Sequence

from attrs import frozen

from standtrue.aim.bodies import Reading
from standtrue.aim.scene import Scene

FAR_M = 1.0
FAR_RAD = math.radians(20.0)
"""A reading this far from what was planned is questioned."""

_OTHER_UNITS: tuple[tuple[float, str], ...] = (
    (0.0254, "inches"),
    (0.3048, "feet"),
    (0.001, "millimeters"),
    (0.01, "centimeters"),
    (1.0, "meters"),
)


@frozen
class Question:
    """A reading that needs a second look: which one, why, and whether it is impossible (and was left out)."""

    reading: int
    words: str
    impossible: bool


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
    asked = []
    for number, reading in enumerate(readings):
        if number not in plan:
            missing = network.missing([reading])
            near = [n for m in missing for n in difflib.get_close_matches(m, network.points, n=1)]
            hint = f" (did you mean {' or '.join(near)}?)" if near else ""
            asked.append(Question(number, f"{reading.title}: no point is called {' or '.join(missing)}{hint}", True))
            continue
        planned = plan[number]
        said = _impossible(reading, longest, high)
        if said is not None:
            asked.append(Question(number, f"{reading.title}: {said}{_other_unit(reading, planned)}", True))
        elif _far(reading, planned):
            said = f"far from what was planned{_other_unit(reading, planned)}"
            asked.append(Question(number, f"{reading.title}: {said}", False))
    return tuple(asked)


def _impossible(reading: Reading, longest_m: float, high_m: float | None) -> str | None:
    if any(len(set(ends)) < len(ends) for ends in _pairs(reading)):
        return "it goes from a point to itself"
    if reading.what in ("angle", "lean"):
        return "more than a full turn" if abs(reading.value) > math.tau else None
    if reading.what == "distance" and reading.value <= 0.0:
        return "a distance is greater than 0"
    if abs(reading.value) > longest_m:
        return "longer than the room"
    if reading.what == "height" and high_m is not None and abs(reading.value) > high_m:
        return "higher than the room"
    return None


def _pairs(reading: Reading) -> tuple[tuple[str, ...], ...]:
    """The points that must differ: of each line, or the two ends."""
    if reading.what in ("offset", "angle"):
        return reading.start, reading.end
    return ((*reading.start, *reading.end),)


def _far(reading: Reading, planned: float) -> bool:
    off = reading.value - planned
    if reading.what in ("angle", "lean"):
        return abs(math.remainder(off, math.tau)) > FAR_RAD
    return abs(off) > FAR_M


def _other_unit(reading: Reading, planned: float) -> str:
    """Whether the same figure in another unit would be about what was planned."""
    if reading.what in ("angle", "lean") or abs(planned) < 0.05:
        return ""
    for one, name in _OTHER_UNITS:
        for two, other in _OTHER_UNITS:
            if one != two and abs(reading.value / one * two - planned) < 0.05 * abs(planned):
                return f" (was it read in {other} and typed as {name}?)"
    return ""
