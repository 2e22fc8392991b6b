"""A study as JSON, and as rows for a spreadsheet."""

from __future__ import annotations

import csv
import io

from standtrue.show.answers.place_json import Json, envelope
from standtrue.show.words.study import assumptions
from standtrue.study.tally import CardShare, Share
from standtrue.work.study.studies import Change, RoomAnswer, StopHelp, StudyAnswer

COLUMNS = ("study", "room", "vehicle", "procedure", "support", "fits")


def study_json(answer: StudyAnswer) -> Json:
    """The answer as the documents contract has it."""
    return {
        **envelope(answer.marks, answer.warnings, answer.cautions),
        "study": answer.study.name,
        "mix": answer.study.mix,
        "partial": answer.partial,
        "vehicles": list(answer.cars),
        "assumptions": list(assumptions(answer, "metric")),
        "rooms": [_room(room) for room in answer.rooms],
    }


def study_rows(answer: StudyAnswer) -> list[tuple[str, ...]]:
    """One row for each room, car, card and support: whether it fits. Columns as in COLUMNS."""
    return [
        (answer.study.name, room.room.name, car, card, support, fit.value)
        for room in answer.rooms
        for (car, card), told in room.table.items()
        for support, fit in told
    ]


def study_csv(answer: StudyAnswer) -> str:
    """The rows as CSV (RFC 4180), with a head line."""
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(COLUMNS)
    writer.writerows(study_rows(answer))
    return text.getvalue()


def study_parquet(answer: StudyAnswer) -> bytes:
    """The rows as a Parquet file; the same bytes for the same answer."""
    import pyarrow
    import pyarrow.parquet

    rows = study_rows(answer)
    columns = {name: [row[i] for row in rows] for i, name in enumerate(COLUMNS)}
    sink = pyarrow.BufferOutputStream()
    pyarrow.parquet.write_table(pyarrow.table(columns), sink)
    found: bytes = sink.getvalue().to_pybytes()
    return found


def _room(answer: RoomAnswer) -> Json:
    whole = answer.tally.whole
    places = answer.places
    return {
        "room": answer.room.name,
        "site": answer.room.site.name,
        "bay": None if answer.room.bay is None else answer.room.bay.name,
        "share": _round(whole.share),
        "done_per_year": _round(whole.done),
        "per_year": _round(whole.of),
        "undecided_per_year": _round(answer.tally.undecided),
        "by_order": [_share(s) for s in answer.tally.by_order],
        "by_vehicle": [_share(s) for s in answer.tally.by_car],
        "by_procedure": [_card(c) for c in answer.tally.by_card],
        "stops": [_stop(s) for s in answer.stops],
        "changes": [_change(c) for c in answer.changes],
        "places": None if places is None else [{"places": n, "orders_per_year": _round(w)} for n, w in places],
        "fits": [
            {"vehicle": car, "procedure": card, "support": support, "fits": fit.value}
            for (car, card), told in answer.table.items()
            for support, fit in told
        ],
    }


def _share(share: Share) -> Json:
    return {
        "name": share.name,
        "done_per_year": _round(share.done),
        "per_year": _round(share.of),
        "share": _round(share.share),
    }


def _card(card: CardShare) -> Json:
    told = _share(card.any_support)
    told.pop("name")
    return {"procedure": card.card, **told, "supports": [_share(s) for _, s in card.supports]}


def _stop(told: StopHelp) -> Json:
    stop = told.stop
    return {
        "name": stop.name,
        "no_card": stop.no_card,
        "lost_per_year": _round(stop.lost),
        "alone_per_year": _round(stop.alone),
        "vehicles": list(stop.cars),
        "change": None if told.change is None else told.change.words,
        "wall_m": None if told.change is None else told.change.moved_m,
        "won_per_year": _round(told.won),
    }


def _change(change: Change) -> Json:
    return {
        "change": change.words,
        "wall_m": change.moved_m,
        "share": _round(change.tally.whole.share),
        "done_per_year": _round(change.tally.whole.done),
        "won_per_year": _round(change.won),
    }


def _round(value: float) -> float:
    return round(value, 9) + 0.0
