"""What `drive` is asked and what it answers."""

from __future__ import annotations

import math
from functools import cached_property
from typing import Literal, get_args

import shapely
from attrs import evolve, frozen

from standtrue.drive.path.found import Outcome
from standtrue.drive.path.swept import swept_by
from standtrue.drive.world.doors import Apron
from standtrue.model.basics import Outline, Place, Point, Range
from standtrue.model.reason import Reason, Ref
from standtrue.model.stance import FLOOR, Carrier
from standtrue.model.vehicle import Vehicle
from standtrue.plane.kernels import Array

Mode = Literal["drive", "push", "skates"]
Gear = Literal["forward", "reverse", "slide", "turn"]
MODES: tuple[Mode, ...] = get_args(Mode)


@frozen
class End:
    """One end of a move: a place and what carries the car there; or a door.

    At a door the car is wholly outside it, just before its line, in the middle and square to it, either way round.
    """

    place: Place | None = None
    carrier: Carrier = FLOOR
    door: str | None = None

    @property
    def name(self) -> str:
        """What the user calls it: the door or the lift; "" for a place on the floor."""
        return self.door or self.carrier.lift or ""


@frozen
class Leg:
    """A stretch of one gear and one curvature. `length_m` is what the car's origin, or on skates its center, travels.

    `curvature_per_m` is positive to the left. On skates the car slides straight toward `direction_rad` (from its own
    forward direction, counter-clockwise), or turns about its center by `turn_rad`. At `full_lock` it turns as tightly
    as it can.
    """

    gear: Gear
    length_m: float
    curvature_per_m: float = 0.0
    direction_rad: float = 0.0
    turn_rad: float = 0.0
    full_lock: bool = False

    def back(self) -> Leg:
        """The same stretch the other way."""
        gears: dict[Gear, Gear] = {"forward": "reverse", "reverse": "forward"}
        away = math.remainder(self.direction_rad + math.pi, math.tau) if self.gear == "slide" else 0.0
        return evolve(self, gear=gears.get(self.gear, self.gear), direction_rad=away, turn_rad=-self.turn_rad)


@frozen
class Obstruction:
    """Why there is no way: what is in the way, and how much room is missing there, metres (None: not known).

    With `lacking_m` more room on each side there is a way; with a little less there may be one.
    """

    thing: Ref
    lacking_m: float | None
    why: Reason


@frozen
class Nearest:
    """Where the path comes nearest to something. `between` is the shortest line there, from the car to the thing."""

    part: str
    thing: Ref
    separation_m: float
    gap_m: float
    between: tuple[Point, Point] | None = None


@frozen(eq=False)
class Sweep:
    """What a car passes over along poses of shape (n, 3), worked out once somebody asks: few moves are drawn."""

    vehicle: Vehicle
    poses: Array

    @cached_property
    def outlines(self) -> tuple[Outline, ...]:
        parts = shapely.get_parts(swept_by(self.vehicle, self.poses))
        return tuple(tuple(map(tuple, shapely.get_coordinates(part.exterior)[:-1].tolist())) for part in parts)


@frozen(eq=False)
class Answer:
    """How a car gets from one end to the other, or why no way was found.

    `shunts` counts changes of direction: an upper bound on the fewest possible; `shunts_at_least`: so many any way
    takes, proven. `least_separation_m` is proven between
    the poses too. `seconds` is an honest range. `cell_m` is the resolution at which the search ended (0: worked out
    without a grid); `proven` that there is no way at all, at any resolution. `poses` lie close enough along the path to
    draw it; `leg_at` says which of them each leg starts at, `cusps` where the direction changes. `aprons` is floor
    outside doors that nobody entered and that the answer rests on; `none_as_assumed` that there is no way if the floor
    is as assumed: that is no proof.
    `length_at_least_m`: no way between these stances is shorter, whatever stands about.
    """

    mode: Mode
    outcome: Outcome
    start: Place | None
    goal: Place | None
    legs: tuple[Leg, ...]
    shunts: int
    length_m: float
    seconds: Range
    nearest: Nearest | None
    doors_open: tuple[str, ...]
    sweep: Sweep | None
    cell_m: float
    nodes: int
    proven: bool
    obstructions: tuple[Obstruction, ...]
    warnings: tuple[Reason, ...]
    poses: tuple[Place, ...] = ()
    cusps: tuple[Place, ...] = ()
    leg_at: tuple[int, ...] = ()
    length_at_least_m: float = 0.0
    shunts_at_least: int = 0
    aprons: tuple[Apron, ...] = ()
    none_as_assumed: bool = False

    @property
    def found(self) -> bool:
        return self.outcome is Outcome.SOLVED

    @property
    def swept(self) -> tuple[Outline, ...]:
        """What body and mirrors pass over: outer rings."""
        return () if self.sweep is None else self.sweep.outlines

    @property
    def steers(self) -> tuple[tuple[int, Place], ...]:
        """Where the wheel is turned without a change of direction: which leg begins there, and the place."""
        return tuple(
            (after, self.poses[self.leg_at[after]])
            for after in range(1, len(self.leg_at))
            if self.legs[after].gear == self.legs[after - 1].gear in ("forward", "reverse")
        )

    @property
    def least_separation_m(self) -> float | None:
        """How near the path comes to anything that some part must keep from, proven between poses; None: no path."""
        return None if self.nearest is None else self.nearest.separation_m

    def back(self) -> Answer:
        """The way back: the same path driven the other way. It is also what is found for it."""
        last = len(self.poses) - 1
        ends = (*self.leg_at[1:], last) if self.leg_at else ()
        return evolve(
            self,
            start=self.goal,
            goal=self.start,
            legs=tuple(leg.back() for leg in reversed(self.legs)),
            poses=self.poses[::-1],
            cusps=self.cusps[::-1],
            leg_at=tuple(last - end for end in reversed(ends)),
        )
