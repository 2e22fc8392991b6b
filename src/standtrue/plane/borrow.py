"""How kernels that make no arrays are compiled."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

from numba import njit

Kernel = TypeVar("Kernel", bound=Callable[..., object])


def borrowing(kernel: Kernel) -> Kernel:
    """Compile a function that makes no arrays and returns none.

    It need not count who holds the arrays that it is given: for small functions that takes half the time.
    """
    options: dict[str, Any] = {"cache": True, "nogil": True, "error_model": "numpy", "_nrt": False}
    compiled: Kernel = njit(**options)(kernel)
    return compiled
