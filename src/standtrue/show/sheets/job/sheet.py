"""A job's sheet as PDF: one page first, one page a card, one for each set-up that was measured."""

from __future__ import annotations

from collections.abc import Iterator
from importlib.metadata import version
from pathlib import Path

from standtrue.draw.backends.pdf import Data, PaperSize, typeset
from standtrue.show.sheets.job.card import card_page
from standtrue.show.sheets.job.first import first_page, label
from standtrue.show.sheets.report.page import report_page
from standtrue.show.words import sheet as words
from standtrue.show.words.reader import ENGLISH, Reader
from standtrue.show.words.sheet_labels import JOB, REPORT, labels
from standtrue.work.sheet.content import SheetContent


def job_pdf(content: SheetContent, paper: PaperSize, reader: Reader = ENGLISH) -> bytes:
    """The sheet as tagged PDF for Letter or A4; always the same bytes for the same content and reader."""
    needs = content.needs
    data: dict[str, Data] = {
        "words": labels({**JOB, **REPORT}, reader),
        "title": words.title(needs.job, needs.vehicle, reader),
        "demonstration": any(mark.demonstration for mark in content.basis.marks),
        "first": first_page(content, reader, f"Standtrue {version('standtrue')}"),
        "cards": list(_cards(content, reader)),
        "reports": [report_page(setup, answer, reader) for setup, answer in content.measured],
    }
    return typeset(Path(__file__).with_name("job.typ"), data, paper, reader.language)


def _cards(content: SheetContent, reader: Reader) -> Iterator[dict[str, Data]]:
    """The pages of all cards, in the order of work."""
    before = 0
    for stance in content.stances:
        labels = [label(before + i) for i in range(len(stance.cards))]
        before += len(labels)
        yield from (card_page(content, stance, part, labels, reader) for part in stance.cards)
