"""What goes onto a job's sheet, in a reader's words: the figures stay values until the page is made."""

from __future__ import annotations

from collections.abc import Sequence
from importlib.metadata import version

from standtrue.model.procedure import Procedure
from standtrue.show.sheets.job.order import OrderOfWork
from standtrue.show.sheets.job.planned import order_of_work
from standtrue.show.sheets.job.sheet import JobSheet, Section, Unplaced
from standtrue.show.sheets.rests_on import CardSource
from standtrue.show.words.place import what_stops_it
from standtrue.show.words.reader import ENGLISH, Reader
from standtrue.show.words.remedies import remedies_words
from standtrue.show.words.sheet_notes import not_here, sent_out
from standtrue.work.sheet.content import Nowhere, SheetContent


def make_job_sheet(content: SheetContent, reader: Reader = ENGLISH, sections: Sequence[Section] = ()) -> JobSheet:
    """The sheet of a job for a reader. `sections` are shown before the stances."""
    needs, basis = content.needs, content.basis
    return JobSheet(
        job=needs.job,
        vehicle=needs.vehicle,
        program=f"Standtrue {version('standtrue')}",
        reader=reader,
        needs=needs.answer,
        order=needs.order,
        limits=content.limits,
        stances=content.stances,
        elsewhere=content.elsewhere,
        nowhere=tuple(_nowhere(one, reader) for one in content.nowhere),
        sections=tuple(sections),
        planned=_order(content, reader),
        cautions=tuple(reader.reasons(c.reason for c in content.cautions)),
        warnings=tuple(reader.reasons((*basis.warnings, *basis.limits))),
        sources=tuple(_source(c) for c in needs.cards),
        documents=basis.marks,
    )


def _order(content: SheetContent, reader: Reader) -> OrderOfWork | None:
    """The whole order of work, where the sheet is by a plan."""
    if content.plan is None:
        return None
    stances = enumerate(content.stances, start=1)
    numbers = {part.step: number for number, s in stances for part in s.cards if part.step is not None}
    cautions = reader.reasons(c.reason for c in content.order_cautions)
    return order_of_work(content.plan, reader, numbers, cautions, reader.reasons(content.differing))


def _nowhere(one: Nowhere, reader: Reader) -> Unplaced:
    """Why a card fits nowhere, what would make room, and whether the shop can send it out."""
    said: list[str] = []
    for answer, remedies in one.misses:
        said.append(not_here(answer.support, what_stops_it(answer, reader), reader))
        said.extend(remedies_words(remedies, answer, reader))
    said.extend(sent_out(*out.minutes_s, reader) for out in one.sent_out)
    return Unplaced(one.card, tuple(dict.fromkeys(said)))


def _source(card: Procedure) -> CardSource:
    source = card.source
    return CardSource(card.key, source.title, source.edition, source.read_on, source.status)
