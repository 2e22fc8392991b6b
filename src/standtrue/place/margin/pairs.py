"""Which claims and things make pairs, what gap each demands, and their packing for the kernels."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from typing import Literal, NamedTuple

import numpy as np
import shapely
from attrs import evolve, frozen
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from standtrue.model.basics import Outline, Side
from standtrue.model.ground import Ground, Thing, Unfloor
from standtrue.model.reason import Length, Reason, Ref, because
from standtrue.model.site import Gaps
from standtrue.place.kernels.bounds import Problem
from standtrue.place.kernels.search import HALVES
from standtrue.place.margin.search import Packed
from standtrue.place.question.claims import Claim
from standtrue.plane.kernels import circles_about, lowest_of
from standtrue.plane.shapes import Convex, outside, pieces_outside, polygon

BAY_EDGE = Ref("bay edge")

KEPT = 16_384
"""So many pairs are kept: one job asks for the same car beside the same things in every state and for every card."""

BAND_M = 1e-9
"""Two height bands meet when they overlap by more than this."""


@frozen(eq=False)
class Pair:
    """A claim that a thing, a void or a deck's edge forbids to come nearer than `gap_m`.

    `own`: the thing belongs to the lift that carries the car. `side`: only one exit strip has to hold.
    `condition`: it must hold, but is no part of the margin.
    """

    claim: Claim
    thing: Ref
    kind: str
    shape: BaseGeometry
    pieces: tuple[Convex, ...]
    gap_m: float
    own: bool = False
    condition: bool = False

    @property
    def side(self) -> Side | None:
        return self.claim.side if self.claim.role == "exit" else None


def pairs_of(
    claims: Sequence[Claim], ground: Ground, driven: Ground, lift: str | None, on_decks: bool
) -> Iterator[Pair]:
    """Every pair of one stance. `driven` is the ground in the state that the car was driven into.

    `lift` carries the car, on its decks or by its body; None on the floor.
    """
    gaps = ground.site.gaps
    edge = ground.deck_edge(lift) if on_decks and lift is not None else None
    for c in claims:
        if c.needs == "plain":
            continue
        if ground.within is not None and c.role in ("body", "wheel"):
            yield _within(c, ground.within)
        on_deck = edge if c.role == "wheel" else None
        if on_deck is not None:
            yield Pair(c, Ref("deck edge", of=lift or ""), "deck edge", *on_deck, gaps.wheel_m, own=True)
        here = driven if c.role == "exit" else ground
        for thing in here.things:
            if _forbids(c, thing, lift):
                own = thing.lift is not None and thing.lift == lift
                yield _apart_from(c, thing, _gap(c, gaps), own)
        if c.role != "person" and (on_deck is None or c.bottom_m <= 0.0):
            yield from _floor_pairs(c, here, lift, gaps, on_deck is not None)


@lru_cache(KEPT)
def _apart_from(c: Claim, thing: Thing, gap_m: float, own: bool) -> Pair:
    """A claim and a thing: in whatever state the site is, the same pair."""
    return Pair(c, thing.ref, thing.kind, thing.shape, thing.pieces, gap_m, own)


@lru_cache(KEPT)
def _off_of(c: Claim, area: Unfloor, gap_m: float) -> Pair:
    return Pair(c, area.ref, area.kind, *_floor_shape(c, area), gap_m)


@lru_cache(KEPT)
def _within(c: Claim, bay: Outline) -> Pair:
    room = polygon(bay)
    return Pair(c, BAY_EDGE, "bay edge", outside(room), pieces_outside(room), 0.0)


def blocked_by_ceiling(claims: Sequence[Claim], ground: Ground) -> Iterator[Reason]:
    """Claims that reach through the ceiling: no place in the shop can help."""
    ceiling = ground.site.clear_height_m
    if ceiling is None:
        return
    for c in claims:
        if c.needs == "plain" or (c.needs == "metal-free" and not ground.site.wall_metal):
            continue
        if c.top_m > ceiling + BAND_M:
            top, over = Length(c.top_m), Length(c.top_m - ceiling)
            yield because("too-high-for-ceiling", part=c.ref, top=top, ceiling=Length(ceiling), over=over)


def _forbids(c: Claim, thing: Thing, lift: str | None) -> bool:
    carrying = thing.lift is not None and thing.lift == lift
    if carrying and (c.own_parts_spared == "all" or (c.own_parts_spared == "decks" and thing.kind == "deck")):
        return False
    if thing.bars_all:
        return True
    if min(c.top_m, thing.top_m) - max(c.bottom_m, thing.bottom_m) <= BAND_M:
        return False
    return c.needs != "metal-free" or thing.metal


def _floor_pairs(c: Claim, ground: Ground, lift: str | None, gaps: Gaps, on_deck: bool) -> Iterator[Pair]:
    """A wheel on a deck at floor level rolls over no floor, but stands as high as that deck lies."""
    if c.needs not in ("stand", "walk"):
        return
    for area in ground.unfloor:
        if on_deck and area.kind != "uneven":
            continue
        if area.kind in ("patch", "uneven") and c.needs == "walk":
            continue
        if area.over and c.ref not in area.over:
            continue
        if c.role == "exit" and lift is not None and area.ref == Ref("ramp", of=lift):
            continue
        if _floor_shape(c, area)[1]:
            gap = gaps.wheel_m if c.role == "wheel" and area.kind == "void" else _zone_gap(c, gaps)
            yield _off_of(c, area, gap)


def _floor_shape(c: Claim, area: Unfloor) -> tuple[BaseGeometry, tuple[Convex, ...]]:
    """Narrow strips of a void carry wheels and people, but not stands."""
    if c.role in ("zone", "equipment") and c.needs == "stand":
        return area.shape, area.pieces
    return area.wheel_shape, area.wheel_pieces


def _gap(c: Claim, gaps: Gaps) -> float:
    if c.role in ("body", "mirror"):
        return gaps.body_m
    return gaps.person_m if c.role == "person" else _zone_gap(c, gaps)


def _zone_gap(c: Claim, gaps: Gaps) -> float:
    return gaps.zone_m if c.role in ("zone", "equipment") else 0.0


@frozen(eq=False)
class Pool:
    """Pairs laid out to be packed: for each its claim and its thing's pieces by number, each once, its gap and size."""

    pairs: Sequence[Pair]
    claims: tuple[Claim, ...]
    things: tuple[tuple[Convex, ...], ...]
    claim_of: NDArray[np.int64]
    thing_of: NDArray[np.int64]
    gaps: NDArray[np.float64]
    areas: NDArray[np.float64]
    conditions: NDArray[np.bool_]

    @classmethod
    def of(cls, pairs: Sequence[Pair]) -> Pool:
        claims = {id(p.claim): p.claim for p in pairs}
        things = {id(p.pieces): p.pieces for p in pairs}
        claim_at, thing_at = ({key: n for n, key in enumerate(own)} for own in (claims, things))
        return cls(
            pairs,
            tuple(claims.values()),
            tuple(things.values()),
            np.array([claim_at[id(p.claim)] for p in pairs], dtype=np.int64),
            np.array([thing_at[id(p.pieces)] for p in pairs], dtype=np.int64),
            np.array([p.gap_m for p in pairs], dtype=np.float64),
            shapely.area([p.shape for p in pairs]),
            np.array([p.condition for p in pairs], dtype=np.bool_),
        )


@frozen(eq=False)
class Base:
    """Pairs packed once, to be asked with others beside them. `zones` are each claim's rows, by its identity."""

    packed: Packed
    zones: Mapping[int, range]
    count: int

    def plus(self, pairs: Sequence[Pair]) -> Packed:
        """What was packed, and these pairs too; of two exit strips the better counts."""
        if not pairs:
            return self.packed
        q, packed = self.packed.problem, self.packed
        every = np.arange(len(pairs))
        rows = _rows(Pool.of(pairs), every, None, dict(self.zones), len(q.zone_at) - 1, len(q.thing_at) - 1)
        zones = [z - packed.reference for z in rows.zones]
        things = [_turned(t, packed.axis_rad) for t in rows.things]
        lows = [lowest_of(t, np.array([0, len(t)])) for t in things]
        about = [circles_about(z, np.array([0, len(z)])) for z in zones]
        problem = q._replace(
            zones=np.concatenate([q.zones, *zones]),
            zone_at=np.concatenate([q.zone_at, q.zone_at[-1] + _offsets(zones)[1:]]),
            things=np.concatenate([q.things, *things]),
            thing_at=np.concatenate([q.thing_at, q.thing_at[-1] + _offsets(things)[1:]]),
            pairs=np.concatenate([q.pairs, rows.pairs]),
            gaps=np.concatenate([q.gaps, rows.gaps]),
            floors=np.concatenate([q.floors, rows.limits]),
            sides=np.concatenate([q.sides, _sides_of(pairs, rows.sources, True)]),
            lows=np.concatenate([q.lows, *lows]),
            circles=np.concatenate([q.circles, *(circle for circle, _ in about)]),
            arms=np.concatenate([q.arms, *(arm for _, arm in about)]),
        )
        sources = np.concatenate([packed.sources, rows.sources + self.count])
        return evolve(packed, problem=problem, sources=sources)


def pack(
    pairs: Sequence[Pair] | Pool,
    origins: tuple[float, float, float, float],
    side: Side | Literal["either"] | None = None,
    floors: Sequence[float] | None = None,
    headings: tuple[float, float] | None = None,
    axis_rad: float = 0.0,
    among: NDArray[np.int64] | None = None,
) -> Packed:
    """Pack pairs for the search.

    `origins` bounds where the vehicle's origin can be. With `side`, only that exit strip is asked; with
    `"either"` the better of both.
    `floors` gives, for each pair, nan or the margin that it must keep without counting; a condition must keep 0.
    `headings`, center and half-width, bounds the heading. The search works in axes turned by `axis_rad`: along the
    walls its boxes are long, and few. It makes the rotation cores itself: the sweep has its own. `among` are the
    numbers of the pairs asked for; by default all.
    """
    return base_of(pairs, origins, side, floors, headings, axis_rad, among).packed


def base_of(
    pairs: Sequence[Pair] | Pool,
    origins: tuple[float, float, float, float],
    side: Side | Literal["either"] | None = "either",
    floors: Sequence[float] | None = None,
    headings: tuple[float, float] | None = None,
    axis_rad: float = 0.0,
    among: NDArray[np.int64] | None = None,
) -> Base:
    """As `pack`, to be asked with other pairs beside these."""
    pool = pairs if isinstance(pairs, Pool) else Pool.of(pairs)
    # Conditions first, then the largest things: they leave the least for all others to look at.
    asked = np.arange(len(pool.pairs)) if among is None else among
    if side != "either":
        asked = asked[[pool.pairs[i].side in (None, side) for i in asked]]
    chosen = asked[np.lexsort((-pool.areas[asked], ~pool.conditions[asked]))]
    zones: dict[int, range] = {}
    rows = _rows(pool, chosen, floors, zones)
    sides = _sides_of(pool.pairs, rows.sources, side == "either")
    problem, reference = _problem(rows, sides, axis_rad)
    arm = math.hypot(*reference)
    # All headings: about those along the walls, where cars just fit.
    center, half = headings if headings is not None else (axis_rad + math.pi, math.pi)
    x0, y0, x1, y1 = bounds_in(axis_rad, origins)
    domain = (x0 - arm, y0 - arm, x1 + arm, y1 + arm, center - axis_rad, half)
    return Base(Packed(problem, reference, domain, rows.sources, axis_rad), zones, len(pool.pairs))


class _Rows(NamedTuple):
    """Pieces, each once, and a row for every pair of them: its gap, what it must keep, and the pair it comes from."""

    zones: list[Convex]
    things: list[Convex]
    pairs: NDArray[np.int64]
    gaps: NDArray[np.float64]
    limits: NDArray[np.float64]
    sources: NDArray[np.int64]


def _rows(
    pool: Pool,
    chosen: NDArray[np.int64],
    floors: Sequence[float] | None,
    zone_index: dict[int, range],
    zones_before: int = 0,
    things_before: int = 0,
) -> _Rows:
    """`zone_index`: the claims whose pieces are known already; the numbers of new ones go on from those before."""
    zones: list[Convex] = []
    things: list[Convex] = []
    own = [(id(c), c.pieces) for c in pool.claims]
    zone, zone_count = _placed(zone_index, zones, own, pool.claim_of[chosen], zones_before)
    theirs = [(id(pieces), pieces) for pieces in pool.things]
    thing, thing_count = _placed({}, things, theirs, pool.thing_of[chosen], things_before)
    # Every piece of the claim with every piece of the thing.
    counts = zone_count * thing_count
    number = np.arange(int(counts.sum())) - np.repeat(np.cumsum(counts) - counts, counts)
    of_claim, of_thing = np.divmod(number, np.repeat(thing_count, counts))
    rows = np.column_stack([np.repeat(zone, counts) + of_claim, np.repeat(thing, counts) + of_thing])
    limits = np.full(len(chosen), math.nan) if floors is None else np.array(floors, dtype=np.float64)[chosen]
    limits[pool.conditions[chosen]] = 0.0
    gap, limit = np.repeat(pool.gaps[chosen], counts), np.repeat(limits, counts)
    return _Rows(zones, things, rows, gap, limit, np.repeat(chosen, counts))


def _problem(rows: _Rows, sides: NDArray[np.int64], axis_rad: float) -> tuple[Problem, tuple[float, float]]:
    """The rows about a reference point in the middle of all zones, and where that lies in the vehicle frame."""
    spread = np.concatenate(rows.zones)
    rx, ry = ((spread.min(axis=0) + spread.max(axis=0)) / 2).tolist()
    moved = spread - np.array([rx, ry])
    zone_at, thing_at = _offsets(rows.zones), _offsets(rows.things)
    circles, arms = circles_about(moved, zone_at)
    solids = _turned(np.concatenate(rows.things), axis_rad)
    problem = Problem(
        moved,
        zone_at,
        solids,
        thing_at,
        rows.pairs,
        rows.gaps,
        rows.limits,
        sides,
        lowest_of(solids, thing_at),
        circles,
        arms,
        np.empty((0, 2)),
        np.zeros(1, dtype=np.int64),
        HALVES,
    )
    return problem, (rx, ry)


def _turned(points: Convex, axis_rad: float) -> Convex:
    """Points of the site frame, in axes turned by `axis_rad`."""
    c, s = math.cos(axis_rad), math.sin(axis_rad)
    return points @ np.array([[c, -s], [s, c]]) if axis_rad else points


def bounds_in(axis_rad: float, bounds: tuple[float, float, float, float]) -> tuple[float, float, float, float]:
    """The bounds, in the turned axes, of a box of the site frame."""
    x0, y0, x1, y1 = bounds
    corners = _turned(np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1)]), axis_rad)
    (left, low), (right, high) = corners.min(axis=0).tolist(), corners.max(axis=0).tolist()
    return left, low, right, high


def exit_sides(pairs: Sequence[Pair]) -> tuple[Side | None, ...]:
    """The exit strips of which one must be free; (None,) where none is asked for."""
    return tuple(sorted({p.side for p in pairs if p.side is not None})) or (None,)


def _sides_of(pairs: Sequence[Pair], sources: NDArray[np.int64], either: bool) -> NDArray[np.int64]:
    """For each row 1 if it belongs to the left exit strip, 2 to the right one, 0 if to neither or to the one asked."""
    if not either:
        return np.zeros(len(sources), dtype=np.int64)
    codes = {None: 0, "left": 1, "right": 2}
    return np.array([codes[p.side] for p in pairs], dtype=np.int64)[sources]


def _placed(
    index: dict[int, range],
    store: list[Convex],
    every: Sequence[tuple[int, tuple[Convex, ...]]],
    asked: NDArray[np.int64],
    before: int,
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """The number of the first piece of each that is asked for, and how many it has; new ones are put into store and
    index as they come."""
    numbers, first, which = np.unique(asked, return_index=True, return_inverse=True)
    start, count = np.empty(len(numbers), dtype=np.int64), np.empty(len(numbers), dtype=np.int64)
    for n in np.argsort(first).tolist():
        key, pieces = every[numbers[n]]
        if key not in index:
            index[key] = range(before + len(store), before + len(store) + len(pieces))
            store.extend(pieces)
        start[n], count[n] = index[key].start, len(index[key])
    return start[which], count[which]


def _offsets(pieces: Sequence[Convex]) -> np.ndarray[tuple[int], np.dtype[np.int64]]:
    return np.concatenate([[0], np.cumsum([len(p) for p in pieces])]).astype(np.int64)
