"""A trihedral radar reflector, as a use case: its radar cross-section from its leg, or the leg from that."""

from __future__ import annotations

import math

from attrs import frozen

from standtrue.aim.reflector import (
    BORESIGHT_RAD,
    aperture_edge,
    base_tip,
    cross_section,
    far_field,
    from_decibels,
    leg_for,
    off_axis,
    to_decibels,
)
from standtrue.documents.faults import RefusedError
from standtrue.documents.quantities import parse_length
from standtrue.model.basics import Fault
from standtrue.model.reason import Length, Number, Reason, because
from standtrue.work.ask import UnansweredError

LEAST_GHZ, MOST_GHZ = 1.0, 1000.0
LEAST_LEG_M, MOST_LEG_M = 0.001, 10.0
LEAST_AWAY_M, MOST_AWAY_M, LEVEL_M = 0.1, 300.0, 1.0
MOST_DEG = 90.0
MOST_DBSM = 100.0
"""What no reflector or radar has beyond: a slip of the unit, or a number too great to reckon with."""


@frozen
class Sighting:
    """How an upright reflector looks at its radar: radians.

    `sight_rad` is how far the line to the radar rises, `tip_rad` how far its base is to be tipped, front down. Where it
    stands otherwise, `off_rad` is how far off its axis the radar lies, and `share` what that leaves of the peak; None
    beyond what the pattern tells.
    """

    sight_rad: float
    tip_rad: float
    off_rad: float = 0.0
    share: float | None = 1.0

    @property
    def loss_db(self) -> float | None:
        """What is lost of the peak, decibels."""
        return None if self.share is None else -10 * math.log10(self.share)


@frozen
class ReflectorFound:
    """A triangular trihedral at one frequency: hertz, metres, square metres and decibels over one of those.

    `far_field_m` is for the opening's edge, `aperture_m`; `leg_far_field_m` for something as large as the leg.
    """

    frequency_hz: float
    leg_m: float
    section_m2: float
    section_dbsm: float
    aperture_m: float
    far_field_m: float
    leg_far_field_m: float
    sighting: Sighting = Sighting(0.0, BORESIGHT_RAD)


def reflector_of_leg(leg_m: float, frequency_hz: float) -> ReflectorFound:
    """The reflector with this edge along the right angle. Raises ValueError unless both are positive."""
    section, edge = cross_section(leg_m, frequency_hz), aperture_edge(leg_m)
    fields = far_field(edge, frequency_hz), far_field(leg_m, frequency_hz)
    return ReflectorFound(frequency_hz, leg_m, section, to_decibels(section), edge, *fields)


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
        return reflector_of_leg(_between(leg, "--leg", LEAST_LEG_M, MOST_LEG_M, "80 mm"), hertz)
    asked = section_dbsm if section_dbsm is not None else 0.0
    if not -MOST_DBSM <= asked <= MOST_DBSM:
        raise _beyond("--dbsm", -MOST_DBSM, MOST_DBSM, "dBsm", asked, "10")
    return reflector_of_section(asked, hertz)


def asked_sighting(distance: str | None, higher: str | None, tip_deg: float | None, turn_deg: float) -> Sighting:
    """How a reflector looks at a radar at a distance that stands so much higher, or lower, than it.

    `tip_deg` and `turn_deg` say how it stands: as it should and straight where they are left out. Raises
    UnansweredError for figures that no shop has, and for a height without a distance.
    """
    if distance is None and higher is not None:
        raise _refused("missing-field", because("height-without-distance"), "--distance", because("measure-it"))
    away = LEVEL_M if distance is None else _between(distance, "--distance", LEAST_AWAY_M, MOST_AWAY_M, "2 m")
    rise = 0.0 if higher is None else _between(higher, "--higher", -MOST_AWAY_M, MOST_AWAY_M, "200 mm")
    for option, angle in (("--tip", tip_deg or 0.0), ("--turn", turn_deg)):
        if not -MOST_DEG <= angle <= MOST_DEG:
            raise _beyond(option, -MOST_DEG, MOST_DEG, "deg", angle, "30")
    sight, tip = math.atan2(rise, away), base_tip(rise, away)
    stands = tip if tip_deg is None else math.radians(tip_deg)
    return Sighting(sight, tip, *off_axis(sight, stands, math.radians(turn_deg)))


def _between(text: str, option: str, least_m: float, most_m: float, example: str) -> float:
    """A length as written, metres. Raises UnansweredError for one that is none, or that no shop has."""
    try:
        length = parse_length(text, "m")
    except RefusedError as refused:
        raise _refused(refused.code, refused.what, option, refused.remedy, text) from None
    if option == "--leg" and length <= 0.0:
        raise _refused("value-impossible", because("leg-not-positive"), option, because("measure-it"), text)
    if not least_m <= length <= most_m:
        what = because("length-must-lie-between", least=Length(least_m), most=Length(most_m))
        raise _refused("value-impossible", what, option, because("figure-as-in", example=example), text)
    return length


def _beyond(option: str, least: float, most: float, unit: str, value: float, example: str) -> UnansweredError:
    what = because("must-lie-between", least=Number(least), most=Number(most), unit=unit)
    return _refused("value-impossible", what, option, because("figure-as-in", example=example), f"{value:g} {unit}")


def _refused(code: str, what: Reason, option: str, remedy: Reason, value: str = "") -> UnansweredError:
    return UnansweredError([Fault(code, what, "", option, value, remedy)])
