"""A card's document as fields that can be compared: every value in the program's units, whoever wrote it and how."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any

from standtrue.documents.parts import Form
from standtrue.documents.quantities import parse_angle, parse_length, unit_called
from standtrue.documents.zones import ZoneForm
from standtrue.model import card_fields as codes
from standtrue.model.card_fields import CardField, CardFields, CardItem, CardList, FieldValue
from standtrue.model.reason import Angle, Duration, Length, Light, Number, Quantity, Reason, Speed, Term, because

Content = Mapping[str, Any]

_HEAD = ("kind", "schema_version", "name", "units", "demonstration")
_QUANTITIES: Mapping[str, Callable[[float], Quantity]] = {
    **dict.fromkeys(("bottom", "top", "along", "across", "height", "lift_height", "distance", "at", "size"), Length),
    **dict.fromkeys(("turn", "lean", "facing"), Angle),
    **dict.fromkeys(("set_up", "run", "put_away", "minutes"), Duration),
    "speed": Speed,
    "light": Light,
}
"""What the numbers of a field measure, by its name."""

_TERMS = ("kind", "side", "method", "wheels_on", "needs", "anchor", "line")
"""Fields that hold one word of a closed list."""


def fields_of(form: Form, content: Content) -> CardFields:
    """What a sound card says, field by field, without its name and its life. `content` is the document as written."""
    units = unit_called(content.get("units")) or "m"
    return tuple(_of_form(form, content, units, left_out=_HEAD))


def _of_form(form: Form, content: Content, units: str, at: str = "", left_out: tuple[str, ...] = ()) -> Iterator[Any]:
    """The fields of one form, those of a table in it by their names behind its own."""
    for name in type(form).model_fields:
        value, there = getattr(form, name), content.get(name)
        if name in left_out or (isinstance(form, ZoneForm) and name in form.ways):
            continue
        if name == "source":
            yield from (CardField(f"source.{f}", getattr(value, f) or None) for f in ("title", "edition"))
        elif name == "conditions":
            yield CardList(name, tuple(CardItem(c.what, tuple(_condition(c))) for c in value))
        elif name == "causes":
            yield CardList(name, tuple(CardItem(c.code or c.says.en or c.says.es, tuple(_cause(c))) for c in value))
        elif name in ("zones", "targets", "variants", "positions"):
            yield CardList(name, tuple(_items(value, there, units)), ordered=name == "positions")
        elif name == "floor_level":
            yield from _level(value)
        elif isinstance(value, Form):
            yield from _of_form(value, _table(there), units, f"{at}{name}.")
        elif value is None and (type(form).__name__, name) in _TABLES:
            yield from (CardField(f"{at}{name}.{field}", None) for field in _TABLES[type(form).__name__, name])
        else:
            yield CardField(at + name, _value(name, value))
    if isinstance(form, ZoneForm):
        yield CardField(f"{at}outline", _outline(form, content, units))


_TABLES: Mapping[tuple[str, str], tuple[str, ...]] = {
    ("ProcedureForm", "drive"): ("speed", "distance", "minutes", "road", "weather", "people"),
    ("VariantForm", "minutes"): ("set_up", "run", "put_away"),
}
"""Tables that may be left out, by the form that they stand in, and their fields: every card has the same."""


def _items(forms: Iterable[Form], content: object, units: str) -> Iterator[CardItem]:
    """Zones, targets, variants, a target's positions."""
    written = content if isinstance(content, list) else [content]
    for i, form in enumerate(forms):
        there = _table(written[i]) if i < len(written) else {}
        called = getattr(form, "name", None) or ""
        own = (CardField("name", called or None),) if hasattr(form, "name") else ()
        yield CardItem(called, (*own, *_of_form(form, there, units, left_out=("name",))))


def _table(content: object) -> Content:
    return content if isinstance(content, dict) else {}


def _value(name: str, value: object) -> FieldValue | None:
    """One value; None for one that is not given."""
    if value is None or value in ("", ()):
        return None
    if isinstance(value, bool):
        return Term("yes" if value else "no")
    if name in _QUANTITIES and not isinstance(value, str):
        return _measured(name, value)
    if name == "swept" and isinstance(value, tuple):
        return because(codes.PATH, points=tuple(_point(point) for point in value))
    if isinstance(value, tuple):
        return because(codes.WORDS, words=tuple(map(Term, value)) if name == "supports" else tuple(value))
    if isinstance(value, int):
        return Number(float(value))
    if isinstance(value, str):
        return Term(value) if name in _TERMS else value
    raise TypeError(f"{name}: what {value!r} measures is not known")


def _measured(name: str, value: object) -> FieldValue:
    unit = _QUANTITIES[name]
    if not isinstance(value, tuple):
        assert isinstance(value, float | int)  # a form's single measured value; two are a range
        return unit(float(value))
    if name == "at":
        return _point(value)
    one, other = unit(value[0]), unit(value[1])
    if name == "size":
        return because(codes.SIZE, width=one, height=other)
    return one if one == other else because(codes.SPAN, low=one, high=other)


def _point(values: Iterable[float]) -> Reason:
    return because(codes.POINT, **dict(zip("xyz", map(Length, values), strict=False)))


def _level(form: Any) -> Iterator[CardField]:
    """How level the floor must be, and over what."""
    length, angle = (None, None) if form is None else form.within
    within = None if length is None else Length(length)
    yield CardField("floor_level.within", within if angle is None else Angle(angle))
    yield CardField("floor_level.over", None if form is None else _value("over", form.over))


def _condition(form: Any) -> Iterator[CardField]:
    """A condition: each limit with its unit; the unit alone where there is no limit."""
    unit = form.unit or next((limit[1] for limit in (form.low, form.high) if limit is not None), "")
    yield CardField("what", form.what)
    for name, limit in (("low", form.low), ("high", form.high)):
        told = limit and because(codes.AMOUNT, value=Number(limit[0], _digits(limit[0])), unit=unit)
        yield CardField(name, told)
    yield CardField("unit", (unit or None) if form.low is None and form.high is None else None)


def _cause(form: Any) -> Iterator[CardField]:
    yield CardField("says", form.says.en or form.says.es)
    yield CardField("code", form.code or None)


def _digits(value: float) -> int:
    """So many digits behind the point as the value was written with."""
    return len(repr(value).partition(".")[2].rstrip("0")) if "e" not in repr(value) else 6


def _outline(form: ZoneForm, content: Content, units: str) -> FieldValue:
    """A zone's outline, the way that it was given."""
    way, raw = form.way, content.get(form.way)
    if way == "outline" and isinstance(raw, dict):
        way, raw = next(iter(raw.items()))
    if not isinstance(raw, list) or way == "outline":
        return because(codes.CORNERS, corners=tuple(_point(point) for point in form.shape.points))
    lengths = tuple(Length(parse_length(one, units)) for one in (raw[:2] if way == "sector" else raw))
    if way == "box":
        (x0, x1), (y0, y1) = (sorted(lengths[i::2], key=lambda one: one.metres) for i in (0, 1))
        return because(codes.BOX, x0=x0, y0=y0, x1=x1, y1=y1)
    if way == "circle":
        return because(codes.CIRCLE, x=lengths[0], y=lengths[1], r=lengths[2])
    start, end = (Angle(math.remainder(parse_angle(one), math.tau)) for one in raw[2:])
    return because(codes.SECTOR, inner=lengths[0], outer=lengths[1], start=start, end=end)
