"""A card's page: the near view with numbered tapes, their figures and blanks beside it, the limits below the fold."""

from __future__ import annotations

from collections.abc import Sequence

from standtrue.draw.backends.pdf import Data, Picture
from standtrue.draw.backends.svg import SVG, document
from standtrue.draw.near import Near
from standtrue.draw.near_ink import NearInk
from standtrue.draw.near_layout import lay_near
from standtrue.model.cautions import Fact
from standtrue.model.fits import Fits
from standtrue.model.reason import Length
from standtrue.show.pictures.near import AtTheCar, kinds_and_corners, near_view, untold_size
from standtrue.show.sheets.rests_on import rests_words
from standtrue.show.words import near as near_words
from standtrue.show.words import sheet as first
from standtrue.show.words import sheet_card as words
from standtrue.show.words.plan import as_sentence
from standtrue.show.words.reader import Reader
from standtrue.show.words.sheet_title import not_said, title_cells
from standtrue.work.sheet.chalk import Chalk
from standtrue.work.sheet.content import CardPart, PlannedReading, SheetContent, StancePart

PICTURE_MM = 98.0, 132.0
"""How large the near view is at the most on a card's page."""

_LEAST_MM = 100.0
_COLUMN_MM = 172.0
"""From the question to the fold, where one page has to hold both."""

AT_ITS_PLACE = frozenset({Fact.CAR_MOVES, Fact.CAR_PUSHED})
"""What calls for the cautions that stand at the head of a place on the first page: the car stands by now."""


def card_page(content: SheetContent, stance: StancePart, part: CardPart, reader: Reader) -> dict[str, Data]:
    """What the template is given of one card's page."""
    needs = content.needs
    order = first.order_name(needs.job)
    answer = part.answer
    warned = [words.does_not_fit(reader)] if answer.fits is not Fits.YES else []
    here = [c for c in (*stance.cautions, *part.cautions) if not c.calls & AT_ITS_PLACE]
    cautions = [*warned, *reader.reasons(c.reason for c in here)]
    answers = list(words.answers(part, reader))
    said = [*_legend(part, reader), *(as_sentence(n) for n in reader.reasons(part.notes))]
    return {
        "head": [needs.job.site, ", ".join((order, first.car_words_short(needs.job, needs.vehicle)))],
        "cells": title_cells(
            {"sheet": words.step_words(order, part.step, reader),
             "card": words.card_cell(part.card, _digest(content, part.card.name)),
             "set-up": part.setup, "rests on": rests_words(content.basis.marks, reader),
             "not said": not_said(reader)},
            reader,
        ),
        "question": words.question(part, reader),
        "answers": answers,
        "cautions": cautions,
        "picture": near_picture(_near(part, reader), PICTURE_MM[0], _height(said, [*answers, *cautions])),
        "legend": said,
        "before": words.before_rows(part, answer, reader),
        "chalk": None if part.chalk is None else _chalk(part.chalk, reader),
        "groups": _groups(part, reader),
        "fold": words.fold_words(part, reader),
        "limits": [list(row) for row in words.limit_rows(part, reader)],
        "when-out": words.when_out(part, reader),
    }  # fmt: skip


def near_picture(near: Near, width: float, height: float) -> Picture:
    """A near view as a picture of this size on paper."""
    laid = lay_near(near, width, height)
    return Picture(document((width, height), NearInk(SVG, laid).everything()), near.told)


def _near(part: CardPart, reader: Reader) -> Near:
    return near_view(_at(part), reader, words.question(part, reader))


def _at(part: CardPart) -> AtTheCar:
    return AtTheCar(part.answer, tuple(layout.place for layout in part.targets), part.readings, part.chalk)


def _legend(part: CardPart, reader: Reader) -> list[str]:
    """What is said under the picture: how it is turned, how its points are found."""
    kinds, corners = kinds_and_corners(_at(part))
    said = [near_words.drawn_how(reader), *near_words.how_found(kinds, corners, reader)]
    if part.targets:
        said.append(near_words.face_words(reader))
    size = untold_size([layout.place for layout in part.targets])
    if size is not None:
        said.append(near_words.ends_untold(size, reader))
    return [*said, *words.letters_words(part.readings, reader)]


def _chalk(chalk: Chalk, reader: Reader) -> dict[str, Data]:
    rows = [
        [reader.write(row.where), *(reader.write(Length(far)) for far in (row.left_m, row.right_m))]
        for row in chalk.rows
    ]
    return {
        "title": words.chalk_title(chalk, reader), "angle": words.chalk_angle(chalk, reader),
        "strings": words.strings_words(reader), "rows": rows,
    }  # fmt: skip


def _groups(part: CardPart, reader: Reader) -> list[Data]:
    """The readings of the car, then those of each target, numbered through."""
    numbered = list(enumerate(part.readings, start=1))
    targets = dict.fromkeys(r.target for r in part.readings)
    return [
        {
            "title": words.group_title(target, reader),
            "beside": words.group_beside(target, reader),
            "cautions": [],
            "rows": [_reading(n, r, part, reader) for n, r in numbered if r.target == target],
        }
        for target in targets
    ]


def _reading(number: int, planned: PlannedReading, part: CardPart, reader: Reader) -> dict[str, Data]:
    kinds = len(kinds_and_corners(_at(part))[0])
    return {
        "number": str(number),
        "what": near_words.reading_words(planned.reading, target_names(part), kinds, reader, planned.target),
        "planned": near_words.planned_figure(planned.reading, planned.planned, reader),
        "sides": list(words.side_letters(planned, reader)),
    }


def target_names(part: CardPart) -> Sequence[str]:
    return [layout.place.name for layout in part.targets]


def _height(below: Sequence[str], above: Sequence[str]) -> float:
    """How high the picture may be, so that what is said above and below it leaves the fold on its page."""
    lines = sum(1 + len(said) // 54 for said in below)
    heads = sum(1 + len(said) // 92 for said in above)
    return max(_LEAST_MM, min(PICTURE_MM[1], _COLUMN_MM - 4.4 * lines - 5.0 * heads))


def _digest(content: SheetContent, card: str) -> str:
    return next((m.digest for m in content.basis.marks if m.kind == "procedure" and m.name == card), "")
