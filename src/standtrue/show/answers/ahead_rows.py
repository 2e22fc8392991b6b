"""Reach tables as JSON, and as rows for a spreadsheet."""

from __future__ import annotations

import csv
import io

from standtrue.show.answers.place_json import Json, envelope
from standtrue.study.reach import Reach
from standtrue.work.study.ahead import WAYS, Reaches, ReachRow

COLUMNS = ("vehicle", "support", *(f"{way}_m" for way in WAYS))


def reach_json(answer: Reaches) -> Json:
    """The answer as the documents contract has it."""
    return {
        **envelope(answer.marks, answer.warnings, answer.cautions),
        "site": answer.site.name,
        "bay": None if answer.bay is None else answer.bay.name,
        "equipment": answer.target.equipment,
        "means": answer.target.words("metric"),
        "partial": answer.partial,
        "reaches": [_row(row) for row in answer.rows],
    }


def reach_csv(answer: Reaches) -> str:
    """One row for each car and support as CSV (RFC 4180); meters, empty where nothing fits or it is not known."""
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(COLUMNS)
    for row in answer.rows:
        told = (_metres(reach) for _, reach in row.reaches)
        writer.writerow((row.car, row.support, *("" if m is None else f"{m:.3f}" for m in told)))
    return text.getvalue()


def _row(row: ReachRow) -> Json:
    told: Json = {"vehicle": row.car, "support": row.support}
    told.update({f"{way}_m": _metres(reach) for way, reach in row.reaches})
    return {**told, "known": all(reach.known for _, reach in row.reaches)}


def _metres(reach: Reach) -> float | None:
    return None if reach.most_mm is None else reach.most_mm / 1000
