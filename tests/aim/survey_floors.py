"""Floors as shops have them, drawn at random, and their surveys. All invented."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from standtrue.model.survey import SurveyPoint

Array = NDArray[np.float64]

U_M = 0.0008


def surveyed_floor_of(rng: np.random.Generator, rows: int = 10, columns: int = 6) -> list[SurveyPoint]:
    """A survey of some 60 points of a real floor: a slope or two, unevenness, often a drain or a threshold."""
    x, y = np.meshgrid(np.arange(rows) * 1.8, np.arange(columns) * 1.6, indexing="ij")
    at = np.column_stack([x.ravel(), y.ravel()]) + rng.normal(0.0, 0.08, (rows * columns, 2))
    heights = at @ rng.normal(0.0, 0.003, 2)
    if rng.random() < 0.5:
        fold = rng.uniform(4.0, 12.0)
        heights -= rng.uniform(0.0, 0.012) * np.maximum(at[:, 0] - fold, 0.0)
    if rng.random() < 0.4:
        drain = rng.uniform([2.0, 2.0], [14.0, 7.0])
        heights -= rng.uniform(0.005, 0.025) * np.exp(-np.hypot(*(at - drain).T) / rng.uniform(1.0, 2.5))
    if rng.random() < 0.2:
        heights -= rng.uniform(0.005, 0.020) * (at[:, 0] > rng.uniform(10.0, 15.0))
    waves = rng.normal(0.0, 1.0, (6, 2))
    phases = rng.uniform(0.0, 2.0 * np.pi, 6)
    heights += rng.uniform(0.0003, 0.0020) * np.sin(at @ waves.T + phases).sum(axis=1) / np.sqrt(3.0)
    heights += rng.normal(0.0, U_M, len(at)) - heights.min()
    return [SurveyPoint((float(px), float(py)), float(z), U_M) for (px, py), z in zip(at, heights, strict=True)]
