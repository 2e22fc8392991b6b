"""A path that was found, as an answer: its legs, how long it takes, what it passes over and comes nearest to."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from standtrue.drive.kernels.certify import least_separation
from standtrue.drive.kernels.joins import Ask, bench, least_seconds
from standtrue.drive.kernels.motion import gear_of, poses_along
from standtrue.drive.path.found import Found, Outcome
from standtrue.drive.path.swept import CLOSE_M, nearest_line, poses_on
from standtrue.drive.question.answer import Answer, Gear, Leg, Mode, Nearest, Sweep
from standtrue.drive.world.packed import Packed
from standtrue.model.basics import Place, Range
from standtrue.model.ground import Ground
from standtrue.model.reason import Reason, because
from standtrue.model.site import Pace
from standtrue.model.vehicle import Vehicle
from standtrue.plane.kernels import Array

FULL = 0.999
"""A turn this near to the tightest is made at full lock."""

NEAR_M = 1e-5
"""How far below the true least separation the one told may lie."""


def answer_of(found: Found, vehicle: Vehicle, mode: Mode, ask: Ask, packed: Packed, ground: Ground) -> Answer:
    """The answer with this path."""
    start = np.array(found.start)
    poses, begun = poses_on(start, found.path)
    length = float(found.path[:, 3].sum())
    return Answer(
        mode=mode,
        outcome=Outcome.SOLVED,
        start=_place(poses[0]),
        goal=_place(poses[-1]),
        legs=tuple(_leg(row, ask) for row in found.path),
        shunts=found.shunts,
        length_m=length,
        seconds=seconds_for(ground.site.pace, mode, length, found.shunts),
        nearest=_nearest(packed, start, found.path),
        doors_open=ground.doors_open,
        sweep=Sweep(vehicle, poses),
        cell_m=found.cell_m,
        nodes=found.nodes,
        proven=False,
        obstructions=(),
        warnings=(*_warnings(vehicle), *_skates_proposed(ground.site.pace, mode, found.shunts)),
        poses=tuple(_place(p) for p in poses),
        cusps=tuple(_cusps(start, found.path)),
        leg_at=begun,
        length_at_least_m=_shortest(ask, poses),
    )


def _shortest(ask: Ask, poses: Array) -> float:
    """How long any way between the first and the last pose is at least: the shortest if nothing stood about.

    Reeds and Shepp showed that one of their words is the shortest.
    """
    length_alone = Ask(ask.radius, 1.0, 0.0, 0.0, ask.pivot, ask.arm)
    return float(least_seconds(length_alone, poses[0], poses[-1], bench()))


def _nearest(packed: Packed, start: Array, path: Array) -> Nearest | None:
    w = packed.world
    low, pair = least_separation(w, start, path, NEAR_M)
    if pair < 0:
        return None
    piece, solid = (int(i) for i in w.pairs[pair])
    a = w.car[w.car_at[piece] : w.car_at[piece + 1]]
    b = w.solid[w.solid_at[solid] : w.solid_at[solid + 1]]
    between = nearest_line(a, b, poses_on(start, path, CLOSE_M)[0])
    return Nearest(packed.part_of[piece], packed.solid_of[solid], float(low), float(w.gaps[pair]), between)


def _warnings(vehicle: Vehicle) -> tuple[Reason, ...]:
    return (because("turning-circle-estimated"),) if "turning_circle" in vehicle.estimated else ()


def _skates_proposed(pace: Pace, mode: Mode, shunts: int) -> Iterator[Reason]:
    """Where a car goes to and fro so often, skates are worth a thought."""
    if mode != "skates" and shunts >= pace.skates_from:
        yield because("skates-proposed", shunts=shunts, asked=pace.skates_from)


def _place(pose: Array) -> Place:
    return Place(float(pose[0]), float(pose[1]), math.remainder(float(pose[2]), math.tau))


def _cusps(start: Array, path: Array) -> Iterator[Place]:
    """Where the direction of travel changes."""
    poses = poses_along(start, path)
    for before, after, pose in zip(path, path[1:], poses[1:], strict=False):
        if gear_of(before[0], before[1]) * gear_of(after[0], after[1]) < 0:
            yield _place(pose)


def _leg(row: Array, ask: Ask) -> Leg:
    u, v, w, travel = (float(x) for x in row)
    gear = gear_of(u, v)
    if gear:
        way: Gear = "forward" if gear > 0 else "reverse"
        return Leg(way, travel, w * gear, full_lock=abs(w) * ask.radius > FULL)
    if w:
        return Leg("turn", travel, turn_rad=w * travel)
    return Leg("slide", travel, direction_rad=math.atan2(v, u))


def seconds_for(pace: Pace, mode: Mode, length_m: float, shunts: int) -> Range:
    """The least and the most that a move takes: getting in and out, the way, and turning back.

    Somebody is at the wheel and brake of a car that is pushed, too, and it is never quicker than one that is driven. On
    skates nobody sits in it.
    """
    slow, fast = pace.skates_mps if mode == "skates" else pace.drive_mps
    if mode == "push":
        slow, fast = min(slow, pace.push_mps[0]), min(fast, pace.push_mps[1])
    low, high = length_m / fast, length_m / slow
    if mode == "skates":
        return low, high
    low += pace.enter_s[0] + pace.leave_s[0] + shunts * pace.turn_back_s[0]
    high += pace.enter_s[1] + pace.leave_s[1] + shunts * pace.turn_back_s[1]
    return low, high
