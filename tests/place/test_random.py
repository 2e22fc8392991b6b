"""The engine against the oracle on random hard cases: witnesses, certificates, bounds, yes or no."""

from __future__ import annotations

import math
from collections.abc import Iterator

import cases
import numpy as np
import oracle
import pytest

from standtrue.model.ground import Grounds
from standtrue.place.answer import Answer
from standtrue.place.engine import any_fit, best_stance

SAME_M = 1e-6
SHARES = {"floor": 1e-3, "lift down": 2e-3, "lift up": 2e-3}
UNDECIDED_M = 2e-3


def wrong_witness(case: cases.Case, answer: Answer, ways: list[oracle.Way]) -> Iterator[str]:
    """What the oracle holds against the stance of a yes."""
    assert answer.place is not None
    assert answer.margin_m is not None
    assert answer.bound_m is not None
    at = (answer.place.x_m, answer.place.y_m, answer.place.heading_rad)
    way = next((w for w in ways if w.carried_by == answer.carried_by), None)
    if way is None or abs(way.height_m - answer.height_m) > SAME_M:
        yield f"carried by {answer.carried_by} at {answer.height_m}"
        return
    margin = float(oracle.margins(way, np.array([at]))[0][0])
    if margin < -SAME_M or abs(margin - answer.margin_m) > SAME_M:
        yield f"the oracle's margin is {margin}, not {answer.margin_m}"
    if answer.bound_m - answer.margin_m > SHARES[case.support] + SAME_M:
        yield f"the bound {answer.bound_m} is far from {answer.margin_m}"
    pairs = oracle.pairs_at(way, at)
    for touch in answer.touches:
        gaps = [p for p in pairs if abs(p[3] - touch.gap_m) < SAME_M]
        known = any(abs(p[2] - touch.separation_m) < SAME_M for p in gaps)
        known |= any(p[1] == "void" and p[2] < touch.separation_m for p in gaps if touch.kind == "void")
        if touch.separation_m > 0.0 and not known:
            yield f"no such pair: {touch}"


def wrong_rank(answer: Answer, way: oracle.Way, tried: oracle.Searched) -> Iterator[str]:
    """A stance surely within 1 mm of the largest margin must not be much freer than the answer's."""
    voids = any(name == "void" for d in way.demands if d.claim.role == "zone" for name, _ in d.parts)
    assert answer.bound_m is not None
    assert answer.free_m is not None
    near = tried.stances[tried.margins >= max(answer.bound_m - 1e-3, 0.0)]
    if len(near) and not voids:
        freest = float(oracle.margins(way, near, free=True)[0].max())
        if freest > answer.free_m + 1e-3:
            yield f"{way.carried_by}: {freest} free, {answer.free_m} told"


def wrong(seed: int, count: int) -> Iterator[str]:
    """Everything that the oracle holds against the engine on one case."""
    case = cases.make(seed)
    grounds = Grounds(case.site)
    answer = best_stance(grounds, case.vehicle, case.cards, case.support)
    fits = any_fit(grounds, case.vehicle, case.cards, case.support)
    if "undecided" not in (fits, answer.fits) and fits != answer.fits:
        yield f"best stance says {answer.fits}, any fit {fits}"
    if "undecided" in (fits, answer.fits) and (answer.bound_m is None or not 0.0 <= answer.bound_m <= UNDECIDED_M):
        yield f"undecided at a bound of {answer.bound_m}"
    ways = oracle.ways(case.site, case.vehicle, case.cards, case.support)
    if answer.fits is True:
        yield from wrong_witness(case, answer, ways)
    elif answer.bound_m is None and not all(w.blocked for w in ways):
        yield f"no bound, and nothing rules it out: {answer.because}"
    bound = -math.inf if answer.bound_m is None else answer.bound_m
    shown = [(p.x_m, p.y_m, p.heading_rad) for p in [answer.shown] if p is not None]
    rng = np.random.default_rng([11, seed])
    for way in ways:
        tried = oracle.random_search(way, count, rng, (*case.planted, *shown))
        best = int(tried.margins.argmax())
        if answer.fits is False and tried.margins[best] >= 0.0:
            yield f"{way.carried_by}: a stance of margin {tried.margins[best]} at {tried.stances[best]}"
        over = tried.clean & (tried.margins > bound + SAME_M)
        if over.any():
            yield f"{way.carried_by}: {tried.margins[over].max()} is better than the bound {bound}"
        if answer.fits is True and case.support != "floor":
            yield from wrong_rank(answer, way, tried)


def complaints(seeds: range, count: int) -> list[str]:
    return [f"seed {seed}: {what}" for seed in seeds for what in wrong(seed, count)]


@pytest.mark.parametrize("block", range(20))
def test_the_oracle_finds_nothing_wrong(block: int) -> None:
    assert complaints(range(block * 25, block * 25 + 25), 250) == []


@pytest.mark.long
@pytest.mark.parametrize("block", range(100))
def test_the_oracle_finds_nothing_wrong_in_many_cases(block: int) -> None:
    assert complaints(range(1000 + block * 50, 1050 + block * 50), 400) == []
