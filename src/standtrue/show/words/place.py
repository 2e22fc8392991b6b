"""The answer in words that a technician understands: the verdict, what it touches, where things stand."""

from __future__ import annotations

import math

from standtrue.model.basics import Place, SupportClass
from standtrue.model.fits import Fits
from standtrue.model.reader_units import INCH_M, System, format_angle, format_length
from standtrue.model.reason import plain_name
from standtrue.model.site import Datum
from standtrue.model.site import from_datum as from_datum
from standtrue.place.change.remedies import Remedies, Remedy
from standtrue.place.question.answer import FIT_M, Answer, Touch
from standtrue.show.words.reader import Reader

HALF_MM = 5e-4

_CLASS_WORDS: dict[SupportClass, str] = {
    "floor": "on the floor",
    "lift down": "on a lift that is down",
    "lift up": "on a raised lift",
}


def verdict(answer: Answer, units: System = "metric") -> str:
    """One plain sentence: whether it fits, where the car stands, and what is nearest or what stops it."""
    where = carried(answer, units)
    if answer.fits is Fits.YES and answer.place is not None:
        sentence = f"Fits {where}: {standing(answer.place, answer.ground.site.datum, units)}"
        if answer.margin_m is None:
            return f"{sentence}."
        near = f": {touch_words(answer.touches[0], units)}" if answer.touches else ""
        return f"{sentence}; least margin {format_length(answer.margin_m, units)}{near}."
    if answer.fits is Fits.UNDECIDED:
        bound = answer.bound_m
        best = "" if bound is None else f": no place has more than {format_length(bound, units)} to spare"
        return f"Too close to call {where}{best}, and none was found that fits."
    return f"Does not fit {where}: {what_stops_it(answer, units)}."


def carried(answer: Answer, units: System = "metric") -> str:
    """What carries the car: `on the floor`, or `on lift L (up, decks at 1.200 m)`."""
    return carried_words(answer.carried_by, answer.height_m, answer.support, units)


def carried_words(carried_by: str, height_m: float, support: SupportClass, units: System = "metric") -> str:
    """As `carried`, of whatever carries a car."""
    if not carried_by or carried_by == "floor":
        return _CLASS_WORDS[support]
    lift, _, state = carried_by.partition("/")
    height = f"decks at {format_length(height_m, units)}" if height_m > 0 else "decks at floor level"
    return f"on lift {lift} ({state}, {height})"


def standing(place: Place, datum: Datum, units: System = "metric") -> str:
    """Where the car stands: its rear axle's center from the datum, and the way it faces."""
    right, up = from_datum((place.x_m, place.y_m), datum)
    faces = format_angle(place.heading_rad - datum.direction_rad)
    return f"rear axle center {offsets(right, up, units)} from the datum, facing {faces}"


def offsets(right_m: float, up_m: float, units: System = "metric", between: str = " and ") -> str:
    """Two distances from the datum: `2.744 m right and 2.214 m up`."""
    across = f"{format_length(abs(right_m), units)} {'left' if right_m < 0 else 'right'}"
    return f"{across}{between}{format_length(abs(up_m), units)} {'down' if up_m < 0 else 'up'}"


def touch_words(touch: Touch, units: System = "metric") -> str:
    """A pair in words: `mirror left – bench, 86 mm (50 mm needed)`. No figure where they overlap."""
    if touch.separation_m <= 0.0 and touch.margin_m < FIT_M:
        apart = "over it" if touch.kind in ("void", "patch", "uneven", "ramp", "deck edge") else "overlap"
    else:
        apart = format_length(touch.separation_m, units)
    needed = f" ({format_length(touch.gap_m, units)} needed)" if touch.gap_m > 0 else ""
    return f"{plain_name(touch.zone)} – {plain_name(touch.thing)}, {apart}{needed}"


def what_stops_it(answer: Answer, units: System = "metric") -> str:
    """Why nothing fits: what rules every place out, or what is in the way at the nearest miss."""
    reasons = Reader(units).reasons(answer.because)
    short = [touch_words(t, units) for t in answer.touches if t.margin_m < FIT_M]
    if short:
        more = f" and {len(short) - 3} more" if len(short) > 3 else ""
        reasons.append(f"even in the nearest miss these come too near: {'; '.join(short[:3])}{more}")
    return "; ".join(reasons) or "no place has room enough"


def remedies_words(remedies: Remedies, answer: Answer, units: System = "metric") -> list[str]:
    """What would make room, one sentence for each remedy; why nothing can, where that is so. None for what fits."""
    if answer.fits is not Fits.NO:
        return []
    if remedies.hopeless:
        return ["No change of the room or of what stands in it would make it fit."]
    lines = [f"To make it fit: {remedy_words(r, units)}." for r in remedies.single]
    for one, other in remedies.pairs:
        lines.append(f"To make it fit: {remedy_words(one, units)}, and {remedy_words(other, units)}.")
    return lines or ["No single change, and no pair of changes that was tried, makes it fit."]


LOAD_BEARING = " (ask an engineer first: it may carry the building)"


def remedy_words(remedy: Remedy, units: System = "metric") -> str:
    """A remedy as one would tell a builder: `move the bench 201 mm toward the back`. Lengths are rounded up."""
    thing, amount = f"the {plain_name(remedy.thing)}", at_least(remedy.least_m or 0.0, units)
    if remedy.kind == "wall":
        return f"move {plain_name(remedy.thing)} {amount} outward" + LOAD_BEARING
    if remedy.action == "move":
        shorter = "" if remedy.exact else " (a shorter way may do)"
        return f"move {thing} {_toward(remedy.least_m or 0.0, remedy.direction_rad or 0.0, units)}{shorter}"
    if remedy.action == "shrink":
        fixed = remedy.kind == "obstacle"
        return f"make {thing} {amount} smaller on every side" + (LOAD_BEARING if fixed else "")
    if remedy.action == "remove":
        return f"take {thing} away" + ("" if remedy.kind == "movable" else LOAD_BEARING)
    if remedy.subject.kind == "cover":
        part = remedy.thing.name
        return f"close the {part if 'cover' in part.lower() else f'cover {part}'} of the {remedy.subject.void}"
    return f"close all covers of {thing}" if remedy.subject.kind == "covers" else f"cover {thing}"


def at_least(metres: float, units: System) -> str:
    """A length for a reader, rounded up: to a millimeter, or to 1/16 inch."""
    step = float(INCH_M / 16) if units == "us" else 0.001
    return format_length(math.ceil(metres / step - 1e-6) * step, units)


def _toward(length_m: float, direction_rad: float, units: System) -> str:
    """How far to which sides of the plan."""
    parts = []
    for along, ahead, behind in (
        (math.cos(direction_rad), "right", "left"),
        (math.sin(direction_rad), "back", "front"),
    ):
        if length_m * abs(along) > HALF_MM:
            parts.append(f"{at_least(length_m * abs(along), units)} toward the {ahead if along > 0.0 else behind}")
    return " and ".join(parts)
