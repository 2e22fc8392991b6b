"""A QR code read back from a page as printed at 100 dots an inch, by ISO/IEC 18004 alone: no part of the program."""

from __future__ import annotations

import subprocess
from collections.abc import Callable, Iterator
from itertools import product
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

Bits = NDArray[np.bool_]
DPI = 100

CENTERS = {5: (6, 30), 6: (6, 34), 7: (6, 22, 38), 8: (6, 24, 42), 9: (6, 26, 46)}
"""Alignment patterns (annex E)."""

DATA_WORDS = {5: (43, 43), 6: (27,) * 4, 7: (31,) * 4, 8: (38, 38, 39, 39), 9: (36, 36, 36, 37, 37)}
"""Data code words of each block at level M (table 9)."""

MASKS: tuple[Callable[[int, int], int], ...] = (
    lambda y, x: (y + x) % 2, lambda y, x: (y + 0 * x) % 2, lambda y, x: (x + 0 * y) % 3, lambda y, x: (y + x) % 3,
    lambda y, x: (y // 2 + x // 3) % 2, lambda y, x: y * x % 2 + y * x % 3, lambda y, x: (y * x % 2 + y * x % 3) % 2,
    lambda y, x: ((y + x) % 2 + y * x % 3) % 2,
)  # fmt: skip


def page_dots(pdf: Path) -> Bits:
    """The first page in one bit a dot: True is black."""
    raw = subprocess.run(
        ["pdftoppm", "-r", str(DPI), "-mono", "-f", "1", "-l", "1", str(pdf)], check=True, capture_output=True
    ).stdout
    kind, size, dots = raw.split(b"\n", 2)
    assert kind == b"P4"
    wide, high = map(int, size.split())
    rows = np.frombuffer(dots, np.uint8).reshape(high, -1)
    return np.unpackbits(rows, axis=1)[:, :wide].astype(bool)


def text_of(pdf: Path, wide_mm: float) -> str:
    """What the only code on the first page says, which is so wide with its four white modules on each side."""
    dots = page_dots(pdf)
    for version in CENTERS:
        side = 17 + 4 * version
        module = wide_mm / (side + 8) * DPI / 25.4
        if (found := _modules(dots, side, module)) is not None:
            return _read(found, version)
    raise AssertionError("no code on the page")


def _modules(dots: Bits, side: int, module: float) -> Bits | None:
    """The modules at the place where all three finder patterns stand, as most ways to lay a grid over it read them."""
    finder = np.zeros((7, 7), bool)
    finder[:] = True
    finder[1:6, 1:6] = False
    finder[2:5, 2:5] = True
    votes: list[Bits] = []
    for share_y, share_x in product((0.5, 0.25, 0.75), repeat=2):
        ys, xs = (((np.arange(side) + share) * module).astype(int) for share in (share_y, share_x))
        high, wide = dots.shape[0] - int(ys[-1]), dots.shape[1] - int(xs[-1])
        found = np.ones((high, wide), bool)
        for top, left in ((0, 0), (0, side - 7), (side - 7, 0)):
            for y, x in product(range(7), repeat=2):
                down, over = int(ys[top + y]), int(xs[left + x])
                found &= dots[down : down + high, over : over + wide] == finder[y, x]
        for y, x in np.argwhere(found):
            code = dots[np.ix_(y + ys, x + xs)]
            # Between the finders dark and light take turns: in a code of another size they would not.
            turns = np.arange(8, side - 8) % 2 == 0
            if np.array_equal(code[6, 8:-8], turns) and np.array_equal(code[8:-8, 6], turns):
                votes.append(code)
    return np.mean(votes, axis=0) > 0.5 if votes else None


def _read(code: Bits, version: int) -> str:
    side = len(code)
    spots = [(8, x) for x in (0, 1, 2, 3, 4, 5, 7, 8)] + [(y, 8) for y in (7, 5, 4, 3, 2, 1, 0)]
    told = int("".join("01"[int(code[spot])] for spot in spots), 2) ^ 0b101010000010010
    assert told >> 13 == 0b00, "level M"
    mask = MASKS[(told >> 10) & 7]
    bits = [bool(code[y, x]) ^ (mask(y, x) == 0) for y, x in _free(side, version)]
    words = [int("".join("01"[b] for b in bits[i : i + 8]), 2) for i in range(0, len(bits) - 7, 8)]
    blocks: list[list[int]] = [[] for _ in DATA_WORDS[version]]
    at = iter(words)
    for i in range(max(DATA_WORDS[version])):
        for block, long in zip(blocks, DATA_WORDS[version], strict=True):
            if i < long:
                block.append(next(at))
    stream = "".join(f"{word:08b}" for block in blocks for word in block)
    assert stream[:4] == "0100", "bytes"
    long = int(stream[4:12], 2)
    return bytes(int(stream[12 + 8 * i : 20 + 8 * i], 2) for i in range(long)).decode()


def _free(side: int, version: int) -> Iterator[tuple[int, int]]:
    """The modules that hold data, in the order in which they are read."""
    taken = np.zeros((side, side), bool)
    taken[:9, :9] = taken[:9, -8:] = taken[-8:, :9] = taken[6, :] = taken[:, 6] = True
    if version >= 7:
        taken[:6, -11:-8] = taken[-11:-8, :6] = True
    centers = CENTERS[version]
    for y in centers:
        for x in centers:
            if (y, x) not in ((6, 6), (6, centers[-1]), (centers[-1], 6)):
                taken[y - 2 : y + 3, x - 2 : x + 3] = True
    up = True
    for right in range(side - 1, 0, -2):
        right -= right <= 6
        for y in reversed(range(side)) if up else range(side):
            yield from ((y, x) for x in (right, right - 1) if not taken[y, x])
        up = not up
