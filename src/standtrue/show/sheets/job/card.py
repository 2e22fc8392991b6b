"""A card's page: the near view with numbered tapes, their figures and blanks beside it, the limits below the fold."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from attrs import evolve

from standtrue.aim.chalk import ChalkLine
from standtrue.aim.planning import Planned
from standtrue.draw.backends.pdf import Data, Picture
from standtrue.draw.backends.svg import SVG, document
from standtrue.draw.near import Near
from standtrue.draw.near_ink import NearInk
from standtrue.draw.near_layout import lay_near
from standtrue.model.cautions import Fact
from standtrue.model.fits import Fits
from standtrue.model.reason import Length
from standtrue.show.pictures.near import AtTheCar, kinds_and_corners, near_view, untold_size
from standtrue.show.words import near as near_words
from standtrue.show.words import sheet as first
from standtrue.show.words import sheet_card as words
from standtrue.show.words import sheet_limits
from standtrue.show.words.reader import Reader
from standtrue.show.words.sheet_title import not_said, rests_words, title_cells
from standtrue.show.words.texts import as_sentence
from standtrue.work.sheet.content import CardPart, SheetContent, StancePart

PICTURE_MM = 94.0, 132.0
"""How large the near view is at the most on a card's page."""

_LEAST_MM = 76.0
_CHALK_MM = 29.0
_COLUMN_MM = 162.0
"""From the question to the fold, where one page has to hold both."""

AT_THE_CAR = frozenset(
    (
        "set-up-elsewhere", "set-up-elsewhere-unfit", "thrust-line-assumed", "cannot-be-decided",
        "readings-hide-blunders", "line-not-clear",
    )
)  # fmt: skip
"""What must be said of a card where it is laid out; the rest of its notes stand on the first page."""

AT_ITS_PLACE = frozenset({Fact.CAR_MOVES, Fact.CAR_PUSHED})
"""What calls for the cautions that stand at the head of a place on the first page: the car stands by now."""


def card_page(
    content: SheetContent, stance: StancePart, whole: CardPart, labels: Sequence[str], reader: Reader
) -> dict[str, Data]:
    """What the template is given of one card's page. `labels` are those of the stance's pages."""
    needs = content.needs
    part, tied = _without_tie(stance, whole, labels)
    order = first.order_name(needs.job)
    answer = part.answer
    warned = [words.does_not_fit(reader)] if answer.fits is not Fits.YES else []
    here = [c for c in (*stance.cautions, *part.cautions) if not c.calls & AT_ITS_PLACE]
    cautions = [*warned, *reader.reasons(c.reason for c in here)]
    answers = list(words.answers(part, reader))
    notes = [n for n in part.notes if n.code in AT_THE_CAR]
    said = [*_legend(part, reader), *(as_sentence(n) for n in reader.reasons(notes))]
    room = _COLUMN_MM - 5.0 * _lines([*answers, *cautions], 92)
    page: dict[str, Data] = {
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
        "tied": tied,
        "before": words.before_rows(part, answer, reader),
        "chalk": [_chalk(line, reader) for line in part.chalk],
        "groups": _groups(part, reader),
        "fold": words.fold_words(part, reader),
        "limits": [list(row) for row in sheet_limits.limit_rows(part, reader)],
        "when-out": sheet_limits.when_out(part, reader),
    }  # fmt: skip
    told = [near_words.planned_words(r, target_names(part), 1, reader, r.part) for r in part.readings]
    right = _right_mm(page, part, told)
    beside, below = _parted(said, room - right)
    page["picture"] = near_picture(_near(part, reader), PICTURE_MM[0], _picture_mm(max(room, right), part, below))
    return {**page, "legend": " ".join(below), "beside": " ".join(beside)}


def _picture_mm(room: float, part: CardPart, below: Sequence[str]) -> float:
    """How high the picture may be: what the higher column leaves it."""
    high = room - _CHALK_MM * len(part.chalk) - _running_mm(below, 56)
    return max(_LEAST_MM, min(PICTURE_MM[1], high))


def _without_tie(stance: StancePart, part: CardPart, labels: Sequence[str]) -> tuple[CardPart, str]:
    """A card without the readings that tie the car to the floor, where those of a card before it at this stance do; and
    the label of that card's page."""
    own = [r.reading.points for r in part.readings if not r.part]
    for before, label in zip(stance.cards, labels, strict=True):
        if before is part:
            break
        if own and [r.reading.points for r in before.readings if not r.part] == own:
            return evolve(part, readings=tuple(r for r in part.readings if r.part)), label
    return part, ""


def near_picture(near: Near, width: float, height: float) -> Picture:
    """A near view as a picture of this size on paper."""
    laid = lay_near(near, width, height)
    return Picture(document((width, height), NearInk(SVG, laid).everything()), near.told)


def _near(part: CardPart, reader: Reader) -> Near:
    view = near_view(_at(part), reader, words.question(part, reader), bystanders=False)
    return evolve(view, key_words="")


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


def _chalk(chalk: ChalkLine, reader: Reader) -> dict[str, Data]:
    rows = [[reader.write(m.where), *(reader.write(Length(s.offset_m)) for s in m.strings)] for m in chalk.marks]
    return {
        "title": words.chalk_title(chalk, reader), "angle": words.chalk_angle(chalk, reader),
        "strings": words.strings_words(reader), "rows": rows,
    }  # fmt: skip


def _groups(part: CardPart, reader: Reader) -> list[Data]:
    """The readings of the car, then those of each target."""
    return [
        {
            "title": words.group_title(target, reader),
            "beside": words.group_beside(target, reader),
            "cautions": list(words.pit_words([r for r in part.readings if r.part == target], reader)),
            "rows": [_reading(r, part, reader) for r in part.readings if r.part == target],
        }
        for target in dict.fromkeys(r.part for r in part.readings)
    ]


def _reading(planned: Planned, part: CardPart, reader: Reader) -> dict[str, Data]:
    kinds = len(kinds_and_corners(_at(part))[0])
    return {
        "number": str(planned.number),
        "what": near_words.planned_words(planned, target_names(part), kinds, reader, planned.part),
        "planned": near_words.planned_figure(planned.reading, planned.value, reader),
        "sides": list(words.side_letters(planned, reader)),
    }


def target_names(part: CardPart) -> Sequence[str]:
    return [layout.place.name for layout in part.targets]


def _lines(said: Sequence[str], letters: int) -> int:
    """About how many lines texts take at so many letters a line."""
    return sum(1 + len(one) // letters for one in said)


def _running_mm(said: Sequence[str], letters: int) -> float:
    """About how high sentences stand that run on one after another."""
    return 3.9 * math.ceil(sum(len(one) + 1 for one in said) / letters) + (2.0 if said else 0.0)


def _parted(said: Sequence[str], room: float) -> tuple[list[str], list[str]]:
    """What of the legend finds room beside the picture, below the readings; and what stands below the picture."""
    beside: list[str] = []
    for one in said:
        if _running_mm([*beside, one], 52) > room:
            break
        beside.append(one)
    return beside, list(said[len(beside) :])


def _right_mm(page: Mapping[str, Data], part: CardPart, rows: Sequence[str]) -> float:
    """About how high the column beside the picture is without its legend, millimetres."""
    before = page["before"]
    assert isinstance(before, Sequence)
    high = 7.0 + sum(max(6.4, 3.9 * _lines([str(row)], 36)) for row in before) if before else 0.0
    high += 7.5 * len({r.part for r in part.readings}) + (5.0 if page["tied"] else 0.0)
    return high + sum(max(6.5, 3.9 * _lines([row], 20)) for row in rows)


def _digest(content: SheetContent, card: str) -> str:
    return next((m.digest for m in content.basis.marks if m.kind == "procedure" and m.name == card), "")
