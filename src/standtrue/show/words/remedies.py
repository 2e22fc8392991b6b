"""What would make room, as one would tell a builder. Lengths are rounded up."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from standtrue.model.fits import Fits
from standtrue.model.reason import Angle, Length, Reason, Ref
from standtrue.place.change.remedies import Remedies, Remedy
from standtrue.place.question.answer import Answer
from standtrue.show.words.catalog import N_
from standtrue.show.words.reader import Reader

HALF_MM = 5e-4

_SHORTER = N_("{change} (a shorter way may do)")
_LESS = N_("{change} (less may do)")

_TOWARD: dict[tuple[int, int], str] = {
    (1, 0): N_("move {thing:the} {across:up} toward the right"),
    (-1, 0): N_("move {thing:the} {across:up} toward the left"),
    (0, 1): N_("move {thing:the} {along:up} toward the back"),
    (0, -1): N_("move {thing:the} {along:up} toward the front"),
    (1, 1): N_("move {thing:the} {across:up} toward the right and {along:up} toward the back"),
    (1, -1): N_("move {thing:the} {across:up} toward the right and {along:up} toward the front"),
    (-1, 1): N_("move {thing:the} {across:up} toward the left and {along:up} toward the back"),
    (-1, -1): N_("move {thing:the} {across:up} toward the left and {along:up} toward the front"),
}
"""By which way it goes across and along the plan: 1, -1, or 0 for not at all."""


def remedies_words(remedies: Remedies, answer: Answer, reader: Reader) -> list[str]:
    """What would make room, one sentence for each remedy; why nothing can, where that is so. None for what fits."""
    if answer.fits is not Fits.NO or not remedies.asked:
        return []
    if remedies.hopeless:
        return [reader.say("No change of the room or of what stands in it would make it fit.")]
    lines = [reader.say("To make it fit: {change}.", change=remedy_words(r, reader)) for r in remedies.single]
    for one, other in remedies.pairs:
        first, second = remedy_words(one, reader), remedy_words(other, reader)
        lines.append(reader.say("To make it fit: {first}, and {second}.", first=first, second=second))
    if not lines and remedies.cut:
        return [reader.say("No change that makes it fit was found as long as was looked for one.")]
    return lines or [reader.say("No single change, and no pair of changes that was tried, makes it fit.")]


def remedy_words(remedy: Remedy, reader: Reader) -> str:
    """A remedy as one would tell a builder: `move the bench 201 mm toward the back`."""
    amount, way = Length(remedy.least_m or 0.0), Angle(remedy.direction_rad or 0.0)
    said = _change(remedy.thing, remedy.action, remedy.subject.kind, amount, way, reader)
    if not remedy.exact:
        some = remedy.action == "move" and remedy.kind != "wall"
        said = reader.say(_SHORTER if some else _LESS, change=said)
    return engineer_first(said, reader) if _may_carry_the_building(remedy.action, remedy.kind) else said


def change_first(reason: Reason, reader: Reader) -> str:
    """A change that a plan takes to be made, as whoever makes it is told."""
    values: dict[str, Any] = dict(reason.values)
    said = _change(values["thing"], values["action"], values["subject"], values["amount"], values["way"], reader)
    return engineer_first(said, reader) if _may_carry_the_building(values["action"], values["kind"]) else said


def engineer_first(change: str, reader: Reader) -> str:
    """A change of what may carry the building."""
    return reader.say("{change} (ask an engineer first: it may carry the building)", change=change)


def _may_carry_the_building(action: str, kind: str) -> bool:
    if kind == "wall":
        return True
    if action == "remove":
        return kind != "movable"
    return action == "shrink" and kind == "obstacle"


def _change(thing: Ref, action: str, subject: str, amount: Length, way: Angle, reader: Reader) -> str:
    if subject == "wall":
        return reader.say("move {wall} {amount:up} outward", wall=thing, amount=amount)
    if action == "move":
        return _moved(thing, amount.metres, way.radians, reader)
    if action == "shrink":
        return reader.say("make {thing:the} {amount:up} smaller on every side", thing=thing, amount=amount)
    if action == "remove":
        return reader.say("take {thing:the} away", thing=thing)
    if subject == "cover":
        cover, pit = Ref("", thing.name), Ref("", thing.of)
        return reader.say("close {cover:the} of {pit:the}", cover=cover, pit=pit)
    if subject == "covers":
        return reader.say("close all covers of {thing:the}", thing=thing)
    return reader.say("cover {thing:the}", thing=thing)


def _moved(thing: Ref, length_m: float, direction_rad: float, reader: Reader) -> str:
    across, along = length_m * math.cos(direction_rad), length_m * math.sin(direction_rad)
    way = (_sign(across), _sign(along))
    if way not in _TOWARD:
        return reader.say("move {thing:the}", thing=thing)
    return reader.say(_TOWARD[way], thing=thing, across=Length(abs(across)), along=Length(abs(along)))


def _sign(metres: float) -> int:
    return 0 if abs(metres) <= HALF_MM else 1 if metres > 0.0 else -1


def change_lines(remedies: Remedies, answer: Answer, reader: Reader) -> Iterator[str]:
    """The verdict's proof, where nothing fits, and what would make room."""
    if answer.fits is Fits.NO and answer.bound_m is not None:
        yield reader.say("Proven: no position and no heading fits.")
    yield from remedies_words(remedies, answer, reader)
