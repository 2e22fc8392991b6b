"""One set-up as bodies with named points: the floor with its marks, the car, and the targets of a card."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from functools import cached_property

import numpy as np
from attrs import evolve, field, frozen
from numpy.typing import NDArray

from standtrue.aim.alignment import Angle
from standtrue.aim.bodies import Body, Network, Reading, Spot, Unknown
from standtrue.aim.layout import CHALK_M, TargetPlace, marks_of, target_places
from standtrue.aim.points import CarPoints
from standtrue.aim.uncertainty import Estimate, jacobian
from standtrue.model.anchors import anchor_frame, card_sensor
from standtrue.model.basics import Place
from standtrue.model.procedure import Procedure, Target
from standtrue.model.reason import Ref
from standtrue.model.setup import CHALKED, LINES, CarPoint, Tie
from standtrue.model.site import Site
from standtrue.model.vehicle import Vehicle

Array = NDArray[np.float64]

FLOOR, CAR = "the floor", "the car"

PARTS: tuple[str, ...] = ("along", "across", "height", "turn", "lean")
"""What a card gives tolerances for, in this order in every vector of deviations."""

ANGLES: frozenset[str] = frozenset({"turn", "lean"})
"""The parts in radians; the others are in metres."""


@frozen(eq=False, slots=False)
class Scene:
    """A card's targets at a car on its planned stance.

    `thrust` is the thrust line's heading in the vehicle frame (left positive) with its standard uncertainty,
    `height_m` the height of the ground that the wheels stand on. `measured` are points measured at this car, `ties`
    statements of where it stands, `lines` chalked lines with the standard uncertainty of their marks.

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

    @property
    def car_spots(self) -> tuple[tuple[str, Spot], ...]:
        """The car's own points by name, in the vehicle frame."""
        return self._car.points

    def target(self, name: str) -> TargetPlace:
        return next(t for t in self.targets if t.name == name)

    def network(self, readings: Sequence[Reading], without: Iterable[str] = ()) -> Network:
        """The bodies, with those unknowns free that the readings touch.

        The car is free where a reading goes to the floor's marks; otherwise it stands where it was planned and
        everything is found relative to it. Targets in `without` are held.
        """
        held = frozenset(without)
        marks = {name for name, _ in self._floor.points}
        touched = frozenset().union(*self.touched(readings))
        if not any(marks & set(r.points) for r in readings):
            held |= {CAR}
        return Network([evolve(b, free=_kept(b, touched, held)) for b in self._loose.bodies])

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
    def _floor(self) -> Body:
        marks = tuple((m.name, (m.at[0], m.at[1], 0.0)) for m in marks_of(self.site))
        return Body(FLOOR, marks, ref=Ref("floor"))

    @cached_property
    def _car(self) -> Body:
        points: list[tuple[str, Spot]] = [(p.name, p.spot) for p in self.at_car.points]
        base = self.vehicle.wheelbase_m
        for line in CHALKED:
            turn = self.thrust.value_rad if line == "thrust line" else 0.0
            near, far = LINES[line]
            points += [(near, (0.0, 0.0, 0.0)), (far, (base * math.cos(turn), base * math.sin(turn), 0.0))]
        sensor = card_sensor(self.card, self.vehicle)
        if sensor is not None and sensor.at is not None:
            points.append(("sensor", sensor.at))
        at = (self.place.x_m, self.place.y_m, self.height_m)
        return Body(CAR, tuple(points), at, self.place.heading_rad, 0.0, ("x", "y", "turn"), Ref("this car"))

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
            0.0,
            ("x", "y", "z", "turn", "lean"),
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
        (ax, ay), turn = frame
        swing = thrust_rad if target.line == "thrust line" else np.zeros_like(thrust_rad)
        ox = ax * np.cos(swing) if target.anchor_swings else np.full_like(swing, ax)
        oy = ax * np.sin(swing) if target.anchor_swings else np.full_like(swing, ay)
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


def _kept(body: Body, touched: frozenset[tuple[str, Unknown]], held: frozenset[str]) -> tuple[Unknown, ...]:
    if body.name in held:
        return ()
    if body.name == CAR:
        return body.free
    return tuple(u for u in body.free if (body.name, u) in touched)
