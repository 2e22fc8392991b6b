"""The 48 words: each lands where it should, the shortest as long as a reference library's and as closed forms."""

from __future__ import annotations

import math

import numpy as np
import pytest
from drive_makers import step_through
from ompl import base

from standtrue.drive.kernels.joins import Ask, bench, find_joins, join_path
from standtrue.drive.kernels.reeds_shepp import PARTS, ROWS, word_seconds, words, wrap
from standtrue.drive.path.shortest import shortest_length

RNG = np.random.default_rng(20)
PAIRS = [
    (*RNG.uniform(-reach, reach, 2), RNG.uniform(-math.pi, math.pi))
    for reach in (0.5, 2.0, 12.0, 40.0)
    for _ in range(250)
]


def test_lengths_equal_those_of_a_reference_library() -> None:
    # OMPL 2.0.1, ReedsSheppStateSpace; the contract asks 1,000 random pairs to 1e-9.
    space = base.ReedsSheppStateSpace(1.0)
    one, two = space.allocState(), space.allocState()
    worst = 0.0
    for x, y, turn in PAIRS:
        one.setX(0.0), one.setY(0.0), one.setYaw(0.0)
        two.setX(x), two.setY(y), two.setYaw(turn)
        worst = max(worst, abs(shortest_length(1.0, (0.0, 0.0, 0.0), (x, y, turn)) - space.distance(one, two)))
    assert worst <= 1e-9


def test_every_word_lands() -> None:
    ask, b = Ask(1.0, 1.0, 0.0, 0.0, 0.0, 1.0), bench()
    path = np.empty((PARTS, 4))
    seen = set()
    for x, y, turn in PAIRS[::10]:
        goal = np.array([x, y, turn])
        for i in range(find_joins(ask, np.zeros(3), goal, 0, 0, b)):
            rows = join_path(ask, np.zeros(3), goal, i, b, path)
            end = step_through((0.0, 0.0, 0.0), path[:rows], step_m=math.inf)[-1]
            assert math.dist(end[:2], (x, y)) <= 1e-7
            assert abs(wrap(end[2] - turn)) <= 1e-7
            runs, steers = b.run[i], b.steer[i]
            seen.add(tuple((int(s), bool(r > 0)) for s, r in zip(steers, runs, strict=True) if abs(r) > 1e-6))
    assert len(seen) >= 48


# drive.rs.spot, drive.rs.shift, drive.one_s of the project's check values; standing: derived.
def test_turning_on_the_spot() -> None:
    assert shortest_length(5.0, (0.0, 0.0, 0.0), (0.0, 0.0, math.pi)) == pytest.approx(15.70796, abs=5e-6)


def test_the_shortest_sideways_shift() -> None:
    shortest = shortest_length(5.0, (0.0, 0.0, 0.0), (0.0, 1.0, 0.0))
    assert shortest == pytest.approx(6.20417, abs=5e-6)
    # sin b = 2 sin a, dy = 2R (2 cos a - 1 - cos b), length 2 R b.
    b = shortest / 10.0
    a = math.asin(math.sin(b) / 2)
    assert 10.0 * (2 * math.cos(a) - 1 - math.cos(b)) == pytest.approx(1.0, abs=1e-9)


def _words_to(x: float, y: float, turn: float) -> list[tuple[float, int]]:
    """Length at radius 5 m and changes of direction of every word."""
    steer, run = np.empty((ROWS, PARTS), np.int8), np.empty((ROWS, PARTS))
    n = words(x / 5.0, y / 5.0, turn, steer, run)
    return [
        (word_seconds(run[i], 5.0, 1.0, 0.0, 0.0, 0, 0), round(word_seconds(run[i], 5.0, 0.0, 1.0, 0.0, 0, 0)))
        for i in range(n)
    ]


def test_the_shortest_has_not_the_fewest_changes_of_direction() -> None:
    found = _words_to(0.0, 1.0, 0.0)
    assert min(found)[1] == 2
    assert min(length for length, shunts in found if shunts == 1) == pytest.approx(6.351, abs=5e-4)


def test_one_s() -> None:
    run = math.sqrt(4 * 5.0 * 1.0 - 1.0)
    assert run == pytest.approx(4.3589, abs=5e-5)
    length, shunts = min(_words_to(run, 1.0, 0.0))
    assert length == pytest.approx(4.51027, abs=5e-6)
    assert shunts == 0


def test_changing_from_and_to_a_gear_counts() -> None:
    run = np.array([1.0, -1.0, 0.0, 0.0, 0.0])
    assert word_seconds(run, 2.0, 1.0, 4.0, 0.5, 0, 0) == pytest.approx(2 * 2.0 + 4.0 + 2 * 0.5)
    assert word_seconds(run, 2.0, 1.0, 4.0, 0.5, -1, 1) == pytest.approx(2 * 2.0 + 3 * 4.0 + 2 * 0.5)
    assert word_seconds(run, 2.0, 1.0, 4.0, 0.5, 1, -1) == pytest.approx(2 * 2.0 + 4.0 + 2 * 0.5)
