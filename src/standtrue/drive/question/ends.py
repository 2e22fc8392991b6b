"""The ends of a move: the poses that they may mean, and what stands too near there."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from standtrue.drive.kernels.certify import pose_free, scratch_for, separation
from standtrue.drive.kernels.world import SLACK_M, World
from standtrue.drive.question.answer import End, Obstruction
from standtrue.drive.world.doors import places_at
from standtrue.drive.world.packed import Packed, Pose
from standtrue.model.basics import Place
from standtrue.model.reason import Length, Ref, because
from standtrue.model.site import Site
from standtrue.model.vehicle import Vehicle
from standtrue.plane.kernels import Array


def places_of(site: Site, vehicle: Vehicle, end: End) -> tuple[Place, ...]:
    """The places that an end may mean: one, or at a door both ways round, heading in first."""
    if end.place is not None:
        return (end.place,)
    return places_at(site, vehicle, next(d for d in site.doors if d.name == end.door))


def poses_of(site: Site, vehicle: Vehicle, end: End) -> tuple[Pose, ...]:
    """The same as poses."""
    return tuple((p.x_m, p.y_m, p.heading_rad) for p in places_of(site, vehicle, end))


def free_of(packed: Packed, poses: Sequence[Pose]) -> list[Pose]:
    """The poses at which every gap is kept."""
    return [p for p in poses if pose_free(packed.world, np.array(p), scratch_for(packed.world))]


def too_near(packed: Packed, which: str, poses: Sequence[Pose]) -> Iterator[Obstruction]:
    """What is too near the car at an end (`start` or `goal`) that keeps its gaps at none of its poses."""
    broken = min((violations(packed.world, np.array(pose)) for pose in poses), key=len)
    seen = set()
    for pair, apart in broken:
        piece, solid = packed.world.pairs[pair]
        part, thing = packed.part_of[piece], packed.solid_of[solid]
        if (part, thing) in seen:
            continue
        seen.add((part, thing))
        gap = float(packed.world.gaps[pair])
        if apart < 0.0:
            why = because("way-end-overlaps", end=which, part=Ref(part), thing=thing, gap=Length(gap))
        else:
            near, needed = Length(apart), Length(gap)
            why = because("way-end-too-near", end=which, part=Ref(part), thing=thing, apart=near, gap=needed)
        yield Obstruction(thing, gap - apart, why)


def violations(w: World, pose: Array) -> list[tuple[int, float]]:
    """The pairs whose gap is not kept at a pose, and their separations, the worst first."""
    scratch = scratch_for(w)
    found = []
    for p in range(len(w.pairs)):
        apart = float(separation(w, w.pairs[p, 0], w.pairs[p, 1], pose, scratch))
        if apart < w.gaps[p] - SLACK_M:
            found.append((p, apart))
    return sorted(found, key=lambda row: row[1] - w.gaps[row[0]])
