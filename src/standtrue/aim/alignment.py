"""Wheel alignment readings against the car's own limits, and the gate that holds a calibration until they pass.

Toe is positive inward, camber positive with the wheel's top outward, caster positive with the steering axis' top
rearward. A thrust angle is positive to the right (common practice, no source); a heading, as in ISO 8855, to the left.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence

from attrs import frozen

from standtrue.aim.conformity import RISK, Tested, decide
from standtrue.model import reason
from standtrue.model.basics import Range
from standtrue.model.reason import Reason, Ref, Term, because
from standtrue.model.setup import ALIGNMENT_READINGS
from standtrue.model.vehicle import Vehicle
from standtrue.model.verdict import Verdict

_COMBINED: dict[str, tuple[tuple[str, float], ...]] = {
    "total toe front": (("toe front left", 1.0), ("toe front right", 1.0)),
    "total toe rear": (("toe rear left", 1.0), ("toe rear right", 1.0)),
    "thrust angle": (("toe rear left", 0.5), ("toe rear right", -0.5)),
    "cross camber front": (("camber front left", 1.0), ("camber front right", -1.0)),
    "cross camber rear": (("camber rear left", 1.0), ("camber rear right", -1.0)),
    "cross caster": (("caster left", 1.0), ("caster right", -1.0)),
    "cross SAI": (("SAI left", 1.0), ("SAI right", -1.0)),
    "included angle left": (("SAI left", 1.0), ("camber front left", 1.0)),
    "included angle right": (("SAI right", 1.0), ("camber front right", 1.0)),
}

_ALSO_CALLED: dict[str, str] = {
    "castor": "caster",
    "kpi": "sai",
    "steering axis inclination": "sai",
    "setback": "set-back",
    "set back": "set-back",
}


@frozen
class Angle:
    """A measured or computed angle, radians, and its standard uncertainty (0 where none was stated)."""

    value_rad: float
    u_rad: float = 0.0


@frozen
class LimitCheck:
    """One of the car's limits: `name` as the car's document has it, `reading` what was held against it.

    `tested` is None where it was not measured.
    """

    name: str
    reading: str
    limits_rad: Range
    tested: Tested | None = None

    @property
    def verdict(self) -> Verdict | None:
        """The limit decided; None where it was not measured."""
        return None if self.tested is None else self.tested.verdict


@frozen
class AlignmentAnswer:
    """Every value by name, every limit checked, and whether a calibration may start.

    `may_calibrate` is True only if every limit of the car was measured and accepted; `holds` says what stands
    against it.
    """

    values: tuple[tuple[str, Angle], ...]
    checks: tuple[LimitCheck, ...]
    thrust_heading: Angle | None
    may_calibrate: bool
    holds: tuple[Reason, ...]

    @property
    def verdict(self) -> Verdict:
        """All limits together: REJECT if one is out, ACCEPT if there are some and all were measured and accepted."""
        if self.may_calibrate:
            return Verdict.ACCEPT
        out = any(check.verdict is Verdict.REJECT for check in self.checks)
        return Verdict.REJECT if out else Verdict.CANNOT_TELL


def toe_length(toe_rad: float, diameter_m: float) -> float:
    """Toe as a length at the rim, metres: D sin(toe), D the diameter at which it is measured."""
    return diameter_m * math.sin(toe_rad)


def toe_angle(length_m: float, diameter_m: float) -> float:
    """Toe as an angle, radians, from the length at a rim of this diameter. Raises ValueError if longer than the rim."""
    if diameter_m <= 0.0 or abs(length_m) > diameter_m:
        raise ValueError("a toe cannot be longer than the rim's diameter")
    return math.asin(length_m / diameter_m)


def caster_from_sweep(camber_out_rad: float, camber_in_rad: float, steer_rad: float) -> float:
    """Caster from the cambers of a wheel steered outward and inward by the same angle: (out - in) / (2 sin steer).

    The first order of the rotation about the steering axis. Up to 9 degrees of caster, 14 of SAI and 1 of camber it is
    off by less than 2 % at 20 degrees of steer, as the exact rotation shows.
    """
    if not 0.0 < steer_rad < math.pi / 2:
        raise ValueError("the steer angle must lie between 0 and 90 degrees")
    return (camber_out_rad - camber_in_rad) / (2 * math.sin(steer_rad))


def set_back_angle(set_back_m: float, track_m: float) -> float:
    """Set-back as an angle, radians, from how far one wheel of an axle stands behind the other."""
    return math.atan2(set_back_m, track_m)


def all_angles(readings: Mapping[str, Angle]) -> dict[str, Angle]:
    """The readings and everything that follows from them: totals, thrust angle, cross values, included angles.

    A value computed from its parts wins over one that was read as a whole. Uncertainties of the parts are taken as
    independent. Raises ValueError for a reading that no one knows.
    """
    known = {_plain(name): name for name in ALIGNMENT_READINGS}
    unknown = [name for name in readings if _plain(name) not in known]
    if unknown:
        raise ValueError(f"not an alignment reading: {', '.join(unknown)}")
    angles = {known[_plain(name)]: angle for name, angle in readings.items()}
    for name, parts in _COMBINED.items():
        if all(part in angles for part, _ in parts):
            value = sum(factor * angles[part].value_rad for part, factor in parts)
            angles[name] = Angle(value, math.hypot(*(factor * angles[part].u_rad for part, factor in parts)))
    return angles


def check_alignment(
    vehicle: Vehicle, readings: Mapping[str, Angle], risk: float = RISK, only: Iterable[str] | None = None
) -> AlignmentAnswer:
    """The readings against the car's limits, with guard bands of the readings' own uncertainties.

    A limit for both sides (`camber front`, `caster`) is held against each side. `only` names the limits that count
    for the gate (all by default). A car without limits has nothing to pass and is held: nobody knows what is right.
    """
    angles = all_angles(readings)
    wanted = None if only is None else {_plain(name) for name in only}
    limits = [(n, r) for n, r in vehicle.alignment if wanted is None or _plain(n) in wanted]
    checks = [check for name, limit in limits for check in _check(name, limit, angles, risk)]
    holds = [_hold(check) for check in checks if check.verdict is not Verdict.ACCEPT]
    if not limits:
        holds.append(because("no-alignment-limits", car=Ref("vehicle", vehicle.name)))
    thrust = angles.get("thrust angle")
    heading = None if thrust is None else Angle(-thrust.value_rad, thrust.u_rad)
    return AlignmentAnswer(tuple(angles.items()), tuple(checks), heading, not holds, tuple(holds))


def _check(name: str, limit: Range, angles: Mapping[str, Angle], risk: float) -> Sequence[LimitCheck]:
    found = [n for n in _meant(name) if n in angles]
    missing = [n for n in _meant(name) if n not in angles] or ([] if found else [name])
    tested = [(r, decide(angles[r].value_rad, angles[r].u_rad, *limit, risk)) for r in found]
    return [*(LimitCheck(name, r, limit, t) for r, t in tested), *(LimitCheck(name, r, limit) for r in missing)]


def _meant(name: str) -> tuple[str, ...]:
    """The readings that a limit's name means: itself, or one for each side (and end) that it leaves open."""
    every = (*ALIGNMENT_READINGS, *(n for n in _COMBINED if n not in ALIGNMENT_READINGS))
    wanted = _plain(name)
    exact = tuple(n for n in every if _plain(n) == wanted)
    if exact:
        return exact
    whole = tuple(n for n in every if _plain(n).startswith(f"{wanted} "))
    return whole or tuple(n for n in every if _plain(n).startswith(f"{wanted.removesuffix(' front')} "))


def _plain(name: str) -> str:
    """A name as it is compared: lower case, single spaces, the trade's other words replaced."""
    words = " ".join(name.casefold().split())
    for other, ours in _ALSO_CALLED.items():
        words = words.replace(other, ours)
    return words


def _hold(check: LimitCheck) -> Reason:
    reading = Term(check.reading)
    if check.tested is None:
        return because("alignment-not-measured", reading=reading)
    low, high = (reason.Angle(limit) for limit in check.limits_rad)
    value, u = reason.Angle(check.tested.value), reason.Angle(check.tested.u)
    code = "alignment-out-of-tolerance" if check.verdict is Verdict.REJECT else "alignment-too-near-limit"
    return because(code, reading=reading, value=value, u=u, low=low, high=high)
