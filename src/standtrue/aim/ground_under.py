"""The floor under one car: the plane that its wheels stand in, and the floor under each target against that plane.

A car pitches and rolls with the plane of its four wheel contacts. What a card counts from the ground under the wheels
it counts from that plane, prolonged to the target; the floor there lies above or below it, and only that difference
matters for a height that is taped from the floor there. All of it is linear in the surveyed heights, so that their
covariance carries over exactly (JCGM 102:2011).
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from standtrue.aim.floor import SurveyedFloor
from standtrue.aim.uncertainty import Estimate
from standtrue.model.anchors import in_frame
from standtrue.model.basics import Outline, Place
from standtrue.model.vehicle import WHEELS, Vehicle
from standtrue.plane.shapes import polygon

Array = NDArray[np.float64]

PLANE = 3
"""How many of the joint quantities are the plane's."""


@frozen(eq=False)
class FloorUnder:
    """The plane of a car's wheels and the floor under its targets, in the vehicle frame.

    `joint` holds, with their covariance and in this order: the plane's height at the vehicle's origin, metres above
    the survey's zero; its rise forward and its rise to the left, metres a metre; and for each of `targets` how much
    the floor under its equipment lies, on average, above that plane prolonged, metres. Targets over floor that was
    not wholly surveyed are in `unsurveyed` instead. `warp_m` is the most that a wheel's contact is off the plane,
    `contacts` the floor under each wheel above the survey's zero, in the order of WHEELS.
    """

    place: Place
    targets: tuple[str, ...]
    unsurveyed: tuple[str, ...]
    joint: Estimate
    warp_m: float
    contacts: Estimate

    def index(self, target: str) -> int | None:
        """Which of the joint quantities is this target's; None where its floor was not surveyed."""
        return PLANE + self.targets.index(target) if target in self.targets else None

    def above(self, target: str) -> tuple[float, float] | None:
        """How much the floor under a target lies above the wheels' plane, prolonged, and its standard uncertainty."""
        i = self.index(target)
        return None if i is None else (float(self.joint.value[i]), float(self.joint.u[i]))

    def rise_along(self, facing_rad: float) -> Array:
        """What the joint quantities are multiplied by for the plane's rise in a direction, counter-clockwise from
        forward; shape (3 + number of targets,)."""
        row = np.zeros(len(self.joint.value))
        row[1:PLANE] = math.cos(facing_rad), math.sin(facing_rad)
        return row

    def tip(self, facing_rad: float) -> tuple[float, float]:
        """What is added to a lean read against gravity to have it against the car, and its standard uncertainty.

        Radians; a lean is positive with the face, which looks along `facing_rad` in the vehicle frame, tipped down.
        Where the plane rises the way the face looks, a face plumb by gravity is tipped down as the car sees it.
        """
        row = self.rise_along(facing_rad)
        rise = float(row @ self.joint.value)
        u = math.sqrt(float(row @ self.joint.covariance @ row))
        return math.atan(rise), u / (1.0 + rise * rise)

    @property
    def shims(self) -> tuple[tuple[str, float, float], ...]:
        """What to put under each wheel so that all stand as high as the highest, metres, and how well it is known."""
        heights, spread = self.contacts.value, self.contacts.covariance
        high = int(np.argmax(heights))
        u = np.sqrt(np.maximum(np.diag(spread) + spread[high, high] - 2.0 * spread[high], 0.0))
        return tuple((w, float(heights[high] - heights[i]), float(u[i])) for i, w in enumerate(WHEELS))

    @property
    def pitch(self) -> tuple[float, float]:
        """The car's pitch, radians, positive nose down (ISO 8855), and its standard uncertainty."""
        angle, u = self.tip(0.0)
        return -angle, u

    @property
    def roll(self) -> tuple[float, float]:
        """The car's roll, radians, positive left side up (ISO 8855), and its standard uncertainty."""
        return self.tip(math.pi / 2)


def floor_under(
    floor: SurveyedFloor,
    vehicle: Vehicle,
    place: Place,
    feet: Mapping[str, Outline],
    doubtful: Collection[int] = (),
    rough_m: float = 0.0,
) -> FloorUnder | None:
    """The floor under a car at a place and under its targets' `feet`: outlines in the site frame, by target.

    `rough_m` is how far the floor under each wheel and each foot may lie off the straight between heights: standard
    uncertainty. None where the floor under a wheel was not wholly surveyed. A height that is `doubtful`, by number,
    says nothing: floor that rests on it counts as not surveyed.
    """
    frame = ((place.x_m, place.y_m), place.heading_rad)
    shares = [_trusted(floor, in_frame(frame, outline), doubtful) for _, outline in vehicle.wheel_patches]
    known = [share for share in shares if share is not None]
    if len(known) < len(WHEELS):
        return None
    contacts = np.array(known)
    places = np.array([[1.0, *vehicle.wheel_center(wheel)] for wheel in WHEELS])
    fit = np.linalg.pinv(places)
    plane = fit @ contacts
    found = {name: _trusted(floor, foot, doubtful) for name, foot in feet.items()}
    rows, by_wheels = [*plane], [*fit]
    for name, share in found.items():
        if share is not None:
            middle = np.array([1.0, *_middle(feet[name], place)])
            rows.append(share - middle @ plane)
            by_wheels.append(-middle @ fit)
    joint = np.array(rows)
    # Each wheel, and each foot of its own, errs by what lies between the heights.
    between = np.array(by_wheels) @ np.array(by_wheels).T + np.diag(np.arange(len(rows)) >= PLANE)
    spread = joint @ floor.covariance @ joint.T + rough_m**2 * between
    heights = contacts @ floor.measured
    return FloorUnder(
        place,
        tuple(name for name, share in found.items() if share is not None),
        tuple(name for name, share in found.items() if share is None),
        Estimate(joint @ floor.measured, spread),
        float(np.abs(heights - places @ (plane @ floor.measured)).max()),
        Estimate(heights, contacts @ floor.covariance @ contacts.T + rough_m**2 * np.eye(len(WHEELS))),
    )


def _trusted(floor: SurveyedFloor, outline: Outline, doubtful: Collection[int]) -> Array | None:
    """The shares of a mean height, None where some of the floor is unknown or rests on a doubtful height."""
    shares = floor.shares(outline)
    return None if shares is None or any(abs(shares[i]) > 1e-9 for i in doubtful) else shares


def _middle(foot: Outline, place: Place) -> tuple[float, float]:
    """The centroid of a foot in the vehicle frame."""
    x, y = polygon(foot).centroid.coords[0]
    dx, dy = x - place.x_m, y - place.y_m
    c, s = math.cos(place.heading_rad), math.sin(place.heading_rad)
    return c * dx + s * dy, c * dy - s * dx
