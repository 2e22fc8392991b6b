"""Why there is no way: which thing, and by how much."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from standtrue.drive.answer import Lack
from standtrue.drive.field import grid_for, narrowest
from standtrue.drive.joins import Ask
from standtrue.drive.plan import LEVELS, Found, Pose, find_path
from standtrue.drive.world import Packed
from standtrue.plane.kernels import signed_distance

TRIED_M = (0.02, 0.06, 0.18, 0.54, 1.2)
"""How much less room the car is let have all round, one after another, until it gets through."""
CLOSER = 4
QUICK = tuple(e._replace(most=3_000) for e in LEVELS[:2])


def lacks_of(
    packed: Packed, ask: Ask, ones: Sequence[Pose], twos: Sequence[Pose], found: Found
) -> tuple[Lack, ...]:
    """What is in the way of a path that was not found, the likeliest first."""
    if found.barrier is not None:
        turn = math.degrees(found.barrier.heading_rad)
        short = found.barrier.lacking_m
        why = f"the car cannot turn past heading {turn:.0f} degrees: there it lacks {1e3 * short:.0f} mm on each side"
        return (Lack(found.barrier.thing, short, why),)
    short = lacking(packed, ask, ones, twos)
    names = _beside_the_narrowest(packed, ones, twos) if found.parted else [n for n, _ in found.blockers[:2]]
    amount = "more room than can be told" if short is None else f"{1e3 * short:.0f} mm more room on each side"
    where = " and ".join(names) if names else "what stands about"
    return (Lack(names[0] if names else "", short, f"to get past {where} the car needs {amount}"),)


def lacking(packed: Packed, ask: Ask, ones: Sequence[Pose], twos: Sequence[Pose]) -> float | None:
    """By how much all gaps must shrink before a quick search finds a way, metres, to about a tenth; None: not found."""
    low, high = 0.0, None
    for less in TRIED_M:
        if _opens(packed, ask, ones, twos, less):
            high = less
            break
        low = less
    if high is None:
        return None
    for _ in range(CLOSER):
        middle = (low + high) / 2
        if _opens(packed, ask, ones, twos, middle):
            high = middle
        else:
            low = middle
    return high


def _opens(packed: Packed, ask: Ask, ones: Sequence[Pose], twos: Sequence[Pose], less: float) -> bool:
    world = packed.world._replace(gaps=packed.world.gaps - less)
    eased = Packed(world, packed.part_of, packed.solid_of, packed.bounds)
    return find_path(eased, ask, ones, twos, QUICK).ended == "solved"


def _beside_the_narrowest(packed: Packed, ones: Sequence[Pose], twos: Sequence[Pose]) -> list[str]:
    """The two things nearest to where the roomiest way is narrowest."""
    w = packed.world
    grid = grid_for(w, packed.bounds, 2)
    _, x, y = narrowest(grid, np.array(ones[0]), np.array(twos[0]))
    apart: dict[str, float] = {}
    for i, name in enumerate(packed.solid_of):
        d = float(signed_distance(x, y, w.solid, w.solid_at[i], w.solid_at[i + 1] - w.solid_at[i]))
        apart[name] = min(d, apart.get(name, math.inf))
    return sorted(apart, key=lambda name: apart[name])[:2]
