"""How finely and how long is searched, and the single steps of a search."""

from __future__ import annotations

import math

import numpy as np

from standtrue.drive.kernels.joins import Ask
from standtrue.drive.kernels.trees import Effort
from standtrue.plane.kernels import Array

LEVELS = (
    Effort(0.4, math.radians(10.0), 1.6, 10_000, 1.4, 6, 1.0),
    Effort(0.8, math.radians(15.0), 1.6, 20_000, 1.3, 6, 1.0),
    Effort(0.4, math.radians(10.0), 1.6, 25_000, 1.3, 6, 4.0),
    Effort(0.4, math.radians(6.0), 1.6, 60_000, 1.3, 6, 1.0),
    Effort(0.4, math.radians(6.0), 1.6, 150_000, 1.2, 6, 3.0),
    Effort(0.2, math.radians(4.0), 1.6, 120_000, 1.2, 6, 2.0),
    Effort(0.1, math.radians(3.0), 1.6, 80_000, 1.2, 6, 2.0),
    Effort(0.05, math.radians(1.5), 1.6, 60_000, 1.2, 6, 2.0),
)
"""Resolutions, one after another until a way is found: a coarse search that finds one is quick; where it is tight,
only a fine one does."""

TIGHT = 2
"""The level with the finest cells where the car touches its gaps."""

ROADMAP_AFTER = 4
"""After which level ways over narrow passages are tried."""

LEG_EFFORTS = (LEVELS[0]._replace(most=5_000), LEVELS[TIGHT]._replace(most=10_000))
"""How hard the legs between narrow passages are searched for."""

QUICK = (LEVELS[0], LEVELS[TIGHT]._replace(most=10_000))
"""How far a quick search goes."""

STEP_CELLS = 1.6
"""How many cells long one step is."""


def moves_for(ask: Ask, e: Effort) -> Array:
    """The single steps of a search at one resolution: rows (u, v, w, travel)."""
    step = STEP_CELLS * e.cell
    return car_moves(ask.radius, step, e.finer > 1.0) if ask.radius > 0.0 else skate_moves(ask, step)


def car_moves(radius_m: float, step_m: float, gently: bool = False) -> Array:
    """Forward and in reverse: straight on, half lock and full lock either way; `gently`, a little lock too.

    Close along a wall a car can only leave it gently: at more lock its tail would swing into it.
    """
    lock = 1.0 / radius_m
    shares = (0.0, 1.0, -1.0, 0.4, -0.4, 0.12, -0.12) if gently else (0.0, 1.0, -1.0, 0.5, -0.5)
    curves = [share * lock for share in shares]
    return np.array([(gear, 0.0, gear * k, step_m) for gear in (1.0, -1.0) for k in curves])


def skate_moves(ask: Ask, step_m: float) -> Array:
    """Eight slides, and a turn either way about the pivot."""
    slides = [(math.cos(a), math.sin(a), 0.0, step_m) for a in np.arange(8) * math.pi / 4]
    turns = [(0.0, -rate * ask.pivot, rate, step_m) for rate in (1.0 / ask.arm, -1.0 / ask.arm)]
    return np.array(slides + turns)
