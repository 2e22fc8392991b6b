"""The search at the rim of conditions and near the limit of fitting, and the linear programs that it climbs by."""

from __future__ import annotations

import fuller_cases
import numpy as np
import oracle
import pytest
from scipy.optimize import linprog
from test_random import same_ways, slack, ways_of

from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.place.engine import any_fit, best_stance
from standtrue.place.kernels.climb import _simplex


@pytest.mark.parametrize("seed", [29, 121, 1003, 1102, 2017, 2077])
def test_where_conditions_leave_millimeters_the_bound_is_near_and_the_nearest_miss_meets_them(seed: int) -> None:
    case = fuller_cases.make(seed)
    answer = best_stance(Grounds(case.site, case.bay), case.vehicle, case.cards, case.support)
    assert not answer.limited
    assert answer.nearest_miss is not None
    at = np.array([(answer.nearest_miss.x_m, answer.nearest_miss.y_m, answer.nearest_miss.heading_rad)])
    named = same_ways(answer, ways_of(case))
    assert max(float(oracle.margins(w, at, slack_m=slack(w))[0][0]) for w in named) > -oracle.BROKEN_M


@pytest.mark.parametrize("seed", [1308, 1623, 1722])
def test_best_stance_decides_within_the_tolerance_of_the_limit(seed: int) -> None:
    case = fuller_cases.make(seed)
    grounds = Grounds(case.site, case.bay)
    answer = best_stance(grounds, case.vehicle, case.cards, case.support)
    assert answer.fits == any_fit(grounds, case.vehicle, case.cards, case.support)
    assert answer.fits is not Fits.NO or (answer.bound_m is not None and answer.bound_m < 0.0)


def test_the_linear_programs_are_solved_as_a_library_solves_them() -> None:
    rng = np.random.default_rng(5)
    for _ in range(200):
        m = int(rng.integers(1, 20))
        table = np.zeros((m + 4, 8))
        table[:m, :6] = rng.normal(size=(m, 6))
        table[:m, 6] = rng.random(m) < 0.8
        table[0, 6] = 1.0
        table[:m, 7] = np.where(rng.random(m) < 0.3, 0.0, rng.uniform(0.0, 2.0, m))
        for j in range(3):
            table[m + j, 2 * j : 2 * j + 2], table[m + j, 7] = 1.0, 0.5
        table[m + 3, 6] = 1.0
        known = linprog(-table[m + 3, :7], A_ub=table[: m + 3, :7], b_ub=table[: m + 3, 7], method="highs")
        found = np.zeros(3)
        gain = _simplex(table, m + 3, np.empty(m + 3, np.int64), np.empty(7, np.int64), found)
        assert gain == pytest.approx(-known.fun, abs=1e-7)
        assert np.abs(found).max() <= 0.5 + 1e-9
