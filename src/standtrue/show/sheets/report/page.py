"""One page: what was measured at a set-up, against which limit, from which readings, resting on what."""

from __future__ import annotations

from pathlib import Path

from standtrue.draw.backends.pdf import Data, PaperSize, typeset
from standtrue.draw.near import Near
from standtrue.model.setup import Setup
from standtrue.show.pictures.aim import shifts_of
from standtrue.show.pictures.near import AtTheCar, near_view
from standtrue.show.pictures.shifts import arrow_shape
from standtrue.show.sheets.job.card import near_picture
from standtrue.show.sheets.rests_on import in_fours
from standtrue.show.words import near as near_words
from standtrue.show.words import sheet_card
from standtrue.show.words import sheet_report as words
from standtrue.show.words.gate import gate_line
from standtrue.show.words.reader import ENGLISH, Reader
from standtrue.show.words.sheet_labels import REPORT, labels
from standtrue.show.words.sheet_title import digest_of, not_said, rests_words, title_cells
from standtrue.show.words.texts import as_sentence
from standtrue.work.aim.aiming import MeasuredAnswer

PICTURE_MM = 54.0, 92.0

SAID_ABOVE = frozenset({"readings-unchecked", "calibration-held", "car-not-tied-to-floor", "car-does-not-fit-there"})
"""Warnings that the verdict's line or the tables say already."""


def report_pdf(setup: Setup, answer: MeasuredAnswer, paper: PaperSize, reader: Reader = ENGLISH) -> bytes:
    """The page by itself, as tagged PDF; always the same bytes for the same answer and reader."""
    data: dict[str, Data] = {
        "words": labels(REPORT, reader),
        "title": words.title(answer.setup, reader),
        "demonstration": answer.basis.demonstration,
        "report": report_page(setup, answer, reader),
    }
    return typeset(Path(__file__).with_name("alone.typ"), data, paper, reader.language)


def report_page(setup: Setup, answer: MeasuredAnswer, reader: Reader) -> dict[str, Data]:
    """What the template is given of the page."""
    found, scene, marks = answer.setup, answer.setup.scene, answer.basis.marks
    notes = [n for n in answer.basis.warnings if n.code not in SAID_ABOVE]
    asked = {q.reading + 1: words.questioned(reader) for q in found.questions}
    card = next((m.digest for m in marks if m.kind == "procedure" and m.name == scene.card.name), "")
    return {
        "head": [scene.site.name, f"{setup.job}, {scene.vehicle.name}"],
        "cells": title_cells(
            {"set-up": setup.name, "card": sheet_card.card_cell(scene.card, card),
             "rests on": rests_words(marks, reader),
             "not said": not_said(reader)},
            reader,
        ),
        "verdict": gate_line(answer.gate, reader),
        "because": [as_sentence(s) for s in reader.reasons(found.refused)],
        "targets": [
            {
                "title": words.target_title(target, reader),
                "says": words.target_says(target, reader),
                "rows": [list(row) for row in words.part_rows(target, reader)],
                "todo": list(words.to_do(target, found, reader)),
            }
            for target in found.targets
        ],
        "picture": near_picture(_picture(answer, reader), *PICTURE_MM),
        "legend": [near_words.drawn_how(reader)],
        "readings": [list(row) for row in words.reading_rows(answer, asked, reader)],
        "looked": [list(row) for row in words.looked_rows(answer, reader)],
        "rests": [
            words.documents([m.name for m in marks], reader), words.digest_words(in_fours(digest_of(marks)), reader),
            words.checked_how(reader),
        ],
        "notes": [*words.questions(found, reader), *(as_sentence(n) for n in reader.reasons(notes))],
    }  # fmt: skip


def _picture(answer: MeasuredAnswer, reader: Reader) -> Near:
    """The car and its targets as they were measured, with an arrow for what to shift."""
    places = tuple(target.place for target in answer.setup.targets)
    arrows = [arrow_shape(shift, reader) for shift in shifts_of(answer.setup, reader)]
    title = words.title(answer.setup, reader)
    at = AtTheCar(answer.stance.answer, places, (), ())
    return near_view(at, reader, title, extra=arrows, few=True)
