"""Text in columns: items wrapped, kept whole, and poured into columns of equal height."""

from __future__ import annotations

from collections.abc import Sequence

from attrs import frozen

from standtrue.draw.lettering import LINE, TEXT_MM, width_mm, wrap
from standtrue.draw.shapes import Role

LINE_MM = TEXT_MM * LINE
_AFTER_MM = 0.5
_BEFORE_HEADING_MM = 1.8
GUTTER_MM = 5.0
SWATCH_MM = 8.0


@frozen
class Item:
    """A heading, or a text that may have a lead (`tag`, in bold) or a legend's swatch before it."""

    text: str
    heading: bool = False
    tag: str = ""
    swatch: Role | None = None


@frozen
class SetItem:
    """An item as set: its top left corner, its lines and how far they are indented, millimetres."""

    item: Item
    x: float
    y: float
    indent: float
    lines: tuple[str, ...]


def pour(
    items: Sequence[Item], x: float, y: float, width: float, columns: int, height: float, force: bool = False
) -> tuple[tuple[SetItem, ...], tuple[Item, ...]]:
    """Fill `columns` columns of this height from the left. Returns what was set and what found no room.

    A heading stays with the item after it. An item taller than a column finds no room, unless `force`:
    then it has a column of its own and reaches below it.
    """
    room = (width - (columns - 1) * GUTTER_MM) / columns
    placed: list[SetItem] = []
    column, top = 0, y
    for i, item in enumerate(items):
        indent, lines = _set(item, room)
        need = _tall(lines)
        keep = need
        if item.heading and i + 1 < len(items):
            keep += _tall(_set(items[i + 1], room)[1])
        before = _BEFORE_HEADING_MM if item.heading and top > y else 0.0
        if top > y and top + before + keep > y + height + 1e-6:
            column, top, before = column + 1, y, 0.0
        if column >= columns or (not force and top + keep > y + height + 1e-6):
            return tuple(placed), tuple(items[i:])
        placed.append(SetItem(item, x + column * (room + GUTTER_MM), top + before, indent, lines))
        top += before + need
    return tuple(placed), ()


def balanced_height(items: Sequence[Item], width: float, columns: int, most: float) -> float | None:
    """The least height, to a line, at which the columns take every item; None if `most` is too little."""
    height = LINE_MM
    while height <= most:
        if not pour(items, 0.0, 0.0, width, columns, height)[1]:
            return height
        height += LINE_MM
    return None


def _set(item: Item, room: float) -> tuple[float, tuple[str, ...]]:
    indent = 0.0
    if item.swatch is not None:
        indent = SWATCH_MM + 2.0
    elif item.tag:
        indent = max(6.0, width_mm(item.tag, bold=True) + 1.5)
    return indent, wrap(item.text, room - indent, TEXT_MM, item.heading)


def _tall(lines: Sequence[str]) -> float:
    return len(lines) * LINE_MM + _AFTER_MM
