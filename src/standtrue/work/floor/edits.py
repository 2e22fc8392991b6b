"""What can be done to a floor that is being drawn: each edit gives the field of the document that changes, and its new
value."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from typing import Any, Literal, get_args

from attrs import field, frozen

from standtrue.documents.faults import RefusedError
from standtrue.documents.held import LISTS, NotThereError, index_of, moved, written_corners, written_length
from standtrue.documents.quantities import parse_angle, parse_length
from standtrue.documents.site import SiteForm, to_site
from standtrue.model.basics import Fault, Point, UnansweredError
from standtrue.model.lift import Lift
from standtrue.model.reader_units import System
from standtrue.model.shift import Shift, allowed, find_thing, outline_of
from standtrue.model.site import Datum, Site, from_datum
from standtrue.work.drafts.draft import Draft, no_such
from standtrue.work.floor.new_things import NEW, new_thing

Doing = Literal["move", "put", "size", "write", "cover", "add", "remove", "corner", "split", "join"]

DOINGS: tuple[str, ...] = get_args(Doing)

AS_TOLD_M = {"metric": 0.0005, "us": 0.0254 / 32}
"""A figure that is sent back as it was told, rounded, changes nothing: half the step to which lengths are told."""

CORNER = "corner"
"""What of the room itself is held: `corner 0` and on."""

FLAGS = ("movable", "metal", "may_stand_open")
TEXTS = ("name", "type")
HEIGHTS = ("top", "bottom", "height")


@frozen
class Edit:
    """One edit as it was asked for: `do` to the thing `name` in the list `where`.

    move: `by` metres along and across the datum's direction, `turn_rad` about its handle; put and size: `said` are
    texts by field (`x`, `y`, `heading`; `width`, `depth`); write: `said` likewise for `name`, `type`, `top`, `bottom`,
    `height`, and the flags as "yes" or "no"; cover: `said["closed"]` of the cover `said["cover"]`; add: a new one with
    its middle at `by`; corner, split, join: the room's corner `name` is moved, doubled, taken out.
    """

    do: Doing
    where: str = ""
    name: str = ""
    by: Point = (0.0, 0.0)
    turn_rad: float = 0.0
    said: Mapping[str, str] = field(factory=dict)


Changed = tuple[dict[str, Any], str]
"""The fields of the document with their new values (None: none), and what the thing is called then."""


def edited(draft: Draft, edit: Edit, lifts: Mapping[str, Lift], units: System) -> Changed:
    """What an edit changes. Raises UnansweredError where it names what is not there, or says what cannot be read."""
    form = draft.document().form
    if edit.where and edit.where not in LISTS:
        raise no_such(edit.where)
    try:
        return _Edits(draft, form if isinstance(form, SiteForm) else None, lifts, units).changed(edit)
    except (NotThereError, KeyError, IndexError) as error:
        raise no_such(edit.name) from error


@frozen
class _Edits:
    """The edits of one draft. `form` is None where the draft has faults: then nothing can be moved, only written."""

    draft: Draft
    form: SiteForm | None
    lifts: Mapping[str, Lift]
    units: System

    def changed(self, edit: Edit) -> Changed:
        ways: Mapping[str, Callable[[Edit], Changed]] = {
            "move": self._move,
            "put": self._put,
            "size": self._size,
            "write": self._write,
            "cover": self._cover,
            "add": self._add,
            "remove": self._remove,
            "corner": self._corner,
            "split": self._split,
            "join": self._join,
        }
        return ways[edit.do](edit)

    @property
    def sound(self) -> SiteForm:
        if self.form is None:
            raise UnansweredError(self.draft.document().faults)
        return self.form

    @property
    def site(self) -> Site:
        return to_site(self.sound, self.lifts)

    def _move(self, edit: Edit) -> Changed:
        site = self.site
        by = along_datum(edit.by, site.datum)
        return self._shifted(edit, allowed(site, edit.where, edit.name, by, edit.turn_rad))

    def _shifted(self, edit: Edit, shift: Shift) -> Changed:
        content = moved(self.draft.content, self.sound, edit.where, edit.name, shift)
        return {edit.where: content[edit.where]}, edit.name

    def _put(self, edit: Edit) -> Changed:
        site = self.site
        thing = find_thing(site, edit.where, edit.name)
        x, y = placed_at(thing, site.datum)
        right = self._length(edit, "x", x) - x
        up = self._length(edit, "y", y) - y
        turn = 0.0
        if said := edit.said.get("heading"):
            turn = self._read("heading", parse_angle, _degrees(said)) - heading_of(thing, site.datum)
        return self._shifted(edit, allowed(site, edit.where, edit.name, along_datum((right, up), site.datum), turn))

    def _size(self, edit: Edit) -> Changed:
        """A thing made wider and deeper from its lower left corner; a door longer from where it begins."""
        site, content = self.site, self.draft.content
        thing = find_thing(site, edit.where, edit.name)
        number = index_of(content, edit.where, edit.name)
        wide, deep = size_of(thing, site.datum)
        new = (self._length(edit, "width", wide), self._length(edit, "depth", deep))
        items = list(content[edit.where])
        items[number] = self._sized(edit.where, items[number], thing, (wide, deep), new)
        return {edit.where: items}, edit.name

    def _sized(self, where: str, table: Mapping[str, Any], thing: Any, size: Point, new: Point) -> dict[str, Any]:
        datum = self.site.datum
        start = placed_at(thing, datum)
        if where == "doors":
            end = tuple(b + (a - b) * new[0] / size[0] for a, b in zip(thing.end, thing.start, strict=True))
            return {**table, "to": self._written(end)}
        stretch = tuple(n / s if s else 1.0 for n, s in zip(new, size, strict=True))
        points = [from_datum(p, datum) for p in written_corners_of(self.sound, where, thing.name)]
        grown = [(start[0] + (x - start[0]) * stretch[0], start[1] + (y - start[1]) * stretch[1]) for x, y in points]
        kept = {name: value for name, value in table.items() if name not in ("box", "circle", "outline")}
        corners = [in_site(p, datum) for p in grown]
        if "box" in table and not datum.direction_rad:
            low, high = corners[0], corners[2]
            return {**kept, "box": [*self._written(low), *self._written(high)]}
        return {**kept, "outline": [self._written(p) for p in corners]}

    def _write(self, edit: Edit) -> Changed:
        content = self.draft.content
        items = list(content[edit.where])
        number = index_of(content, edit.where, edit.name)
        table = dict(items[number])
        for name, said in edit.said.items():
            table[name] = self._value(edit, name, said)
        items[number] = table
        return {edit.where: items}, str(table.get("name", edit.name))

    def _value(self, edit: Edit, name: str, said: str) -> Any:
        if name in FLAGS:
            return said == "yes"
        if name in TEXTS:
            return said
        if name not in HEIGHTS:
            raise NotThereError(name)
        return written_length(self._length(edit, name, 0.0), self.draft.content)

    def _cover(self, edit: Edit) -> Changed:
        content = self.draft.content
        items = list(content["voids"])
        number = index_of(content, "voids", edit.name)
        closed = [name for name in items[number].get("closed", ()) if name != edit.said["cover"]]
        if edit.said.get("closed") == "yes":
            closed.append(edit.said["cover"])
        items[number] = {**items[number], "closed": closed}
        return {"voids": items}, edit.name

    def _add(self, edit: Edit) -> Changed:
        site = self.site
        if edit.where not in NEW:
            raise NotThereError(edit.where)
        there = list(self.draft.content.get(edit.where, ()))
        at = in_site(edit.by, site.datum)
        table = new_thing(edit.where, edit.said, site, at, self.lifts, self.draft.content)
        return {edit.where: [*there, table]}, str(table["name"])

    def _remove(self, edit: Edit) -> Changed:
        items = list(self.draft.content[edit.where])
        del items[index_of(self.draft.content, edit.where, edit.name)]
        return {edit.where: items or None}, edit.name

    # The room itself

    def _corner(self, edit: Edit) -> Changed:
        corners, datum = list(self._corners()), self.site.datum
        right, up = from_datum(corners[_number_of(edit.name)], datum)
        if edit.said:
            right, up = self._length(edit, "x", right), self._length(edit, "y", up)
        corners[_number_of(edit.name)] = in_site((right + edit.by[0], up + edit.by[1]), datum)
        return self._room(corners, edit.name)

    def _split(self, edit: Edit) -> Changed:
        """One corner more in the middle of the wall that begins at a corner."""
        corners, number = list(self._corners()), _number_of(edit.name)
        (x0, y0), (x1, y1) = corners[number], corners[(number + 1) % len(corners)]
        corners.insert(number + 1, ((x0 + x1) / 2, (y0 + y1) / 2))
        return self._room(corners, f"{CORNER} {number + 1}")

    def _join(self, edit: Edit) -> Changed:
        corners = list(self._corners())
        del corners[_number_of(edit.name)]
        return self._room(corners, f"{CORNER} 0")

    def _corners(self) -> Sequence[Point]:
        return written_corners(self.sound.shape)

    def _room(self, corners: Sequence[Point], name: str) -> Changed:
        """The room's outline, whichever way it was written: `box` and `circle` give way to it."""
        return {"outline": [self._written(p) for p in corners], "box": None, "circle": None}, name

    # What people type

    def _written(self, point: Sequence[float]) -> list[float | str]:
        return [written_length(value, self.draft.content) for value in point]

    def _length(self, edit: Edit, name: str, otherwise: float) -> float:
        said = edit.said.get(name, "").strip()
        if not said:
            return otherwise
        bare = "ft" if self.units == "us" else "m"
        found = self._read(name, lambda text: parse_length(text, bare), said)
        return otherwise if abs(found - otherwise) <= AS_TOLD_M[self.units] else found

    def _read(self, name: str, parse: Callable[[str], float], said: str) -> float:
        try:
            return parse(_number(said))
        except RefusedError as refused:
            raise UnansweredError([Fault(refused.code, refused.what, "", name, said, refused.remedy)]) from refused


def _number(text: str) -> Any:
    """A bare number as such, a decimal comma taken for a point; anything else as it is written."""
    try:
        return float(text.replace(",", "."))
    except ValueError:
        return text


def _number_of(corner: str) -> int:
    """Which corner is meant. Raises KeyError."""
    said = corner.removeprefix(CORNER).strip()
    if not said.isdigit():
        raise KeyError(corner)
    return int(said)


def _degrees(said: str) -> str:
    return said if not said.replace(".", "").replace("-", "").isdigit() else f"{said} deg"


def along_datum(by: Point, datum: Datum) -> Point:
    """A move along and across the datum's direction, in the site frame."""
    c, s = math.cos(datum.direction_rad), math.sin(datum.direction_rad)
    return (c * by[0] - s * by[1], s * by[0] + c * by[1])


def in_site(at: Point, datum: Datum) -> Point:
    """A point told from the datum, in the site frame."""
    x, y = along_datum(at, datum)
    return (datum.at[0] + x, datum.at[1] + y)


def placed_at(thing: Any, datum: Datum) -> Point:
    """Where a thing is told to be, from the datum along its direction and across: a lift and a mark by their own point,
    all others by the least of their corners."""
    points = [from_datum(p, datum) for p in outline_of(thing)]
    return (min(x for x, _ in points), min(y for _, y in points))


def size_of(thing: Any, datum: Datum) -> Point:
    """How far a thing reaches along the datum's direction and across it, metres; of a door its length first."""
    points = [from_datum(p, datum) for p in outline_of(thing)]
    if hasattr(thing, "start"):
        return (math.dist(*points), 0.0)
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return (max(xs) - min(xs), max(ys) - min(ys))


def heading_of(thing: Any, datum: Datum) -> float:
    """Which way a thing points, from the datum's direction; 0 for one that points nowhere."""
    heading: float = getattr(thing, "heading_rad", datum.direction_rad)
    return heading - datum.direction_rad


def written_corners_of(form: SiteForm, where: str, name: str) -> Sequence[Point]:
    """The corners of a thing with an outline, as its document has them in order. Raises NotThereError."""
    for item in getattr(form, where):
        if item.name == name and where in ("obstacles", "bays", "voids", "patches"):
            return written_corners(item.shape)
    raise NotThereError(name)
