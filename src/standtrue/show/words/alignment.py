"""What `alignment`, `loads` and `reflector` say."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from standtrue.aim.alignment import Angle, AsLength, LimitCheck
from standtrue.aim.reflector import BORESIGHT_RAD, MOST_OFF_RAD
from standtrue.model import reason
from standtrue.model.basics import Range
from standtrue.model.reason import Length, Mass, Number, Ref, Term
from standtrue.model.verdict import Verdict
from standtrue.show.words.aim import SQUARE_FOOT_M2, verdict_word
from standtrue.show.words.blocks import Block, Lines, Table
from standtrue.show.words.catalog import N_
from standtrue.show.words.gate import held_line
from standtrue.show.words.reader import Reader
from standtrue.work.aim.aiming import AlignmentJudged
from standtrue.work.aim.gate import alignment_holds, in_order
from standtrue.work.aim.loads import LoadsJudged
from standtrue.work.aim.reflectors import ReflectorFound, Sighting

_WITHIN: Mapping[bool | None, str] = {
    True: N_("within its limit"),
    False: N_("TOO MUCH"),
    None: N_("not known"),
}
_LIFTS_OFF = N_("LIFTS OFF")


def alignment_blocks(told: AlignmentJudged, reader: Reader) -> Iterator[Block]:
    """Whether the alignment stands against a calibration, and a car's readings against its own limits."""
    yield Lines((), alignment_line(told, reader))
    checks = {check.reading: check for check in told.answer.checks}
    rows = [
        _value(name, angle, told.lengths.get(name), checks.pop(name, None), reader)
        for name, angle in told.answer.values
    ]
    rows += [
        (reader.write(Term(name)), "", "", "", limits_words(check.limits_rad, reader), verdict_word(None, reader))
        for name, check in checks.items()
    ]
    columns = (
        "",
        reader.say("read"),
        reader.say("known to"),
        reader.say("as a length"),
        reader.say("limits"),
        reader.say("verdict"),
    )
    title = reader.say("Wheel alignment: {car}", car=Ref("vehicle", told.vehicle.name))
    yield Table(title, columns, tuple(rows))
    if told.answer.holds:
        yield Lines(tuple(reader.reasons(told.answer.holds)), reader.say("Held:"), 2)


def alignment_line(told: AlignmentJudged, reader: Reader) -> str:
    """The first line: what of the alignment stands against calibrating."""
    holds = in_order(alignment_holds(told.answer))
    if holds:
        return held_line(holds, reader)
    return reader.say(
        "Every limit was measured and is in tolerance: nothing of the alignment stands against calibrating."
    )


def _value(
    name: str, angle: Angle, length: AsLength | None, check: LimitCheck | None, reader: Reader
) -> tuple[str, ...]:
    return (
        reader.write(Term(name)),
        reader.write(reason.Angle(angle.value_rad), "fine"),
        reader.say("{u}°", u=Number(math.degrees(angle.u_rad), 3)),
        "" if length is None else _length(length, reader),
        "" if check is None else limits_words(check.limits_rad, reader),
        "" if check is None else verdict_word(check.verdict, reader),
    )


def _length(length: AsLength, reader: Reader) -> str:
    """An angle as the length that a tape shows."""
    return reader.say("{length:fine} over {over}", length=Length(length.value_m), over=Length(length.over_m))


def limits_words(limits_rad: Range, reader: Reader) -> str:
    """The limits of an angle."""
    low, high = (reason.Angle(limit) for limit in limits_rad)
    return reader.say("{low:fine} to {high:fine}", low=low, high=high)


def loads_blocks(told: LoadsJudged, reader: Reader) -> Iterator[Block]:
    """Whether a lift may carry a car, and what the car puts on it against what that may carry."""
    yield Lines((), loads_line(told, reader))
    rows = tuple(
        (
            reader.write(load.part),
            _mass(load.load_kg, reader, "up"),
            _mass(load.capacity_kg, reader, "down"),
            reader.say(_LIFTS_OFF if load.lifts_off else _WITHIN[load.ok]),
        )
        for load in told.answer.loads
    )
    title = reader.say("{car} on {lift}", car=Ref("vehicle", told.vehicle.name), lift=Ref("lift", told.lift))
    yield Table(title, ("", reader.say("load"), reader.say("may carry"), ""), rows)


def loads_line(told: LoadsJudged, reader: Reader) -> str:
    """The first line: whether everything is known and within its limits."""
    answer = told.answer
    if answer.verdict is Verdict.ACCEPT:
        return reader.say("Every load is known and within its limit.")
    if answer.verdict is Verdict.CANNOT_TELL:
        return reader.say("Cannot tell yet: find out {missing}.", missing=answer.missing)
    too_much = tuple(load.part for load in answer.loads if load.too_much)
    whys = [reader.say("too much on {parts}", parts=too_much)] if too_much else []
    whys += [reader.say("the car would tip")] if answer.tips else []
    return reader.say("Do not raise this car on this lift: {whys}.", whys=tuple(whys))


def _mass(mass_kg: float | None, reader: Reader, spec: str) -> str:
    return reader.say("not known") if mass_kg is None else reader.write(Mass(mass_kg), spec)


def reflector_blocks(told: ReflectorFound, reader: Reader) -> Iterator[Block]:
    """What a trihedral sends back and how it is to be tipped; then its figures."""
    yield Lines(
        (
            reader.say("A leg of {leg:fine} gives {section}.", leg=Length(told.leg_m), section=_section(told, reader)),
            *_aimed(told.sighting, reader),
        )
    )
    across = reader.say("far field of its opening, as wide as {edge:fine}, from", edge=Length(told.aperture_m))
    sighting = told.sighting
    rows = (
        (reader.say("frequency"), reader.say("{frequency} GHz", frequency=_significant(told.frequency_hz / 1e9, 4))),
        (reader.say("leg (along the right angle)"), reader.write(Length(told.leg_m), "fine")),
        (reader.say("peak radar cross-section"), _section(told, reader)),
        (across, reader.write(Length(told.far_field_m), "up")),
        (reader.say("its axis above the base plane"), reader.write(reason.Angle(BORESIGHT_RAD), "fine")),
        (reader.say("the line to the radar rises by"), reader.write(reason.Angle(sighting.sight_rad), "fine")),
        (reader.say("tip the level base, front down, by"), reader.write(reason.Angle(sighting.tip_rad), "fine")),
        (reader.say("the radar lies off its axis by"), reader.write(reason.Angle(sighting.off_rad), "fine")),
        (reader.say("so of the peak is lost"), _loss(sighting.loss_db, reader)),
    )
    yield Table(reader.say("Triangular trihedral reflector"), ("", ""), rows)
    most = reason.Angle(MOST_OFF_RAD)
    said = reader.say(
        "The loss is of geometrical optics: for legs of many wavelengths, {most:down} off the axis at most.", most=most
    )
    yield Lines((said,))


def _aimed(sighting: Sighting, reader: Reader) -> Iterator[str]:
    tip = reason.Angle(sighting.tip_rad)
    yield reader.say("Tip its level base {tip:fine}, front down, and turn its opening to the radar.", tip=tip)
    if sighting.loss_db is None or sighting.loss_db >= 0.005:
        yield reader.say("As it stands, so much of that is lost: {loss}.", loss=_loss(sighting.loss_db, reader))


def _loss(loss_db: float | None, reader: Reader) -> str:
    if loss_db is None:
        return reader.say("not known: too far off the axis")
    return reader.say("{loss} dB", loss=Number(max(loss_db, 0.0), 2))


def _section(told: ReflectorFound, reader: Reader) -> str:
    """The cross-section; decibels are over one square meter wherever they are read."""
    dbsm = Number(told.section_dbsm, 2)
    if reader.units == "us":
        area = _significant(told.section_m2 / SQUARE_FOOT_M2, 3)
        return reader.say("{area} sq ft ({dbsm} dBsm)", area=area, dbsm=dbsm)
    return reader.say("{area} m² ({dbsm} dBsm)", area=_significant(told.section_m2, 3), dbsm=dbsm)


def _significant(value: float, digits: int) -> Number:
    """A positive number with so many digits that tell something."""
    return Number(value, max(0, digits - 1 - math.floor(math.log10(value))))
