"""How often any-fit decides on hard cases, and that it is never wrong against three others that know better.

They are best stance, whose witnesses the slow second reading measures by shapely, and that reading's random search.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator

import cases
import fuller_cases
import numpy as np
import oracle
import pytest
from attrs import evolve
from test_random import SAME_M, UNDECIDED_M, same_ways, slack, ways_of

from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.place.engine import any_fit, best_stance
from standtrue.place.question.answer import Answer

DECIDED = 0.9995


def hard(seed: int) -> cases.Case:
    """A case near the limit of fitting; now and then one with doors, plates, arms, bays, equipment or variants."""
    if seed % 10 == 5:
        return fuller_cases.make(seed)
    case, rng = cases.make(seed), np.random.default_rng([19, seed])
    return evolve(case, site=cases.spoiled(rng, case.site)) if rng.random() < 0.2 else case


def against_best(fits: Fits, answer: Answer, ways: list[oracle.Way]) -> Iterator[str]:
    """What best stance, and its witness measured by shapely, hold against a yes or no."""
    if Fits.UNDECIDED not in (fits, answer.fits) and fits != answer.fits:
        yield f"best stance says {answer.fits}, any fit {fits}"
    if fits is Fits.UNDECIDED and (answer.bound_m is None or not 0.0 <= answer.bound_m <= UNDECIDED_M):
        yield f"undecided, and best stance tells a bound of {answer.bound_m}"
    if answer.fits is Fits.YES and answer.place is not None:
        at = np.array([(answer.place.x_m, answer.place.y_m, answer.place.heading_rad)])
        named = same_ways(answer, ways)
        if max((float(oracle.margins(w, at, slack_m=slack(w))[0][0]) for w in named), default=-math.inf) < -SAME_M:
            yield "best stance's witness does not fit by shapely"


def against_random(case: cases.Case, ways: list[oracle.Way], count: int, rounds: int) -> Iterator[str]:
    """Stances of the random search, and those planted, that fit where any-fit says that none does."""
    rng = np.random.default_rng([23, case.seed])
    for way in ways:
        tried = oracle.random_search(way, count, rng, case.planted, climbers=6, rounds=rounds)
        best = int(tried.margins.argmax())
        if tried.margins[best] >= 0.0:
            yield f"{way.carried_by}: a stance of margin {tried.margins[best]} at {tried.stances[best]}"


def tally(seeds: range, count: int, rounds: int) -> tuple[Counter[Fits], list[str]]:
    """How often it says what, and everything held against it."""
    said: Counter[Fits] = Counter()
    told: list[str] = []
    for case in map(hard, seeds):
        grounds, ways = Grounds(case.site, case.bay), ways_of(case)
        fits = any_fit(grounds, case.vehicle, case.cards, case.support)
        said[fits] += 1
        answer = best_stance(grounds, case.vehicle, case.cards, case.support)
        told += [f"seed {case.seed}: {what}" for what in against_best(fits, answer, ways)]
        if fits is Fits.NO:
            told += [f"seed {case.seed}: {what}" for what in against_random(case, ways, count, rounds)]
    total = said.total()
    figures = f"{said[Fits.NO] / total:.1%} do not fit, {said[Fits.UNDECIDED] / total:.2%} undecided, {len(told)} wrong"
    print(f"any-fit, {total} hard cases: {figures}")
    return said, told


@pytest.mark.parametrize("block", range(3))
def test_any_fit_decides_hard_cases_and_is_never_wrong(block: int) -> None:
    said, told = tally(range(80_000 + 100 * block, 80_100 + 100 * block), 40, 5)
    assert told == []
    assert said[Fits.UNDECIDED] <= (1.0 - DECIDED) * said.total()
    assert 0.3 < said[Fits.NO] / said.total() < 0.6


@pytest.mark.long
def test_any_fit_decides_six_thousand_hard_cases_and_is_never_wrong() -> None:
    said, told = tally(range(90_000, 96_000), 150, 8)
    assert told == []
    assert said[Fits.UNDECIDED] <= (1.0 - DECIDED) * said.total()
