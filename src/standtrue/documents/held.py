"""A thing of a site moved, turned or sized, as the site's document writes it: in its own units, corner by corner in the
order in which they stand there, so that whatever counts edges still counts the same ones."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from attrs import frozen

from standtrue.documents.parts import Shaped
from standtrue.documents.quantities import LENGTH_UNITS, SCALES, unit_called
from standtrue.documents.shapes import Shape
from standtrue.documents.site import DoorForm, EquipmentForm, SiteForm, VoidForm
from standtrue.model.basics import Outline, Point
from standtrue.model.shift import Shift

LISTS = ("lifts", "obstacles", "doors", "bays", "voids", "patches", "marks", "equipment")
"""What of a site can be taken hold of: the lists of its document."""

METERS = LENGTH_UNITS[0]

FINE_M = 1e-5
"""Lengths are written to no less than this, metres."""

SQUARE_RAD = 1e-9
"""A box turned by quarters is a box again, within this."""

Table = dict[str, Any]


class NotThereError(LookupError):
    """The site has no such thing, or it stands nowhere."""


def index_of(content: Mapping[str, Any], where: str, name: str) -> int:
    """The place of a thing in its list. Raises NotThereError."""
    for number, item in enumerate(content.get(where, ())):
        if isinstance(item, Mapping) and item.get("name") == name:
            return number
    raise NotThereError(name)


def moved(content: Mapping[str, Any], form: SiteForm, where: str, name: str, shift: Shift) -> Table:
    """What a sound site's document says once a thing was moved. `form` is the document read.

    Raises NotThereError.
    """
    number = index_of(content, where, name)
    items = list(content[where])
    items[number] = _Pen(_unit(content), shift).rewritten(where, items[number], getattr(form, where)[number])
    return {**content, where: items}


def written_length(meters: float, content: Mapping[str, Any]) -> float | str:
    """A length as a number in the document's units; with its unit where the document says none."""
    return _Pen(_unit(content), Shift()).number(meters)


def _unit(content: Mapping[str, Any]) -> str:
    return unit_called(content.get("units")) or ""


@frozen
class _Pen:
    """Writes in a unit ("": every length with its own) what lies elsewhere after a shift."""

    unit: str
    shift: Shift

    def number(self, meters: float) -> float | str:
        if not self.unit:
            return " ".join((f"{round(meters, 5):.9g}", METERS))
        factor = float(SCALES["length"].units[self.unit])
        digits = max(0, round(-math.log10(FINE_M / factor)))
        found = round(meters / factor, digits)
        return int(found) if found == int(found) else found

    def point(self, at: Point) -> list[float | str]:
        return [self.number(value) for value in self.shift.of(at)]

    def corners(self, points: Sequence[Point]) -> list[list[float | str]]:
        return [self.point(point) for point in points]

    def rewritten(self, where: str, table: Table, form: Any) -> Table:
        """One thing's table."""
        if where == "lifts":
            return {**table, "at": self.point(form.at), "heading": self.heading(form.heading)}
        if where == "marks":
            return {**table, "at": self.point(form.at)}
        if where == "doors":
            return self.door(table, form)
        if where == "equipment":
            return self.equipment(table, form)
        return self.void(table, form) if where == "voids" else self.shaped(table, form)

    def heading(self, radians: float) -> float:
        """Degrees, from 0 up to 360."""
        return round(math.degrees(radians + self.shift.turn_rad) % 360.0, 6) % 360.0

    def shaped(self, table: Table, form: Shaped) -> Table:
        """A thing with an outline; a box stays one while its sides stay along the walls."""
        points, kept = written_corners(form.shape), dict(table)
        if form.way == "circle":
            x, y = _middle(form.shape.points)
            return {**kept, "circle": [*self.point((x, y)), table["circle"][2]]}
        if form.way == "box" and _square(self.shift.turn_rad):
            ends = [self.shift.of(points[0]), self.shift.of(points[2])]
            low, high = (tuple(pick(axis) for axis in zip(*ends, strict=True)) for pick in (min, max))
            return {**kept, "box": [self.number(value) for value in (*low, *high)]}
        kept.pop("box", None)
        return {**kept, "outline": self.corners(points)}

    def void(self, table: Table, form: VoidForm) -> Table:
        """A pit with its covers."""
        found = self.shaped(table, form)
        if form.covers:
            both = zip(table["covers"], form.covers, strict=True)
            found["covers"] = [self.shaped(one, cover) for one, cover in both]
        return found

    def door(self, table: Table, form: DoorForm) -> Table:
        """A door with what lies outside it and what hangs in it."""
        found = {**table, "from": self.point(form.start), "to": self.point(form.end)}
        if form.apron is not None:
            found["apron"] = self.corners(written_corners(form.apron))
        if form.track is not None:
            found["track"] = self.shaped(table["track"], form.track)
        return found

    def equipment(self, table: Table, form: EquipmentForm) -> Table:
        """Equipment where it stands unused."""
        store = form.store
        if store is None:
            raise NotThereError(form.name)
        if isinstance(store, Shape):
            return {**table, "store": self.corners(written_corners(store))}
        x, y, heading = store
        return {**table, "store": [*self.point((x, y)), self.heading(heading)]}


def written_corners(shape: Shape) -> Outline:
    """The corners of an outline in the order in which they were written."""
    points = shape.points
    return (points[0], *reversed(points[1:])) if shape.flipped else points


def _middle(points: Outline) -> Point:
    return (
        (min(x for x, _ in points) + max(x for x, _ in points)) / 2,
        (min(y for _, y in points) + max(y for _, y in points)) / 2,
    )


def _square(turn_rad: float) -> bool:
    return abs(math.remainder(turn_rad, math.pi / 2)) <= SQUARE_RAD
