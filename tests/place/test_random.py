"""The engine against the oracle on random hard cases: witnesses, certificates, bounds, yes or no."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from itertools import combinations

import cases
import fuller_cases
import numpy as np
import oracle
import pytest
import shapely
from attrs import evolve
from numpy.typing import NDArray

from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.place.engine import any_fit, best_stance, region
from standtrue.place.question.answer import Answer

SAME_M = 1e-6
SHARES = {"floor": 1e-3, "lift down": 2e-3, "lift up": 2e-3}
UNDECIDED_M = 2e-3
SAGITTA_M = 1.1e-3
"""How far outside an arm's ring sector the engine may see it reach: a polygon that contains the sector."""


def ways_of(case: cases.Case) -> list[oracle.Way]:
    """Every way to carry the car, with every choice of doors that may stand open; fewest doors first."""
    openable = [d.name for d in case.site.doors if d.may_stand_open and d.apron is not None]
    choices = [c for count in range(len(openable) + 1) for c in combinations(openable, count)]
    return [
        way
        for doors in choices
        for way in oracle.ways(case.site, case.vehicle, case.cards, case.support, case.bay, doors)
    ]


def slack(way: oracle.Way) -> float:
    return SAGITTA_M if way.arms else SAME_M


def same_ways(answer: Answer, ways: list[oracle.Way]) -> list[oracle.Way]:
    """The ways that the answer names: several where it stands on the floor on one lift's plates."""
    return [
        w
        for w in ways
        if w.carried_by == answer.carried_by
        and sorted(w.doors) == sorted(answer.doors_open)
        and w.variants == answer.variants
        and abs(w.height_m - answer.height_m) < SAME_M
    ]


def wrong_witness(case: cases.Case, answer: Answer, ways: list[oracle.Way]) -> Iterator[str]:
    """What the oracle holds against the stance of a yes."""
    assert answer.place is not None
    assert answer.margin_m is not None
    assert answer.bound_m is not None
    at = (answer.place.x_m, answer.place.y_m, answer.place.heading_rad)
    named = same_ways(answer, ways)
    if not named:
        yield f"carried by {answer.carried_by} at {answer.height_m}, {answer.doors_open}, {answer.variants}"
        return
    told = [float(oracle.margins(w, np.array([at]), slack_m=slack(w))[0][0]) for w in named]
    margin, way = max(told), named[int(np.argmax(told))]
    if margin < -SAME_M or abs(margin - answer.margin_m) > SAME_M:
        yield f"the oracle's margin is {margin}, not {answer.margin_m}"
    if not answer.limited and answer.bound_m - answer.margin_m > SHARES[case.support] + SAME_M:
        yield f"the bound {answer.bound_m} is far from {answer.margin_m}"
    pairs = oracle.pairs_at(way, at)
    for touch in answer.touches:
        gaps = [p for p in pairs if abs(p[3] - touch.gap_m) < SAME_M]
        known = any(abs(p[2] - touch.separation_m) < SAME_M for p in gaps)
        known |= any(p[1] == touch.kind and p[2] < touch.separation_m for p in gaps if touch.kind in ("void", "wall"))
        if touch.separation_m > 0.0 and not known:
            yield f"no such pair: {touch}"


def wrong_rank(answer: Answer, way: oracle.Way, tried: oracle.Searched) -> Iterator[str]:
    """A stance surely within 1 mm of the largest margin must not be much freer than the answer's."""
    voids = any(name == "void" for d in way.demands if d.claim.role == "zone" for name, _ in d.parts)
    assert answer.bound_m is not None
    assert answer.free_m is not None
    least = max(answer.bound_m - 1e-3, 0.0)
    for side in {c.side for c in way.claims} - {None} or {None}:
        one = one_sided(way, side)
        near = tried.stances[tried.margins >= least]
        near = near[oracle.margins(one, near)[0] >= least] if len(near) else near
        if len(near) and not voids:
            freest = float(oracle.margins(one, near, free=True)[0].max())
            if freest > answer.free_m + 1e-3:
                yield f"{way.carried_by}: {freest} free, {answer.free_m} told"


def one_sided(way: oracle.Way, side: str | None) -> oracle.Way:
    """The way with one exit strip asked for: a strip that the lift's own posts bar is none, however free it is else."""
    kept = [evolve(d, claim=evolve(d.claim, side=None)) for d in way.demands if d.claim.side in (None, side)]
    return evolve(way, demands=tuple(kept))


def wrong_way(case: cases.Case, answer: Answer, way: oracle.Way, count: int, rng: np.random.Generator) -> Iterator[str]:
    """What stances of one way hold against the answer."""
    more = len(way.doors) - len(answer.doors_open)
    if answer.fits is Fits.YES and more > 0:
        # Whatever may stand there with more doors open says nothing against the answer.
        return
    shown = [(p.x_m, p.y_m, p.heading_rad) for p in [answer.shown] if p is not None]
    tried = oracle.random_search(way, count, rng, (*case.planted, *shown))
    best = int(tried.margins.argmax())
    told = f"{way.carried_by} {way.doors} {way.variants}"
    if answer.fits is Fits.NO and tried.margins[best] >= 0.0:
        yield f"{told}: a stance of margin {tried.margins[best]} at {tried.stances[best]}"
    if answer.fits is Fits.YES and more < 0 and tried.margins[best] >= UNDECIDED_M:
        yield f"{told}: a stance of margin {tried.margins[best]} with fewer doors than {answer.doors_open}"
    bound = -math.inf if answer.bound_m is None else answer.bound_m
    over = tried.clean & (tried.margins > bound + SAME_M)
    if over.any():
        yield f"{told}: {tried.margins[over].max()} is better than the bound {bound}"
    if answer.fits is Fits.YES and case.support != "floor" and more == 0 and not way.arms:
        yield from wrong_rank(answer, way, tried)


def wrong_region(answer: Answer, ways: list[oracle.Way], rng: np.random.Generator) -> Iterator[str]:
    """What the oracle holds against the region at the answer's heading."""
    named = same_ways(answer, ways)
    if not named or answer.shown is None:
        return
    heading = answer.shown.heading_rad
    (part,) = region(answer, [heading])
    inside = shapely.union_all([shapely.Polygon(outer, holes) for outer, holes in part.polygons])
    near = rng.normal((answer.shown.x_m, answer.shown.y_m), 0.3, (60, 2))
    if not inside.is_empty:
        near = np.vstack([near, shapely.get_coordinates(shapely.segmentize(inside, 0.3))[:100]])
    points = near + rng.normal(0.0, 1e-3, near.shape)
    within = shapely.contains(inside, shapely.points(points))

    def best(shift: tuple[float, float], slack_m: float) -> NDArray[np.float64]:
        stances = np.column_stack([points + shift, np.full(len(points), heading)])
        return np.asarray(np.max([oracle.margins(w, stances, slack_m=slack_m)[0] for w in named], axis=0))

    loose = max(slack(w) for w in named)
    if best((0.0, 0.0), loose)[within].min(initial=math.inf) < -SAME_M:
        yield "a point of the region does not fit"
    shifts = [(0.0, 0.0), (2e-4, 0.0), (-2e-4, 0.0), (0.0, 2e-4), (0.0, -2e-4)]
    sure = np.min([best(s, 0.0) for s in shifts], axis=0)
    if sure[~within].max(initial=-math.inf) > 2e-4:
        yield "a point outside the region fits"


def wrong(case: cases.Case, count: int) -> Iterator[str]:
    """Everything that the oracle holds against the engine on one case."""
    grounds = Grounds(case.site, case.bay)
    answer = best_stance(grounds, case.vehicle, case.cards, case.support)
    fits = any_fit(grounds, case.vehicle, case.cards, case.support)
    if Fits.UNDECIDED not in (fits, answer.fits) and fits != answer.fits:
        yield f"best stance says {answer.fits}, any fit {fits}"
    if Fits.UNDECIDED in (fits, answer.fits) and (answer.bound_m is None or not 0.0 <= answer.bound_m <= UNDECIDED_M):
        yield f"undecided at a bound of {answer.bound_m}"
    ways = ways_of(case)
    if answer.fits is Fits.YES:
        yield from wrong_witness(case, answer, ways)
    elif answer.bound_m is None and not answer.because:
        yield "no bound, and nothing rules it out"
    rng = np.random.default_rng([11, case.seed])
    for way in ways:
        yield from wrong_way(case, answer, way, count, rng)


def complaints(make: Callable[[int], cases.Case], seeds: range, count: int) -> list[str]:
    return [f"seed {seed}: {what}" for seed in seeds for what in wrong(make(seed), count)]


def region_complaints(seeds: range) -> list[str]:
    told = []
    for case in map(fuller_cases.make, seeds):
        answer = best_stance(Grounds(case.site, case.bay), case.vehicle, case.cards, case.support)
        rng = np.random.default_rng([17, case.seed])
        told += [f"seed {case.seed}: {what}" for what in wrong_region(answer, ways_of(case), rng)]
    return told


@pytest.mark.parametrize("block", range(20))
def test_the_oracle_finds_nothing_wrong(block: int) -> None:
    assert complaints(cases.make, range(block * 25, block * 25 + 25), 250) == []


@pytest.mark.parametrize("block", range(10))
def test_the_oracle_finds_nothing_wrong_with_doors_plates_arms_bays_and_equipment(block: int) -> None:
    assert complaints(fuller_cases.make, range(block * 18, block * 18 + 18), 150) == []


def test_the_strip_told_is_the_one_by_which_a_stance_was_ranked() -> None:
    """Decks cap the margin by either strip alike; the lift's own post stands in the one with less room besides."""
    assert complaints(fuller_cases.make, range(3863, 3864), 400) == []


@pytest.mark.parametrize("block", range(4))
def test_the_oracle_finds_nothing_wrong_with_regions(block: int) -> None:
    assert region_complaints(range(30_000 + block * 12, 30_012 + block * 12)) == []


@pytest.mark.long
@pytest.mark.parametrize("block", range(100))
def test_the_oracle_finds_nothing_wrong_in_many_cases(block: int) -> None:
    assert complaints(cases.make, range(1000 + block * 50, 1050 + block * 50), 400) == []
    assert complaints(fuller_cases.make, range(1000 + block * 50, 1050 + block * 50), 400) == []
    assert region_complaints(range(31_000 + block * 12, 31_012 + block * 12)) == []
