"""Answers as the JSON of the documents contract. Lengths end in `_m`, angles in `_deg`."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from importlib.metadata import version
from typing import Any

from standtrue.documents import Folder
from standtrue.model.basics import DocumentMark, Outline, Place
from standtrue.model.cautions import Caution
from standtrue.model.reason import Note, plain_name
from standtrue.needs import needs_to_json
from standtrue.place.change.remedies import Remedies, Remedy
from standtrue.place.many.shared import SharedPlace
from standtrue.place.question.answer import Answer, Slice, Touch
from standtrue.show.answers.faults import of_faults
from standtrue.show.answers.parts import fits_told
from standtrue.show.words.reader import ENGLISH
from standtrue.work.needs.jobs import JobAnswer, Needs
from standtrue.work.place.places import Places

Json = dict[str, Any]


def envelope(marks: Iterable[DocumentMark], warnings: Iterable[Note], cautions: Iterable[Caution]) -> Json:
    """What every answer carries: the program, the documents it used, warnings and cautions."""
    documents = [{"kind": m.kind, "name": m.name, "digest": m.digest} for m in marks]
    return {
        "program": f"standtrue {version('standtrue')}",
        "documents": documents,
        "demonstration": any(m.demonstration for m in marks),
        "warnings": ENGLISH.reasons(warnings),
        "cautions": [c.text for c in cautions],
    }


def read_json(folder: Folder, cautions: Iterable[Caution]) -> Json:
    answer = envelope(folder.documents, folder.warnings, cautions)
    return {**answer, **of_faults(folder.faults).to_json()}


def needs_json(needs: Needs) -> Json:
    answer = envelope(needs.marks, needs.warnings, needs.cautions)
    order = [{"order": s.order, "stage": s.stage, "kind": s.kind, "what": s.what} for s in needs.order]
    not_fitted = [{"sensor": n.sensor, "side": n.side, "because": list(n.because)} for n in needs.answer.not_fitted]
    return {**answer, "needs": needs_to_json(needs.answer), "order": order, "not_fitted": not_fitted}


def places_json(places: Places, reached: Sequence[Json | None] = ()) -> Json:
    """The answer of `place`; `reached` says of each answer how the car gets there, if that was asked."""
    answer = envelope(places.marks, places.warnings, places.cautions)
    told = zip(places.answers, places.slices, places.remedies, strict=True)
    answers = [answer_json(a, s, r) for a, s, r in told]
    for answer_told, way in zip(answers, reached, strict=False):
        answer_told["reached"] = way
    shared = [shared_json(place) for place in places.shared.places]
    return {**answer, "answers": answers, "shared": shared, "shared_proven": places.shared.proven}


def job_json(job: JobAnswer) -> Json:
    return {
        **needs_json(job.needs),
        **places_json(job.places),
        **envelope(job.marks, job.warnings, job.cautions),
    }


def answer_json(answer: Answer, slices: Iterable[Slice], remedies: Remedies) -> Json:
    slices = tuple(slices)
    told: Json = {
        "procedure": answer.cards[0].name if answer.cards else None,
        "side": answer.cards[0].side if answer.cards else None,
        "variant": answer.variants[0] if answer.variants else None,
        "support": answer.support,
        "carried_by": answer.carried_by or None,
        "height_m": _round(answer.height_m),
        "fits": fits_told(answer.fits),
        "margin_m": _round(answer.margin_m),
        "margin_bound_m": _round(answer.bound_m),
        "free_m": _round(answer.free_m),
        "stance": _place(answer.place),
        "doors_open": list(answer.doors_open),
        "touches": [touch_json(t) for t in answer.touches],
        "because": ENGLISH.reasons(answer.because),
        "remedies": [remedy_json(r) for r in remedies.single],
        "remedy_pairs": [[remedy_json(r) for r in pair] for pair in remedies.pairs],
        "nearest_miss": _place(answer.nearest_miss),
    }
    if slices:
        told["region"] = [_slice(s) for s in slices]
    return told


def remedy_json(remedy: Remedy) -> Json:
    turn = remedy.direction_rad
    return {
        "thing": plain_name(remedy.thing),
        "kind": remedy.kind,
        "action": remedy.action,
        "least_m": _round(remedy.least_m),
        "direction_deg": None if turn is None else _round(math.degrees(turn)),
        "exact": remedy.exact,
    }


def shared_json(shared: SharedPlace) -> Json:
    uses = [
        {
            "procedure": use.card.name,
            "side": use.card.side,
            "variant": use.variant,
            "support": use.support,
            "carried_by": use.carried_by,
            "height_m": _round(use.height_m),
            "doors_open": list(use.doors_open),
            "margin_m": _round(use.margin_m),
        }
        for use in shared.uses
    ]
    return {"place": _place(shared.place), "margin_m": _round(shared.margin_m), "uses": uses}


def _round(value: float | None) -> float | None:
    return None if value is None or not math.isfinite(value) else round(value, 9) + 0.0


def _place(place: Place | None) -> Json | None:
    if place is None:
        return None
    return {"x_m": _round(place.x_m), "y_m": _round(place.y_m), "heading_deg": _round(place.heading_deg)}


def touch_json(touch: Touch) -> Json:
    return {
        "zone": plain_name(touch.zone),
        "thing": plain_name(touch.thing),
        "separation_m": _round(touch.separation_m),
        "gap_m": _round(touch.gap_m),
        "at": [_round(touch.at[0]), _round(touch.at[1])],
    }


def _slice(piece: Slice) -> Json:
    polygons = [{"outline": _ring(outer), "holes": [_ring(hole) for hole in holes]} for outer, holes in piece.polygons]
    return {"heading_deg": _round(math.degrees(piece.heading_rad)), "polygons": polygons}


def _ring(outline: Outline) -> list[list[float | None]]:
    return [[_round(x), _round(y)] for x, y in outline]
