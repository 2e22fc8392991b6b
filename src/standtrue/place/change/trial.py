"""Asking again whether something fits, after a change in the shop: yes or no, with a witness.

The ways of the unchanged question are kept packed; of each, only the pairs that the change touches are made anew.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from itertools import combinations

import numpy as np
from attrs import evolve, frozen

from standtrue.model.basics import Outline, Place, Point
from standtrue.model.fits import Fits
from standtrue.model.ground import WALL, Ground, Grounds
from standtrue.model.reason import Ref
from standtrue.model.site import Site
from standtrue.place.change.changes import VOID_KINDS, Subject
from standtrue.place.fits.decide import decide
from standtrue.place.margin.pairs import Base, Pair
from standtrue.place.margin.search import Packed
from standtrue.place.margin.ways import Question, Way, ways
from standtrue.plane.shapes import Convex, polygon

MOST_ROWS = 60_000
"""How much is asked for one answer: pairs of pieces, summed over all questions. About half a second's work, and the
same on every machine."""


def never() -> bool:
    """Nothing stops it."""
    return False


class Allowance:
    """How much may still be asked. Whoever asks again and again looks at `used_up` in between."""

    def __init__(self, stopped: Callable[[], bool] = never, rows: int = MOST_ROWS) -> None:
        self._stopped = stopped
        self._rows = rows
        self._over = False

    def take(self, rows: int) -> None:
        """So many pairs of pieces were asked about."""
        self._rows -= rows

    @property
    def used_up(self) -> bool:
        """Whether no more should be asked: never again untrue once it is true."""
        self._over = self._over or self._rows <= 0 or self._stopped()
        return self._over


@frozen(eq=False)
class Tried:
    """Whether something fits after a change; if so a stance that does, and its way before the change."""

    fits: Fits
    way: Way | None = None
    place: Place | None = None


@frozen(eq=False)
class Parted:
    """A way packed, and pairs of it: left out of what was packed, or a moved wall's, which are in it."""

    base: Base
    taken: tuple[Pair, ...]


class _Lazily(dict[Way, Parted]):
    """Ways made when they are first asked for: mostly the first one serves."""

    def __init__(self, make: Callable[[Way], Parted]) -> None:
        super().__init__()
        self._make = make

    def __missing__(self, way: Way) -> Parted:
        self[way] = self._make(way)
        return self[way]


class Trial:
    """One question, to be asked again with parts of its site changed. Counts how often it was asked."""

    def __init__(self, question: Question, allowance: Allowance) -> None:
        self.question = question
        self.allowance = allowance
        openable = question.grounds.openable
        doors = (d for count in range(len(openable) + 1) for d in combinations(openable, count))
        self.ways = [w for opened in doors for w in ways(question, opened, []) if not w.blocked]
        self.questions = 0
        self._without: dict[tuple[Way, Subject], Parted] = {}
        self._walled: dict[tuple[Subject, Outline], _Lazily] = {}

    def stopped(self) -> bool:
        """Whether no more should be asked."""
        return self.allowance.used_up

    @property
    def site(self) -> Site:
        return self.question.grounds.site

    def fits(self, site: Site, changed: tuple[Subject, ...], sure: bool = True) -> Tried:
        """Whether something fits in the changed site. `changed` names all that was. Not `sure`: by the sweep alone."""
        if len(changed) == 1 and changed[0].kind != "wall":
            grounds = self._grounds(site, changed)
            return self.ask(lambda way: self._beside(way, changed[0], self._successors(way, grounds, changed)), sure)
        if len(changed) == 1:
            walled = self.walled(site, changed[0])
            return self.ask(lambda way: walled[way].base.packed, sure)
        grounds = self._grounds(site, changed)
        return self.ask(lambda way: self._renewed(way, grounds, changed).packed(), sure)

    def fits_without(self, thing: Subject) -> Tried:
        """Whether something fits without an obstacle, or a piece of stored equipment."""
        return self.ask(lambda way: self._beside(way, thing, ()))

    def fits_moved(self, thing: Subject, by: Point, spare_m: float = 0.0) -> Tried:
        """Whether something fits with an obstacle, or a piece of stored equipment, moved.

        With `spare_m`, every stance counts of which each pair would allow, were the thing moved by up to
        `spare_m` more (and perhaps a few more): a "no" rules out all such moves.
        """

        def pushed(way: Way) -> Packed:
            return self._beside(way, thing, _pushed(self.parted(way, thing).taken, by, spare_m))

        return self.ask(pushed, sure=spare_m == 0.0)

    def walled(self, site: Site, wall: Subject) -> Mapping[Way, Parted]:
        """The ways in a site of which one wall was moved; those of the last few are kept."""
        if (wall, site.outline) not in self._walled:
            grounds = self._grounds(site, (wall,))

            def renewed(way: Way) -> Parted:
                new = self._renewed(way, grounds, (wall,))
                return Parted(new.base(), tuple(p for p in new.pairs if p.kind == "wall" and p.thing == WALL))

            self._walled[wall, site.outline] = _Lazily(renewed)
        return self._walled[wall, site.outline]

    def _grounds(self, site: Site, changed: tuple[Subject, ...]) -> Grounds:
        return Grounds(_bare(site, changed), self.question.grounds.bay)

    def _renewed(self, way: Way, grounds: Grounds, changed: tuple[Subject, ...]) -> Way:
        """A way in the changed site."""
        walled = any(s.kind == "wall" for s in changed) and way.origins == way.ground.reach
        origins = self._ground(way, grounds).reach if walled else way.origins
        kept = (p for p in way.pairs if not any(s.touches(p) for s in changed))
        return evolve(way, pairs=(*kept, *self._successors(way, grounds, changed)), origins=origins)

    def _beside(self, way: Way, thing: Subject, pairs: Iterable[Pair]) -> Packed:
        """A way packed without the pairs of one thing, and with these."""
        return self.parted(way, thing).base.plus(tuple(pairs))

    def parted(self, way: Way, thing: Subject) -> Parted:
        """A way packed without the pairs of one thing, and these."""
        if (way, thing) not in self._without:
            kept = tuple(p for p in way.pairs if not thing.touches(p))
            taken = tuple(p for p in way.pairs if thing.touches(p))
            self._without[way, thing] = Parted(evolve(way, pairs=kept).base(), taken)
        return self._without[way, thing]

    def _successors(self, way: Way, grounds: Grounds, changed: tuple[Subject, ...]) -> Iterator[Pair]:
        """What the pairs that a change touches have become."""
        ground = self._ground(way, grounds)
        driven = grounds.at_rest(way.ground.doors_open) if self.question.support == "lift up" else ground
        for pair in way.pairs:
            if any(s.touches(pair) for s in changed):
                yield from _successors(pair, driven if pair.claim.role == "exit" else ground, way.ground)

    @staticmethod
    def _ground(way: Way, grounds: Grounds) -> Ground:
        return grounds.resolve(dict(way.ground.settings) if grounds.site.lifts else {}, way.ground.doors_open)

    def ask(self, packed: Callable[[Way], Packed], sure: bool = True) -> Tried:
        """`sure`: what the sweep leaves open, the search decides. The way that served last is asked first."""
        self.questions += 1
        fits = Fits.NO
        for number, way in enumerate(self.ways):
            asked = packed(way)
            self.allowance.take(len(asked.problem.pairs))
            found, at = decide(asked, sure)
            if found is Fits.YES and at is not None:
                self.ways.insert(0, self.ways.pop(number))
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


def _pushed(pairs: Sequence[Pair], by: Point, spare_m: float) -> Iterator[Pair]:
    """The pairs of one thing, moved, as the sweep reads them: their shapes stay where they were."""
    moved: dict[int, tuple[Convex, ...]] = {}
    for pair in pairs:
        if id(pair.pieces) not in moved:
            moved[id(pair.pieces)] = tuple(p + by for p in pair.pieces)
        yield _relaxed(pair, moved[id(pair.pieces)], spare_m)


def _relaxed(pair: Pair, pieces: tuple[Convex, ...], spare_m: float) -> Pair:
    """The pair with other pieces, that asks no more of a stance than it would, were these moved by any `spare_m`.

    Where claim and thing less than the gap apart would do after a move, the gap shrinks. Beyond that, both
    are eroded: what lies within every copy of a shape moved by at most `e` is the shape offset inward by `e`.
    """
    left = spare_m - pair.gap_m
    if left <= 0.0:
        return evolve(pair, pieces=pieces, gap_m=-left)
    mine, theirs = _breadth(pair.claim.pieces), _breadth(pair.pieces)
    share = left * mine / (mine + theirs)
    claim = evolve(pair.claim, pieces=eroded(pair.claim.pieces, share))
    return evolve(pair, claim=claim, pieces=eroded(pieces, left - share), gap_m=0.0)


def _breadth(pieces: tuple[Convex, ...]) -> float:
    """About how far pieces can be offset inward."""
    return max(2.0 * _area(p) / _around(p) for p in pieces)


def _around(piece: Convex) -> float:
    return math.fsum(math.dist(a, b) for a, b in zip(piece, (*piece[1:], piece[0]), strict=True))


def _area(piece: Convex) -> float:
    x, y = piece[:, 0].tolist(), piece[:, 1].tolist()
    return float(sum(x[i - 1] * y[i] - x[i] * y[i - 1] for i in range(len(x)))) / 2


def eroded(pieces: tuple[Convex, ...], by_m: float) -> tuple[Convex, ...]:
    """Convex pieces offset inward; those too narrow for it are gone."""
    return tuple(less for p in pieces if (less := _inset(p, by_m)) is not None)


def _inset(piece: Convex, by_m: float) -> Convex | None:
    """What of a convex piece lies so far inside each of its edges; None for nothing."""
    ring: list[list[float]] = piece.tolist()
    kept = ring
    for i, (x1, y1) in enumerate(ring):
        x0, y0 = ring[i - 1]
        long = math.hypot(x1 - x0, y1 - y0)
        if long > 0.0:
            nx, ny = (y1 - y0) / long, (x0 - x1) / long
            kept = _cut(kept, nx, ny, nx * x0 + ny * y0 - by_m)
    return np.array(kept) if len(kept) >= 3 else None


def _cut(ring: list[list[float]], nx: float, ny: float, limit: float) -> list[list[float]]:
    """The part of a convex ring with n.p <= limit (Sutherland and Hodgman 1974); [] for none."""
    values = [nx * x + ny * y - limit for x, y in ring]
    if max(values, default=-1.0) <= 0.0:
        return ring
    kept: list[list[float]] = []
    for i, (now, (x, y)) in enumerate(zip(values, ring, strict=True)):
        before = values[i - 1]
        if (before < 0.0 < now) or (now < 0.0 < before):
            (u, v), t = ring[i - 1], before / (before - now)
            kept.append([u + t * (x - u), v + t * (y - v)])
        if now <= 0.0:
            kept.append([x, y])
    return kept
