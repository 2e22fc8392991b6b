"""A binary heap in two arrays: the least key first."""

from __future__ import annotations

from standtrue.drive.kernels.world import Ints
from standtrue.plane.compiled import compiled_bare
from standtrue.plane.kernels import Array


@compiled_bare
def push(keys: Array, items: Ints, n: int, key: float, item: int) -> int:
    """Add one; returns the new count. The arrays must have room."""
    i = n
    while i > 0:
        up = (i - 1) // 2
        if keys[up] <= key:
            break
        keys[i], items[i] = keys[up], items[up]
        i = up
    keys[i], items[i] = key, item
    return n + 1


@compiled_bare
def pop(keys: Array, items: Ints, n: int) -> int:
    """Take away the least (read `keys[0]`, `items[0]` before); returns the new count."""
    n -= 1
    key, item = keys[n], items[n]
    i = 0
    while True:
        down = 2 * i + 1
        if down >= n:
            break
        if down + 1 < n and keys[down + 1] < keys[down]:
            down += 1
        if keys[down] >= key:
            break
        keys[i], items[i] = keys[down], items[down]
        i = down
    keys[i], items[i] = key, item
    return n
