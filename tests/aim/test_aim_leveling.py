"""Leveling loops: a worked level book, closed forms of the adjustment, and uncertainties by simulation."""

from __future__ import annotations

import math

import numpy as np
import pytest
from attrs import evolve

from standtrue.aim.leveling import adjust_loops, closure
from standtrue.aim.surveyed import read_survey
from standtrue.model.survey import Loop, Sight, Survey, SurveyPoint

BOOK = Loop(
    "bay",
    0.0005,
    (
        Sight("A", back_m=1.412),
        Sight("B", fore_m=1.305, back_m=1.288),
        Sight("x", fore_m=1.300),
        Sight("C", fore_m=1.351, back_m=1.402),
        Sight("D", fore_m=1.398, back_m=1.377),
        Sight("A", fore_m=1.421),
    ),
)
"""Rises: B +0.107, C -0.063, D +0.004, A -0.044: they add to +0.004 m. x lies 12 mm below B's staff."""


def test_a_level_book_is_closed_and_shared_out() -> None:
    """Each of n changes of the instrument takes -w / n of a misclosure w (equal weights; any textbook of surveying)."""
    told = closure(BOOK)
    assert told.misclosure_m == pytest.approx(0.004, abs=1e-12)
    assert told.u_m == pytest.approx(0.0005 * math.sqrt(8))
    assert told.allowed_m == pytest.approx(0.001 * math.sqrt(8))
    assert not told.closes
    found = adjust_loops([BOOK], {})
    heights = dict(zip(found.names, found.heights.value, strict=True))
    assert heights["A"] == pytest.approx(0.0, abs=1e-12)
    assert heights["B"] == pytest.approx(0.107 - 0.001)
    assert heights["C"] == pytest.approx(0.044 - 0.002)
    assert heights["D"] == pytest.approx(0.048 - 0.003)
    assert closure(evolve(BOOK, u_m=0.001)).closes


def test_uncertainties_of_a_closed_loop_in_closed_form() -> None:
    """A height m of n changes along a closed loop has the variance 2 u^2 m (n - m) / n."""
    found = adjust_loops([BOOK], {})
    for steps, name in enumerate(("A", "B", "C", "D")):
        i = found.names.index(name)
        assert found.heights.covariance[i, i] == pytest.approx(2 * 0.0005**2 * steps * (4 - steps) / 4, abs=1e-15)


def test_repeated_loops_spread_as_is_told() -> None:
    """Monte Carlo (JCGM 101): 4,000 loops with the same truth, a side shot and a typed height among them."""
    rng = np.random.default_rng(6)
    typed = {"C": SurveyPoint((0.0, 0.0), 0.5, 0.001, "C")}
    exact = evolve(BOOK, sights=(*BOOK.sights[:-1], Sight("A", fore_m=1.425)))
    told = adjust_loops([exact], typed)
    rows = []
    for _ in range(4000):
        e = iter(rng.normal(0.0, 0.0005, 12))
        sights = tuple(
            Sight(
                s.point,
                None if s.back_m is None else s.back_m + next(e),
                None if s.fore_m is None else s.fore_m + next(e),
            )
            for s in exact.sights
        )
        tie = {"C": evolve(typed["C"], height_m=0.5 + float(rng.normal(0.0, 0.001)))}
        rows.append(adjust_loops([evolve(exact, sights=sights)], tie).heights.value)
    spread = np.cov(np.array(rows).T)
    scale = np.sqrt(np.outer(np.diag(spread), np.diag(spread)))
    assert told.heights.covariance / scale == pytest.approx(spread / scale, abs=0.07)
    assert float(np.mean(np.array(rows), axis=0)[told.names.index("C")]) == pytest.approx(0.5, abs=1e-4)


def test_loops_close_by_chance_as_often_as_told() -> None:
    """k = 2: 95.4 % of loops without a blunder close."""
    rng = np.random.default_rng(11)
    closed = 0
    for _ in range(2000):
        e = rng.normal(0.0, 0.0005, 8)
        sights = [Sight("A", back_m=1.4 + e[0])]
        sights += [Sight(n, fore_m=1.3 + e[2 * i + 1], back_m=1.3 + e[2 * i + 2]) for i, n in enumerate("BCD")]
        closed += closure(evolve(BOOK, sights=(*sights, Sight("A", fore_m=1.4 + e[7])))).closes
    assert closed / 2000 == pytest.approx(0.9545, abs=2 * math.sqrt(0.9545 * 0.0455 / 2000))


def test_points_take_their_heights_from_loops_and_nothing_rests_on_an_open_one() -> None:
    """Heights that loops carry are known together: two points far along one loop share their errors."""
    leveled = (("B", (5.0, 0.0)), ("C", (5.0, 5.0)), ("D", (0.0, 5.0)), ("x", (5.0, 2.0)))
    survey = Survey("book", "hall", (SurveyPoint((0.0, 0.0), 0.1, 0.0002, "A"),), loops=(BOOK,), leveled=leveled)
    read = read_survey(survey)
    assert [p.name for p in read.floor.points] == ["A", "B", "C", "D", "x"]
    assert read.floor.points[1].height_m == pytest.approx(0.1 + 0.106)
    assert read.doubtful == {0, 1, 2, 3, 4}
    closing = read_survey(evolve(survey, loops=(evolve(BOOK, u_m=0.0015),)))
    assert closing.doubtful == frozenset()
    correlated = closing.floor.covariance
    assert correlated[2, 3] > 0.2 * math.sqrt(correlated[2, 2] * correlated[3, 3])
