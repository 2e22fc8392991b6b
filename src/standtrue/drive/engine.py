"""How a car gets from one stance to another in a shop, or what is in the way."""

from __future__ import annotations

import math
from collections.abc import Callable

from attrs import evolve

from standtrue.drive.kernels.joins import Ask
from standtrue.drive.path.effort import QUICK
from standtrue.drive.path.find import find_path, no_more_than
from standtrue.drive.proofs.one_gear import shunts_at_least
from standtrue.drive.question.answer import Answer, End, Mode
from standtrue.drive.question.any_doors import (
    BETTER_SETS,
    MOST_SETS,
    Sought,
    by_any_doors,
    ended,
    none_of,
    told_with,
    tried,
)
from standtrue.drive.question.ends import free_of, poses_of
from standtrue.drive.question.refused import refusal, refusals
from standtrue.drive.question.stage import Move, Opened, ground_with, staged
from standtrue.drive.world.doors import with_aprons
from standtrue.drive.world.ground import packed_for
from standtrue.model.site import Bay, Pace, Site
from standtrue.model.vehicle import Vehicle

STEERING_S = 0.2
"""What turning the wheel counts while searching: enough to prefer fewer arcs, no more."""

DOOR_GAIN_S = 5.0
"""Opening a door must save at least this."""


def drive(
    site: Site,
    vehicle: Vehicle,
    start: End,
    goal: End,
    mode: Mode = "drive",
    *,
    bay: Bay | None = None,
    in_use: frozenset[str] = frozenset(),
    quick: bool = False,
    hopeless: Callable[[], bool] | None = None,
) -> Answer:
    """How the car gets from `start` to `goal`: the path of least time that was found.

    Tried with the doors shut that neither end is at, and with any of them open: backing out and coming in straight
    may be the easiest shift. Floor outside a door that is not entered is assumed, told, and no part of a proof.
    Lifts at neither end are at rest. With `bay`, the neighbors' cars beyond its closed edges stand there. Equipment is
    stored, but for that `in_use`.
    `quick`: at coarse resolutions only; where no way is found, neither a proof nor what is in the way.
    `hopeless` is asked, once a search shows no way, whether to look no further, also not for what is in the way.
    """
    refused = tuple(refusals(site, vehicle, start, goal, mode))
    if refused:
        return refusal(mode, refused)
    move = Move(site, vehicle, start, goal, mode, ask_for(vehicle, site.pace, mode), bay, in_use, quick, hopeless)
    best = _best(move)
    return best if quick or not best.found or not best.shunts else _bounded(move, best)


def _best(move: Move) -> Answer:
    """The path of least time that was found, with doors shut or open."""
    site = move.site
    first = tried(move, Opened(move.at_ends))
    best = first.answer
    if len(site.doors) == len(move.at_ends) or (best is None and move.given_up()):
        return best or none_of(move, Sought(None, (first,), True))
    if best is None:
        sought = by_any_doors(move, MOST_SETS)
        return sought.answer or none_of(move, sought)
    other = by_any_doors(move, BETTER_SETS).answer if best.shunts > 1 else None
    return other if other is not None and other.seconds[0] < best.seconds[0] - DOOR_GAIN_S else best


def _bounded(move: Move, best: Answer) -> Answer:
    """The same with what any way there takes at least: by whatever doors, over whatever floor may be outside."""
    others = tuple(d.name for d in move.site.doors if d.name not in move.at_ends)
    stage = staged(move, Opened((), (*move.at_ends, *others)), all_round=True, framed=False)
    if stage.refused or move.ask.radius <= 0.0:
        return best
    return evolve(best, shunts_at_least=shunts_at_least(stage.packed, move.ask.radius, stage.ones, stage.twos))


def no_way_out(site: Site, vehicle: Vehicle, place: End, mode: Mode) -> Answer | None:
    """An answer that says that a quick search found no way between a place and any door; None where there may be one.

    All doors stand open, and from all of them the search goes on at once: what it does not find, no search by one door
    at as coarse resolutions is likely to. Not told where an open door hangs in the car's way.
    """
    every = tuple(d.name for d in site.doors)
    outside, aprons = with_aprons(site, vehicle, every)
    ground = ground_with(outside, place, place, every)
    packed = packed_for(vehicle, ground, () if place.carrier.lift is None else (place.carrier.lift,))
    if {t.ref for t in ground.things if t.kind == "door"} & set(packed.solid_of):
        return None
    at_doors = [pose for name in every for pose in poses_of(site, vehicle, End(door=name))]
    ones, twos = free_of(packed, at_doors), free_of(packed, poses_of(site, vehicle, place))
    if not ones or not twos:
        return None
    ask = ask_for(vehicle, site.pace, mode)
    for effort in QUICK:
        found = find_path(packed, ask, ones, twos, no_more_than(effort))
        if found.solved:
            return None
    return told_with(ended(refusal(mode, ()), found), aprons)


def ask_for(vehicle: Vehicle, pace: Pace, mode: Mode) -> Ask:
    """What the search counts: the middle of each pace, and the least that turning back takes."""
    speed = {"drive": pace.drive_mps, "push": pace.push_mps, "skates": pace.skates_mps}[mode]
    middle = (vehicle.front_x_m + vehicle.rear_x_m) / 2
    arm = math.hypot(vehicle.length_m, vehicle.width_m) / 2
    radius = 0.0 if mode == "skates" else vehicle.least_radius_m or 0.0
    return Ask(radius, 2.0 / (speed[0] + speed[1]), pace.turn_back_s[0], STEERING_S, middle, arm)
