"""Asking again whether something fits, after a change in the shop: yes or no, with a witness.

The ways of the unchanged question are kept; of each, only the pairs that the change touches are made anew.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator
from itertools import combinations

import numpy as np
import shapely
import shapely.affinity
from attrs import evolve, frozen

from standtrue.model.basics import Place, Point
from standtrue.model.fits import Fits
from standtrue.model.ground import WALL, Ground, Grounds
from standtrue.model.reason import Ref
from standtrue.model.site import Site
from standtrue.place.change.changes import VOID_KINDS, Subject
from standtrue.place.fits.decide import decide
from standtrue.place.margin.pairs import Pair
from standtrue.place.margin.ways import Question, Way, ways
from standtrue.plane.shapes import Convex, polygon


@frozen(eq=False)
class Tried:
    """Whether something fits after a change; if so a stance that does, and its way before the change."""

    fits: Fits
    way: Way | None = None
    place: Place | None = None


class Trial:
    """One question, to be asked again with parts of its site changed. Counts how often it was asked."""

    def __init__(self, question: Question) -> None:
        self.question = question
        openable = question.grounds.openable
        doors = (d for count in range(len(openable) + 1) for d in combinations(openable, count))
        self.ways = tuple(w for opened in doors for w in ways(question, opened, []) if not w.blocked)
        self.questions = 0

    @property
    def site(self) -> Site:
        return self.question.grounds.site

    def fits(self, site: Site, changed: tuple[Subject, ...]) -> Tried:
        """Whether something fits in the changed site. `changed` names all that was."""
        grounds = Grounds(_bare(site, changed), self.question.grounds.bay)
        raised = self.question.support == "lift up"

        def renewed(way: Way) -> Way:
            settings = dict(way.ground.settings) if grounds.site.lifts else {}
            ground = grounds.resolve(settings, way.ground.doors_open)
            driven = grounds.at_rest(way.ground.doors_open) if raised else ground
            walled = any(s.kind == "wall" for s in changed) and way.origins == way.ground.reach
            origins = ground.reach if walled else way.origins
            return evolve(way, pairs=tuple(_renewed(way, ground, driven, changed)), origins=origins)

        return self._ask(renewed)

    def fits_without(self, thing: Subject) -> Tried:
        """Whether something fits without an obstacle, or a piece of stored equipment."""
        return self._ask(lambda way: evolve(way, pairs=tuple(p for p in way.pairs if not thing.touches(p))))

    def fits_moved(self, thing: Subject, by: Point, spare_m: float = 0.0) -> Tried:
        """Whether something fits with an obstacle, or a piece of stored equipment, moved.

        With `spare_m`, every stance counts of which each pair would allow, were the thing moved by up to
        `spare_m` more (and perhaps a few more): a "no" rules out all such moves.
        """

        def pushed(way: Way) -> Way:
            return evolve(way, pairs=tuple(_pushed(p, by, spare_m) if thing.touches(p) else p for p in way.pairs))

        return self._ask(pushed, sure=spare_m == 0.0)

    def _ask(self, change: Callable[[Way], Way], sure: bool = True) -> Tried:
        """`sure`: what the sweep leaves open, the search decides."""
        self.questions += 1
        fits = Fits.NO
        for way in self.ways:
            found, at = decide(change(way).packed(), sure)
            if found is Fits.YES and at is not None:
                return Tried(Fits.YES, way, Place(*at))
            if found is Fits.UNDECIDED:
                fits = Fits.UNDECIDED
        return Tried(fits)


def _bare(site: Site, changed: Collection[Subject]) -> Site:
    """The site with no more in it than these changes touch: its grounds are sooner made."""
    kinds = {s.kind for s in changed}
    hollow, floored = not VOID_KINDS.isdisjoint(kinds), not {"obstacle", "equipment"}.issuperset(kinds)
    x0, y0, x1, y1 = polygon(site.outline).bounds
    return evolve(
        site,
        outline=site.outline if floored else ((x0, y0), (x1, y0), (x1, y1), (x0, y1)),
        doors=site.doors if floored else (),
        holes=(),
        patches=(),
        obstacles=tuple(o for o in site.obstacles if any(s.thing == Ref("obstacle", o.name) for s in changed)),
        equipment=site.equipment if "equipment" in kinds else (),
        voids=site.voids if hollow else (),
        lifts=site.lifts if hollow else (),
    )


def _renewed(way: Way, ground: Ground, driven: Ground, changed: tuple[Subject, ...]) -> Iterator[Pair]:
    """The pairs of a way in the changed site: those that no change touches are kept as they are."""
    for pair in way.pairs:
        if any(s.touches(pair) for s in changed):
            yield from _successors(pair, driven if pair.claim.role == "exit" else ground, way.ground)
        else:
            yield pair


def _successors(pair: Pair, ground: Ground, before: Ground) -> Iterator[Pair]:
    """What a pair has become on the changed ground."""
    if pair.kind == "void":
        # A void has one shape for stands and one for wheels and people: stay with the same.
        stands = any(u.pieces is pair.pieces for u in before.unfloor)
        for area in ground.unfloor:
            shape, pieces = (area.shape, area.pieces) if stands else (area.wheel_shape, area.wheel_pieces)
            if pieces and area.ref == pair.thing:
                yield evolve(pair, shape=shape, pieces=pieces)
        return
    for thing in ground.things:
        # Where a door stands open there may be two things that are wall, and one may come or go.
        walled = thing.kind == "wall" and pair.thing == WALL
        if walled or (pair.kind != "wall" and thing.ref == pair.thing):
            yield evolve(pair, thing=thing.ref, shape=thing.shape, pieces=thing.pieces)


def _pushed(pair: Pair, by: Point, spare_m: float) -> Pair:
    shape = shapely.affinity.translate(pair.shape, *by)
    pushed = evolve(pair, shape=shape, pieces=tuple(p + by for p in pair.pieces))
    return _relaxed(pushed, spare_m) if spare_m > 0.0 else pushed


def _relaxed(pair: Pair, spare_m: float) -> Pair:
    """A pair that asks no more of a stance than the pair would, were its thing moved by any `spare_m` at most.

    Where claim and thing less than the gap apart would do after a move, the gap shrinks. Beyond that, both
    are eroded: what lies within every copy of a shape moved by at most `e` is the shape offset inward by `e`.
    """
    left = spare_m - pair.gap_m
    if left <= 0.0:
        return evolve(pair, gap_m=-left)
    mine, theirs = _breadth(pair.claim.pieces), _breadth(pair.pieces)
    share = left * mine / (mine + theirs)
    claim = evolve(pair.claim, pieces=eroded(pair.claim.pieces, share))
    return evolve(pair, claim=claim, pieces=eroded(pair.pieces, left - share), gap_m=0.0)


def _breadth(pieces: tuple[Convex, ...]) -> float:
    """About how far pieces can be offset inward."""
    shapes = [shapely.Polygon(p) for p in pieces]
    return max(float(2.0 * s.area / s.length) for s in shapes)


def eroded(pieces: tuple[Convex, ...], by_m: float) -> tuple[Convex, ...]:
    """Convex pieces offset inward; those too narrow for it are gone."""
    less = (shapely.Polygon(p).buffer(-by_m, join_style="mitre", mitre_limit=1e3) for p in pieces)
    rings = (shapely.get_coordinates(shapely.orient_polygons(s).exterior)[:-1] for s in less if s.area > 0.0)
    return tuple(np.ascontiguousarray(r, dtype=np.float64) for r in rings)
