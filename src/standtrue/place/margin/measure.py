"""A stance measured by general geometry: its margin, what it touches first, and what stands in its view."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
import shapely

from standtrue.model.basics import Place, Point, Side
from standtrue.model.ground import Ground
from standtrue.model.reason import Reason, because
from standtrue.place.margin.pairs import Pair, exit_sides, pack
from standtrue.place.margin.search import values_at
from standtrue.place.question.answer import FIT_M, Touch
from standtrue.place.question.claims import Claim

TOUCH_M = 2e-3
"""What lies within this of the smallest margin is touched first."""


def measure(
    pairs: Sequence[Pair], origins: tuple[float, float, float, float], side: Side | None, place: Place
) -> tuple[float, tuple[Touch, ...], float]:
    """Margin, touches and the margin without the carrying lift's own pairs at one stance.

    The kernels say which pairs are near the smallest; only those are measured. Conditions are no part of it.
    """
    pairs = [p for p in pairs if not p.condition]
    packed = pack(pairs, origins, side)
    values = values_at(packed, place.x_m, place.y_m, place.heading_rad)
    foreign = np.array([not pairs[i].own for i in packed.sources])
    limits = np.maximum(np.where(foreign, values[foreign].min(), values.min()), FIT_M) + 2 * TOUCH_M
    near = dict.fromkeys(int(i) for i in packed.sources[values <= limits])
    measured = sorted(((_touch(pairs[i], place), pairs[i].own) for i in near), key=lambda t: t[0].margin_m)
    margin = measured[0][0].margin_m
    free = min(t.margin_m for t, own in measured if not own)
    return margin, tuple(t for t, _ in measured if t.margin_m <= max(margin, FIT_M) + TOUCH_M), free


def better_side(pairs: Sequence[Pair], origins: tuple[float, float, float, float], place: Place) -> Side | None:
    """The exit strip to take at a stance, left where they are even; None where none is asked for.

    The one of the greater margin; on decks, whose edges cap both alike, of the greater margin without the carrying
    lift's own pairs; then the one with more room of its own.
    """
    sides = exit_sides(pairs)
    if sides == (None,):
        return None
    counted = [p for p in pairs if not p.condition]
    packed = pack(counted, origins, "either")
    values = values_at(packed, place.x_m, place.y_m, place.heading_rad)
    codes = packed.problem.sides
    foreign = np.array([not counted[i].own for i in packed.sources])

    def room(code: int) -> tuple[float, ...]:
        with_it = (codes == 0) | (codes == code)
        return tuple(float(values[rows].min(initial=math.inf)) for rows in (with_it, with_it & foreign, codes == code))

    return "left" if room(1) >= room(2) else "right"


def _touch(pair: Pair, place: Place) -> Touch:
    shape = shapely.Polygon(at_place(pair.claim.outline, place))
    apart = shape.distance(pair.shape)
    if apart > 0.0:
        ends = shapely.get_coordinates(shapely.shortest_line(pair.shape, shape))
    else:
        common = shape.intersection(pair.shape)
        apart = -_overlap_depth(common, shape)
        ends = shapely.get_coordinates(common.centroid if not common.is_empty else shape.centroid).repeat(2, axis=0)
    at, of_at = ((float(x), float(y)) for x, y in ends)
    return Touch(pair.claim.ref, pair.thing, pair.kind, float(apart), pair.gap_m, at, of_at)


def _overlap_depth(common: shapely.Geometry, claim: shapely.Polygon) -> float:
    """How deep two shapes overlap, told by the narrower way across what they share. A figure for ranking only.

    A wall without thickness is as deep in a claim as the middle of what is in there.
    """
    if common.area == 0.0:
        lines = [part for part in shapely.get_parts(common) if part.length > 0.0]
        return max((claim.boundary.distance(part.interpolate(0.5, normalized=True)) for part in lines), default=0.0)
    thick = max(_thickness(part) for part in shapely.get_parts(common))
    if thick < -FIT_M:
        # Two edges in one line but for rounding: no rectangle about that tells which way is the narrow one.
        return thick
    box = shapely.minimum_rotated_rectangle(common)
    corners = shapely.get_coordinates(box)
    if len(corners) < 4:
        return 0.0
    return min(math.dist(corners[0], corners[1]), math.dist(corners[1], corners[2]))


def _thickness(part: shapely.Geometry) -> float:
    """How thick a part is, as if it were as long as its bounds."""
    x0, y0, x1, y1 = part.bounds
    long = math.dist((x0, y0), (x1, y1))
    return 2.0 * float(part.area) / long if long > 0.0 else 0.0


def at_place(outline: Sequence[Point], place: Place) -> tuple[Point, ...]:
    """An outline of the vehicle frame, in the site frame."""
    c, s = math.cos(place.heading_rad), math.sin(place.heading_rad)
    return tuple((place.x_m + c * x - s * y, place.y_m + s * x + c * y) for x, y in outline)


def in_view(claims: Sequence[Claim], ground: Ground, place: Place) -> Iterator[Reason]:
    """What stands in zones that should be plain: a caution, never a reason against a stance."""
    for claim in claims:
        if claim.needs != "plain":
            continue
        shape = shapely.Polygon(at_place(claim.outline, place))
        for thing in ground.things:
            meets = min(claim.top_m, thing.top_m) > max(claim.bottom_m, thing.bottom_m)
            if meets and shape.intersection(thing.shape).area > 1e-9:
                yield because("stands-in-plain-zone", thing=thing.ref, zone=claim.ref)
