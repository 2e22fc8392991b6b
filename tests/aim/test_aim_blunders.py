"""Blunders: false alarms at their level, the right suspect named, groups that cannot be told apart."""

from __future__ import annotations

import math

import aim_makers as make
import numpy as np
import pytest
from attrs import evolve
from scipy import stats

from standtrue.aim.blunders import correlations, critical_value, find_blunder
from standtrue.aim.bodies import Body, Network, Reading
from standtrue.aim.network import Adjustment, adjust


def adjusted(network: Network, readings: list[Reading]) -> Adjustment:
    found = adjust(network, readings)
    assert isinstance(found, Adjustment)
    return found


def sound_networks(count: int) -> list[tuple[Network, list[Reading], np.ndarray]]:
    """Random networks of eight tapes with redundancy numbers of 0.3 at least, no two test values above 0.9 alike."""
    kept: list[tuple[Network, list[Reading], np.ndarray]] = []
    seed = 0
    while len(kept) < count:
        network, readings, truth = make.random_network(np.random.default_rng(seed))
        seed += 1
        found = adjust(network, make.read(network, readings, truth, None))
        if not isinstance(found, Adjustment) or found.redundancy.min() < 0.3:
            continue
        alike = np.abs(correlations(found)) - np.eye(len(readings))
        if alike.max() <= 0.9:
            kept.append((network, readings, truth))
    return kept


NETWORKS = sound_networks(25)


def test_sound_readings_alarm_in_at_most_6_percent() -> None:
    rng = np.random.default_rng(21)
    alarms = [
        find_blunder(adjusted(network, make.read(network, readings, truth, rng))).alarm
        for network, readings, truth in NETWORKS
        for _ in range(40)
    ]
    assert len(alarms) == 1000
    assert np.mean(alarms) <= 0.06


def test_a_20_mm_blunder_in_one_of_eight_is_named_right() -> None:
    rng = np.random.default_rng(22)
    right = []
    for trial in range(1000):
        network, readings, truth = NETWORKS[trial % len(NETWORKS)]
        read = make.read(network, readings, truth, rng)
        wrong = int(rng.integers(len(read)))
        size = 0.020 if trial % 2 else -0.020
        read[wrong] = evolve(read[wrong], value=read[wrong].value + size)
        told = find_blunder(adjusted(network, read))
        right.append(told.alarm and told.suspects == (wrong,))
        if right[-1]:
            assert told.size == pytest.approx(size, abs=0.010)
    assert np.mean(right) >= 0.99


def test_critical_values() -> None:
    assert critical_value(1) == pytest.approx(stats.norm.ppf(0.975))
    for tests in (2, 8, 30):
        single = 1 - (1 - 0.05) ** (1 / tests)
        assert critical_value(tests) == pytest.approx(stats.norm.ppf(1 - single / 2))


def doubled() -> tuple[Network, list[Reading]]:
    """A point on a line, read once from each end: one freedom, and two readings that contradict each other."""
    marks = Body("marks", (("a", (0, 0, 0)), ("b", (6, 0, 0))))
    network = Network([marks, Body("it", (("P", (0, 0, 0)),), (2, 0, 0), free=("x",))])
    return network, [Reading("distance", (m,), ("P",), d, 0.001) for m, d in (("a", 2.0), ("b", 4.0))]


def test_with_one_freedom_all_tests_are_one_and_none_can_be_told_apart() -> None:
    network, readings = doubled()
    readings[0] = evolve(readings[0], value=2.010)
    told = find_blunder(adjusted(network, readings))
    assert told.critical == pytest.approx(1.959964)
    assert told.alarm
    assert sorted(told.suspects) == [0, 1]


def test_unchecked_readings_are_named() -> None:
    network, readings = doubled()
    found = adjusted(network, readings[:1])
    told = find_blunder(found)
    assert not told.alarm
    assert told.unchecked == (0,)
    assert math.isinf(told.detectable[0])
    assert math.isnan(float(told.test[0]))


def test_the_detectable_blunder_is_found_as_often_as_it_says() -> None:
    rng = np.random.default_rng(23)
    network, readings, truth = NETWORKS[0]
    size = find_blunder(adjusted(network, make.read(network, readings, truth, None))).detectable[2]
    found = []
    for _ in range(400):
        read = make.read(network, readings, truth, rng)
        read[2] = evolve(read[2], value=read[2].value + size)
        told = find_blunder(adjusted(network, read))
        found.append(abs(float(told.test[2])) > told.critical)
    assert float(np.mean(found)) == pytest.approx(0.80, abs=0.06)
