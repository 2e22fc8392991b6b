"""The records: looking for one, and one of them, made from what was kept alone."""

from __future__ import annotations

import json
from collections.abc import Iterator

from attrs import frozen

from standtrue.seal import Kept
from standtrue.show.answers.record import MeasuredKept, RecordAnswer, deciding
from standtrue.show.words import sheet_proof as proof
from standtrue.show.words import sheet_record as sheet
from standtrue.show.words.kept import kind_words, short_words
from standtrue.show.words.pages import records as words
from standtrue.show.words.reader import Reader
from standtrue.work.records.searching import Looked

Row = tuple[str, ...]

SHOWN = 8
"""So many entries stand open; those before them are folded."""

CLASSES = {"yes": "yes", "no": "no", "open": "unsure"}
"""Of the marks of verdicts, the class by which a page draws its shape."""


@frozen
class FoundRow:
    """A record that was found."""

    job: str
    cells: Row


@frozen
class RecordsPage:
    """Looking for a record."""

    words: words.RecordsWords
    answer: str
    asked: str
    first: str
    last: str
    found: tuple[FoundRow, ...]
    after: tuple[str, str] | None


def records_page(looked: Looked, reader: Reader) -> RecordsPage:
    """What was found."""
    rows = tuple(
        FoundRow(
            one.job,
            (
                one.order_number or one.job,
                one.vehicle,
                one.plate,
                words.when(one.first_at, reader),
                words.when(one.last_at, reader),
                str(one.entries),
            ),
        )
        for one in looked.found
        if one.job
    )
    return RecordsPage(
        words.records_words(reader),
        words.looked_answer(looked, reader),
        " ".join(looked.words),
        looked.first,
        looked.last,
        rows,
        looked.after,
    )


@frozen
class Verdicted:
    """A row of a table whose last cell is a verdict: its class and its word."""

    cells: Row
    shape: str
    verdict: str


@frozen
class MeasuredPart:
    """A target of a set-up, direction by direction."""

    title: str
    says: str
    rows: tuple[Verdicted, ...]


@frozen
class MeasuredSetup:
    """A set-up as it was last measured."""

    title: str
    says: tuple[str, ...]
    parts: tuple[MeasuredPart, ...]
    looked: tuple[Verdicted, ...]


@frozen
class Happened:
    """An entry in the order of time. `knot` is the class of its mark on the thread."""

    when: str
    what: str
    short: str
    who: str
    seal: str
    knot: str


@frozen
class RecordPage:
    """One record."""

    job: str
    words: words.RecordWords
    over: tuple[str, str]
    answer: tuple[str, ...]
    shape: str
    whole: bool
    wrong: tuple[str, ...]
    setups: tuple[MeasuredSetup, ...]
    needs: tuple[Verdicted, ...]
    missing: tuple[str, ...]
    decided: tuple[str, ...]
    signed: tuple[str, ...]
    brought: tuple[str, ...]
    folded: str
    earlier: tuple[Happened, ...]
    latest: tuple[Happened, ...]
    documents: str
    seals: str
    last: str


def record_page(record: RecordAnswer, kept: tuple[Kept, ...], reader: Reader) -> RecordPage:
    """The record of a job; `kept` are its entries."""
    happened = tuple(_happened(record, kept, reader))
    cut = max(0, len(happened) - SHOWN)
    return RecordPage(
        job=record.job,
        words=words.record_words(reader),
        over=sheet.head(record, reader),
        answer=words.record_answer(record, reader),
        shape=words.counted(record).shape if record.whole else "no",
        whole=record.whole,
        wrong=tuple(sheet.wrong_lines(record, reader)),
        setups=tuple(_setup(one, record, reader) for one in deciding(record.measured)),
        needs=tuple(_verdicted(row) for row in sheet.need_rows(record, reader)),
        missing=tuple(sheet.missing_lines(record, reader)),
        decided=tuple(sheet.overruled_lines(record, reader)),
        signed=tuple(sheet.sign_lines(record, reader)),
        brought=tuple(sheet.scan_lines(record, reader)),
        folded=words.folded(cut, reader),
        earlier=happened[:cut],
        latest=happened[cut:],
        documents=str(len({(mark["kind"], mark["name"]) for one in kept for mark in json.loads(one.entry.documents)})),
        seals=words.seals_fit(record, reader),
        last=words.when(record.entries[-1].at, reader),
    )


def _verdicted(row: Row) -> Verdicted:
    """A row of the record on paper: its last two cells are the mark and the word of a verdict."""
    *cells, mark, verdict = row
    return Verdicted(tuple(cells), CLASSES.get(mark, ""), verdict)


def _setup(one: MeasuredKept, record: RecordAnswer, reader: Reader) -> MeasuredSetup:
    return MeasuredSetup(
        proof.setup_title(one, reader),
        tuple(proof.setup_says(one, record, reader)),
        tuple(
            MeasuredPart(
                proof.target_title(target, reader),
                proof.target_says(target, reader),
                tuple(_verdicted(row) for row in proof.part_rows(target, reader)),
            )
            for target in one.answer.targets
        ),
        tuple(_verdicted(row) for row in proof.looked_rows(one.answer, reader)),
    )


KNOTS = {"sign": "cal", "measured": "check", "needs": "check"}


def _happened(record: RecordAnswer, kept: tuple[Kept, ...], reader: Reader) -> Iterator[Happened]:
    for line, one in zip(record.entries, kept, strict=True):
        yield Happened(
            words.when(line.at, reader),
            kind_words(line.kind, reader),
            next(iter(short_words(line.kind, one.entry.shape, one.content, reader)), ""),
            sheet.who(line, reader),
            words.seal_words(line.digest, reader),
            KNOTS.get(line.kind, ""),
        )
