"""How a car gets from one stance to another in a shop, or what is in the way."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence

import numpy as np
import shapely
from attrs import evolve, frozen
from shapely.geometry.base import BaseGeometry

from standtrue.drive.answer import Answer, End, Gear, Lack, Leg, Mode, Nearest
from standtrue.drive.certify import least_separation, pose_free, scratch_for, violations
from standtrue.drive.ground import doors_crossed, outward, packed_for, with_aprons
from standtrue.drive.joins import Ask
from standtrue.drive.lacks import lacks_of
from standtrue.drive.motion import gear_of, poses_along
from standtrue.drive.plan import LEVELS, TIGHT, Found, Pose, find_path
from standtrue.drive.swept import CLOSE_M, nearest_line, poses_on, swept_by
from standtrue.drive.world import Packed
from standtrue.model.basics import Outline, Place, Range
from standtrue.model.ground import Ground, Grounds
from standtrue.model.site import Bay, Pace, Site
from standtrue.model.vehicle import Vehicle
from standtrue.plane.kernels import Array
from standtrue.plane.shapes import polygon

NEAR_M = 1e-5
"""How far below the true least separation the one told may lie."""

STEERING_S = 0.2
"""What turning the wheel counts while searching: enough to prefer fewer arcs, no more."""

DOOR_GAIN_S = 5.0
"""Opening a door must save at least this."""

QUICK_LEVELS = (LEVELS[0], LEVELS[TIGHT]._replace(most=10_000))
"""How far a quick search goes: no stepping stones."""


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

    Tried with the doors shut that neither end is at, and with all of them open: backing out and coming in straight
    may be the easiest shift. Lifts at neither end are at rest. With `bay`, the neighbors' cars beyond its closed edges
    stand there. Equipment is stored, but for that `in_use`.
    `quick`: at coarse resolutions only; where no way is found, neither a proof nor what is in the way.
    `hopeless` is asked, once a coarse search shows no way, whether to look no further.
    """
    refused = tuple(_refusals(site, vehicle, start, goal, mode))
    if refused:
        return _refusal(mode, refused)
    move = _Move(site, vehicle, start, goal, mode, bay, in_use, quick, hopeless)
    at_ends = tuple(d.name for d in site.doors if d.name in (start.door, goal.door))
    every = tuple(d.name for d in site.doors)
    best = _with_doors(move, at_ends)
    if not best.found and hopeless is not None and hopeless():
        return best
    if len(every) > len(at_ends) and (not best.found or best.shunts > 1):
        other = _with_doors(move, every)
        # Where neither finds a way, what is in it with the doors open says more than that they are shut.
        if not best.found or (other.found and other.seconds[0] < best.seconds[0] - DOOR_GAIN_S):
            return other
    return best


@frozen(eq=False)
class _Move:
    site: Site
    vehicle: Vehicle
    start: End
    goal: End
    mode: Mode
    bay: Bay | None
    in_use: frozenset[str]
    quick: bool
    hopeless: Callable[[], bool] | None


def _refusals(site: Site, vehicle: Vehicle, start: End, goal: End, mode: Mode) -> Iterator[Lack]:
    """What rules a move out before any search."""
    if site.clear_height_m is not None and vehicle.height_m > site.clear_height_m:
        over = vehicle.height_m - site.clear_height_m
        yield Lack("ceiling", over, f"the car is {1e3 * over:.0f} mm higher than the ceiling")
    if mode != "skates" and vehicle.least_radius_m is None:
        yield Lack("turning circle", None, "the car's turning circle is missing, or less than its own wheelbase allows")
    if start.lift is not None and start.lift == goal.lift and start.setting != goal.setting:
        yield Lack(start.lift, None, f"{start.lift} cannot stand in two states at once")
    for end in (start, goal):
        if end.lift is None or end.setting is None:
            continue
        lift = next(p.lift for p in site.lifts if p.name == end.lift)
        state = lift.state(end.setting.state)
        grounded = lift.carries == "body" and end.setting.height_m <= 0.0
        if not state.drive_on and not grounded:
            yield Lack(end.lift, None, f"{end.lift} cannot be driven on or off in its state {end.setting.state}")


def _refusal(mode: Mode, lacks: tuple[Lack, ...]) -> Answer:
    return Answer(mode, False, "exhausted", None, None, (), 0, 0.0, (0.0, 0.0), None, (), (), 0.0, 0, True, lacks, ())


def _with_doors(move: _Move, doors: tuple[str, ...]) -> Answer:
    site, vehicle, start, goal, mode = move.site, move.vehicle, move.start, move.goal, move.mode
    ground = ground_between(site, start, goal, doors, bay=move.bay, in_use=move.in_use)
    own = tuple(dict.fromkeys(end.lift for end in (start, goal) if end.lift is not None))
    packed = packed_for(vehicle, ground, own)
    ask = ask_for(vehicle, site.pace, mode)
    ones, twos = _poses(site, start), _poses(site, goal)
    free_ones = [p for p in ones if _is_free(packed, p)]
    free_twos = [p for p in twos if _is_free(packed, p)]
    if not free_ones or not free_twos:
        lacks = tuple(_end_lacks(packed, "start", ones, free_ones)) + tuple(_end_lacks(packed, "goal", twos, free_twos))
        return _refusal(mode, lacks)
    levels = QUICK_LEVELS if move.quick else LEVELS
    found = find_path(packed, ask, free_ones, free_twos, levels, prove=not move.quick, hopeless=move.hopeless)
    if found.ended != "solved" or found.start is None:
        barring = () if move.quick else lacks_of(packed, ask, free_ones, free_twos, found)
        lacks = tuple(_too_low(site, vehicle, lack) for lack in barring)
        return _not_found(mode, found, lacks)
    return _answer(site, vehicle, mode, found, packed, ground)


def no_way_out(site: Site, vehicle: Vehicle, place: End, mode: Mode) -> Answer | None:
    """An answer that says that a quick search found no way between a place and any door; None where there may be one.

    All doors stand open, and from all of them the search goes on at once: what it does not find, no search by one door
    at as coarse resolutions is likely to. Not told where an open door hangs in the car's way.
    """
    every = tuple(d.name for d in site.doors)
    ground = ground_between(site, place, place, every)
    packed = packed_for(vehicle, ground, () if place.lift is None else (place.lift,))
    if {t.name for t in ground.things if t.kind == "door"} & set(packed.solid_of):
        return None
    at_doors = [pose for name in every for pose in _poses(site, End(door=name))]
    ones, twos = ([p for p in poses if _is_free(packed, p)] for poses in (at_doors, _poses(site, place)))
    if not ones or not twos:
        return None
    ask = ask_for(vehicle, site.pace, mode)
    for level in QUICK_LEVELS:
        found = find_path(packed, ask, ones, twos, [level], prove=False)
        if found.ended == "solved":
            return None
    return _not_found(mode, found, ())


def _is_free(packed: Packed, pose: Pose) -> bool:
    return pose_free(packed.world, np.array(pose), scratch_for(packed.world))


def _not_found(mode: Mode, found: Found, lacks: tuple[Lack, ...]) -> Answer:
    refused = _refusal(mode, lacks)
    return evolve(refused, search=found.ended, cell_m=found.cell_m, nodes=found.nodes, proven=found.proven)


def _too_low(site: Site, vehicle: Vehicle, lack: Lack) -> Lack:
    """What stands over a door is in the way by height, not by width."""
    door = next((d for d in site.doors if lack.thing == f"{d.name} lintel"), None)
    if door is None:
        return lack
    over = vehicle.height_m - door.height_m
    return Lack(lack.thing, over, f"{lack.thing} bars the way: the car is {1e3 * over:.0f} mm higher than the door")


def ground_between(
    site: Site,
    start: End,
    goal: End,
    doors: tuple[str, ...],
    *,
    bay: Bay | None = None,
    in_use: frozenset[str] = frozenset(),
) -> Ground:
    """The ground of a move between two ends: the lifts at the ends as they say, all others at rest, `doors` open."""
    settings = {end.lift: end.setting for end in (start, goal) if end.lift is not None and end.setting is not None}
    return Grounds(with_aprons(site), bay).resolve(settings, doors, in_use)


def ask_for(vehicle: Vehicle, pace: Pace, mode: Mode) -> Ask:
    """What the search counts: the middle of each pace, and the least that turning back takes."""
    speed = {"drive": pace.drive_mps, "push": pace.push_mps, "skates": pace.skates_mps}[mode]
    middle = (vehicle.front_x_m + vehicle.rear_x_m) / 2
    arm = math.hypot(vehicle.length_m, vehicle.width_m) / 2
    radius = 0.0 if mode == "skates" else vehicle.least_radius_m or 0.0
    return Ask(radius, 2.0 / (speed[0] + speed[1]), pace.turn_back_s[0], STEERING_S, middle, arm)


def places_of(site: Site, end: End) -> tuple[Place, ...]:
    """The places that an end may mean: one, or at a door both ways round, heading in first."""
    if end.place is not None:
        return (end.place,)
    door = next(d for d in site.doors if d.name == end.door)
    ox, oy = outward(door, polygon(site.outline))
    x, y = (door.start[0] + door.end[0]) / 2, (door.start[1] + door.end[1]) / 2
    out = math.atan2(oy, ox)
    return Place(x, y, math.remainder(out + math.pi, math.tau)), Place(x, y, out)


def _poses(site: Site, end: End) -> tuple[Pose, ...]:
    return tuple((p.x_m, p.y_m, p.heading_rad) for p in places_of(site, end))


def _end_lacks(packed: Packed, which: str, poses: Sequence[Pose], free: Sequence[Pose]) -> Iterator[Lack]:
    """What is too near the car at an end that does not keep its gaps."""
    if free:
        return
    told = min((violations(packed.world, np.array(pose)) for pose in poses), key=len)
    seen = set()
    for pair, apart in told:
        piece, solid = packed.world.pairs[pair]
        part, thing = packed.part_of[piece], packed.solid_of[solid]
        if (part, thing) in seen:
            continue
        seen.add((part, thing))
        gap = float(packed.world.gaps[pair])
        where = f"overlaps {thing}" if apart < 0.0 else f"is {1e3 * apart:.0f} mm from {thing}"
        yield Lack(thing, gap - apart, f"at the {which} the {part} {where}; {1e3 * gap:.0f} mm must stay free")


def _answer(site: Site, vehicle: Vehicle, mode: Mode, found: Found, packed: Packed, ground: Ground) -> Answer:
    start = np.array(found.start)
    low, pair = least_separation(packed.world, start, found.path, NEAR_M)
    nearest = None
    if pair >= 0:
        nearest = _nearest(packed, int(pair), float(low), poses_on(start, found.path, CLOSE_M)[0])
    poses, begun = poses_on(start, found.path)
    swept = swept_by(vehicle, poses)
    length = float(found.path[:, 3].sum())
    return Answer(
        mode,
        True,
        "solved",
        _place(poses[0]),
        _place(poses[-1]),
        tuple(_leg(row) for row in found.path),
        found.shunts,
        length,
        seconds_for(site.pace, mode, length, found.shunts),
        nearest,
        doors_crossed(ground, swept),
        tuple(_outlines(swept)),
        found.cell_m,
        found.nodes,
        False,
        (),
        _warnings(vehicle),
        tuple(_place(p) for p in poses),
        tuple(_cusps(start, found.path)),
        begun,
    )


def _nearest(packed: Packed, pair: int, low: float, poses: Array) -> Nearest:
    w = packed.world
    piece, solid = (int(i) for i in w.pairs[pair])
    a = w.car[w.car_at[piece] : w.car_at[piece + 1]]
    b = w.solid[w.solid_at[solid] : w.solid_at[solid + 1]]
    between = nearest_line(a, b, poses)
    return Nearest(packed.part_of[piece], packed.solid_of[solid], low, float(w.gaps[pair]), between)


def _outlines(shape: BaseGeometry) -> Iterator[Outline]:
    for part in shapely.get_parts(shape):
        yield tuple((float(x), float(y)) for x, y in shapely.get_coordinates(part.exterior)[:-1])


def _warnings(vehicle: Vehicle) -> tuple[str, ...]:
    if "turning_circle" in vehicle.estimated:
        return ("the car's turning circle is estimated: measure it before relying on a tight move",)
    return ()


def _place(pose: Array) -> Place:
    return Place(float(pose[0]), float(pose[1]), math.remainder(float(pose[2]), math.tau))


def _cusps(start: Array, path: Array) -> Iterator[Place]:
    """Where the direction of travel changes."""
    poses = poses_along(start, path)
    for before, after, pose in zip(path, path[1:], poses[1:], strict=False):
        if gear_of(before[0], before[1]) * gear_of(after[0], after[1]) < 0:
            yield _place(pose)


def _leg(row: Array) -> Leg:
    u, v, w, travel = (float(x) for x in row)
    gear = gear_of(u, v)
    if gear:
        way: Gear = "forward" if gear > 0 else "reverse"
        return Leg(way, travel, w * gear)
    if w:
        return Leg("turn", travel, turn_rad=w * travel)
    return Leg("slide", travel, direction_rad=math.atan2(v, u))


def seconds_for(pace: Pace, mode: Mode, length_m: float, shunts: int) -> Range:
    """The least and the most that a move takes: getting in and out (when driven), the way, and turning back."""
    slow, fast = {"drive": pace.drive_mps, "push": pace.push_mps, "skates": pace.skates_mps}[mode]
    low, high = length_m / fast, length_m / slow
    if mode != "skates":
        low, high = low + shunts * pace.turn_back_s[0], high + shunts * pace.turn_back_s[1]
    if mode == "drive":
        low, high = low + pace.enter_s[0] + pace.leave_s[0], high + pace.enter_s[1] + pace.leave_s[1]
    return low, high
