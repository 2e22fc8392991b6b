"""The least translation of one thing that makes room, over all directions, proven.

Let m(d) be the largest margin of the pairs of a thing moved by d, over all stances that every other pair
allows. A separation changes by no more than the thing moves, so m changes by no more than d does: if
nothing fits even where the thing's pairs may come nearer by r, nothing fits for any d' within r of d.
Each such question rules out a disc of translations; the nearest one not ruled out is asked next
(Hart 1996, The Visual Computer 12, steps along a ray in the same way). Each stance that is found says
how far the thing must move for it, by Minkowski sums.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from attrs import frozen
from shapely.geometry.base import BaseGeometry

from standtrue.model.basics import Place, Point
from standtrue.model.fits import Fits
from standtrue.model.ground import Ground, Thing
from standtrue.place.change.changes import Subject
from standtrue.place.change.trial import Trial, Tried, eroded
from standtrue.place.margin.pairs import BAND_M, Pair, exit_sides, pack
from standtrue.place.margin.search import values_at
from standtrue.place.margin.ways import Way
from standtrue.place.question.answer import FIT_M
from standtrue.place.region.slices import inflated
from standtrue.plane.kernels import lowest, minkowski_sum, turned_negative
from standtrue.plane.shapes import Convex

LIMIT_M = 5.0
CLOSE_M = 1e-3
"""The least translation is proven to within this."""

MOST_QUESTIONS = 240
"""Where to stop looking for a shorter translation."""

ON_M = 1e-6


@frozen(eq=False)
class Translation:
    """A translation that makes room. `proven`: none shorter by more than 1 mm does.

    `room` holds every translation that leaves the thing on the floor and clear of other things.
    """

    by: Point
    proven: bool
    room: BaseGeometry

    @property
    def length_m(self) -> float:
        return math.hypot(*self.by)

    def is_open(self, length_m: float) -> bool:
        """Whether the thing may move by this much in the same direction."""
        x, y = (length_m / self.length_m * b for b in self.by)
        return float(self.room.distance(shapely.Point(x, y))) <= ON_M


class Translations:
    """What is known so far of the translations of one thing.

    First `begin`, soon done, then `finish`: the shortest translation of a movable thing that makes room and leaves it
    on the floor, clear of other things. It may pass through other things on its way.
    """

    def __init__(self, trial: Trial, subject: Subject) -> None:
        self.trial, self.subject = trial, subject
        ground = trial.question.grounds.at_rest()
        self.thing = next(t for t in ground.things if t.ref == subject.on_ground)
        self.room = self.open = open_translations(self.thing, ground)
        self.best: Point | None = None
        self.radius = 0.0
        self.until = 0

    @property
    def upper(self) -> float:
        return math.hypot(*self.best) if self.best is not None else math.inf

    def begin(self, gone: Tried) -> None:
        """Find one that helps, shortened in its own direction. `gone` is what fits without the thing."""
        self._learn(gone)
        self._descend()

    def finish(self) -> Translation | None:
        """The shortest, proven or the best until stopped. None if none up to 5 m helps."""
        self.until = self.trial.questions + MOST_QUESTIONS
        self.radius = self._first_radius()
        self._rule_out((0.0, 0.0), self.radius)
        while self.trial.questions < self.until and not self.trial.stopped():
            nearest = _nearest(self.open)
            if nearest is None or math.hypot(*nearest) > self.upper - CLOSE_M or self._helps(nearest):
                return self._best(True)
        return self._best(False)

    def _helps(self, by: Point) -> bool:
        """Whether something fits with the thing moved by this; if not, a disc about it is ruled out.

        The first radius tried is the distance to the line square to the best translation known, as if that line
        bounded those that help; but not far beyond what could be proven before.
        """
        radius = max(min(self._guess(by), 2 * self.radius), CLOSE_M)
        while True:
            if self._ask(by, radius).fits is Fits.NO:
                self.radius = radius
                self._rule_out(by, radius)
                return False
            if radius == CLOSE_M:
                break
            radius = max(radius / 2, CLOSE_M)
        if self._ask(by, 0.0).fits is Fits.YES:
            self.best = by
            return True
        self._rule_out(by, CLOSE_M / 2)
        return False

    def _ask(self, by: Point, spare_m: float) -> Tried:
        tried = self.trial.fits_moved(self.subject, by, spare_m)
        self._learn(tried)
        return tried

    def _learn(self, tried: Tried) -> None:
        """How far the thing must move for the stance just found."""
        if tried.way is None or tried.place is None:
            return
        way, place = tried.way, tried.place
        taken = self.trial.parted(way, self.subject).taken
        for side in exit_sides(way.pairs):
            strip = [p for p in way.pairs if p.side is not None and p.side == side and p not in taken]
            if strip and _margin(strip, way, place) < FIT_M:
                continue
            about = [p for p in taken if p.side in (None, side)]
            nearest = _nearest(self.open.difference(_taken(about, place, self.thing.pieces)))
            if nearest is not None and math.hypot(*nearest) < self.upper:
                self.best = nearest

    def _descend(self) -> None:
        """Shorten the best translation in its own direction, as far as that is known to help."""
        low = 0.0
        while self.best is not None and self.upper - low > CLOSE_M / 4 and not self.trial.stopped():
            middle = (low + self.upper) / 2
            by = (self.best[0] * middle / self.upper, self.best[1] * middle / self.upper)
            if self._ask(by, 0.0).fits is not Fits.YES:
                low = middle
            elif self.room.distance(shapely.Point(by)) <= ON_M and middle < self.upper:
                self.best = by
            elif self.upper > middle:
                return

    def _first_radius(self) -> float:
        """How far the thing must move at least, in any direction."""
        low, high = 0.0, min(self.upper, LIMIT_M)
        while high - low > CLOSE_M / 4 and not self.trial.stopped():
            middle = (low + high) / 2
            fits = self._ask((0.0, 0.0), middle).fits
            low, high = (
                (middle, high) if fits is Fits.NO else (low, min(middle, self.upper) if fits is Fits.YES else middle)
            )
        return low

    def _guess(self, by: Point) -> float:
        if self.best is None:
            return 16 * CLOSE_M
        ahead = (by[0] * self.best[0] + by[1] * self.best[1]) / self.upper
        return max(0.98 * (self.upper - ahead), CLOSE_M)

    def _rule_out(self, by: Point, radius: float) -> None:
        if radius > 0.0:
            # Straight pieces inside the circle, by at most 0.1 mm.
            disc = shapely.Point(by).buffer(radius, quad_segs=max(8, math.ceil(60 * math.sqrt(radius))))
            self.open = self.open.difference(disc)

    def _best(self, proven: bool) -> Translation | None:
        return None if self.best is None else Translation(self.best, proven, self.room)


def open_translations(thing: Thing, ground: Ground) -> BaseGeometry:
    """The translations up to LIMIT_M that leave a thing on the floor and clear of other things. Touching is clear."""
    others = [t for t in ground.things if t is not thing and _meet(t, thing)]
    barred = [p for t in others for p in t.pieces]
    if thing.bottom_m <= 0.0:
        barred.extend(p for u in ground.unfloor if u.kind in ("void", "ramp") for p in u.pieces)
    # A hair less, so that a thing may slide between two that it touches.
    slim = eroded(thing.pieces, ON_M)
    taken = shapely.union_all([_clashes(p, own) for p in barred for own in slim])
    return shapely.Point(0.0, 0.0).buffer(LIMIT_M).difference(taken)


def _meet(one: Thing, other: Thing) -> bool:
    return one.bars_all or min(one.top_m, other.top_m) - max(one.bottom_m, other.bottom_m) > BAND_M


def _margin(pairs: Sequence[Pair], way: Way, place: Place) -> float:
    packed = pack(pairs, way.origins, "either")
    return float(values_at(packed, place.x_m, place.y_m, place.heading_rad).min())


def _taken(pairs: Sequence[Pair], place: Place, pieces: Sequence[Convex]) -> BaseGeometry:
    """The translations that leave the thing too near to what the pairs claim at one stance."""
    return shapely.union_all([s for pair in pairs for s in _too_near(pair, place, pieces)])


def _too_near(pair: Pair, place: Place, pieces: Sequence[Convex]) -> Iterator[BaseGeometry]:
    c, s = math.cos(place.heading_rad), math.sin(place.heading_rad)
    turn = np.array([[c, s], [-s, c]])
    for piece in pair.claim.pieces:
        claimed = inflated(np.ascontiguousarray(piece @ turn + (place.x_m, place.y_m)), pair.gap_m)
        yield from (_clashes(claimed, own) for own in pieces)


def _clashes(fixed: Convex, own: Convex) -> BaseGeometry:
    """The translations of `own` that make it overlap `fixed`."""
    negative = np.empty_like(own)
    turned_negative(own, 0, len(own), 1.0, 0.0, negative)
    total = np.empty((len(fixed) + len(own), 2))
    n = minkowski_sum(fixed, 0, len(fixed), lowest(fixed, 0, len(fixed)), negative, len(own), total)
    return shapely.Polygon(total[:n])


def _nearest(region: BaseGeometry) -> Point | None:
    """The translation of a region that is shortest."""
    if region.is_empty:
        return None
    x, y = shapely.get_coordinates(shapely.shortest_line(region, shapely.Point(0.0, 0.0)))[0]
    return (float(x), float(y))
