"""Best stance against an independent branch and bound that knows only how fast things move."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

import cases
import fuller_cases
import numpy as np
import oracle
import pytest
from oracle_lipschitz import bracket
from test_random import SAME_M, slack, ways_of

from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.place.engine import best_stance
from standtrue.place.question.answer import Answer

WITHIN_M = 5e-3
"""How near to the largest margin the independent search comes."""

QUICK = 60_000
"""Boxes after which it gives up a way."""


def known_of(answer: Answer, ways: list[oracle.Way]) -> float:
    """The margin of the answer's stance by the oracle, or where nothing fits the bound told."""
    if answer.fits is not Fits.YES or answer.place is None:
        return -math.inf if answer.bound_m is None else answer.bound_m
    at = np.array([(answer.place.x_m, answer.place.y_m, answer.place.heading_rad)])
    return max(float(oracle.margins(w, at, slack_m=slack(w))[0][0]) for w in ways)


def wrong(case: cases.Case, most: int) -> Iterator[str]:
    """What the independent search holds against best stance; "gave up" where it did not finish."""
    answer = best_stance(Grounds(case.site, case.bay), case.vehicle, case.cards, case.support)
    every = ways_of(case)
    told = [w for w in every if answer.fits is not Fits.YES or len(w.doors) == len(answer.doors_open)]
    known, bound = known_of(answer, told), -math.inf if answer.bound_m is None else answer.bound_m
    if answer.fits is Fits.YES and not math.isclose(known, answer.margin_m or 0.0, abs_tol=SAME_M):
        yield f"the oracle's margin is {known}, not {answer.margin_m}"
    for way in told:
        found = bracket(way, known, WITHIN_M, most)
        if not found.finished:
            yield "gave up"
        elif found.upper > max(known, found.lower) + WITHIN_M:
            yield f"{way.carried_by}: the bracket is wide"
        if found.lower > bound + SAME_M:
            yield f"{way.carried_by} {way.doors}: a stance of margin {found.lower} is better than the bound {bound}"
    for way in (w for w in every if answer.fits is Fits.YES and len(w.doors) < len(answer.doors_open)):
        if bracket(way, 0.0, WITHIN_M, most).lower > WITHIN_M:
            yield f"{way.carried_by}: something fits with no more doors than {way.doors}"


def complaints(make: Callable[[int], cases.Case], seeds: range | tuple[int, ...], most: int = QUICK) -> list[str]:
    return [f"seed {seed}: {what}" for seed in seeds for what in wrong(make(seed), most)]


@pytest.mark.parametrize("seeds", [(0, 2, 3), (6, 10, 11), (13, 15, 18)])
def test_an_independent_search_agrees_with_best_stance(seeds: tuple[int, ...]) -> None:
    assert complaints(cases.make, seeds) == []


@pytest.mark.parametrize("seeds", [(1, 3, 8), (11, 14, 16), (20, 21, 23)])
def test_an_independent_search_agrees_with_doors_plates_arms_bays_and_equipment(seeds: tuple[int, ...]) -> None:
    assert complaints(fuller_cases.make, seeds) == []


@pytest.mark.long
@pytest.mark.parametrize("block", range(20))
def test_an_independent_search_agrees_in_many_cases(block: int) -> None:
    for make in (cases.make, fuller_cases.make):
        told = complaints(make, range(50_000 + 6 * block, 50_006 + 6 * block), 400_000)
        given_up = [t for t in told if t.endswith("gave up")]
        assert [t for t in told if t not in given_up] == []
        # Where the car can slide and turn freely, it takes more boxes than there is time for.
        assert len({t.split(":")[0] for t in given_up}) <= 2
