"""Axle, arm and total loads of a car against what its lift may carry. Statics; masses in kilograms."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from attrs import frozen

from standtrue.model.basics import Point
from standtrue.model.lift import Lift
from standtrue.model.reason import Reason, Ref, because
from standtrue.model.vehicle import Vehicle
from standtrue.model.verdict import Verdict


@frozen
class Load:
    """What one part of the car puts on the lift, against its limit; None where that is not known.

    `ok` is None where either is not known. A load of nothing or less is not within: the car would lift off there.
    """

    part: Ref
    load_kg: float | None
    capacity_kg: float | None

    @property
    def ok(self) -> bool | None:
        if self.load_kg is None or self.capacity_kg is None:
            return False if self.lifts_off else None
        return not self.lifts_off and self.load_kg <= self.capacity_kg

    @property
    def lifts_off(self) -> bool:
        """Whether the car would rise off this point: it carries nothing, or would have to pull."""
        return self.load_kg is not None and self.load_kg <= 0.0

    @property
    def too_much(self) -> bool:
        """Whether it is known to carry more than it may."""
        return self.ok is False and not self.lifts_off


@frozen
class LoadsAnswer:
    """The loads that one car puts on one lift. `may_lift` is True only if every load is known and within its limit.

    `tips`: the center of mass does not lie well between the lift points. `missing` says what must be found out first.
    """

    loads: tuple[Load, ...]
    may_lift: bool
    tips: bool = False
    missing: tuple[Reason, ...] = ()

    @property
    def verdict(self) -> Verdict:
        """REJECT where anything is too much or the car would tip, ACCEPT where everything is known and within."""
        if self.may_lift:
            return Verdict.ACCEPT
        no = self.tips or any(load.ok is False for load in self.loads)
        return Verdict.REJECT if no else Verdict.CANNOT_TELL


def axle_loads(mass_kg: float, share_front: float) -> tuple[float, float]:
    """What the front and the rear axle carry, kilograms."""
    if not (mass_kg > 0.0 and 0.0 < share_front < 1.0):
        raise ValueError("a mass must be positive and the front axle's share between 0 and 1")
    return mass_kg * share_front, mass_kg * (1.0 - share_front)


def point_loads(mass_kg: float, center: Point, points: Sequence[Point]) -> tuple[float, ...]:
    """What each lift point carries, kilograms; negative where the car would lift off it.

    Three points carry by statics alone. Of four or more the most even loads that balance are taken (equally stiff
    arms): for points in two pairs, each pair carries by the lever and halves it. Raises ValueError for points in line.
    """
    balance = np.array([[1.0, x - center[0], y - center[1]] for x, y in points]).T
    if np.linalg.matrix_rank(balance, tol=1e-9) < 3:
        raise ValueError("lift points in one line carry no car")
    solved = np.linalg.lstsq(balance, np.array([mass_kg, 0.0, 0.0]), rcond=None)[0]
    return tuple(float(load) for load in solved)


def check_loads(vehicle: Vehicle, lift: Lift) -> LoadsAnswer:
    """Every load that this car puts on this lift. What is not known is said, and holds the car down."""
    loads = [Load(Ref("whole car"), vehicle.mass_kg, lift.capacity_kg)]
    missing = [
        because(code)
        for code, value in (
            ("unknown-car-mass", vehicle.mass_kg),
            ("unknown-front-share", vehicle.front_axle_share),
            ("unknown-lift-capacity", lift.capacity_kg),
        )
        if value is None
    ]
    tips = False
    if lift.carries == "wheels":
        loads.extend(_axles(vehicle, lift))
        if lift.axle_capacity_kg is None:
            missing.append(because("unknown-axle-capacity"))
    elif not vehicle.lift_points:
        missing.append(because("unknown-lift-points"))
    elif vehicle.mass_kg is not None and vehicle.front_axle_share is not None:
        arms = _arms(vehicle, lift)
        tips = any(load.lifts_off for load in arms)
        loads.extend(arms)
        if any(load.capacity_kg is None for load in arms):
            missing.append(because("unknown-arm-capacity"))
    may_lift = not missing and not tips and all(load.ok for load in loads)
    return LoadsAnswer(tuple(loads), may_lift, tips, tuple(missing))


def _axles(vehicle: Vehicle, lift: Lift) -> list[Load]:
    shares: tuple[float | None, float | None] = (None, None)
    if vehicle.mass_kg is not None and vehicle.front_axle_share is not None:
        shares = axle_loads(vehicle.mass_kg, vehicle.front_axle_share)
    return [
        Load(Ref(f"{end} axle"), load, lift.axle_capacity_kg)
        for end, load in zip(("front", "rear"), shares, strict=True)
    ]


def _arms(vehicle: Vehicle, lift: Lift) -> list[Load]:
    """Any arm may take any point, so the weakest arm counts for each."""
    known = [arm.capacity_kg for arm in lift.arms if arm.capacity_kg is not None]
    weakest = min(known) if known and len(known) == len(lift.arms) else None
    assert vehicle.mass_kg is not None
    assert vehicle.front_axle_share is not None
    center = (vehicle.front_axle_share * vehicle.wheelbase_m, 0.0)
    carried = point_loads(vehicle.mass_kg, center, vehicle.lift_points)
    return [Load(Ref("lift point", number=n), load, weakest) for n, load in enumerate(carried, start=1)]
