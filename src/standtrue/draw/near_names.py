"""Names in a column at each side of a near view: each beside its point as far as can be, no two leaders crossing.

A leader goes level from its name and then at 45 degrees to a dot in the thing. Millimetres on paper, y down.
"""

from __future__ import annotations

from collections.abc import Sequence

import shapely
from attrs import frozen

from standtrue.draw.dimensions import spread
from standtrue.draw.lettering import LINE_MM, TEXT_MM, width_mm, wrap
from standtrue.draw.near import Name
from standtrue.draw.scaled import Bounds
from standtrue.model.basics import Point

COLUMN_MM = 27.0
"""How wide a column of names is at the most."""

_APART_MM = 1.2
_TRIES = 60
_CROWD_MM = 14.0
"""Names that stand so near to where a name ought to stand are in its way."""


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


def column_mm(names: Sequence[Name]) -> float:
    """How wide a column of these names is; 0 without any."""
    return max((max(width_mm(line, TEXT_MM, n.bold) for line in _lines(n, COLUMN_MM)) for n in names), default=0.0)


def write_columns(
    named: Sequence[tuple[Name, Point, bool]], columns: tuple[Column, Column]
) -> tuple[tuple[Lettered, ...], tuple[Name, ...]]:
    """Every name with its point on paper and whether it stands at the left, written; and those that had to go.

    The most needed come first: the last go where a column is full or leaders would cross.
    """
    kept = list(named)
    while True:
        written = [w for column in columns for w in _column([n for n in kept if n[2] is column.left], column)]
        going = _too_many(kept, columns) or _steep(kept, written) or _crossing(written)
        if going is None:
            break
        kept = [n for n in kept if n[0] is not going]
    left = {id(n[0]) for n in kept}
    return tuple(written), tuple(n for n, _, _ in named if id(n) not in left)


def _lines(name: Name, room: float) -> tuple[str, ...]:
    return wrap(name.text, room, TEXT_MM, name.bold)


def _high(name: Name, column: Column) -> float:
    return len(_lines(name, column.width)) * LINE_MM + _APART_MM


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
        wide = max(width_mm(line, TEXT_MM, name.bold) for line in lines)
        x0 = column.edge - wide if column.left else column.edge
        box = (x0, top, x0 + wide, top + high - _APART_MM)
        written.append(Lettered(name, lines, box, _leader(box, spot, column.left), column.left))
    return written


def _stacked(wanted: Sequence[float], highs: Sequence[float], column: Column) -> list[float]:
    """Tops in order without overlap, as near to those wanted as least squares allows, within the column."""
    before = [sum(highs[:i]) for i in range(len(highs))]
    flat = spread([want - down for want, down in zip(wanted, before, strict=True)], 0.0)
    spare = column.bottom - sum(highs)
    return [max(column.top, min(at, spare)) + down for at, down in zip(flat, before, strict=True)]


def _leader(box: Bounds, spot: Point, left: bool) -> tuple[Point, ...]:
    """Level from the middle of the name's side, then at 45 degrees to the point."""
    edge = (box[2] + 0.8 if left else box[0] - 0.8, (box[1] + box[3]) / 2)
    rise = abs(spot[1] - edge[1])
    return edge, (spot[0] - rise if left else spot[0] + rise, edge[1]), spot


def _steep(kept: Sequence[tuple[Name, Point, bool]], written: Sequence[Lettered]) -> Name | None:
    """The least needed of the names that keep another from standing where 45 degrees reach its point."""
    for one in written:
        edge, turn, _ = one.leader
        if turn[0] < edge[0] if one.left else turn[0] > edge[0]:
            reach = abs(one.leader[-1][0] - edge[0]), one.leader[-1][1]
            near = [w for w in written if w.left is one.left and abs(w.leader[0][1] - reach[1]) <= reach[0] + _CROWD_MM]
            names = {id(w.name) for w in near} | {id(one.name)}
            return [n for n, _, _ in kept if id(n) in names][-1]
    return None


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
