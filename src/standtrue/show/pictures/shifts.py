"""What to shift at a target, as an arrow."""

from __future__ import annotations

from attrs import frozen

from standtrue.aim.layout import TargetPlace
from standtrue.draw.shapes import Shape
from standtrue.model.basics import Place
from standtrue.show.pictures.car import at_place
from standtrue.show.words import labels_aim
from standtrue.show.words.reader import Reader

EXAGGERATED = 50
"""How many times as long as the true shift an arrow is drawn: millimeters would not be seen on a plan."""

_SHORTEST_M, _LONGEST_M = 0.5, 1.5
"""Arrows are drawn at least and at most this long."""


@frozen(eq=False)
class Shift:
    """What to shift at a target, as an arrow from its center: its direction in the site frame and how far, metres."""

    place: TargetPlace
    direction_rad: float
    length_m: float
    words: str


def arrow_shape(shift: Shift, reader: Reader) -> Shape:
    """An arrow that begins at the target's center; a ring alone where only its height, turn or lean is off."""
    x, y = shift.place.center[:2]
    said = labels_aim.shift(shift.place.name, shift.words, reader)
    if shift.length_m <= 0.0:
        return Shape("correction", said, spots=((x, y),), label=said)
    long = min(max(EXAGGERATED * shift.length_m, _SHORTEST_M), _LONGEST_M)
    pose = Place(x, y, shift.direction_rad)
    shaft = at_place(((0.0, 0.0), (long, 0.0)), pose)
    head = at_place(((long - 0.12, 0.06), (long, 0.0), (long - 0.12, -0.06)), pose)
    return Shape("correction", said, lines=(shaft, head), label=said)
