"""The record of a job as PDF: the page for the customer, a part for each set-up, what was brought, every entry."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

from attrs import evolve

from standtrue.draw.backends.pdf import Data, PaperSize, Picture, typeset
from standtrue.draw.backends.photo import MOST_BYTES as MOST_BYTES
from standtrue.draw.backends.photo import photo_picture, read_photo
from standtrue.draw.backends.qr import qr_picture
from standtrue.show.answers.keep import FileShape
from standtrue.show.answers.record import AlignmentKept, BroughtKept, FloorKept, MeasuredKept, RecordAnswer, latest
from standtrue.show.pictures.as_measured import as_measured
from standtrue.show.sheets.job.card import near_picture
from standtrue.show.sheets.rests_on import in_fours
from standtrue.show.words import sheet_checked as checked
from standtrue.show.words import sheet_proof as proof
from standtrue.show.words import sheet_record as words
from standtrue.show.words.moments import clock_words, moment
from standtrue.show.words.reader import ENGLISH, Reader
from standtrue.show.words.sheet_labels import RECORD, labels
from standtrue.show.words.sheet_title import not_said, title_cells

PHOTO_MM = 88.0, 66.0
PICTURE_MM = 54.0, 76.0
SMALL_MM = 54.0, 60.5
"""The car and its targets, with their proof; and on the customer's page."""

CODE_MM = 32.0
"""The QR code: one of 45 modules (122 bytes) can be read in a copy at 100 dots an inch."""

MOST_NAME = 22
"""So many bytes of a job's name stand in the code."""

MOST_PHOTOS_BYTES = 24 << 20
"""Of more photos only the first are printed, and the others named."""


def photo_digests(record: RecordAnswer) -> tuple[str, ...]:
    """The files that are to be printed as photos, if they can be."""
    return tuple(f.digest for one in record.brought if one.answer.what == "photo" for f in one.answer.files)


def record_pdf(record: RecordAnswer, photos: Mapping[str, bytes], paper: PaperSize, reader: Reader = ENGLISH) -> bytes:
    """The record as tagged PDF; always the same bytes for the same record, photos (by digest) and reader."""
    reader = evolve(reader, zone=words.zone(record))
    printed, unprinted = _photos(record, photos, reader)
    site, whose = words.head(record, reader)
    data: dict[str, Data] = {
        "words": labels(RECORD, reader),
        "title": words.title(record, reader),
        "demonstration": record.demonstration,
        "head": [site, whose],
        "cells": title_cells(
            {"sheet": words.title(record, reader), "last entry": moment(record.entries[-1].at, reader),
             "digest": in_fours(record.digest[:16]), "not said": not_said(reader)},
            reader,
        ),
        "answer": words.answer(record, reader),
        "needs": [list(row) for row in words.need_rows(record, reader)],
        "why": [list(row) for row in words.why_rows(record, reader)],
        "missing": words.missing_lines(record, reader),
        "decided": list(words.overruled_lines(record, reader)),
        "signed": list(words.sign_lines(record, reader)),
        "in-short": words.in_short(record, reader),
        "digest": _rows_of_digest(record.digest),
        "code": _code(record, reader),
        "check": words.check_lines(reader),
        "log": words.log_line(record, reader),
        "clock": clock_words(record.entries[-1].at, reader),
        "setups": [_setup(one, record, reader) for one in latest(record.measured)],
        "checked": [
            *(_aligned(one, reader) for one in record.alignments),
            *(_floor(one, reader) for one in record.floors),
        ],
        "brought": [*words.scan_lines(record, reader), *unprinted],
        "photos": printed,
        "entries": [list(row) for row in words.entry_rows(record, reader)],
    }  # fmt: skip
    return typeset(Path(__file__).with_name("record.typ"), data, paper, reader.language)


def _rows_of_digest(digest: str) -> list[str]:
    """Four rows of four groups of four: all 64 characters, to be compared by eye."""
    return [in_fours(digest[i : i + 16]) for i in range(0, len(digest), 16)]


def _code(record: RecordAnswer, reader: Reader) -> Picture:
    """The digest for a telephone, with as much of the job's name as there is room for."""
    name = record.job.encode()[:MOST_NAME].decode(errors="ignore")
    return qr_picture(f"{name}\nSHA-256 {record.digest}\nstandtrue verify FILE.zip", CODE_MM, words.code_told(reader))


def _aligned(one: AlignmentKept, reader: Reader) -> dict[str, Data]:
    return {
        "title": checked.alignment_title(one, reader),
        "says": list(checked.alignment_says(one, reader)),
        "rows": [list(row) for row in checked.alignment_rows(one.answer, reader)],
    }


def _floor(one: FloorKept, reader: Reader) -> dict[str, Data]:
    return {
        "title": checked.floor_title(one, reader),
        "says": list(checked.floor_says(one, reader)),
        "rows": [list(row) for row in checked.floor_rows(one.answer, reader)],
    }


def _picture(one: MeasuredKept, size: tuple[float, float], reader: Reader) -> list[Data]:
    """The car and its targets as they stood, if what was kept says where."""
    near = as_measured(one.answer, proof.setup_title(one, reader), reader)
    return [] if near is None else [near_picture(near, *size)]


def _setup(one: MeasuredKept, record: RecordAnswer, reader: Reader) -> dict[str, Data]:
    answer, found = one.answer, one.answer.set_up
    card = [] if found is None else [proof.card_line(found.card, reader)]
    return {
        "title": proof.setup_title(one, reader),
        "picture": _picture(one, PICTURE_MM, reader),
        "small": _picture(one, SMALL_MM, reader),
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
