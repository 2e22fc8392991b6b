"""The answer in words that a technician understands: the verdict, what it touches, where things stand."""

from __future__ import annotations

from collections.abc import Iterator

from standtrue.model.basics import Place, SupportClass
from standtrue.model.fits import Fits
from standtrue.model.reason import Angle, Length, Reason
from standtrue.model.site import Datum, from_datum
from standtrue.model.stance import Carrier
from standtrue.place.question.answer import FIT_M, Answer, Touch
from standtrue.show.words.catalog import N_
from standtrue.show.words.level import level_words
from standtrue.show.words.reader import Reader

SHOWN_STOPS = 3
"""How many of what comes too near are named in a verdict."""

_CLASS_WORDS: dict[SupportClass, str] = {
    "floor": N_("on the floor"),
    "lift down": N_("on a lift that is down"),
    "lift up": N_("on a raised lift"),
}

_OVER = ("void", "patch", "uneven", "ramp", "deck edge")
"""Kinds of floor that something stands over; it overlaps any other thing."""


def verdict(answer: Answer, reader: Reader) -> str:
    """One plain sentence: whether it fits, where the car stands, and what is nearest or what stops it."""
    answer = answer.stands
    where = carried(answer, reader)
    if answer.fits is Fits.YES and answer.place is not None:
        if answer.level is not None:
            where = reader.say("{where}, {level}", where=where, level=level_words(answer.level, reader))
        return _fits(answer, where, standing(answer.place, answer.ground.site.datum, reader), reader)
    if answer.fits is not Fits.UNDECIDED:
        return reader.say("Does not fit {where}: {because}.", where=where, because=what_stops_it(answer, reader))
    if answer.bound_m is None:
        return reader.say(
            "Cannot tell {where}: no place was found that fits, and it is not proven that none does.", where=where
        )
    return reader.say(
        "Cannot tell {where}: no place has more than {bound:up} to spare, and none was found that fits.",
        where=where,
        bound=Length(answer.bound_m),
    )


def alignment(why: Reason, reader: Reader) -> str:
    """What the car stands parallel to, or that it stands askew, and what another place would gain."""
    return reader.say("It stands {how}.", how=why)


def _fits(answer: Answer, where: str, stands: str, reader: Reader) -> str:
    if answer.margin_m is None:
        return reader.say("Fits {where}: {stands}.", where=where, stands=stands)
    margin = Length(answer.margin_m)
    if not answer.touches:
        return reader.say(
            "Fits {where}: {stands}; least margin {margin:down}.", where=where, stands=stands, margin=margin
        )
    return reader.say(
        "Fits {where}: {stands}; least margin {margin:down}: {near}.",
        where=where,
        stands=stands,
        margin=margin,
        near=touch_words(answer.touches[0], reader),
    )


def carried(answer: Answer, reader: Reader) -> str:
    """What carries the car: `on the floor`, or `on lift L (up, decks at 1.200 m)`."""
    return carried_words(answer.carrier, answer.support, reader)


def carried_words(carrier: Carrier | None, support: SupportClass, reader: Reader) -> str:
    """As `carried`, of whatever carries a car; None where no stance was seen."""
    if carrier is None or carrier.lift is None:
        return reader.say(_CLASS_WORDS[support])
    lift, state = carrier.lift, carrier.state
    if carrier.height_m > 0.0:
        height = Length(carrier.height_m)
        return reader.say("on lift {lift} ({state}, decks at {height})", lift=lift, state=state, height=height)
    return reader.say("on lift {lift} ({state}, decks at floor level)", lift=lift, state=state)


def standing(place: Place, datum: Datum, reader: Reader) -> str:
    """Where the car stands: its rear axle's center from the datum, and the way it faces."""
    right, up = from_datum((place.x_m, place.y_m), datum)
    return standing_at(right, up, Angle(place.heading_rad - datum.direction_rad), reader)


def standing_at(right_m: float, up_m: float, faces: Angle, reader: Reader) -> str:
    """The same from distances and a direction that are the datum's already."""
    return reader.say("rear axle center {at}, facing {faces}", at=offsets(right_m, up_m, reader), faces=faces)


_OFFSETS: dict[tuple[bool, bool], str] = {
    (True, True): N_("{right} along the datum's line and {up} left of it"),
    (True, False): N_("{right} along the datum's line and {up} right of it"),
    (False, True): N_("{right} back along the datum's line and {up} left of it"),
    (False, False): N_("{right} back along the datum's line and {up} right of it"),
}


def offsets(right_m: float, up_m: float, reader: Reader) -> str:
    """Two distances from the datum: `2.744 m along the datum's line and 2.214 m left of it`."""
    sentence = _OFFSETS[right_m >= 0, up_m >= 0]
    return reader.say(sentence, right=Length(abs(right_m)), up=Length(abs(up_m)))


def touch_words(touch: Touch, reader: Reader) -> str:
    """A pair in words: `mirror left – bench, 86 mm (50 mm needed)`. No figure where they overlap.

    What is needed is rounded as what there is where that is enough, so that 50.8 mm of 50.8 mm never read as too few.
    """
    if touch.separation_m > 0.0 or touch.margin_m >= FIT_M:
        apart = reader.write(Length(touch.separation_m), "down")
    else:
        apart = reader.say("over it") if touch.kind in _OVER else reader.say("overlap")
    if touch.gap_m <= 0:
        return reader.say("{part} – {thing}, {apart}", part=touch.zone, thing=touch.thing, apart=apart)
    return reader.say(
        "{part} – {thing}, {apart} ({gap} needed)",
        part=touch.zone,
        thing=touch.thing,
        apart=apart,
        gap=reader.write(Length(touch.gap_m), "down" if touch.margin_m >= FIT_M else "up"),
    )


def what_stops_it(answer: Answer, reader: Reader) -> str:
    """Why nothing fits: what rules every place out, or what is in the way at the nearest miss."""
    reasons = reader.reasons(answer.because)
    short = [touch_words(t, reader) for t in answer.touches if t.margin_m < FIT_M]
    near, more = "; ".join(short[:SHOWN_STOPS]), len(short) - SHOWN_STOPS
    if more > 0:
        reasons.append(
            reader.say("even in the nearest miss these come too near: {near} and {more} more", near=near, more=more)
        )
    elif short:
        reasons.append(reader.say("even in the nearest miss these come too near: {near}", near=near))
    return "; ".join(reasons) or reader.say("no place has room enough")


def fits_word(fits: Fits, reader: Reader) -> str:
    """The verdict in a word or two, as every answer has it."""
    return reader.term({Fits.YES: "fits", Fits.NO: "does not fit", Fits.UNDECIDED: "cannot tell"}[fits])


def stops(answer: Answer, reader: Reader) -> Iterator[str]:
    """Everything that stands against an answer, one by one."""
    yield from reader.reasons(answer.because)
    yield from (touch_words(touch, reader) for touch in answer.touches if touch.margin_m < FIT_M)
