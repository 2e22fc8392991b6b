"""Wheel alignment readings against the car's own limits, and the gate that holds a calibration until they pass.

Toe is positive inward, camber positive with the wheel's top outward, caster positive with the steering axis' top
rearward. A thrust angle is positive to the right (common practice, no source); a heading, as in ISO 8855, to the left.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence

from attrs import frozen

from standtrue.aim.conformity import RISK, Tested, decide
from standtrue.aim.toes import Contradiction, adjust_toes
from standtrue.model import reason
from standtrue.model.basics import Range
from standtrue.model.reason import Reason, Ref, Term, because
from standtrue.model.setup import ALIGNMENT_READINGS, AlignmentReading, ReadAngle, Sweep
from standtrue.model.vehicle import Vehicle
from standtrue.model.verdict import Verdict

CONTRADICTS = "alignment-contradicts"

AXLES: tuple[dict[str, tuple[float, float]], ...] = (
    {"toe front left": (1.0, 0.0), "toe front right": (0.0, 1.0), "total toe front": (1.0, 1.0)},
    {
        "toe rear left": (1.0, 0.0),
        "toe rear right": (0.0, 1.0),
        "total toe rear": (1.0, 1.0),
        "thrust angle": (0.5, -0.5),
    },
)
"""What the left and the right toe of each axle make, by their factors."""

_COMBINED: dict[str, tuple[tuple[str, float], ...]] = {
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

    `tested` is None where it was not measured; `contradicted` where other readings say something else.
    """

    name: str
    reading: str
    limits_rad: Range
    tested: Tested | None = None
    contradicted: bool = False

    @property
    def verdict(self) -> Verdict | None:
        """The limit decided; None where it was not measured. Of contradicting readings nothing is decided."""
        if self.contradicted:
            return Verdict.CANNOT_TELL
        return None if self.tested is None else self.tested.verdict


@frozen
class AlignmentAnswer:
    """Every value by name, every limit checked, and whether a calibration may start.

    `may_calibrate` is True only if every limit of the car was measured and accepted and no readings contradict each
    other; `holds` says what stands against it, `notes` which readings were combined.
    """

    values: tuple[tuple[str, Angle], ...]
    checks: tuple[LimitCheck, ...]
    thrust_heading: Angle | None
    may_calibrate: bool
    holds: tuple[Reason, ...]
    notes: tuple[Reason, ...] = ()

    @property
    def contradictions(self) -> tuple[Reason, ...]:
        """The readings that contradict each other, one axle each."""
        return tuple(hold for hold in self.holds if hold.code == CONTRADICTS)

    @property
    def thrust_doubted(self) -> bool:
        """Whether readings of the rear axle contradict each other, so that nobody knows the thrust line."""
        return any(one["reading"] == Term(name) for one in self.contradictions for name in AXLES[1])

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
    off by less than 2 % at up to 20 degrees of steer and 3 % at 25, as the exact rotation shows.
    """
    if not 0.0 < steer_rad < math.pi / 2:
        raise ValueError("the steer angle must lie between 0 and 90 degrees")
    return (camber_out_rad - camber_in_rad) / (2 * math.sin(steer_rad))


def set_back_angle(set_back_m: float, track_m: float) -> float:
    """Set-back as an angle, radians, from how far one wheel of an axle stands behind the other."""
    return math.atan2(set_back_m, track_m)


FIRST_ORDER = 0.03
"""By how much of itself caster from a sweep may be off because the formula is of the first order."""


def angle_of(reading: AlignmentReading, vehicle: Vehicle) -> Angle:
    """A reading as an angle, its uncertainty carried along (JCGM 100:2008, 5.1).

    A toe's length counts over its diameter, a set-back's over the axle's track, which are taken as stated. Raises
    ValueError for a length that is neither, or longer than the rim.
    """
    read = reading.read
    if isinstance(read, ReadAngle):
        return Angle(read.value_rad, read.u_rad)
    if isinstance(read, Sweep):
        caster = caster_from_sweep(read.camber_out_rad, read.camber_in_rad, read.steer_rad)
        by_camber = read.u_rad / (math.sqrt(2.0) * math.sin(read.steer_rad))
        by_steer = caster * read.u_steer_rad / math.tan(read.steer_rad)
        return Angle(caster, math.hypot(by_camber, by_steer, FIRST_ORDER * caster / math.sqrt(3.0)))
    over = _over(reading.name, reading.diameter_m, vehicle)
    if over is None:
        raise ValueError("only a toe over a diameter and a set-back are read as lengths")
    if _plain(reading.name).startswith("set-back"):
        return Angle(set_back_angle(read.value_m, over), read.u_m * over / (over**2 + read.value_m**2))
    toe = toe_angle(read.value_m, over)
    return Angle(toe, read.u_m / (over * math.cos(toe)))


@frozen
class AsLength:
    """An angle as the length that a tape shows, metres, over the diameter or the track that it counts over."""

    value_m: float
    u_m: float
    over_m: float


def as_lengths(
    values: Iterable[tuple[str, Angle]], readings: Iterable[AlignmentReading], vehicle: Vehicle
) -> dict[str, AsLength]:
    """Toes whose diameter was stated, totals of such over one diameter, and set-backs, as lengths by name."""
    stated = {one.name: one.diameter_m for one in readings if one.diameter_m is not None}
    for axle in AXLES:
        used = {stated[name] for name in axle if name in stated}
        if len(used) == 1:
            stated.update({name: diameter for diameter in used for name in axle})
    found = {}
    for name, angle in values:
        over = _over(name, stated.get(name), vehicle)
        if over is None:
            continue
        value, slope = toe_length(angle.value_rad, over), over * math.cos(angle.value_rad)
        if _plain(name).startswith("set-back"):
            value, slope = over * math.tan(angle.value_rad), over / math.cos(angle.value_rad) ** 2
        found[name] = AsLength(value, slope * angle.u_rad, over)
    return found


def _over(name: str, diameter_m: float | None, vehicle: Vehicle) -> float | None:
    """Over what a reading counts as a length: its diameter for a toe, the track for a set-back; None for others."""
    words = _plain(name).split()
    if words[0] == "set-back":
        return vehicle.track_front_m if words[-1] == "front" else vehicle.track_rear_m
    return diameter_m if "toe" in words else None


@frozen
class Angles:
    """Every angle by name, with what the readings say of each other."""

    values: dict[str, Angle]
    contradictions: tuple[Contradiction, ...] = ()
    combined: tuple[tuple[str, ...], ...] = ()

    @property
    def doubted(self) -> frozenset[str]:
        """Of what nothing is decided: everything of an axle whose readings contradict each other."""
        mixed = {name for one in self.contradictions for name in one.readings}
        return frozenset(name for axle in AXLES if mixed & set(axle) for name in axle)


def all_angles(readings: Mapping[str, Angle]) -> Angles:
    """The readings and everything that follows from them: toes, totals, thrust angle, cross values, included angles.

    Toes, totals and the thrust angle that agree are combined, weighted by their uncertainties; those that do not stay
    as they were read. Uncertainties are taken as independent. Raises ValueError for a reading that no one knows.
    """
    known = {_plain(name): name for name in ALIGNMENT_READINGS}
    unknown = [name for name in readings if _plain(name) not in known]
    if unknown:
        raise ValueError(f"not an alignment reading: {', '.join(unknown)}")
    angles = {known[_plain(name)]: angle for name, angle in readings.items()}
    axles = [adjust_toes(axle, {n: (a.value_rad, a.u_rad) for n, a in angles.items() if n in axle}) for axle in AXLES]
    for axle in axles:
        angles.update({name: Angle(value, u) for name, (value, u) in axle.values.items()})
    for name, parts in _COMBINED.items():
        if all(part in angles for part, _ in parts):
            value = sum(factor * angles[part].value_rad for part, factor in parts)
            angles[name] = Angle(value, math.hypot(*(factor * angles[part].u_rad for part, factor in parts)))
    against = tuple(axle.contradiction for axle in axles if axle.contradiction is not None)
    return Angles(angles, against, tuple(axle.combined for axle in axles if axle.combined))


def check_alignment(
    vehicle: Vehicle, readings: Mapping[str, Angle], risk: float = RISK, only: Iterable[str] | None = None
) -> AlignmentAnswer:
    """The readings against the car's limits, with guard bands of the readings' own uncertainties.

    A limit for both sides (`camber front`, `caster`) is held against each side. `only` names the limits that count
    for the gate (all by default). A car without limits has nothing to pass and is held: nobody knows what is right.
    Readings that contradict each other hold it, too, and give no thrust line.
    """
    angles = all_angles(readings)
    wanted = None if only is None else {_plain(name) for name in only}
    limits = [(n, r) for n, r in vehicle.alignment if wanted is None or _plain(n) in wanted]
    checks = [check for name, limit in limits for check in _check(name, limit, angles, risk)]
    holds = [_contradicts(one) for one in angles.contradictions]
    holds += [_hold(c) for c in checks if c.verdict is not Verdict.ACCEPT and not c.contradicted]
    if not limits:
        holds.append(because("no-alignment-limits", car=Ref("vehicle", vehicle.name)))
    thrust = None if "thrust angle" in angles.doubted else angles.values.get("thrust angle")
    heading = None if thrust is None else Angle(-thrust.value_rad, thrust.u_rad)
    notes = tuple(because("alignment-combined", readings=tuple(map(Term, names))) for names in angles.combined)
    return AlignmentAnswer(tuple(angles.values.items()), tuple(checks), heading, not holds, tuple(holds), notes)


def _check(name: str, limit: Range, angles: Angles, risk: float) -> Sequence[LimitCheck]:
    values, doubted = angles.values, angles.doubted
    found = [n for n in _meant(name) if n in values]
    missing = [n for n in _meant(name) if n not in values] or ([] if found else [name])
    tested = [(r, decide(values[r].value_rad, values[r].u_rad, *limit, risk)) for r in found]
    return [
        *(LimitCheck(name, r, limit, t, r in doubted) for r, t in tested),
        *(LimitCheck(name, r, limit) for r in missing),
    ]


def _meant(name: str) -> tuple[str, ...]:
    """The readings that a limit's name means: itself, or one for each side (and end) that it leaves open."""
    wanted = _plain(name)
    exact = tuple(n for n in LIMITED if _plain(n) == wanted)
    if exact:
        return exact
    whole = tuple(n for n in LIMITED if _plain(n).startswith(f"{wanted} "))
    return whole or tuple(n for n in LIMITED if _plain(n).startswith(f"{wanted.removesuffix(' front')} "))


LIMITED: tuple[str, ...] = tuple(dict.fromkeys((*ALIGNMENT_READINGS, *_COMBINED)))
"""What a limit may be for: what is read, and what follows from that."""


def is_limited(name: str) -> bool:
    """Whether a limit of this name is ever held against anything."""
    return bool(_meant(name))


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


def _contradicts(one: Contradiction) -> Reason:
    """What one reading says, and what the others of its axle make of it."""
    others = tuple(Term(name) for name in one.readings if name != one.name)
    read, made = reason.Angle(one.read_rad), reason.Angle(one.made_rad)
    return because(CONTRADICTS, reading=Term(one.name), read=read, made=made, others=others)
