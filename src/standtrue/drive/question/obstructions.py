"""Why there is no way: which thing, and by how much."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from attrs import evolve

from standtrue.drive.kernels.field import narrowest
from standtrue.drive.kernels.joins import Ask
from standtrue.drive.path.effort import LEVELS
from standtrue.drive.path.find import find_path, no_more_than
from standtrue.drive.path.found import Found
from standtrue.drive.proofs.barrier import Barrier
from standtrue.drive.question.answer import Obstruction
from standtrue.drive.question.lacking import lacking
from standtrue.drive.world.grid import grid_for
from standtrue.drive.world.packed import Packed, Pose
from standtrue.model.reason import Angle, Length, Reason, Ref, because
from standtrue.plane.kernels import signed_distance

TRIAL = no_more_than(LEVELS[0]._replace(most=3_000))
NAMED = 6
"""How many things are taken away in trial, one at a time."""

WALLS = frozenset({"wall", "wall beside a door"})
"""Kinds of things without which a shop is open everywhere: they are the answer only where nothing else is."""


def obstructions_of(
    packed: Packed, ask: Ask, ones: Sequence[Pose], twos: Sequence[Pose], found: Found
) -> tuple[Obstruction, ...]:
    """What is in the way of a path that was not found, the likeliest first."""
    if found.barrier is not None:
        return (_heading_barred(found.barrier),)
    things = list(dict.fromkeys([*_beside_the_narrowest(packed, ones, twos)[:3], *(ref for ref, _ in found.blockers)]))
    things.sort(key=lambda ref: ref.kind in WALLS)
    alone = [ref for ref in things[:NAMED] if _solved(_without(packed, ref), ask, ones, twos)]
    if not all(ref.kind in WALLS for ref in alone):
        alone = [ref for ref in alone if ref.kind not in WALLS]
    short = lacking(packed, ask, ones, twos, found.proven)
    if alone:
        return tuple(Obstruction(ref, short, _by_how_much("way-barred", (ref,), short)) for ref in alone)
    first = things[0] if things else Ref("")
    return (Obstruction(first, short, _by_how_much("way-too-narrow", tuple(things[:2]), short)),)


def _heading_barred(barrier: Barrier) -> Obstruction:
    heading, short = Angle(barrier.heading_rad), Length(barrier.lacking_m)
    why = because("way-heading-barred", heading=heading, thing=barrier.thing, short=short)
    return Obstruction(barrier.thing, barrier.lacking_m, why)


def _by_how_much(code: str, things: tuple[Ref, ...], short: float | None) -> Reason:
    if short is None:
        return because(f"{code}-unmeasured", things=things)
    return because(code, things=things, short=Length(short))


def _solved(packed: Packed, ask: Ask, ones: Sequence[Pose], twos: Sequence[Pose]) -> bool:
    return find_path(packed, ask, ones, twos, TRIAL).solved


def _without(packed: Packed, thing: Ref) -> Packed:
    """The world without one thing: its pairs ask for nothing."""
    w = packed.world
    mine = np.array([packed.solid_of[j] == thing for j in w.pairs[:, 1]], dtype=np.bool_)
    return evolve(packed, world=w._replace(gaps=np.where(mine, -1e3, w.gaps)))


def _beside_the_narrowest(packed: Packed, ones: Sequence[Pose], twos: Sequence[Pose]) -> list[Ref]:
    """The things by how near they are to where the roomiest way is narrowest."""
    w = packed.world
    grid = grid_for(w, packed.bounds, 2)
    _, x, y = narrowest(grid, np.array(ones[0]), np.array(twos[0]))
    apart: dict[Ref, float] = {}
    for i, ref in enumerate(packed.solid_of):
        d = abs(float(signed_distance(x, y, w.solid, w.solid_at[i], w.solid_at[i + 1] - w.solid_at[i])))
        apart[ref] = min(d, apart.get(ref, math.inf))
    return sorted(apart, key=lambda ref: apart[ref])
