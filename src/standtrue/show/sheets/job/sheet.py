"""The job sheet that a technician takes to the car: to lay out with tape, plumb bob and chalk line, and to write on.

The values are those of the engines; every word and figure on paper is made in `show.words`.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from attrs import frozen

from standtrue.aim.alignment import LimitCheck
from standtrue.draw.backends.pdf import Data, PaperSize, Picture, typeset
from standtrue.model.basics import DocumentMark
from standtrue.model.cautions import Caution
from standtrue.model.fits import Fits
from standtrue.model.job import Job
from standtrue.model.procedure import Procedure
from standtrue.model.vehicle import Vehicle
from standtrue.needs import NeedsAnswer, WorkStep
from standtrue.show.pictures.targets import targets_drawing
from standtrue.show.sheets.job.order import OrderOfWork, order_data
from standtrue.show.sheets.job.page import stance_picture
from standtrue.show.sheets.rests_on import LONGEST_PROGRAM, CardSource, document_lines, made_by, source_rows
from standtrue.show.words import sheet as words
from standtrue.show.words.reader import Reader
from standtrue.show.words.sheet_labels import JOB, labels
from standtrue.work.sheet.content import CardPart, Elsewhere, StancePart


@frozen(eq=False)
class Unplaced:
    """A card that fits nowhere, why, and what would help."""

    card: Procedure
    because: tuple[str, ...] = ()


@frozen
class Section:
    """A further section of the sheet, such as the order of moves: sentences, a table, pictures, in this order."""

    title: str
    sentences: tuple[str, ...] = ()
    head: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    pictures: tuple[Picture, ...] = ()


@frozen(eq=False)
class JobSheet:
    """Everything on the sheet. `sections` stand after the order of work and before the stances.

    `planned` is the whole order of work with its moves, by which every stance is then; without it the sheet has `order`
    alone. Raises ValueError if `program` is longer than the foot line has room for.
    """

    job: Job
    vehicle: Vehicle
    program: str
    reader: Reader
    needs: NeedsAnswer
    order: tuple[WorkStep, ...]
    limits: tuple[LimitCheck, ...]
    stances: tuple[StancePart, ...]
    elsewhere: tuple[Elsewhere, ...] = ()
    nowhere: tuple[Unplaced, ...] = ()
    sections: tuple[Section, ...] = ()
    planned: OrderOfWork | None = None
    cautions: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    sources: tuple[CardSource, ...] = ()
    documents: tuple[DocumentMark, ...] = ()

    def __attrs_post_init__(self) -> None:
        if len(self.program) > LONGEST_PROGRAM:
            raise ValueError(f"the program's name and version take at most {LONGEST_PROGRAM} characters")

    @property
    def demonstration(self) -> bool:
        return any(mark.demonstration for mark in self.documents)


def job_pdf(sheet: JobSheet, paper: PaperSize) -> bytes:
    """The sheet as tagged PDF for Letter or A4; always the same bytes for the same sheet."""
    reader = sheet.reader
    data: dict[str, Data] = {
        "words": labels(JOB, reader),
        "title": words.title(sheet.job, sheet.vehicle, reader),
        "demonstration": sheet.demonstration,
        "facts": words.facts(sheet.job, sheet.vehicle, reader),
        "found": words.found(sheet.job, reader),
        "needs": [{"cards": c, "how": how, "because": why} for c, how, why in words.needed(sheet.needs, reader)],
        "decided": words.decided(sheet.needs, reader),
        "order": words.order_rows(sheet.order, reader),
        "planned": None if sheet.planned is None else order_data(sheet.planned, reader),
        "limits": words.limit_rows(sheet.limits, reader),
        "sections": [_section(s) for s in sheet.sections],
        "stances": [
            _stance(number, s, _same_wheels(sheet.stances, number), reader)
            for number, s in enumerate(sheet.stances, start=1)
        ],
        "elsewhere": [
            {
                "card": words.with_steps(u.card.key, u.steps, reader),
                "how": words.without_place(u.card, reader),
                "cautions": _said(u.cautions, reader),
            }
            for u in sheet.elsewhere
        ],
        "nowhere": [{"card": u.card.key, "because": u.because} for u in sheet.nowhere],
        "cautions": sheet.cautions,
        "warnings": sheet.warnings,
        "sources": source_rows(sheet.sources, reader),
        "documents": document_lines(sheet.documents, reader),
        "made-by": made_by(sheet.program, sheet.documents, reader),
    }
    return typeset(Path(__file__).with_name("job.typ"), data, paper, reader.language)


def _said(cautions: Sequence[Caution], reader: Reader) -> list[str]:
    return reader.reasons(c.reason for c in cautions)


def _section(section: Section) -> dict[str, Data]:
    return {
        "title": section.title,
        "sentences": section.sentences,
        "head": section.head,
        "rows": section.rows,
        "pictures": section.pictures,
    }


def _same_wheels(stances: Sequence[StancePart], number: int) -> int | None:
    """The first of the stances before this one at which the wheels stand on the same points."""
    place = stances[number - 1].answer.place
    return next((n for n, s in enumerate(stances[: number - 1], start=1) if s.answer.place == place), None)


def _stance(number: int, stance: StancePart, wheels_as: int | None, reader: Reader) -> dict[str, Data]:
    answer = stance.answer
    places = [layout.place for part in stance.cards for layout in part.targets]
    drawing = targets_drawing(answer, places, reader, words.picture_title(number, answer, reader))
    tagged = iter(range(1, len(places) + 1))
    return {
        "number": number,
        "title": words.stance_title(number, stance.place, stance.cards, reader),
        "cards": [_card(part, [next(tagged) for _ in part.targets], reader) for part in stance.cards],
        "names": [words.with_steps(part.card.key, _step_of(part), reader) for part in stance.cards],
        "stands": words.stands(answer, reader),
        "verdict": words.verdict(answer, reader),
        "fits": answer.fits is Fits.YES,
        "doors": answer.doors_open,
        "views": reader.reasons(answer.in_view),
        "picture": stance_picture(drawing, reader),
        "wheels-as": None if wheels_as is None else str(wheels_as),
        "wheels": words.wheel_rows(answer.vehicle, stance.wheels, reader),
        "cautions": _said(stance.cautions, reader),
    }


def _step_of(part: CardPart) -> tuple[int, ...]:
    return () if part.step is None else (part.step,)


def _card(part: CardPart, numbers: list[int], reader: Reader) -> dict[str, Data]:
    datum = part.answer.ground.site.datum
    numbered = [(f"T{number}", layout) for number, layout in zip(numbers, part.targets, strict=True)]
    return {
        "title": words.with_steps(part.card.key, _step_of(part), reader),
        "facts": words.card_facts(part.card, part.answer, reader),
        "conditions": words.condition_rows(part.card, reader),
        "targets": [words.target_row(tag, layout.place, datum, reader) for tag, layout in numbered],
        "layouts": [
            {"title": f"{tag} {layout.place.name}", "rows": words.layout_rows(layout, reader)}
            for tag, layout in numbered
        ],
        "paths": words.path_rows(part.targets, datum, reader),
        "readings": [
            words.reading_row(n, r.reading, r.title, r.planned, reader) for n, r in enumerate(part.readings, start=1)
        ],
        "setup": part.setup,
        "cautions": _said(part.cautions, reader),
        "notes": reader.reasons(part.notes),
    }
