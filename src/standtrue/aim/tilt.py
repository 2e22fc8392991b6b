"""What an uneven floor does to a car: its pitch and roll, and where its sensors then look.

ISO 8855: pitch is positive nose down, roll positive with the left side up.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np
from attrs import frozen

from standtrue.model.vehicle import WHEELS, Vehicle


@frozen
class Tilt:
    """How a car stands on four wheels: angles in radians; `warp_m` is how far each wheel is off one plane."""

    pitch_rad: float
    roll_rad: float
    warp_m: float

    def sensor_pitch(self, facing_rad: float) -> float:
        """How far down a sensor looks for it, radians, `facing_rad` counter-clockwise from forward.

        Ahead it is the pitch; to the left it is minus the roll, since a raised left side lifts the view.
        """
        rise = math.tan(self.roll_rad) * math.sin(facing_rad) - math.tan(self.pitch_rad) * math.cos(facing_rad)
        return -math.atan(rise)

    def sensor_roll(self, facing_rad: float) -> float:
        """How far the sensor's picture turns, radians, positive with its left side up."""
        rise = math.tan(self.roll_rad) * math.cos(facing_rad) + math.tan(self.pitch_rad) * math.sin(facing_rad)
        return math.atan(rise)


def car_tilt(vehicle: Vehicle, wheel_heights_m: Mapping[str, float]) -> Tilt:
    """The tilt of a car whose wheels stand at these heights, by the plane that lies best under them."""
    places = np.array([[1.0, *vehicle.wheel_center(wheel)] for wheel in WHEELS])
    heights = np.array([wheel_heights_m[wheel] for wheel in WHEELS])
    fitted = np.linalg.lstsq(places, heights, rcond=None)[0]
    off = heights - places @ fitted
    return Tilt(-math.atan(float(fitted[1])), math.atan(float(fitted[2])), float(np.abs(off).max()))


def off_aim(angle_rad: float, range_m: float = 100.0) -> float:
    """How far off the aim is at a range, metres: range tan(angle)."""
    return range_m * math.tan(angle_rad)
