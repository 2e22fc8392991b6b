"""A trihedral radar reflector, as a use case: its radar cross-section from its leg, or the leg from that."""

from __future__ import annotations

from attrs import frozen

from standtrue.aim.reflector import cross_section, far_field, from_decibels, leg_for, to_decibels
from standtrue.documents.faults import RefusedError
from standtrue.documents.quantities import parse_length
from standtrue.model.basics import Fault
from standtrue.model.reason import Length, Number, Reason, because
from standtrue.work.ask import UnansweredError

LEAST_GHZ, MOST_GHZ = 1.0, 1000.0
LEAST_LEG_M, MOST_LEG_M = 0.001, 10.0
MOST_DBSM = 100.0
"""What no reflector or radar has beyond: a slip of the unit, or a number too great to reckon with."""


@frozen
class ReflectorFound:
    """A triangular trihedral at one frequency: hertz, metres, square metres and decibels over one of those.

    `far_field_m` is for something as large as the leg.
    """

    frequency_hz: float
    leg_m: float
    section_m2: float
    section_dbsm: float
    far_field_m: float


def reflector_of_leg(leg_m: float, frequency_hz: float) -> ReflectorFound:
    """The reflector with this edge along the right angle. Raises ValueError unless both are positive."""
    section = cross_section(leg_m, frequency_hz)
    return ReflectorFound(frequency_hz, leg_m, section, to_decibels(section), far_field(leg_m, frequency_hz))


def reflector_of_section(section_dbsm: float, frequency_hz: float) -> ReflectorFound:
    """The reflector with this radar cross-section. Raises ValueError unless the frequency is positive."""
    return reflector_of_leg(leg_for(from_decibels(section_dbsm), frequency_hz), frequency_hz)


def asked_reflector(leg: str | None, section_dbsm: float | None, frequency_ghz: float) -> ReflectorFound:
    """The reflector of a leg as written with its unit, or of a radar cross-section.

    Raises UnansweredError unless one of the two is given, and where a figure is what no reflector or radar has.
    """
    if (leg is None) == (section_dbsm is None):
        raise _refused("fields-conflict", because("leg-or-dbsm"), "--leg", because("give-one"))
    if not LEAST_GHZ <= frequency_ghz <= MOST_GHZ:
        raise _beyond("--frequency", LEAST_GHZ, MOST_GHZ, "GHz", frequency_ghz, "76.5")
    hertz = frequency_ghz * 1e9
    if leg is not None:
        return reflector_of_leg(_leg(leg), hertz)
    asked = section_dbsm if section_dbsm is not None else 0.0
    if not -MOST_DBSM <= asked <= MOST_DBSM:
        raise _beyond("--dbsm", -MOST_DBSM, MOST_DBSM, "dBsm", asked, "10")
    return reflector_of_section(asked, hertz)


def _leg(text: str) -> float:
    """A leg as written, metres."""
    try:
        length = parse_length(text, "m")
    except RefusedError as refused:
        raise _refused(refused.code, refused.what, "--leg", refused.remedy, text) from None
    if length <= 0.0:
        raise _refused("value-impossible", because("leg-not-positive"), "--leg", because("measure-it"), text)
    if not LEAST_LEG_M <= length <= MOST_LEG_M:
        what = because("length-must-lie-between", least=Length(LEAST_LEG_M), most=Length(MOST_LEG_M))
        raise _refused("value-impossible", what, "--leg", because("figure-as-in", example="80 mm"), text)
    return length


def _beyond(option: str, least: float, most: float, unit: str, value: float, example: str) -> UnansweredError:
    what = because("must-lie-between", least=Number(least), most=Number(most), unit=unit)
    return _refused("value-impossible", what, option, because("figure-as-in", example=example), f"{value:g} {unit}")


def _refused(code: str, what: Reason, option: str, remedy: Reason, value: str = "") -> UnansweredError:
    return UnansweredError([Fault(code, what, "", option, value, remedy)])
