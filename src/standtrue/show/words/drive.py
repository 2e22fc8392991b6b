"""A move in words: the verdict, the legs to drive one after another, what is in the way."""

from __future__ import annotations

from collections.abc import Iterator

from standtrue.drive.question.answer import Answer, Leg, Nearest
from standtrue.model.reader_units import System, format_angle, format_length

_SLOW: dict[str, str] = {"drive": "driven", "push": "pushed", "skates": "on skates"}


def move_verdict(answer: Answer, units: System = "metric") -> str:
    """One sentence or two: how the car gets there, or how the search for a way ended."""
    if not answer.found:
        return f"No way found, {_SLOW[answer.mode]}. {searched_words(answer, units)}"
    way = f"{turns_words(answer)}, {format_length(answer.length_m, units)} in all"
    near = f"; least separation {nearest_words(answer.nearest, units)}" if answer.nearest is not None else ""
    return f"The car can get there, {_SLOW[answer.mode]}: {way}, {minutes_words(answer)}{near}."


def searched_words(answer: Answer, units: System = "metric") -> str:
    """How a search without a find ended, and what that is worth."""
    if answer.proven:
        return "It is proven that there is none."
    cell = format_length(answer.cell_m, units)
    if answer.search == "exhausted":
        return f"All that could be reached at a resolution of {cell} was tried; a finer search might still find a way."
    return f"The search gave up after {answer.nodes:,} poses, at last at a resolution of {cell}; there may be a way."


def turns_words(answer: Answer) -> str:
    """How often the direction changes, in words."""
    if answer.mode == "skates" or not answer.shunts:
        return "without a change of direction"
    return f"{answer.shunts} {'change' if answer.shunts == 1 else 'changes'} of direction (fewer may do)"


def minutes_words(answer: Answer) -> str:
    """The honest range of minutes."""
    low, high = (f"{value / 60:.1f}" for value in answer.seconds)
    return f"{low} minutes" if low == high else f"{low} to {high} minutes"


def nearest_words(nearest: Nearest, units: System = "metric") -> str:
    """What comes nearest to what, and the gap that it must keep."""
    needed = f" ({format_length(nearest.gap_m, units)} needed)" if nearest.gap_m > 0 else ""
    return f"{nearest.part} – {nearest.thing}, {format_length(nearest.separation_m, units)}{needed}"


def leg_words(leg: Leg, units: System = "metric") -> str:
    """A leg as one would tell a driver."""
    far = format_length(leg.length_m, units)
    if leg.gear == "slide":
        return f"slide {far} toward {format_angle(leg.direction_rad)} from straight ahead (counter-clockwise)"
    if leg.gear == "turn":
        way = "counter-clockwise" if leg.turn_rad > 0 else "clockwise"
        return f"turn {format_angle(abs(leg.turn_rad))} {way} about the car's center"
    if abs(leg.curvature_per_m) < 1e-9:
        return f"{leg.gear} {far} straight"
    side = "left" if leg.curvature_per_m > 0 else "right"
    radius = format_length(1 / abs(leg.curvature_per_m), units)
    turn = format_angle(leg.length_m * abs(leg.curvature_per_m))
    return f"{leg.gear} {far}, wheel to the {side}: radius {radius}, through {turn}"


def turn_tag(number: int) -> str:
    """What a change of direction is called on the plan."""
    return f"C{number}"


def legs_words(answer: Answer, units: System = "metric") -> Iterator[str]:
    """Every leg in order, each change of direction with its number on the plan."""
    turn, before = 0, 0
    for leg in answer.legs:
        gear = {"forward": 1, "reverse": -1}.get(leg.gear, 0)
        said = ""
        if gear * before < 0:
            turn += 1
            said = f"change of direction {turn_tag(turn)}, then "
        before = gear
        yield f"{said}{leg_words(leg, units)}"


def move_lines(answer: Answer, units: System = "metric") -> Iterator[str]:
    """The whole answer in plain lines, for a terminal."""
    yield move_verdict(answer, units)
    yield from (lack.why for lack in answer.lacks)
    if answer.doors_open:
        yield f"Doors that must be open: {', '.join(answer.doors_open)}."
    yield from (f"{number}. {words}" for number, words in enumerate(legs_words(answer, units), start=1))
