"""Misread heights of surveys: how often a blunder is named, and how often a sound floor is questioned."""

from __future__ import annotations

import numpy as np
import pytest
from attrs import evolve
from survey_floors import U_M, surveyed_floor_of

from standtrue.aim.survey_blunders import misread_heights
from standtrue.model.survey import SurveyPoint

SIZES_M = (0.02, 0.03, 0.05)


def misread_at(points: list[SurveyPoint], number: int, by_m: float) -> list[int]:
    wrong = [evolve(p, height_m=p.height_m + (by_m if i == number else 0.0)) for i, p in enumerate(points)]
    return [one.point for one in misread_heights(wrong)]


def found(surveys: int, seed: int) -> dict[str, float]:
    """Shares: sound floors questioned, blunders of each size named, and others named beside them."""
    rng = np.random.default_rng(seed)
    counted = dict.fromkeys(("false alarm", "another named", *map(str, SIZES_M)), 0)
    for _ in range(surveys):
        points = surveyed_floor_of(rng)
        number, sign = int(rng.integers(len(points))), rng.choice([-1.0, 1.0])
        counted["false alarm"] += bool(misread_heights(points))
        for size in SIZES_M:
            named = misread_at(points, number, sign * size)
            counted[str(size)] += number in named
            counted["another named"] += size == SIZES_M[-1] and any(n != number for n in named)
    return {what: count / surveys for what, count in counted.items()}


def test_a_blunder_of_50_mm_in_one_of_60_heights_is_named() -> None:
    told = found(30, 1)
    assert told["0.05"] >= 0.9, told
    assert told["0.03"] >= 0.8, told
    assert told["false alarm"] <= 0.1, told


@pytest.mark.long
def test_many_blunders() -> None:
    """9 of 10 at 30 mm, all but 1 of 100 at 50 mm; at most 1 sound floor of 25 questioned."""
    told = found(500, 2)
    assert told["0.05"] >= 0.98, told
    assert told["0.03"] >= 0.9, told
    assert told["false alarm"] <= 0.04, told
    assert told["another named"] <= 0.04, told


def test_swapped_digits_are_named_where_they_move_a_height_enough() -> None:
    """1.342 m typed as 1.432 m; on a smooth floor a swap of 18.5 mm to 81.5 mm likewise."""
    rng = np.random.default_rng(8)
    points = surveyed_floor_of(rng)
    for was, typed in ((1.342, 1.432), (0.0185, 0.0815)):
        shift = was - points[25].height_m
        moved = [evolve(p, height_m=typed if i == 25 else p.height_m + shift) for i, p in enumerate(points)]
        (named,) = misread_heights(moved)
        assert named.point == 25
        assert named.off_m == pytest.approx((typed - was), rel=0.35)


def test_an_edge_or_a_fold_of_the_floor_is_no_blunder() -> None:
    at = [(1.5 * i, 1.5 * j) for i in range(9) for j in range(7)]
    rng = np.random.default_rng(2)
    noise = rng.normal(0.0, U_M, len(at))
    for shape in ("step", "fold"):
        heights = [(-0.02 if x > 6.1 else 0.0) if shape == "step" else -0.01 * max(0.0, x - 6.1) for x, _ in at]
        assert misread_heights([SurveyPoint(p, h + e, U_M) for p, h, e in zip(at, heights, noise, strict=True)]) == ()


def test_too_few_points_tell_nothing() -> None:
    at = [(float(i % 3), float(i // 3)) for i in range(9)]
    assert misread_heights([SurveyPoint(p, 0.5 if p == (1.0, 1.0) else 0.0, U_M) for p in at]) == ()
