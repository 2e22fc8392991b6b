"""How a car gets from one stance to another in a shop, or what is in the way."""

from __future__ import annotations

import math
from collections.abc import Callable

from attrs import evolve, frozen

from standtrue.drive.kernels.joins import Ask
from standtrue.drive.path.effort import QUICK
from standtrue.drive.path.find import COARSE, THOROUGH, find_path, no_more_than
from standtrue.drive.path.found import Found
from standtrue.drive.question.answer import Answer, End, Mode, Obstruction
from standtrue.drive.question.ends import free_of, poses_of, too_near
from standtrue.drive.question.found_way import answer_of
from standtrue.drive.question.obstructions import obstructions_of
from standtrue.drive.question.refused import refusal, refusals
from standtrue.drive.world.ground import packed_for, with_aprons
from standtrue.model.ground import Ground, Grounds, LiftSetting
from standtrue.model.reason import Length, Ref, because
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

    Tried with the doors shut that neither end is at, and with all of them open: backing out and coming in straight
    may be the easiest shift. Lifts at neither end are at rest. With `bay`, the neighbors' cars beyond its closed edges
    stand there. Equipment is stored, but for that `in_use`.
    `quick`: at coarse resolutions only; where no way is found, neither a proof nor what is in the way.
    `hopeless` is asked, once a search shows no way, whether to look no further, also not for what is in the way.
    """
    refused = tuple(refusals(site, vehicle, start, goal, mode))
    if refused:
        return refusal(mode, refused)
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


def _with_doors(move: _Move, doors: tuple[str, ...]) -> Answer:
    site, vehicle, start, goal, mode = move.site, move.vehicle, move.start, move.goal, move.mode
    ground = ground_between(site, start, goal, doors, bay=move.bay, in_use=move.in_use)
    own = tuple(dict.fromkeys(end.carrier.lift for end in (start, goal) if end.carrier.lift is not None))
    packed = packed_for(vehicle, ground, own)
    ask = ask_for(vehicle, site.pace, mode)
    ones, twos = poses_of(site, start), poses_of(site, goal)
    free_ones, free_twos = free_of(packed, ones), free_of(packed, twos)
    if not free_ones or not free_twos:
        at_start = () if free_ones else tuple(too_near(packed, "start", ones))
        return refusal(mode, (*at_start, *(() if free_twos else too_near(packed, "goal", twos))))
    strategy = COARSE if move.quick else THOROUGH
    found = find_path(packed, ask, free_ones, free_twos, strategy, hopeless=move.hopeless)
    if found.solved:
        return answer_of(found, vehicle, mode, ask, packed, ground)
    unsaid = move.quick or (not found.proven and move.hopeless is not None and move.hopeless())
    barring = () if unsaid else obstructions_of(packed, ask, free_ones, free_twos, found)
    return _not_found(mode, found, tuple(_too_low(site, vehicle, one) for one in barring))


def no_way_out(site: Site, vehicle: Vehicle, place: End, mode: Mode) -> Answer | None:
    """An answer that says that a quick search found no way between a place and any door; None where there may be one.

    All doors stand open, and from all of them the search goes on at once: what it does not find, no search by one door
    at as coarse resolutions is likely to. Not told where an open door hangs in the car's way.
    """
    every = tuple(d.name for d in site.doors)
    ground = ground_between(site, place, place, every)
    packed = packed_for(vehicle, ground, () if place.carrier.lift is None else (place.carrier.lift,))
    if {t.ref for t in ground.things if t.kind == "door"} & set(packed.solid_of):
        return None
    at_doors = [pose for name in every for pose in poses_of(site, End(door=name))]
    ones, twos = free_of(packed, at_doors), free_of(packed, poses_of(site, place))
    if not ones or not twos:
        return None
    ask = ask_for(vehicle, site.pace, mode)
    for effort in QUICK:
        found = find_path(packed, ask, ones, twos, no_more_than(effort))
        if found.solved:
            return None
    return _not_found(mode, found, ())


def _not_found(mode: Mode, found: Found, obstructions: tuple[Obstruction, ...]) -> Answer:
    refused = refusal(mode, obstructions)
    return evolve(refused, outcome=found.outcome, cell_m=found.cell_m, nodes=found.nodes, proven=found.proven)


def _too_low(site: Site, vehicle: Vehicle, one: Obstruction) -> Obstruction:
    """What stands over a door is in the way by height, not by width."""
    door = next((d for d in site.doors if one.thing == Ref("lintel", of=d.name)), None)
    if door is None:
        return one
    over = vehicle.height_m - door.height_m
    return Obstruction(one.thing, over, because("way-under-lintel", thing=one.thing, over=Length(over)))


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
    carriers = [end.carrier for end in (start, goal)]
    settings = {c.lift: LiftSetting(c.state, c.height_m) for c in carriers if c.lift is not None}
    return Grounds(with_aprons(site), bay).resolve(settings, doors, in_use)


def ask_for(vehicle: Vehicle, pace: Pace, mode: Mode) -> Ask:
    """What the search counts: the middle of each pace, and the least that turning back takes."""
    speed = {"drive": pace.drive_mps, "push": pace.push_mps, "skates": pace.skates_mps}[mode]
    middle = (vehicle.front_x_m + vehicle.rear_x_m) / 2
    arm = math.hypot(vehicle.length_m, vehicle.width_m) / 2
    radius = 0.0 if mode == "skates" else vehicle.least_radius_m or 0.0
    return Ask(radius, 2.0 / (speed[0] + speed[1]), pace.turn_back_s[0], STEERING_S, middle, arm)
