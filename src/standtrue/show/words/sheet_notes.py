"""What the job sheet says of its own: notes on set-ups, floors and places, and the order of work's short entries."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from standtrue.model.fits import Fits
from standtrue.model.setup import Setup
from standtrue.place.question.answer import Answer
from standtrue.show.words.place import standing
from standtrue.show.words.plan import span_words
from standtrue.show.words.quantities import small_length
from standtrue.show.words.reader import Reader


def unplanned(reader: Reader) -> str:
    """That there is no order of work, because its search was stopped."""
    return reader.say(
        "the search for the order of work was stopped before any was found: each stance is one by itself, not of a plan"
    )


def floor_note(difference_m: float | None, partly: bool, survey: str, reader: Reader) -> str:
    """What a survey says of the floor under what a card names; None where it says nothing."""
    if difference_m is None:
        return reader.say(
            "the survey {survey} does not say how level the floor under what the card names is", survey=survey
        )
    rise = small_length(difference_m, reader.units, "up")
    if partly:
        return reader.say(
            "the floor under what the card names differs by {rise} in height as far as it was surveyed, by the survey "
            "{survey}",
            rise=rise,
            survey=survey,
        )
    return reader.say(
        "the floor under what the card names differs by {rise} in height, by the survey {survey}",
        rise=rise,
        survey=survey,
    )


def unshown_note(setup: str, reader: Reader) -> str:
    """That a set-up of the job is not on the sheet."""
    return reader.say(
        "the set-up {setup} is not shown here: it is not the first of its card, or its card is not called for or not "
        "done here",
        setup=setup,
    )


def setup_note(setup: Setup, own: Answer, planned: Setup, reader: Reader) -> str:
    """What must be said at the card of a set-up that has the car elsewhere than the plan: `own` is that measured."""
    where = standing(setup.place, own.ground.site.datum, reader)
    written = ", ".join(_stance_fields(planned))
    if own.fits is Fits.YES:
        return reader.say(
            "The set-up {setup} has the car elsewhere ({where}). This sheet is for the place of the plan: before you "
            "type readings in, write in the set-up's [stance]: {written}.",
            setup=setup.name,
            where=where,
            written=written,
        )
    return reader.say(
        "The set-up {setup} has the car elsewhere ({where}), where it does not fit. This sheet is for the place of the "
        "plan: before you type readings in, write in the set-up's [stance]: {written}.",
        setup=setup.name,
        where=where,
        written=written,
    )


def _stance_fields(planned: Setup) -> Iterator[str]:
    """The stance as a document has it: its own field names, its own unit."""
    place = planned.place
    yield f'at = ["{place.x_m:.3f} m", "{place.y_m:.3f} m"]'
    yield f"heading = {place.heading_deg:.2f}"
    yield f'on = "{planned.on}"'
    if planned.height_m > 0.0:
        yield f'height = "{planned.height_m:.3f} m"'
    if planned.variant is not None:
        yield f'variant = "{planned.variant}"'


def elsewhere_words(setup: str, step: int, reader: Reader) -> str:
    """The same in short, for the head of the order of work."""
    return reader.say(
        "The set-up {setup} has the car at another place than step {step}: what to do about it stands there.",
        setup=setup,
        step=step,
    )


def sent_out(low_s: float, high_s: float, reader: Reader) -> str:
    """That a card's work can be sent out."""
    return reader.say("It can be sent out ({time}).", time=span_words(low_s, high_s, reader))


def not_here(support: str, why: str, reader: Reader) -> str:
    """Why a card does not fit on one kind of support."""
    return f"{reader.term(support)}: {why}"


def takes(span: str, counted: bool, reader: Reader) -> str:
    """How long a step takes, short; nothing is known of work that the job lists no time for, and a note says so."""
    if not counted:
        return reader.say("not counted")
    return re.sub(r"^(\d+) (s|min) \w+ (\d+) \2$", r"\1–\3 \2", span)


def place_line(number: int, where: str, reader: Reader) -> str:
    return reader.say("Place {number}: {where}.", number=number, where=where)


def move_lines(legs: Sequence[str], most: int, nearest: str, doors: Sequence[str], reader: Reader) -> Iterator[str]:
    """How to drive a move, beside its picture: what must be open, the legs, and what comes nearest."""
    if doors:
        yield reader.say("Open for the move: {doors}.", doors=", ".join(doors))
    for leg in legs[:most]:
        yield f"{leg[:1].upper()}{leg[1:]}"
    if len(legs) > most:
        yield reader.say_n(
            "And {n} leg more, as the plan shows.", "And {n} legs more, as the plan shows.", len(legs) - most
        )
    if nearest:
        yield nearest
