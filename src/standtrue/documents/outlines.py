"""The leaves for outlines: points, boxes, circles, sectors, and where equipment is stored."""

from __future__ import annotations

import math

from standtrue.documents import shapes
from standtrue.documents.faults import RefusedError, wrong_type
from standtrue.documents.leaves import Context, Leaf, Schema, fixed, quantity, row
from standtrue.documents.shapes import Shape
from standtrue.model.reason import Term, because

POINT = row(quantity("length"), 2, "[x, y]")
LENGTH = quantity("length")
FULL_TURN = 2 * math.pi + 1e-9
ANGLE = quantity("angle", -FULL_TURN, FULL_TURN)


def _outline(value: object, context: Context) -> Shape:
    """A list of points, or a table with one of `outline`, `box` and `circle`."""
    if isinstance(value, dict):
        if len(value) != 1 or next(iter(value)) not in _SHAPES:
            raise RefusedError("wrong-type", because("no-one-shape"), because("write-one-shape"))
        key, inner = next(iter(value.items()))
        shape: Shape = _SHAPES[key].parse(inner, context)
        return shape
    if not isinstance(value, list):
        raise wrong_type(value, Term("an outline"), because("write-points"))
    points = []
    for index, item in enumerate(value):
        try:
            points.append(POINT.parse(item, context))
        except RefusedError as refused:
            what = because("in-point", index=index, why=refused.what)
            raise RefusedError(refused.code, what, refused.remedy) from None
    return shapes.polygon(tuple(points))


def _box(value: object, context: Context) -> Shape:
    x0, y0, x1, y1 = fixed(value, 4, "[x0, y0, x1, y1]", LENGTH, context)
    return shapes.box(x0, y0, x1, y1)


def _circle(value: object, context: Context) -> Shape:
    x, y, radius = fixed(value, 3, "[x, y, radius]", LENGTH, context)
    return shapes.circle(x, y, radius)


def _sector(value: object, context: Context) -> Shape:
    form = "[r0, r1, from, to]"
    if not isinstance(value, list) or len(value) != 4:
        raise wrong_type(value, form, because("write-sector", form=form))
    inner, outer = (LENGTH.parse(item, context) for item in value[:2])
    start, end = (ANGLE.parse(item, context) for item in value[2:])
    return shapes.sector(inner, outer, start, end)


NO_SHAPE = Shape(())
QUANTITY_SCHEMA = {"type": ["number", "string"]}


def _numbers_schema(count: int) -> Schema:
    return {"type": "array", "items": QUANTITY_SCHEMA, "minItems": count, "maxItems": count}


_POINTS_SCHEMA: Schema = {"type": "array", "items": _numbers_schema(2), "minItems": 3}
BOX = Leaf(_box, _numbers_schema(4) | {"description": "Two opposite corners: [x0, y0, x1, y1]."}, NO_SHAPE)
CIRCLE = Leaf(_circle, _numbers_schema(3) | {"description": "Center and radius: [x, y, r]."}, NO_SHAPE)
SECTOR = Leaf(_sector, _numbers_schema(4) | {"description": "Two radii and two angles: [r0, r1, from, to]."}, NO_SHAPE)
OUTLINE_SCHEMA: Schema = {
    "anyOf": [
        _POINTS_SCHEMA,
        {
            "type": "object",
            "properties": {"box": _numbers_schema(4)},
            "required": ["box"],
            "additionalProperties": False,
        },
        {
            "type": "object",
            "properties": {"circle": _numbers_schema(3)},
            "required": ["circle"],
            "additionalProperties": False,
        },
        {
            "type": "object",
            "properties": {"outline": _POINTS_SCHEMA},
            "required": ["outline"],
            "additionalProperties": False,
        },
    ]
}
OUTLINE = Leaf(_outline, OUTLINE_SCHEMA, NO_SHAPE)
_SHAPES: dict[str, Leaf] = {"outline": OUTLINE, "box": BOX, "circle": CIRCLE}


def parse_store(value: object, context: Context) -> Shape | tuple[float, float, float]:
    """Where equipment stands unused: an outline, or a place `[x, y]` or `[x, y, heading]` of its footprint."""
    if isinstance(value, list) and value and not isinstance(value[0], (list, dict)):
        if len(value) not in (2, 3):
            raise wrong_type(value, Term("a place"), because("write-place-or-outline"))
        heading = ANGLE.parse(value[2], context) if len(value) == 3 else 0.0
        return (LENGTH.parse(value[0], context), LENGTH.parse(value[1], context), heading)
    shape: Shape = OUTLINE.parse(value, context)
    return shape
