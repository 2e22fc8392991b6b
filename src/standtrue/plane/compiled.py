"""How kernels are compiled. To the type checker a kernel stays the function that it is written as."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

from numba import njit

Kernel = TypeVar("Kernel", bound=Callable[..., object])

_OPTIONS: dict[str, Any] = {"cache": True, "nogil": True, "error_model": "numpy"}


def compiled(kernel: Kernel) -> Kernel:
    """Compile a function. It takes numbers, arrays and named tuples of them; a division by zero is no error."""
    made: Kernel = njit(**_OPTIONS)(kernel)
    return made


def inlined(kernel: Kernel) -> Kernel:
    """Compile a function into each of its callers: for a few lines in an inner loop."""
    options = {**_OPTIONS, "inline": "always"}
    made: Kernel = njit(**options)(kernel)
    return made


def compiled_bare(kernel: Kernel) -> Kernel:
    """Compile a function that makes no arrays and returns none.

    It need not count who holds the arrays that it is given: for small functions that takes half the time.
    """
    options = {**_OPTIONS, "_nrt": False}
    made: Kernel = njit(**options)(kernel)
    return made
