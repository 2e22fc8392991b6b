"""One set-up as bodies with named points: the floor with its marks, the car, and the targets of a card."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from functools import cached_property
from typing import Any

import numpy as np
from attrs import evolve, field, frozen
from numpy.typing import NDArray

from standtrue.aim.alignment import Angle
from standtrue.aim.bodies import POSE, Body, Network, Reading, Unknown
from standtrue.aim.chalked import Chalk
from standtrue.aim.ground_sizes import GroundSizes
from standtrue.aim.ground_under import FloorUnder
from standtrue.aim.layout import CHALK_M, TargetPlace, marks_of, target_places
from standtrue.aim.points import DIMENSIONS, CarPoints, Reachable, Spot
from standtrue.aim.ties import PLANNED, tied
from standtrue.aim.uncertainty import Estimate, jacobian
from standtrue.model.anchors import anchor_frame, card_sensor, in_frame
from standtrue.model.basics import Place
from standtrue.model.procedure import Procedure, Target
from standtrue.model.reason import Ref
from standtrue.model.setup import CarPoint, Tie
from standtrue.model.site import Site
from standtrue.model.vehicle import Vehicle

Array = NDArray[np.float64]

FLOOR, CAR = "the floor", "the car"

PARTS: tuple[str, ...] = ("along", "across", "height", "turn", "lean")
"""What a card gives tolerances for, in this order in every vector of deviations."""

SAME_M = 0.0005
"""Floor that differs by less does not matter for a height."""

ANGLES: frozenset[str] = frozenset({"turn", "lean"})
"""The parts in radians; the others are in metres."""


@frozen(eq=False, slots=False)
class Scene:
    """A card's targets at a car on its planned stance.

    `thrust` is the thrust line's heading in the vehicle frame (left positive) with its standard uncertainty,
    `height_m` the height of the ground that the wheels stand on. `measured` are points measured at this car, `ties`
    statements of where it stands, `lines` chalked lines with the standard uncertainty of their marks. `floor` is the
    surveyed floor under the car and its targets; without one the floor is taken as level.

    In the frame of the bodies the plane of the wheels is level: heights and leans count from it, prolonged, and bobs
    hang aslant to it.

    Points: the floor marks and `datum`; those of the car (see `points.CarPoints`), of its strings and chalked lines,
    and `sensor`; of each target its own name for the center, and NAME left, NAME right (as one looks at the printed
    side), NAME top and NAME bottom.
    """

    card: Procedure
    vehicle: Vehicle
    site: Site
    place: Place
    thrust: Angle = field(default=Angle(0.0))
    height_m: float = 0.0
    measured: tuple[CarPoint, ...] = ()
    ties: tuple[Tie, ...] = ()
    lines: tuple[tuple[str, float], ...] = ()
    floor: FloorUnder | None = None

    @cached_property
    def at_car(self) -> CarPoints:
        """The points of the car that readings may start from."""
        return CarPoints(self.vehicle, self.site.readings, self.measured)

    @cached_property
    def targets(self) -> tuple[TargetPlace, ...]:
        return target_places(self.card, self.vehicle, self.place, self.thrust.value_rad, self.height_m)

    @cached_property
    def target_points(self) -> dict[str, frozenset[str]]:
        """The names of each target's own points, by target."""
        return {t.name: frozenset(name for name, _ in self._target(t).points) for t in self.targets}

    @property
    def car_points(self) -> frozenset[str]:
        """The names of the car's own points."""
        return frozenset(name for name, _ in self._car.points)

    def target(self, name: str) -> TargetPlace:
        return next(t for t in self.targets if t.name == name)

    def network(self, readings: Sequence[Reading], without: Iterable[str] = ()) -> Network:
        """The bodies, with those unknowns free that the readings touch, and the sizes that the targets hang on.

        The car is free where a reading goes to the floor's marks; otherwise it stands where it was planned and
        everything is found relative to it. Targets in `without` are held.
        """
        held = frozenset(without)
        touched = frozenset().union(*self.touched(readings))
        if not any(self.ties_car(r) for r in readings):
            held |= {CAR}
        return Network([evolve(b, free=self._kept(b, touched, held)) for b in self._loose.bodies])

    def ties_car(self, reading: Reading) -> bool:
        """Whether a reading goes to the floor's marks, or states where the car stands."""
        return not self._marks.isdisjoint(reading.points)

    def found_vehicle(self, network: Network, unknowns: Array) -> Vehicle:
        """The car with the dimensions that were found, where they were free."""
        found = {name: float(x) for (body, name), x in zip(network.unknowns, unknowns, strict=True) if body == CAR}
        sizes: dict[str, Any] = {f"{n.replace(' ', '_')}_m": found[n] for n in DIMENSIONS if n in found}
        return evolve(self.vehicle, **sizes)

    @cached_property
    def tie_readings(self) -> tuple[Reading, ...]:
        """What is stated of where the car stands against its planned stance, as readings."""
        return tuple(reading for tie in self.ties for reading in tied(tie, self.vehicle.wheelbase_m))

    def _kept(self, body: Body, touched: frozenset[tuple[str, Unknown]], held: frozenset[str]) -> tuple[Unknown, ...]:
        if body.name == CAR:
            sizes = self._anchor_sizes | {u for name, u in touched if name == CAR}
            return tuple(u for u in body.free if (u in POSE and CAR not in held) or (u not in POSE and u in sizes))
        if body.name in held:
            return ()
        return tuple(u for u in body.free if (body.name, u) in touched)

    @cached_property
    def _anchor_sizes(self) -> frozenset[str]:
        """The dimensions of the car that its targets' anchors hang on."""
        anchors = {self.card_target(target).anchor for target in self.targets}
        return frozenset(size for anchor in anchors for size, _ in self.at_car.anchor_moves(anchor))

    @cached_property
    def _loose(self) -> Network:
        """Everything free that can be."""
        return Network([self._floor, self._car, *(self._target(t) for t in self.targets)])

    def touched(self, readings: Sequence[Reading]) -> list[frozenset[tuple[str, Unknown]]]:
        """The unknowns that each reading depends on; none for one that names no point."""
        network = self._loose
        # Away from the plan by a little, lest symmetry hide what a reading depends on.
        nudged = network.start + 1e-3 * np.sin(1.0 + np.arange(len(network.start)))
        known = [i for i, r in enumerate(readings) if not network.missing([r])]
        found: list[frozenset[tuple[str, Unknown]]] = [frozenset()] * len(readings)
        for i, row in zip(known, network.predict([readings[i] for i in known], nudged)[1], strict=True):
            found[i] = frozenset(u for u, size in zip(network.unknowns, abs(row), strict=True) if size > 1e-6)
        return found

    @cached_property
    def ground(self) -> GroundSizes:
        """Where heights of the targets start, and how the wheels' plane lies."""
        return GroundSizes(self.place, self.height_m, self.vehicle.wheelbase_m / 2, self.floor)

    def start_matters(self, point: str) -> bool:
        """Whether a height of a target's point differs by where it starts: by the floor there, as surveyed."""
        target = next((t for t, names in self.target_points.items() if point in names), None)
        above = None if self.floor is None or target is None else self.floor.above(target)
        return above is not None and abs(above[0]) + 2.0 * above[1] > SAME_M

    @cached_property
    def _marks(self) -> frozenset[str]:
        """The points of the floor that do not hang on the car's place: its marks, and the planned stance."""
        return frozenset((*(m.name for m in marks_of(self.site)), *PLANNED))

    @cached_property
    def _floor(self) -> Body:
        points = [(m.name, (m.at[0], m.at[1], 0.0)) for m in marks_of(self.site)]
        frame = (self.place.x_m, self.place.y_m), self.place.heading_rad
        points += [(name, (*in_frame(frame, (at,))[0], 0.0)) for name, at in PLANNED.items()]
        starts = [p for target in self.targets for p in self.ground.points_of(target)]
        sizes = self.ground.sizes
        return Body(
            FLOOR,
            (*points, *((p.name, p.spot) for p in starts)),
            free=tuple(size.name for size in sizes),
            ref=Ref("floor"),
            sizes=sizes,
            moves=tuple((p.name, p.by) for p in starts),
            rises=self.ground.rises,
        )

    @cached_property
    def _car(self) -> Body:
        points = [*self.at_car.points, *self.chalk.points]
        sensor = card_sensor(self.card, self.vehicle)
        if sensor is not None and sensor.at is not None:
            points.append(Reachable("sensor", sensor.at))
        for target in self.targets:
            named = self.card_target(target)
            frame = anchor_frame(named.anchor, named.turned, self.card, self.vehicle)
            assert frame is not None
            moves = self.at_car.anchor_moves(named.anchor)
            points.append(Reachable(_anchor(target), (*frame[0], 0.0), moves))
        sizes = (*self.at_car.sizes, *self.chalk.sizes)
        return Body(
            CAR,
            tuple((p.name, p.spot) for p in points),
            (self.place.x_m, self.place.y_m, self.height_m),
            self.place.heading_rad,
            free=("x", "y", "turn", *(size.name for size in sizes)),
            ref=Ref("this car"),
            sizes=sizes,
            moves=tuple((p.name, p.by) for p in points),
        )

    @cached_property
    def chalk(self) -> Chalk:
        """The lines that are chalked on the floor for this car."""
        centers = tuple(self._ahead(t.center) for t in self.targets)
        return Chalk(self.vehicle, self.thrust.value_rad, self.lines, centers)

    def _ahead(self, spot: Spot) -> float:
        """How far a spot lies ahead of the rear axle, as planned."""
        dx, dy = spot[0] - self.place.x_m, spot[1] - self.place.y_m
        return math.cos(self.place.heading_rad) * dx + math.sin(self.place.heading_rad) * dy

    def _target(self, target: TargetPlace) -> Body:
        wide, high = target.size_m if target.size_m is not None else (CHALK_M, None)
        points: list[tuple[str, Spot]] = [(target.name, (0.0, 0.0, 0.0))]
        points += zip(target.sides, ((0.0, -wide / 2, 0.0), (0.0, wide / 2, 0.0)), strict=True)
        if high is not None:
            points += [(f"{target.name} top", (0.0, 0.0, high / 2)), (f"{target.name} bottom", (0.0, 0.0, -high / 2))]
        return Body(
            target.name,
            tuple(points),
            target.center,
            target.facing_rad,
            free=("x", "y", "z", "turn", "lean"),
            starts=self.ground.starts_of(target),
            tip=self.ground.tip_of(target),
        )

    def deviations(self, network: Network, target: TargetPlace, unknowns: Array, thrust_rad: Array) -> Array:
        """How far a target is off its place relative to the car, shape (..., 5) in the order of PARTS.

        `unknowns` has shape (..., p), `thrust_rad` shape (...). Along and across are in the anchor's frame.
        """
        car = network.pose(CAR, unknowns)
        stands = network.pose(target.name, unknowns)
        named = self.card_target(target)
        frame = anchor_frame(named.anchor, named.turned, self.card, self.vehicle)
        assert frame is not None
        turn, anchor = frame[1], network.local(_anchor(target), unknowns)
        ax, ay = anchor[..., 0], anchor[..., 1]
        swing = thrust_rad if target.line == "thrust line" else np.zeros_like(thrust_rad)
        ox = ax * np.cos(swing) if target.anchor_swings else ax
        oy = ax * np.sin(swing) if target.anchor_swings else ay
        heading = car[..., 3]
        x = car[..., 0] + np.cos(heading) * ox - np.sin(heading) * oy
        y = car[..., 1] + np.sin(heading) * ox + np.cos(heading) * oy
        axis = heading + turn + swing
        dx, dy = stands[..., 0] - x, stands[..., 1] - y
        facing = target.facing_rad - target.frame[1]
        off = stands[..., 3] - axis - facing
        return np.stack(
            [
                np.cos(axis) * dx + np.sin(axis) * dy - target.at[0],
                np.cos(axis) * dy - np.sin(axis) * dx - target.at[1],
                stands[..., 2] - target.center[2],
                np.arctan2(np.sin(off), np.cos(off)),
                stands[..., 4],
            ],
            axis=-1,
        )

    def card_target(self, target: TargetPlace) -> Target:
        return next(t for t in self.card.targets if t.name == target.target)

    def deviation_slopes(self, network: Network, target: TargetPlace, unknowns: Array) -> tuple[Array, Array]:
        """The derivatives of the deviations by the unknowns, shape (5, p), and by the thrust angle, shape (5,)."""
        both = jacobian(
            lambda q: self.deviations(network, target, q[..., :-1], q[..., -1]),
            np.append(unknowns, self.thrust.value_rad),
        )
        return both[:, :-1], both[:, -1]

    def estimate(self, network: Network, target: TargetPlace, unknowns: Array, covariance: Array) -> Estimate:
        """The deviations and their covariance, the thrust angle's uncertainty included."""
        slopes, by_thrust = self.deviation_slopes(network, target, unknowns)
        value = self.deviations(network, target, unknowns, np.asarray(self.thrust.value_rad))
        spread = slopes @ covariance @ slopes.T + np.outer(by_thrust, by_thrust) * self.thrust.u_rad**2
        return Estimate(value, (spread + spread.T) / 2)


def _anchor(target: TargetPlace) -> str:
    """What the point that a target counts from is called, among the car's."""
    return f"anchor: {target.name}"
