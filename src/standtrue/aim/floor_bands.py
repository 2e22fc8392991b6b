"""Where the floor is level enough for a card, and the lines of equal height."""

from __future__ import annotations

import math

import numpy as np
import shapely
from attrs import frozen
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from standtrue.aim.floor import SurveyedFloor
from standtrue.model.basics import Outline, Point
from standtrue.model.reason import Angle, Length, Reason, because
from standtrue.plane.shapes import Convex, convex_pieces, difference, polygon, union

Array = NDArray[np.float64]


@frozen(eq=False)
class LevelFloor:
    """The floor that serves a card's demand on level, and the rest of it.

    All of `level` lies within one band of heights, `from_m` to `to_m`, so that whatever stands on it anywhere is level
    enough; floor outside it may serve as well for a card that touches little of it, which a check of the one stance
    will show. `uneven` and `unknown` are convex outlines in the site frame, for the search of stances.
    """

    from_m: float
    to_m: float
    level: BaseGeometry
    uneven: tuple[Outline, ...]
    unknown: tuple[Outline, ...]
    because: Reason


def level_floor(floor: SurveyedFloor, within_m: float, outline: Outline, steepest: float = math.inf) -> LevelFloor:
    """The band of heights `within_m` wide that holds the largest area of floor, triangles steeper left out.

    `steepest` is a slope, metres a metre. `outline` bounds the floor that is asked for; what of it was not surveyed
    is `unknown`. The best band has its lower or upper edge at a surveyed height, as the area as a function of the
    band's height has its peaks there or between (then to a 64th of the band).
    """
    if not within_m > 0.0:
        raise ValueError("the difference in height that is allowed must be greater than 0")
    return floor_between(
        floor, _best_band(floor, _gentle(floor, outline, steepest), within_m), within_m, outline, steepest
    )


def floor_between(
    floor: SurveyedFloor,
    low_m: float,
    within_m: float,
    outline: Outline,
    steepest: float = math.inf,
    under: BaseGeometry | None = None,
) -> LevelFloor:
    """As `level_floor`, for the band from `low_m` up that is `within_m` wide; `under` is what is known to be level."""
    whole = polygon(outline)
    known = shapely.intersection(whole, floor.known)
    kept = [_between(piece, floor.planes[i], low_m, low_m + within_m) for i, piece in _gentle(floor, outline, steepest)]
    level = union([*(shapely.polygons(k) for k in kept if len(k) >= 3), *([] if under is None else [under])])
    uneven = difference(known, level)
    kind = "" if under is None else "-with-stance"
    why = because(f"floor-uneven{kind}", within=Length(within_m))
    if steepest < math.inf:
        why = because(f"floor-uneven-or-steep{kind}", within=Length(within_m), steepest=Angle(math.atan(steepest)))
    return LevelFloor(low_m, low_m + within_m, level, _outlines(uneven), _outlines(difference(whole, known)), why)


def _gentle(floor: SurveyedFloor, outline: Outline, steepest: float) -> list[tuple[int, Convex]]:
    """The pieces of the floor that do not slope too much, with their triangles."""
    return [(i, piece) for i, piece in floor.pieces(outline) if floor.slopes[i] <= steepest]


def contours(
    floor: SurveyedFloor, step_m: float, from_m: float = 0.0
) -> tuple[tuple[float, tuple[tuple[Point, Point], ...]], ...]:
    """Lines of equal height as segments, for every multiple of `step_m` above `from_m` between lowest and highest."""
    if not step_m > 0.0:
        raise ValueError("the step between contours must be greater than 0")
    first = math.ceil((float(floor.heights.min()) - from_m) / step_m)
    last = math.floor((float(floor.heights.max()) - from_m) / step_m)
    lines = []
    for number in range(first, last + 1):
        height = number * step_m
        segments = [s for i in range(len(floor.triangles)) if (s := _crossing(floor, i, from_m + height)) is not None]
        lines.append((height, tuple(segments)))
    return tuple(lines)


def _best_band(floor: SurveyedFloor, pieces: list[tuple[int, Convex]], within_m: float) -> float:
    """The lower edge of the band that holds the most area."""
    edges = {float(h) for h in floor.heights.ravel()}
    trials = sorted({e for h in edges for e in (h, h - within_m)})
    areas = [_area(floor, pieces, low, within_m) for low in trials]
    best = int(np.argmax(areas))
    around = [trials[i] for i in (best - 1, best, best + 1) if 0 <= i < len(trials)]
    finer = [float(x) for x in np.linspace(around[0], around[-1], 129)]
    return max([trials[best], *finer], key=lambda low: (round(_area(floor, pieces, low, within_m), 9), -low))


def _area(floor: SurveyedFloor, pieces: list[tuple[int, Convex]], low: float, within_m: float) -> float:
    return sum(_size(_between(piece, floor.planes[i], low, low + within_m)) for i, piece in pieces)


def _size(piece: Array) -> float:
    if len(piece) < 3:
        return 0.0
    x, y = piece.T
    return abs(float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1)))) / 2


def _between(piece: Array, plane: Array, low: float, high: float) -> Array:
    """The part of a convex piece whose heights lie in a band."""
    return _above(_above(piece, plane - [low, 0.0, 0.0]), [high, 0.0, 0.0] - plane)


def _above(piece: Array, plane: Array) -> Array:
    """The part of a convex piece where a + bx x + cy y is not negative (Sutherland and Hodgman 1974)."""
    if len(piece) == 0:
        return piece
    values = plane[0] + piece @ plane[1:]
    if np.all(values >= 0.0):
        return piece
    kept = []
    for i in range(len(piece)):
        j = (i + 1) % len(piece)
        if values[i] >= 0.0:
            kept.append(piece[i])
        if values[i] * values[j] < 0.0:
            kept.append(piece[i] + (piece[j] - piece[i]) * values[i] / (values[i] - values[j]))
    return np.array(kept).reshape(-1, 2)


def _outlines(shape: BaseGeometry) -> tuple[Outline, ...]:
    return tuple(tuple((float(x), float(y)) for x, y in piece) for piece in convex_pieces(shape))


def _crossing(floor: SurveyedFloor, index: int, height: float) -> tuple[Point, Point] | None:
    """Where a triangle crosses a height; a corner at that height counts as above it."""
    corners, over = floor.triangles[index], floor.heights[index] - height
    cuts = []
    for i in range(3):
        j = (i + 1) % 3
        if (over[i] >= 0.0) != (over[j] >= 0.0):
            x, y = corners[i] + (corners[j] - corners[i]) * over[i] / (over[i] - over[j])
            cuts.append((float(x), float(y)))
    return (cuts[0], cuts[1]) if len(set(cuts)) == 2 else None
