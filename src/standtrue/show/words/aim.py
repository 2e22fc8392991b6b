"""Words that everything about a set-up shares: verdicts, figures of tolerances, corrections, questions."""

from __future__ import annotations

import math
from collections.abc import Mapping

from standtrue.aim.conditions import Standing
from standtrue.aim.corrections import Correction
from standtrue.aim.questions import Question
from standtrue.model.reason import Angle, Length, Number
from standtrue.model.verdict import Verdict
from standtrue.show.words.catalog import N_
from standtrue.show.words.reader import Reader

SQUARE_FOOT_M2 = 0.3048**2

TERMS: tuple[str, ...] = (
    N_("datum"),
    N_("along"),
    N_("across"),
    N_("height"),
    N_("turn"),
    N_("lean"),
    N_("inches"),
    N_("feet"),
    N_("millimeters"),
    N_("centimeters"),
    N_("meters"),
    N_("toe front left"),
    N_("toe front right"),
    N_("toe rear left"),
    N_("toe rear right"),
    N_("camber front left"),
    N_("camber front right"),
    N_("camber rear left"),
    N_("camber rear right"),
    N_("caster left"),
    N_("caster right"),
    N_("SAI left"),
    N_("SAI right"),
    N_("set-back front"),
    N_("set-back rear"),
    N_("total toe front"),
    N_("total toe rear"),
    N_("thrust angle"),
    N_("cross camber front"),
    N_("cross camber rear"),
    N_("cross caster"),
    N_("cross SAI"),
    N_("included angle left"),
    N_("included angle right"),
)
"""The trade's words that aiming's reasons name, beside those of `terms`."""

_VERDICTS: Mapping[Verdict, str] = {
    Verdict.ACCEPT: N_("in tolerance"),
    Verdict.REJECT: N_("out of tolerance"),
    Verdict.CANNOT_TELL: N_("too close to the limit"),
}

_UNDECIDED: Mapping[Verdict, str] = {**_VERDICTS, Verdict.CANNOT_TELL: N_("cannot tell")}

_MET: Mapping[Verdict, str] = {
    Verdict.ACCEPT: N_("met"),
    Verdict.REJECT: N_("not met"),
    Verdict.CANNOT_TELL: N_("cannot tell"),
}

_STANDINGS: Mapping[Standing, str] = {
    Standing.MET: N_("met"),
    Standing.NOT_MET: N_("not met"),
    Standing.NOT_RECORDED: N_("not recorded"),
    Standing.CANNOT_TELL: N_("cannot tell"),
}


def verdict_word(verdict: Verdict | None, reader: Reader) -> str:
    """One value against its limits; None where it was not measured."""
    return reader.say("not measured") if verdict is None else reader.say(_VERDICTS[verdict])


def overall_word(verdict: Verdict, reader: Reader) -> str:
    """Several values against their limits: what cannot be told may be a lack of readings."""
    return reader.say(_UNDECIDED[verdict])


def met_word(verdict: Verdict, reader: Reader) -> str:
    """Whether a demand of a card is met."""
    return reader.say(_MET[verdict])


def standing_word(standing: Standing, reader: Reader) -> str:
    """How a condition of a card stands."""
    return reader.say(_STANDINGS[standing])


def figure(value: float, is_angle: bool, reader: Reader, spec: str = "fine") -> str:
    """A deviation, an uncertainty or a limit: radians or metres."""
    return reader.write(Angle(value) if is_angle else Length(value), spec)


def facing(angle_rad: float, reader: Reader) -> str:
    """Which way something looks: above -180 and up to 180 degrees, to a tenth."""
    turned = math.remainder(angle_rad, math.tau)
    return reader.write(Angle(turned if math.degrees(turned) > -179.95 else math.pi))


def correction_steps(correction: Correction | None, reader: Reader) -> tuple[str, ...]:
    """What to do to a target, each step that is more than nothing in the reader's units."""
    if correction is None:
        return ()
    nothing = (reader.write(Length(0.0)), reader.write(Angle(0.0)))
    return tuple(reader.reason(step) for step in correction.steps if reader.write(step["by"]) not in nothing)


def question_words(question: Question, reader: Reader) -> str:
    """Why a reading needs a second look, and what would explain it."""
    if question.perhaps is None:
        return reader.reason(question.why)
    return reader.say("{why} ({perhaps})", why=question.why, perhaps=question.perhaps)


def area_words(area_m2: float, reader: Reader) -> str:
    """An area of floor."""
    if reader.units == "us":
        return reader.say("{area} sq ft", area=Number(area_m2 / SQUARE_FOOT_M2))
    return reader.say("{area} m²", area=Number(area_m2, 1))


def slope_words(slope: float, reader: Reader) -> str:
    """A slope, metres a metre, as a tape and a level show it."""
    if reader.units == "us":
        return reader.say("{rise:fine} in 10 ft", rise=Length(slope * 10 * 0.3048))
    return reader.say("{rise} mm a meter", rise=Number(slope * 1000, 2))
