"""The record of a job as PDF: the page for the customer, a part for each set-up, what was brought, every entry."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

from standtrue.draw.backends.pdf import Data, PaperSize, typeset
from standtrue.draw.backends.photo import MOST_BYTES as MOST_BYTES
from standtrue.draw.backends.photo import photo_picture, read_photo
from standtrue.show.answers.keep import FileShape
from standtrue.show.answers.record import BroughtKept, MeasuredKept, RecordAnswer, latest
from standtrue.show.sheets.rests_on import in_fours
from standtrue.show.words import sheet_proof as proof
from standtrue.show.words import sheet_record as words
from standtrue.show.words.reader import ENGLISH, Reader
from standtrue.show.words.sheet_labels import RECORD, labels
from standtrue.show.words.sheet_title import not_said, title_cells

PHOTO_MM = 88.0, 66.0

MOST_PHOTOS_BYTES = 24 << 20
"""Of more photos only the first are printed, and the others named."""


def photo_digests(record: RecordAnswer) -> tuple[str, ...]:
    """The files that are to be printed as photos, if they can be."""
    return tuple(f.digest for one in record.brought if one.answer.what == "photo" for f in one.answer.files)


def record_pdf(record: RecordAnswer, photos: Mapping[str, bytes], paper: PaperSize, reader: Reader = ENGLISH) -> bytes:
    """The record as tagged PDF; always the same bytes for the same record, photos (by digest) and reader."""
    printed, unprinted = _photos(record, photos, reader)
    site, whose = words.head(record, reader)
    data: dict[str, Data] = {
        "words": labels(RECORD, reader),
        "title": words.title(record, reader),
        "demonstration": record.demonstration,
        "head": [site, whose],
        "cells": title_cells(
            {"sheet": words.title(record, reader), "last entry": words.moment(record.entries[-1].at, reader),
             "digest": in_fours(record.digest[:16]), "not said": not_said(reader)},
            reader,
        ),
        "answer": words.answer(record, reader),
        "needs": [list(row) for row in words.need_rows(record, reader)],
        "missing": words.missing_lines(record, reader),
        "decided": list(words.overruled_lines(record, reader)),
        "signed": list(words.sign_lines(record, reader)),
        "digest": _rows_of_digest(record.digest),
        "check": words.check_lines(record, reader),
        "setups": [_setup(one, record, reader) for one in latest(record.measured)],
        "brought": [*words.scan_lines(record, reader), *unprinted],
        "photos": printed,
        "entries": [list(row) for row in words.entry_rows(record, reader)],
    }  # fmt: skip
    return typeset(Path(__file__).with_name("record.typ"), data, paper, reader.language)


def _rows_of_digest(digest: str) -> list[str]:
    """Four rows of four groups of four: all 64 characters, to be compared by eye."""
    return [in_fours(digest[i : i + 16]) for i in range(0, len(digest), 16)]


def _setup(one: MeasuredKept, record: RecordAnswer, reader: Reader) -> dict[str, Data]:
    answer, found = one.answer, one.answer.set_up
    card = [] if found is None else [proof.card_line(found.card, reader)]
    return {
        "title": proof.setup_title(one, reader),
        "says": [*proof.setup_says(one, record, reader), *card],
        "targets": [
            {
                "title": proof.target_title(target, reader),
                "says": proof.target_says(target, reader),
                "rows": [list(row) for row in proof.part_rows(target, reader)],
            }
            for target in answer.targets
        ],
        "looked": [list(row) for row in proof.looked_rows(answer, reader)],
        "readings": [] if found is None else [list(row) for row in proof.reading_rows(found.readings, reader)],
        "rests": proof.rests_line(answer, reader),
    }  # fmt: skip


def _photos(record: RecordAnswer, photos: Mapping[str, bytes], reader: Reader) -> tuple[list[Data], list[str]]:
    """The photos that are printed, and what is said of those that are not."""
    printed: list[Data] = []
    unprinted: list[str] = []
    room = MOST_PHOTOS_BYTES
    for one, file in _of_photos(record):
        content = photos.get(file.digest, b"")
        found = read_photo(content) if len(content) <= room else None
        if found is None:
            unprinted.append(words.file_line(file, one, reader, words.photo_unprinted(reader)))
            continue
        room -= len(content)
        caption = words.photo_caption(file, one, reader)
        printed.append({"picture": photo_picture(found, *PHOTO_MM, caption), "caption": caption})
    return printed, unprinted


def _of_photos(record: RecordAnswer) -> Iterator[tuple[BroughtKept, FileShape]]:
    for one in record.brought:
        if one.answer.what == "photo":
            for file in one.answer.files:
                yield one, file
