"""The first start: two sentences with blanks, and the answer below them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from attrs import asdict, frozen

from standtrue.model.basics import Fault
from standtrue.model.fits import Fits
from standtrue.place.question.answer import Answer
from standtrue.show.pictures.answers import answer_svg
from standtrue.show.words.pages import start as words
from standtrue.show.words.reader import Reader
from standtrue.work.place.places import Places
from standtrue.work.start import CARDS, Asked, First

SHAPES = {Fits.YES: "yes", Fits.NO: "no", Fits.UNDECIDED: "unsure"}
"""The class by which a page draws each verdict."""


@frozen
class Piece:
    """A piece of a sentence: text, then a blank with `choices` if it is chosen, not typed; `field` "" for no blank."""

    text: str
    field: str = ""
    label: str = ""
    value: str = ""
    choices: tuple[tuple[str, str], ...] = ()
    fault: str = ""


@frozen
class Line:
    """One card on one support."""

    shape: str
    said: str
    helps: tuple[str, ...]


@frozen
class StartPage:
    """The page."""

    words: words.StartWords
    sentences: tuple[tuple[Piece, ...], ...]
    faults: tuple[str, ...]
    lines: tuple[Line, ...]
    others: tuple[Line, ...]
    rest: str
    picture: str


def start_page(asked: Asked, first: First | None, faults: Sequence[Fault], reader: Reader) -> StartPage:
    """The sentences as they were filled, and the answer; without one, what is to be mended."""
    told = {fault.field: f"{reader.reason(fault.what)}. {reader.reason(fault.remedy)}" for fault in faults}
    return StartPage(
        words.start_words(reader),
        tuple(tuple(_pieces(sentence, asked, told, reader)) for sentence in (words.ROOM, words.WORK)),
        tuple(f"{words.field_label(field, reader)}: {said}" for field, said in told.items()),
        () if first is None else tuple(_line(first.places, one, reader) for one in first.places.answers),
        () if first is None else tuple(_line(first.others, one, reader) for one in first.others.answers),
        "" if first is None else words.rest_line(first.others, reader),
        "" if first is None else words.picture_words(first, reader),
    )


def start_picture(first: First, reader: Reader) -> str:
    """The room as SVG, with the body at the best of the answers."""
    best = min(first.places.answers, key=lambda one: list(SHAPES).index(one.fits))
    return answer_svg(first.places, best, reader)


def _pieces(sentence: str, asked: Asked, told: dict[str, str], reader: Reader) -> Iterator[Piece]:
    choices = {
        "wall": words.choices(words.WALLS, reader),
        "lift": words.choices(words.LIFTS, reader),
        "body": words.choices(words.BODIES, reader),
        "sensor": words.sensor_choices(tuple(CARDS), reader),
    }
    values = asdict(asked)
    for text, field in words.sentence_parts(sentence, reader):
        if not field:
            yield Piece(text)
            continue
        label = words.field_label(field, reader)
        yield Piece(text, field, label, values[field], choices.get(field, ()), told.get(field, ""))


def _line(places: Places, answer: Answer, reader: Reader) -> Line:
    return Line(SHAPES[answer.fits], words.fit_line(answer, reader), tuple(words.helps(places, answer, reader)))
