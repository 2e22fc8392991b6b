"""The toes of one axle from everything that was read of them: both toes, their total, the thrust angle.

More was read than two toes need: the readings are adjusted by least squares (C. F. Gauss, 1823; here in closed form for
two unknowns), and held against each other as data snooping does (W. Baarda, 1968). Readings that contradict each other
are left as they were read: nobody can say which of them is wrong.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from standtrue.aim.blunders import critical_value

Array = NDArray[np.float64]

CHECKED = 1e-9
"""Below this redundancy number no other reading says anything about a reading."""


@frozen
class Contradiction:
    """One reading against what the others of its axle make of it: radians. `readings` are all that were compared."""

    name: str
    read_rad: float
    made_rad: float
    u_rad: float
    readings: tuple[str, ...]


@frozen
class Toes:
    """The value and the standard uncertainty of everything that follows from an axle's readings, by name: radians.

    `combined` names the readings of which each was checked by the others and agreed; `contradiction` is None where
    none disagrees.
    """

    values: Mapping[str, tuple[float, float]]
    combined: tuple[str, ...] = ()
    contradiction: Contradiction | None = None


def adjust_toes(rows: Mapping[str, tuple[float, float]], read: Mapping[str, tuple[float, float]]) -> Toes:
    """The toes of an axle. `rows`: each quantity's factors of the left and the right toe; `read`: value and u of each.

    What cannot be told from the readings is left out. Where readings contradict each other, each stays as it was read,
    and of the rest only what both toes make is told.
    """
    names = [name for name in rows if name in read]
    design = np.array([rows[name] for name in names]).reshape(-1, 2)
    if np.linalg.matrix_rank(design) < 2:
        return Toes({name: read[name] for name in names})
    value = np.array([read[name][0] for name in names])
    u = np.maximum([read[name][1] for name in names], 1e-12)
    scaled = design / u[:, None]
    covariance = np.linalg.inv(scaled.T @ scaled)
    toes = covariance @ scaled.T @ (value / u)
    worst = _worst(names, design, u, covariance, value - design @ toes)
    if worst is not None:
        index, redundancy, test = worst
        made = float(value[index] - (value - design @ toes)[index] / redundancy)
        if abs(test) > critical_value(1 if len(names) == 3 else len(names)):
            left = {**_from_parts(rows, read), **{name: read[name] for name in names}}
            apart = float(u[index] / math.sqrt(redundancy))
            what = Contradiction(names[index], float(value[index]), made, apart, tuple(names))
            return Toes(left, (), what)
    found = {
        name: (float(np.dot(row, toes)), math.sqrt(max(float(np.array(row) @ covariance @ np.array(row)), 0.0)))
        for name, row in rows.items()
    }
    if worst is None:
        return Toes({name: read.get(name, made) for name, made in found.items()})
    return Toes(found, tuple(names))


def _worst(
    names: Sequence[str], design: Array, u: Array, covariance: Array, residuals: Array
) -> tuple[int, float, float] | None:
    """The reading that agrees least: its index, redundancy number and test value; of equals the last, a whole before
    its parts. None where no reading is checked by the others."""
    if len(names) < 3:
        return None
    redundancy = 1.0 - np.einsum("ij,jk,ik->i", design, covariance, design) / u**2
    checked = [i for i in range(len(names)) if redundancy[i] > CHECKED]
    if not checked:
        return None
    tests = {i: float(residuals[i] / (u[i] * math.sqrt(redundancy[i]))) for i in checked}
    index = max(checked, key=lambda i: (round(abs(tests[i]), 6), i))
    return index, float(redundancy[index]), tests[index]


def _from_parts(
    rows: Mapping[str, tuple[float, float]], read: Mapping[str, tuple[float, float]]
) -> dict[str, tuple[float, float]]:
    """What the two toes make of each quantity; nothing where one of them was not read."""
    left, right = (read.get(next(n for n, row in rows.items() if row == one)) for one in ((1.0, 0.0), (0.0, 1.0)))
    if left is None or right is None:
        return {}
    return {name: (a * left[0] + b * right[0], math.hypot(a * left[1], b * right[1])) for name, (a, b) in rows.items()}
