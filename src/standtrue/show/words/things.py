"""What things are called: of the site, the car, a card and its zones."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from standtrue.model.reason import Ref
from standtrue.show.words.catalog import N_

if TYPE_CHECKING:
    from standtrue.show.words.reader import Reader

NAMES: Mapping[str, str] = {
    "wall": N_("wall"),
    "longest wall": N_("longest wall"),
    "wall beside a door": N_("wall beside the door"),
    "closed door": N_("{name} (shut)"),
    "hole": N_("hole {number}"),
    "post": N_("{of} {name}"),
    "lift part": N_("{of} {name}"),
    "deck": N_("{of} deck {number}"),
    "deck edge": N_("{of} deck edge"),
    "pit": N_("{of} pit"),
    "ramp": N_("{of} ramp"),
    "lintel": N_("{of} lintel"),
    "door frame": N_("{of} frame"),
    "track": N_("{of} track"),
    "neighbor": N_("neighbor beyond edge {number} of {of}"),
    "ramp edge": N_("{of} ramp edge"),
    "ceiling": N_("ceiling"),
    "turning circle": N_("turning circle"),
    "shop floor": N_("floor"),
    "lift state": N_("{of}/{name}"),
    "bay edge": N_("bay edge"),
    "uneven": N_("floor too uneven for {name}"),
    "unsurveyed": N_("floor that was not surveyed"),
    "arm": N_("{of} arm {number}"),
    "front plates": N_("{of} front plates"),
    "rear plates": N_("{of} rear plates"),
    "lift point": N_("lift point {number}"),
    "cover": N_("{name} of {of}"),
    "covers": N_("{of}"),
    "wall left": N_("wall {number} (left)"),
    "wall right": N_("wall {number} (right)"),
    "wall front": N_("wall {number} (front)"),
    "wall back": N_("wall {number} (back)"),
    "body": N_("body"),
    "person": N_("person"),
    "mirror left": N_("mirror left"),
    "mirror right": N_("mirror right"),
    "exit left": N_("exit left"),
    "exit right": N_("exit right"),
    "wheel front left": N_("wheel front left"),
    "wheel front right": N_("wheel front right"),
    "wheel rear left": N_("wheel rear left"),
    "wheel rear right": N_("wheel rear right"),
    "target equipment": N_("{name} for {of}"),
    "target equipment at a position": N_("{name} for {of}, position {number}"),
    "equipment stored": N_("{name}, stored"),
    "equipment in use": N_("{name}, in use"),
    "sensor left": N_("left {name}"),
    "sensor right": N_("right {name}"),
    "this car": N_("the car"),
    "whole car": N_("the whole car"),
    "front axle": N_("front axle"),
    "rear axle": N_("rear axle"),
    "floor": N_("the floor"),
    "part of the floor asked for": N_("part of the floor asked for"),
    "target left": N_("{name} left, looking at its printed side"),
    "target right": N_("{name} right, looking at its printed side"),
    "target top": N_("{name} top"),
    "target bottom": N_("{name} bottom"),
    "target left mark": N_("chalk mark left of {name}, looking at its printed side"),
    "target right mark": N_("chalk mark right of {name}, looking at its printed side"),
    "target left end": N_("{name} left end, looking at its printed side"),
    "target right end": N_("{name} right end, looking at its printed side"),
}
"""How a thing is called that has no name of its own, or not one that is enough; any other by its own name."""

TERMS: frozenset[str] = frozenset({"sensor"})
"""Kinds of things whose name is a word of the trade, and no name that a user gave."""

WITH_ARTICLE: Mapping[str, str] = {
    "wall": N_("the wall"),
    "longest wall": N_("the longest wall"),
    "sensor": N_("the {term}"),
    "": N_("the {name}"),
}
"""The same with the definite article; under "" for a name that is the user's own."""


def named(ref: Ref, reader: Reader, article: bool = False) -> str:
    """The thing's name for this reader."""
    key = f"{ref.kind} {ref.state}" if f"{ref.kind} {ref.state}" in NAMES else ref.kind
    pattern = NAMES.get(key)
    if pattern is not None and ref.name and "{name}" not in pattern:
        pattern = None  # It has a name of its own, such as one door's track.
    name = reader.term(ref.name) if ref.kind in TERMS else ref.name
    plain = name if pattern is None else reader.say(pattern, name=name, of=ref.of, number=ref.number)
    if not article:
        return plain
    pattern = WITH_ARTICLE["sensor"] if ref.kind in TERMS else WITH_ARTICLE.get(key, WITH_ARTICLE[""])
    return reader.say(pattern, name=plain, term=plain)
