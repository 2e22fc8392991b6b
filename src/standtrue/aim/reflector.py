"""Radar reflectors: the radar cross-section of a trihedral from its leg, how it is aimed, and the far-field distance.

A. W. Doerry, Reflectors for SAR performance testing, SAND2014-0882 (triangular trihedral, 4 pi a^4 / (3 lambda^2));
IEEE Std 149 (far field, 2 D^2 / lambda). Off its axis: R. C. Spencer, Optical theory of the corner reflector (MIT
Radiation Laboratory Report 433, 1944); G. T. Ruck and others, Radar cross section handbook (1970).
"""

from __future__ import annotations

import math

LIGHT_MPS = 299_792_458.0
"""The speed of light, metres a second, exactly (SI)."""


def wavelength(frequency_hz: float) -> float:
    """The wavelength, metres. Raises ValueError unless the frequency is positive."""
    if not frequency_hz > 0.0:
        raise ValueError("a frequency must be positive")
    return LIGHT_MPS / frequency_hz


def cross_section(leg_m: float, frequency_hz: float, efficiency: float = 1.0) -> float:
    """The peak radar cross-section of a triangular trihedral, square metres.

    `leg_m` is an edge along the right angle, not the opening's. `efficiency` is the share that a real reflector
    keeps of it (1: a perfect one, whose leg is many wavelengths long).
    """
    if not leg_m > 0.0:
        raise ValueError("a leg must be longer than 0")
    return efficiency * 4 * math.pi * leg_m**4 / (3 * wavelength(frequency_hz) ** 2)


def leg_for(section_m2: float, frequency_hz: float, efficiency: float = 1.0) -> float:
    """The leg, metres, of the triangular trihedral with this radar cross-section."""
    if not section_m2 > 0.0:
        raise ValueError("a radar cross-section must be positive")
    return float((3 * section_m2 * wavelength(frequency_hz) ** 2 / (4 * math.pi * efficiency)) ** 0.25)


def to_decibels(section_m2: float) -> float:
    """A radar cross-section in decibels over one square metre (dBsm)."""
    if not section_m2 > 0.0:
        raise ValueError("a radar cross-section must be positive")
    return 10 * math.log10(section_m2)


def from_decibels(section_dbsm: float) -> float:
    """A radar cross-section in square metres from decibels over one square metre."""
    return float(10 ** (section_dbsm / 10))


BORESIGHT_RAD = math.atan(1 / math.sqrt(2.0))
"""How far the axis of a trihedral rises above a face that lies level: 35.26 degrees. From above it halves the corner.
"""

MOST_OFF_RAD = math.radians(25.0)
"""So far off the axis the pattern holds; beyond, flashes from single faces and pairs of them exceed it."""


def aperture_edge(leg_m: float) -> float:
    """The edge of the opening, metres, from the leg: root 2 times as long."""
    return leg_m * math.sqrt(2.0)


def base_tip(higher_m: float, distance_m: float) -> float:
    """By how much an upright reflector's base is tipped, front down, to look at a radar: radians.

    The radar is `higher_m` above the reflector's corner and `distance_m` from it along the floor. Raises ValueError
    unless the distance is positive.
    """
    if not distance_m > 0.0:
        raise ValueError("a distance must be positive")
    return BORESIGHT_RAD - math.atan2(higher_m, distance_m)


def off_axis(sight_rad: float, tip_rad: float, turn_rad: float) -> tuple[float, float | None]:
    """How far a radar lies off the axis of an upright reflector, radians, and what share of the peak it sees.

    `sight_rad`: how far the line to the radar rises; `tip_rad`: how far the base is tipped, front down; `turn_rad`: how
    far the reflector is turned aside, seen from above.

    By geometrical optics, for legs of many wavelengths, the share is (A / A0)^2 with A = l + m + n - 2 / (l + m + n) of
    the direction cosines to the edges, or 4 l m / (l + m + n) where the two smaller ones, l and m, are together less
    than n. None beyond MOST_OFF_RAD.
    """
    level, up = math.cos(sight_rad) * math.cos(turn_rad), math.sin(sight_rad)
    ahead = level * math.cos(tip_rad) - up * math.sin(tip_rad)
    above = level * math.sin(tip_rad) + up * math.cos(tip_rad)
    aside = math.cos(sight_rad) * math.sin(turn_rad)
    cosines = sorted([(ahead - aside) / math.sqrt(2.0), (ahead + aside) / math.sqrt(2.0), above])
    total = sum(cosines)
    off = math.acos(max(-1.0, min(1.0, total / math.sqrt(3.0))))
    if off > MOST_OFF_RAD:
        return off, None
    low, middle, high = cosines
    seen = 4 * low * middle / total if low + middle < high else total - 2 / total
    return off, 3 * seen**2


def far_field(across_m: float, frequency_hz: float) -> float:
    """From which distance, metres, the waves of something this large across are as good as plane: 2 D^2 / lambda."""
    return 2 * across_m**2 / wavelength(frequency_hz)
