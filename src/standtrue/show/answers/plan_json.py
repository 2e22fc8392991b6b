"""A job's plan as the JSON of the documents contract."""

from __future__ import annotations

from typing import Any

from standtrue.model.order import OUTSIDE, Plan, Stand
from standtrue.needs import needs_to_json
from standtrue.show.answers.drive import of_way
from standtrue.show.answers.place_json import envelope
from standtrue.show.words.plan import Told, minutes, told_steps, undone_words
from standtrue.work.plan.answer import Alternative, Ordered, PlanAnswer, Undone

Json = dict[str, Any]


def plan_json(answer: PlanAnswer) -> Json:
    """The whole answer of `plan`."""
    ordered, plan = answer.ordered, answer.plan
    steps = () if plan is None else told_steps(ordered, plan, answer.site)
    return {
        **envelope(answer.marks, answer.warnings, answer.cautions),
        "otherwise": None if answer.otherwise is None else answer.otherwise.name,
        "needs": needs_to_json(answer.needs.answer),
        "steps": [_step(told, answer) for told in steps],
        **_figures(plan),
        "proven": ordered.front.proven,
        "doors_open": [] if plan is None else list(plan.doors_open),
        "places": [{"place": n, **_place(ordered, n)} for n in range(1, len(ordered.places) + 1)],
        "undone": [_undone(u) for u in ordered.undone],
        "front": [_brief(p, ordered) for p in ordered.front.plans],
        "alternatives": [_alternative(a) for a in answer.alternatives],
    }


def _figures(plan: Plan | None) -> Json:
    if plan is None:
        return {"moves": None, "shunts": None, "elapsed_min": None}
    return {"moves": plan.moves, "shunts": plan.shunts, "elapsed_min": list(minutes(plan.elapsed_s))}


def _step(told: Told, answer: PlanAnswer) -> Json:
    step, ordered = told.step, answer.ordered
    done = None if step.operation is None or step.choice is None else answer.stances.get((step.operation, step.choice))
    path = None
    if step.move is not None:
        found = ordered.paths.get((step.move.start, step.move.goal, step.move.driven))
        path = None if found is None else of_way(found).to_json()
    return {
        "what": told.what,
        "kind": step.kind,
        "operation": None if step.operation is None else ordered.problem.operations[step.operation].name,
        "start_min": list(minutes(step.start_s)),
        "end_min": list(minutes(step.end_s)),
        "carried_by": None if step.stand.place == OUTSIDE else step.stand.carried_by,
        "height_m": step.stand.height_m,
        "place": None if step.stand.place == OUTSIDE else step.stand.place,
        "stance": _stance(step.stand, ordered),
        "margin_m": None if done is None or done.margin_m is None else _round(done.margin_m),
        "variant": None if step.choice is None else step.choice.variant,
        "people": list(told.people),
        "equipment": sorted({f.equipment for f in step.fittings})
        or sorted({f.equipment for f in step.choice.fittings} if step.choice is not None else set()),
        "because": list(told.because),
        "path": path,
    }


def _stance(stand: Stand, ordered: Ordered) -> Json | None:
    return None if stand.place == OUTSIDE else _place(ordered, stand.place)


def _place(ordered: Ordered, number: int) -> Json:
    place = ordered.places[number - 1].place
    return {"x_m": _round(place.x_m), "y_m": _round(place.y_m), "heading_deg": _round(place.heading_deg)}


def _brief(plan: Plan, ordered: Ordered) -> Json:
    order = [ordered.problem.operations[turn.operation].name for turn in plan.order]
    return {**_figures(plan), "order": order, "doors_open": list(plan.doors_open)}


def _undone(undone: Undone) -> Json:
    sent = undone.sent_out
    return {
        "procedure": undone.draft.name,
        "what": undone.draft.what,
        "because": list(undone_words(undone)),
        "sent_out": None
        if sent is None
        else {
            "minutes": [_round(s / 60) for s in sent.minutes_s],
            "price": list(sent.price),
            "currency": sent.currency,
        },
    }


def _alternative(alternative: Alternative) -> Json:
    ordered = alternative.ordered
    return {
        "name": alternative.name,
        "what": alternative.what,
        **_figures(ordered.plan),
        "proven": ordered.front.proven,
        "undone": [u.draft.name for u in ordered.undone],
        "doors_open": [] if ordered.plan is None else list(ordered.plan.doors_open),
    }


def _round(value: float) -> float:
    return round(value, 9) + 0.0
