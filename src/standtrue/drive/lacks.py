"""Why there is no way: which thing, and by how much."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from attrs import evolve

from standtrue.drive.answer import Lack
from standtrue.drive.field import grid_for, narrowest
from standtrue.drive.joins import Ask
from standtrue.drive.plan import LEVELS, Found, Pose, find_path
from standtrue.drive.world import Packed
from standtrue.plane.kernels import signed_distance

TRIED_M = (0.01, 0.04, 0.12, 0.36, 1.0)
"""How much less room the car is let have all round, one after another, until it gets through."""
CLOSER = 4
QUICK = (LEVELS[0]._replace(most=3_000),)
NAMED = 6
"""How many things are taken away in trial, one at a time."""


def lacks_of(packed: Packed, ask: Ask, ones: Sequence[Pose], twos: Sequence[Pose], found: Found) -> tuple[Lack, ...]:
    """What is in the way of a path that was not found, the likeliest first."""
    if found.barrier is not None:
        turn = math.degrees(found.barrier.heading_rad)
        least = found.barrier.lacking_m
        why = f"the car cannot turn past heading {turn:.0f} degrees: there it lacks {1e3 * least:.0f} mm on each side"
        return (Lack(found.barrier.thing, least, why),)
    names = list(dict.fromkeys([*_beside_the_narrowest(packed, ones, twos)[:3], *(n for n, _ in found.blockers)]))
    # Without its walls a shop is open everywhere: they are the answer only where nothing else is.
    names.sort(key=lambda name: name.startswith("wall"))
    alone = [name for name in names[:NAMED] if _solved(_without(packed, name), ask, ones, twos)]
    if not all(name.startswith("wall") for name in alone):
        alone = [name for name in alone if not name.startswith("wall")]
    short = lacking(packed, ask, ones, twos)
    amount = "more room than can be told" if short is None else f"about {1e3 * short:.0f} mm more room on each side"
    if alone:
        return tuple(Lack(n, short, f"{n} bars the way: past it the car needs {amount}") for n in alone)
    where = " and ".join(names[:2])
    return (Lack(names[0] if names else "", short, f"to get past {where} the car needs {amount}"),)


def lacking(packed: Packed, ask: Ask, ones: Sequence[Pose], twos: Sequence[Pose]) -> float | None:
    """By how much all gaps must shrink before a quick search finds a way, metres, to about a tenth; None: not found."""
    low: float = 0.0
    high: float | None = None
    for less in TRIED_M:
        if _solved(_eased(packed, less), ask, ones, twos):
            high = less
            break
        low = less
    if high is None:
        return None
    for _ in range(CLOSER):
        middle = (low + high) / 2
        if _solved(_eased(packed, middle), ask, ones, twos):
            high = middle
        else:
            low = middle
    return high


def _solved(packed: Packed, ask: Ask, ones: Sequence[Pose], twos: Sequence[Pose]) -> bool:
    return find_path(packed, ask, ones, twos, QUICK, prove=False).ended == "solved"


def _eased(packed: Packed, less: float) -> Packed:
    """Every gap smaller by so much; below 0 the car may even overlap things."""
    return evolve(packed, world=packed.world._replace(gaps=packed.world.gaps - less))


def _without(packed: Packed, name: str) -> Packed:
    """The world without one thing: its pairs ask for nothing."""
    w = packed.world
    mine = np.array([packed.solid_of[j] == name for j in w.pairs[:, 1]], dtype=np.bool_)
    return evolve(packed, world=w._replace(gaps=np.where(mine, -1e3, w.gaps)))


def _beside_the_narrowest(packed: Packed, ones: Sequence[Pose], twos: Sequence[Pose]) -> list[str]:
    """The things by how near they are to where the roomiest way is narrowest."""
    w = packed.world
    grid = grid_for(w, packed.bounds, 2)
    _, x, y = narrowest(grid, np.array(ones[0]), np.array(twos[0]))
    apart: dict[str, float] = {}
    for i, name in enumerate(packed.solid_of):
        d = abs(float(signed_distance(x, y, w.solid, w.solid_at[i], w.solid_at[i + 1] - w.solid_at[i])))
        apart[name] = min(d, apart.get(name, math.inf))
    return sorted(apart, key=lambda name: apart[name])
