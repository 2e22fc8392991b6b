"""A trihedral radar reflector, as a use case: its radar cross-section from its leg, or the leg from that."""

from __future__ import annotations

from attrs import frozen

from standtrue.aim.reflector import cross_section, far_field, from_decibels, leg_for, to_decibels


@frozen
class ReflectorTold:
    """A triangular trihedral at one frequency: hertz, metres, square metres and decibels over one of those.

    `far_field_m` is for something as large as the leg.
    """

    frequency_hz: float
    leg_m: float
    section_m2: float
    section_dbsm: float
    far_field_m: float


def reflector_of_leg(leg_m: float, frequency_hz: float) -> ReflectorTold:
    """The reflector with this edge along the right angle. Raises ValueError unless both are positive."""
    section = cross_section(leg_m, frequency_hz)
    return ReflectorTold(frequency_hz, leg_m, section, to_decibels(section), far_field(leg_m, frequency_hz))


def reflector_of_section(section_dbsm: float, frequency_hz: float) -> ReflectorTold:
    """The reflector with this radar cross-section. Raises ValueError unless the frequency is positive."""
    return reflector_of_leg(leg_for(from_decibels(section_dbsm), frequency_hz), frequency_hz)
