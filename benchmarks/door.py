"""What it costs to ask from Python: to import the door, and to ask it many rooms at once."""

from __future__ import annotations

import subprocess
import sys
from time import perf_counter

import numpy as np

import standtrue
from benchmarks.place import Row

TIMES = 9
ROOMS, ALONE = 2000, 50


def measure() -> list[Row]:
    """Every figure: the import is the middle of several runs, each in a process of its own."""
    bare, door = (np.median([_started(said) for _ in range(TIMES)]) for said in ("pass", "import standtrue"))
    shop = standtrue.demonstration()
    car, card = shop.vehicles["Tavlin Corrow"], shop.cards["forward camera board"]
    sizes = np.random.default_rng(0).uniform((3.0, 6.0), (5.0, 11.0), (ROOMS, 2))
    standtrue.any_fit(sizes[:2], car, card)
    began = perf_counter()
    many = standtrue.any_fit(sizes, car, card)
    each = (perf_counter() - began) / ROOMS
    began = perf_counter()
    for size in sizes[:ALONE]:
        standtrue.any_fit([size], car, card)
    alone = (perf_counter() - began) / ALONE
    told = f"{1e6 * each:.0f} us a room, {many.yes.mean():.0%} fit"
    return [
        ("`import standtrue`, beyond Python's own start", f"{1e3 * (door - bare):.0f} ms"),
        (f"`any_fit` of {ROOMS} rooms, each made from its size", told),
        ("the same one room a call", f"{1e6 * alone:.0f} us a room: {alone / each:.1f} times as long"),
    ]


def _started(said: str) -> float:
    began = perf_counter()
    subprocess.run([sys.executable, "-c", said], check=True)
    return perf_counter() - began
