"""Measurement uncertainty: several quantities with their covariance, and the sensitivities that propagate it.

JCGM 100:2008 (GUM), JCGM 102:2011 (several output quantities).
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

Array = NDArray[np.float64]

Model = Callable[[Array], Array]
"""A measurement model: input quantities of shape (..., n) to output quantities of shape (..., m)."""

STEP = 1e-6
"""The step of numerical derivatives, in units of the quantity (or of its size, where that is above 1)."""


@frozen(eq=False)
class Estimate:
    """Best values of shape (m,) and their covariance of shape (m, m), in the quantities' own units."""

    value: Array
    covariance: Array

    @property
    def u(self) -> Array:
        """The standard uncertainties."""
        return np.sqrt(np.diag(self.covariance))


def jacobian(model: Model, at: Array) -> Array:
    """The partial derivatives (sensitivity coefficients) by central differences, shape (m, n)."""
    steps = STEP * np.maximum(1.0, np.abs(at))
    shifts = np.diag(steps)
    ahead, behind = model(at + shifts), model(at - shifts)
    return np.asarray(((ahead - behind) / (2 * steps[:, None])).T, dtype=np.float64)
