"""Names in a column at each side of a near view: each beside its point as far as can be, no two leaders crossing.

A leader goes level from its name and then at 45 degrees to a dot in the thing. Millimetres on paper, y down.
"""

from __future__ import annotations

from collections.abc import Sequence

import shapely
from attrs import frozen

from standtrue.draw.lettering import LINE, width_mm, wrap
from standtrue.draw.near import Name
from standtrue.draw.scaled import Bounds
from standtrue.model.basics import Point

NEAR_TEXT_MM = 3.2
"""The type size of near views: 9.07 pt. Nothing is smaller."""

NEAR_LINE_MM = NEAR_TEXT_MM * LINE
COLUMN_MM = 27.0
"""How wide a column of names is at the most."""

_APART_MM = 1.2
_WIDEST = 1.14
"""The widest font that a reader may have, over what `width_mm` counts on: columns here have no gutter to spare."""

_TRIES = 60


@frozen
class Lettered:
    """A name as written: its lines, its box, and its leader from the box to its point."""

    name: Name
    lines: tuple[str, ...]
    box: Bounds
    leader: tuple[Point, ...]
    left: bool


@frozen
class Column:
    """One column: where its text begins or ends, how wide it is, and from where to where it reaches."""

    left: bool
    edge: float
    width: float
    top: float
    bottom: float


def near_mm(text: str, bold: bool = False) -> float:
    """The greatest width of a text of a near view, millimetres, whatever font draws it."""
    return width_mm(text, NEAR_TEXT_MM, bold) * _WIDEST


def column_mm(names: Sequence[Name]) -> float:
    """How wide a column of these names is; 0 without any."""
    return max((max(near_mm(line, n.bold) for line in _lines(n, COLUMN_MM)) for n in names), default=0.0)


def write_columns(
    named: Sequence[tuple[Name, Point, bool]], columns: tuple[Column, Column]
) -> tuple[tuple[Lettered, ...], tuple[Name, ...]]:
    """Every name with its point on paper and whether it stands at the left, written; and those that had to go.

    The most needed come first: the last go where a column is full or leaders would cross.
    """
    kept = list(named)
    while True:
        written = [w for column in columns for w in _column([n for n in kept if n[2] is column.left], column)]
        going = _too_many(kept, columns) or _crossing(written)
        if going is None:
            break
        kept = [n for n in kept if n[0] is not going]
    left = {id(n[0]) for n in kept}
    return tuple(written), tuple(n for n, _, _ in named if id(n) not in left)


def _lines(name: Name, room: float) -> tuple[str, ...]:
    return wrap(name.text, room / _WIDEST, NEAR_TEXT_MM, name.bold)


def _high(name: Name, column: Column) -> float:
    return len(_lines(name, column.width)) * NEAR_LINE_MM + _APART_MM


def _too_many(kept: Sequence[tuple[Name, Point, bool]], columns: Sequence[Column]) -> Name | None:
    for column in columns:
        own = [n for n, _, left in kept if left is column.left]
        if sum(_high(n, column) for n in own) > column.bottom - column.top:
            return own[-1]
    return None


def _column(own: Sequence[tuple[Name, Point, bool]], column: Column) -> list[Lettered]:
    """One column, its names in the order in which their leaders do not cross, where there is such."""
    order = sorted(own, key=lambda n: (n[1][1], n[1][0]))
    written = _set(order, column)
    for _ in range(_TRIES):
        pair = next((i for i in range(len(written) - 1) if _cross(written[i], written[i + 1])), None)
        if pair is None:
            break
        order[pair], order[pair + 1] = order[pair + 1], order[pair]
        swapped = _set(order, column)
        if sum(_crossings(swapped)) >= sum(_crossings(written)):
            order[pair], order[pair + 1] = order[pair + 1], order[pair]
            break
        written = swapped
    return written


def _set(order: Sequence[tuple[Name, Point, bool]], column: Column) -> list[Lettered]:
    highs = [_high(n, column) for n, _, _ in order]
    tops = _stacked([p[1] - h / 2 for (_, p, _), h in zip(order, highs, strict=True)], highs, column)
    written = []
    for (name, spot, _), top, high in zip(order, tops, highs, strict=True):
        lines = _lines(name, column.width)
        wide = max(near_mm(line, name.bold) for line in lines)
        x0 = column.edge - wide if column.left else column.edge
        box = (x0, top, x0 + wide, top + high - _APART_MM)
        written.append(Lettered(name, lines, box, _leader(box, spot, column.left), column.left))
    return written


def _stacked(wanted: Sequence[float], highs: Sequence[float], column: Column) -> list[float]:
    """Tops in order without overlap, as near to those wanted as can be, within the column."""
    tops: list[float] = []
    for want, _ in zip(wanted, highs, strict=True):
        below = tops[-1] + highs[len(tops) - 1] if tops else column.top
        tops.append(max(want, below))
    limit = column.bottom
    for i in reversed(range(len(tops))):
        tops[i] = min(tops[i], limit - highs[i])
        limit = tops[i]
    return tops


def _leader(box: Bounds, spot: Point, left: bool) -> tuple[Point, ...]:
    """Level from the middle of the name's side, then at 45 degrees; straight where the point lies too steeply."""
    edge = (box[2] + 0.8 if left else box[0] - 0.8, (box[1] + box[3]) / 2)
    away, rise = abs(spot[0] - edge[0]), abs(spot[1] - edge[1])
    if rise > away:
        return edge, spot
    turn = spot[0] - rise if left else spot[0] + rise
    return edge, (turn, edge[1]), spot


def _cross(one: Lettered, two: Lettered) -> bool:
    return bool(shapely.LineString(one.leader).intersects(shapely.LineString(two.leader)))


def _crossings(written: Sequence[Lettered]) -> list[int]:
    return [sum(_cross(a, b) for b in written[i + 1 :]) for i, a in enumerate(written)]


def _crossing(written: Sequence[Lettered]) -> Name | None:
    """A name whose leader crosses another or runs through another name, and which of the two is needed less."""
    for i, one in enumerate(written):
        for two in written[i + 1 :]:
            if _cross(one, two) or _runs_through(one, two) or _runs_through(two, one):
                return two.name if not two.name.bold or one.name.bold else one.name
    return None


def _runs_through(one: Lettered, two: Lettered) -> bool:
    return bool(shapely.LineString(one.leader).intersects(shapely.box(*two.box)))
