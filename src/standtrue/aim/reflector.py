"""Radar reflectors: the radar cross-section of a trihedral from its leg, and the far-field distance.

A. W. Doerry, Reflectors for SAR performance testing, SAND2014-0882 (triangular trihedral, 4 pi a^4 / (3 lambda^2));
IEEE Std 149 (far field, 2 D^2 / lambda).
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


def far_field(across_m: float, frequency_hz: float) -> float:
    """From which distance, metres, the waves of something this large across are as good as plane: 2 D^2 / lambda."""
    return 2 * across_m**2 / wavelength(frequency_hz)
