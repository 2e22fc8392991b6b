"""Cars, in the ISO 8855 vehicle frame: x forward, y left, origin on the ground under the rear axle's center."""

from __future__ import annotations

import math

from attrs import frozen

from standtrue.model.basics import Outline, Point, Range, Side
from standtrue.model.reason import Reason, Ref, Term, because

WHEELS: tuple[str, ...] = ("wheel front left", "wheel front right", "wheel rear left", "wheel rear right")

TYPED_U_M = 0.003
HUB_OFFSET_U_M = 0.008
"""Standard uncertainty of a dimension as typed, and of a hub's offset that was not measured at this car. Common
practice, no source."""

HUB_OFFSET_SHARE = 0.44
"""How far a hub's face lies outboard of the middle of its wheel, as a share of the tire's width, where nobody says.
Common practice, no source."""

WHEEL_PATCH_LENGTH_M = 0.20
MIRROR_LENGTH_M = 0.20
MIRROR_BAND_M: Range = (0.9, 1.3)


@frozen
class Sensor:
    """A sensor as fitted: where it is (x, y, z in the vehicle frame, metres) and where it looks."""

    kind: str
    side: Side | None = None
    at: tuple[float, float, float] | None = None
    facing_rad: float = 0.0
    tilt_rad: float = 0.0
    option: str | None = None


@frozen
class Opened:
    """How high and how far out an opened hood or liftgate reaches, metres."""

    height_m: float
    reach_m: float


@frozen
class Vehicle:
    """A car with every dimension that the engines need; `estimated` says which of them a rule supplied.

    `known_to` are standard uncertainties of dimensions, metres, by field; see `u_m` for the others.
    """

    name: str
    length_m: float
    width_m: float
    width_over_mirrors_m: float
    height_m: float
    wheelbase_m: float
    front_overhang_m: float
    track_front_m: float
    track_rear_m: float
    tire_width_m: float
    tire_diameter_m: float
    ground_clearance_m: float
    turning_circle_m: float | None = None
    turning_circle_wall_m: float | None = None
    maker: str = ""
    model: str = ""
    years: tuple[int, int] | None = None
    trim: str = ""
    propulsion: str = ""
    driven_wheels: str = ""
    mass_kg: float | None = None
    front_axle_share: float | None = None
    lift_points: tuple[Point, ...] = ()
    alignment: tuple[tuple[str, Range], ...] = ()
    ride_height: tuple[tuple[str, Range], ...] = ()
    hood_open: Opened | None = None
    liftgate_open: Opened | None = None
    outline: Outline | None = None
    mirror_at_m: float | None = None
    sensors: tuple[Sensor, ...] = ()
    estimated: tuple[str, ...] = ()
    hub_offset_front_m: float | None = None
    hub_offset_rear_m: float | None = None
    known_to: tuple[tuple[str, float], ...] = ()

    @property
    def estimated_words(self) -> tuple[Term, ...]:
        """The dimensions that a rule supplied, as they are called."""
        return tuple(Term(field.replace("_", " ")) for field in self.estimated)

    @property
    def notes(self) -> tuple[Reason, ...]:
        """What was not measured of it."""
        if not self.estimated:
            return ()
        return (because("vehicle-estimated", vehicle=Ref("vehicle", self.name), fields=self.estimated_words),)

    def u_m(self, dimension: str) -> float:
        """The standard uncertainty of a dimension by the name of its field (`wheelbase`, `hub_offset_rear`)."""
        usual = HUB_OFFSET_U_M if dimension.startswith("hub_offset") else TYPED_U_M
        return dict(self.known_to).get(dimension, usual)

    def hub_offset_m(self, end: str) -> float:
        """How far a hub's face lies outboard of the middle of its wheel at an end, `front` or `rear`."""
        stated = self.hub_offset_front_m if end == "front" else self.hub_offset_rear_m
        return HUB_OFFSET_SHARE * self.tire_width_m if stated is None else stated

    @property
    def front_x_m(self) -> float:
        """Where the body ends ahead of the rear axle."""
        return self.wheelbase_m + self.front_overhang_m

    @property
    def rear_x_m(self) -> float:
        """Where the body ends behind the rear axle (negative)."""
        return self.front_x_m - self.length_m

    @property
    def body(self) -> Outline:
        """The body seen from above, counter-clockwise, without mirrors."""
        if self.outline is not None:
            return self.outline
        half = self.width_m / 2
        return ((self.rear_x_m, -half), (self.front_x_m, -half), (self.front_x_m, half), (self.rear_x_m, half))

    @property
    def mirrors(self) -> tuple[tuple[Side, Outline], ...]:
        """The two mirror boxes, or none if the mirrors stand out no farther than the body."""
        inner, outer = self.width_m / 2, self.width_over_mirrors_m / 2
        if outer <= inner:
            return ()
        center = self.mirror_at_m if self.mirror_at_m is not None else 0.72 * self.wheelbase_m
        x0, x1 = center - MIRROR_LENGTH_M / 2, center + MIRROR_LENGTH_M / 2
        return (
            ("left", ((x0, inner), (x1, inner), (x1, outer), (x0, outer))),
            ("right", ((x0, -outer), (x1, -outer), (x1, -inner), (x0, -inner))),
        )

    def wheel_center(self, wheel: str) -> Point:
        """The center of a wheel patch, by the names in `WHEELS`."""
        _, end, side = wheel.split()
        half = (self.track_front_m if end == "front" else self.track_rear_m) / 2
        return (self.wheelbase_m if end == "front" else 0.0, half if side == "left" else -half)

    @property
    def wheel_patches(self) -> tuple[tuple[str, Outline], ...]:
        """The four wheel patches by name, each `tire_width` wide and 0.20 m long."""
        patches: list[tuple[str, Outline]] = []
        half_length, half_width = WHEEL_PATCH_LENGTH_M / 2, self.tire_width_m / 2
        for wheel in WHEELS:
            x, y = self.wheel_center(wheel)
            patches.append(
                (
                    wheel,
                    (
                        (x - half_length, y - half_width),
                        (x + half_length, y - half_width),
                        (x + half_length, y + half_width),
                        (x - half_length, y + half_width),
                    ),
                )
            )
        return tuple(patches)

    @property
    def least_radius_m(self) -> float | None:
        """The least radius on which the rear axle's center can turn (documents reference, vehicle)."""
        if self.turning_circle_m is not None:
            run = (self.turning_circle_m / 2) ** 2 - self.wheelbase_m**2
            return math.sqrt(run) - self.track_front_m / 2 if run > 0 else None
        if self.turning_circle_wall_m is not None:
            run = (self.turning_circle_wall_m / 2) ** 2 - self.front_x_m**2
            return math.sqrt(run) - self.width_m / 2 if run > 0 else None
        return None
