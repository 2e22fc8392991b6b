"""Which names are written on a drawing, in which order, and where each may lie."""

from __future__ import annotations

import math
from collections.abc import Sequence

import shapely
from attrs import evolve
from shapely.geometry.base import BaseGeometry

from standtrue.draw.labels import PATIENCE, Bounds, Lettering, Wish, Written
from standtrue.draw.scaled import Paper, footprint, polygons
from standtrue.draw.shapes import Drawing, Role, Shape
from standtrue.draw.styles import FAINT, SOLID
from standtrue.model.basics import Point

_GRID_MM = 1e-3
"""Overlays on paper snap to this grid: edges that meet within rounding would otherwise trip them."""

_TOLD: tuple[Role, ...] = ("touch", "in the way", "nearest", "correction")
"""Whose names are what the plan is for: bold, and placed with more patience."""

_FIRST: tuple[Role, ...] = (
    "axle", "target", "correction", "touch", "in the way", "nearest", "turn", "steer", "front", "heading", "datum",
    "door", "void",
)  # fmt: skip


def write_names(drawing: Drawing, paper: Paper, frame: Bounds, taken: Sequence[Written] = ()) -> tuple[Written, ...]:
    """Every name, letter and number on the plan, within the frame, the most needed placed first.

    They keep clear of the names that are `taken` already, and are numbered after them.
    """
    prints = [footprint(s, paper) for s in drawing.shapes]
    solid = [g for g, s in zip(prints, drawing.shapes, strict=True) if s.role in SOLID]
    soft = [g for g, s in zip(prints, drawing.shapes, strict=True) if s.role not in SOLID and s.role not in FAINT]
    lettering = Lettering(frame, solid, soft, list(taken))
    order = sorted(range(len(drawing.shapes)), key=lambda i: _turn(drawing.shapes[i], i, prints[i]))
    for i in order:
        shape = drawing.shapes[i]
        if shape.tag:
            lettering.write(
                Wish(shape.tag, shapely.Polygon(), paper.at(shape.spots[0]), bold=True, numbered=False, ringed=True)
            )
    for i in order:
        shape = drawing.shapes[i]
        if shape.label and not prints[i].is_empty:
            lettering.write(_wish(shape, drawing.shapes[i + 1 :], prints[i], prints[i + 1 :], paper))
    return tuple(lettering.written[len(taken) :])


def _turn(shape: Shape, index: int, covers: BaseGeometry) -> tuple[int, float, int]:
    """Points and warnings first, then what is smallest: it has the least choice of place."""
    if shape.role in _FIRST:
        return _FIRST.index(shape.role), 0.0, index
    return len(_FIRST), round(covers.area, 3), index


def _wish(
    shape: Shape, later: Sequence[Shape], covers: BaseGeometry, later_covers: Sequence[BaseGeometry], paper: Paper
) -> Wish:
    inside = polygons(shape.room or shape.areas, paper)
    hiding = [g for g, s in zip(later_covers, later, strict=True) if s.role in SOLID or s.role.startswith("zone")]
    visible = inside
    if shape.role != "front" and hiding:
        hidden = [g for g, near in zip(hiding, shapely.intersects(hiding, inside), strict=True) if near]
        visible = inside.difference(shapely.union_all(hidden, grid_size=_GRID_MM), grid_size=_GRID_MM)
    spot = _spot(shape, visible, covers, paper)
    wish = Wish(shape.label, visible, spot, bold=shape.role in ("front", *_TOLD), angles_deg=_angles(inside))
    if shape.role in _TOLD:
        wish = evolve(wish, patience=1.75 * PATIENCE)
    return evolve(wish, numbered=shape.role not in ("front", "datum", "heading"))


def _spot(shape: Shape, visible: BaseGeometry, covers: BaseGeometry, paper: Paper) -> Point:
    if shape.spots:
        return paper.at(shape.spots[0])
    if shape.lines:
        x, y = shapely.LineString([paper.at(p) for p in shape.lines[0]]).interpolate(0.5, normalized=True).coords[0]
        return float(x), float(y)
    parts = _parts(visible) or _parts(covers)
    roomiest = max(parts, key=lambda p: float(p.area))
    x, y = shapely.get_coordinates(shapely.maximum_inscribed_circle(roomiest, 0.2))[0]
    return float(x), float(y)


def _parts(geometry: BaseGeometry) -> list[BaseGeometry]:
    return [p for p in shapely.get_parts(geometry) if p.geom_type == "Polygon" and p.area > 0.0]


def _angles(inside: BaseGeometry) -> tuple[float, ...]:
    """The turns a name may take in a shape: level, upright, or along the shape's own longer side."""
    corners = shapely.get_coordinates(shapely.minimum_rotated_rectangle(inside))
    if len(corners) < 4:
        return (0.0,)
    one, two = corners[1] - corners[0], corners[2] - corners[1]
    x, y = one if math.hypot(*one) >= math.hypot(*two) else two
    turn = math.degrees(math.atan2(y, x))
    turn = turn - 180.0 if turn > 89.9 else turn + 180.0 if turn <= -90.1 else turn
    return (0.0, -90.0) if min(abs(turn), abs(abs(turn) - 90.0)) < 0.5 else (0.0, turn)
