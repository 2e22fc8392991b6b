"""The small values that every other noun is made of: points, outlines, ranges, faults.

Inside the program lengths are metres, angles radians, times seconds, masses kilograms.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Literal

from attrs import frozen

from standtrue.model.reason import Reason

Point = tuple[float, float]
Outline = tuple[Point, ...]
"""A simple polygon, not closed, counter-clockwise once it has passed the documents layer."""

Range = tuple[float, float]
"""An honest range: the least and the greatest value."""

SupportClass = Literal["floor", "lift down", "lift up"]
SUPPORT_CLASSES: tuple[SupportClass, ...] = ("floor", "lift down", "lift up")

Side = Literal["left", "right"]

Layer = Literal["stand", "walk", "clear", "metal-free", "plain"]
"""What a zone needs."""


@frozen
class Place:
    """A vehicle's origin in the site frame, metres, and its heading, radians counter-clockwise from +x."""

    x_m: float
    y_m: float
    heading_rad: float

    @property
    def heading_deg(self) -> float:
        return math.degrees(self.heading_rad)


@frozen
class Fault:
    """One thing wrong with a document, or that cannot be meant: what, where, and how to mend it.

    `field` is a path such as `obstacles[2].outline`; `value` is what stands there, shortened; `line` is that of the
    file, from 1, where one can be told.
    """

    code: str
    what: Reason
    file: str
    field: str
    value: str
    remedy: Reason
    line: int | None = None


class UnansweredError(Exception):
    """The question cannot be asked of these documents, or of this store; `faults` say why, all of them."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("; ".join(f.what.code for f in self.faults))


@frozen
class DocumentMark:
    """Which document an answer used: its kind, name, and the SHA-256 of its canonical JSON.

    `doubts` is how many things stand in it that cannot be meant.
    """

    kind: str
    name: str
    digest: str
    demonstration: bool = False
    doubts: int = 0
