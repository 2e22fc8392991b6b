"""What is said of many rooms, cars and cards asked at once, and written beside their picture."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

from standtrue.model.fits import Fits
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Length
from standtrue.model.vehicle import Vehicle
from standtrue.show.words import labels
from standtrue.show.words.blocks import Block, Lines, Table
from standtrue.show.words.reader import Reader
from standtrue.work.place.many import ManyFits, OneFit

SHOWN = 7
"""So many rooms are listed by name; of more, it is only counted in how many each car fits."""


def fits_word(fits: Fits, reader: Reader) -> str:
    """The verdict of one question."""
    words = {Fits.YES: reader.say("fits"), Fits.NO: reader.say("does not fit")}
    return words.get(fits, reader.say("cannot tell"))


def room_name(width_m: float, length_m: float, reader: Reader) -> str:
    """What a plain room of this size is called."""
    return reader.say("{wide} x {long}", wide=Length(width_m), long=Length(length_m))


def many_title(car: str, card: str, found: list[OneFit], reader: Reader) -> str:
    """In how many rooms a car fits for a card."""
    yes = sum(one.fits is Fits.YES for one in found)
    return reader.say_n(
        "{car} fits for {card} in {yes} of 1 room",
        "{car} fits for {card} in {yes} of {n} rooms",
        len(found),
        car=car,
        card=card,
        yes=yes,
    )


def many_blocks(many: ManyFits, reader: Reader) -> Iterator[Block]:
    """How many fit of each car and card; of few rooms, each."""
    counted = [
        (
            car.name,
            card.key,
            *(str(sum(one.fits is told for one in column)) for told in (Fits.YES, Fits.NO, Fits.UNDECIDED)),
        )
        for car, card, column in columns(many)
    ]
    heads = (
        labels.car_fact("", reader)[0],
        labels.card_fact("", reader)[0],
        *(fits_word(told, reader) for told in (Fits.YES, Fits.NO, Fits.UNDECIDED)),
    )
    yield Lines((rooms_words(many, reader),))
    yield Table("", heads, tuple(counted))
    if len(many.sites) <= SHOWN:
        rows = [
            (site.name, car.name, card.key, fits_word(one.fits, reader))
            for (site, car, card), one in zip(product(many.sites, many.vehicles, many.cards), many.found, strict=True)
        ]
        yield Table("", (labels.site_fact("", reader)[0], heads[0], heads[1], ""), tuple(rows))


def rooms_words(many: ManyFits, reader: Reader) -> str:
    """How many rooms of how many were found to take a car."""
    return reader.say_n(
        "{yes} of 1 question: the car fits.",
        "{yes} of {n} questions: the car fits.",
        len(many.found),
        yes=many.count(Fits.YES),
    )


def many_key(reader: Reader) -> tuple[str, ...]:
    """What the marks of the picture mean."""
    return (
        reader.say("Car drawn: it fits, and may stand there, among other places. Its nose is marked."),
        reader.say("Hatched: it does not fit anywhere."),
        reader.say("Question mark: cannot tell."),
        reader.say("All rooms to one scale, in the order asked, row by row. The corners are named."),
    )


def many_question(reader: Reader) -> str:
    """What the picture of many rooms answers."""
    return reader.say("In which rooms does it fit?")


def many_scale(reader: Reader) -> str:
    """The scale of the picture of many rooms."""
    return reader.say("all rooms alike")


def columns(many: ManyFits) -> Iterator[tuple[Vehicle, Procedure, list[OneFit]]]:
    """Each car with each card, and what was found in each room."""
    each = len(many.vehicles) * len(many.cards)
    for number, (car, card) in enumerate(product(many.vehicles, many.cards)):
        yield car, card, list(many.found[number::each])
