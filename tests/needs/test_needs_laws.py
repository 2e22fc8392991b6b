"""Laws of the needs engine on random jobs, and an independent naive restatement of what each sensor comes to."""

from __future__ import annotations

from collections.abc import Sequence

import needs_makers as make
from attrs import evolve
from hypothesis import given, settings
from hypothesis import strategies as st

from standtrue.documents import default_rules
from standtrue.model.basics import Side
from standtrue.model.job import Event, Job
from standtrue.model.procedure import Procedure
from standtrue.model.rules import EVENTS, WHERES, Rule, Rules
from standtrue.model.sensor_kinds import SENSOR_KINDS
from standtrue.model.vehicle import Sensor, Vehicle
from standtrue.needs import NeedsAnswer, find_needs, order_of_work
from standtrue.show.answers.needs import of_each_need

law = settings(derandomize=True, deadline=None, max_examples=150)
Touched = set[tuple[str, Side | None, str]]

# How the small world's event parts meet its rule parts: "sure", or in "doubt"; what is not here does not meet.
PART_TABLE = {
    ("front radar", "front radar"): "sure",
    ("front radar", "radar"): "doubt",
    ("front corner radar", "radar"): "doubt",
    ("front corner radar", "front corner radar"): "sure",
    ("bracket", "left bracket"): "sure",
    ("bracket", "bracket"): "sure",
    ("left bracket", "left bracket"): "sure",
    ("left bracket", "bracket"): "doubt",
}
SENSOR_PARTS = ("front radar", "front corner radar")
SERVED = (
    ("*",),
    ("Heron wagon",),
    ("Northlake 2020",),
)  # of the small world's `vehicles` lists, those that fit its car


def naive(job: Job, vehicle: Vehicle, rules: Sequence[Rules]) -> Touched:
    """What each sensor comes to without a person's decisions, restated case by case; shares no code with the engine."""
    found: Touched = set()
    for (kind, side), certain in naive_fitted(job, vehicle).items():
        marks = [mark for event in job.events for mark in naive_of_event(event, rules, kind, side)]
        if marks:
            found.add((kind, side, "required" if certain and "required" in marks else "conditional"))
    return found


def naive_fitted(job: Job, vehicle: Vehicle) -> dict[tuple[str, Side | None], bool]:
    """The sensors the car has or may have, and whether that is certain."""
    state: dict[tuple[str, Side | None], bool] = {}
    for kind in make.KINDS:
        said = [s.side for s in job.fitted if s.kind == kind]
        denied = [s.side for s in job.not_fitted if s.kind == kind]
        known = [s for s in vehicle.sensors if s.kind == kind]
        for side in make.SIDES:
            mine = [s for s in known if s.side == side]
            if mine:
                yes = 2 if side in said else 1 if (None in said or (side is None and said)) else 0
                no = 2 if side in denied else 1 if None in denied else 0
                if no <= yes:
                    state[kind, side] = yes > 0 or any(s.option is None for s in mine)
            elif (side is None and said and set(said) == {None} and not known) or (
                side is not None and side in said and all(s.side is not None for s in known)
            ):
                state[kind, side] = True
    return state


ENDS = {
    "forward camera": ("front",),
    "front radar": ("front",),
    "front corner radar": ("front",),
    "rear corner radar": ("rear",),
}
"""Where the small world's sensors sit; the steering-angle sensor may be anywhere."""


def naive_of_event(event: Event, rules: Sequence[Rules], kind: str, side: Side | None) -> list[str]:
    """What one event makes of one sensor: by the rules, or because the order names it, or because no rule knows it."""
    marks = naive_marks(event, rules, kind, side)
    if marks:
        return marks
    known = [rule for book in rules for rule in book.rules if rule.event == event.event]
    silent = not any(naive_marks(event, rules, k, s) for k in make.KINDS for s in make.SIDES)
    named = event.part in SENSOR_PARTS
    if named and kind == event.part and (side is None or naive_side(event) in (None, side)):
        return ["conditional"]
    if not silent or (named and known):
        return []
    if event.where is None:
        return ["conditional"]
    if event.where in ("left", "right"):
        return ["conditional"] if side in (None, event.where) else []
    return ["conditional"] if event.where in ENDS.get(kind, (event.where,)) else []


def naive_marks(event: Event, rules: Sequence[Rules], kind: str, side: Side | None) -> list[str]:
    """What each rule that an event fires makes of one sensor."""
    mine = [rule for book in rules for rule in book.rules if rule.event == event.event and rule.vehicles in SERVED]
    placed = [(rule, naive_where(rule, event)) for rule in mine if naive_where(rule, event) != "no"]
    fired = [(rule, where, naive_part(rule, event)) for rule, where in placed if naive_part(rule, event) != "no"]
    if not any(rule.part for rule, _, _ in fired):
        strange = [(rule, where) for rule, where in placed if naive_part(rule, event) == "no"]
        both = event.part in SENSOR_PARTS
        fired += [(rule, where, "doubt") for rule, where in strange if not (both and rule.part in SENSOR_PARTS)]
    marks: list[str] = []
    for rule, where, part in fired:
        for call in rule.calibrate:
            if call.sensor != kind or (call.side and side and call.side != side):
                continue
            near = naive_side(event)
            other = near is not None and side is not None and near != side
            settled = rule.where in ("left", "right") and call.side is not None
            sure = where == part == "sure" and (settled or not other)
            marks.append(rule.how if sure else "conditional")
    return marks


def naive_side(event: Event) -> str | None:
    if event.where in ("left", "right"):
        return event.where
    return "left" if "left" in (event.part or "") else None


def naive_where(rule: Rule, event: Event) -> str:
    if rule.where is None or rule.where == event.where or rule.where == naive_side(event):
        return "sure"
    if event.where is not None or (naive_side(event) and rule.where in ("left", "right")):
        return "no"
    return "doubt"


def naive_part(rule: Rule, event: Event) -> str:
    if rule.part is None:
        return "sure"
    if event.part in (None, "left"):
        return "doubt"
    return PART_TABLE.get((rule.part, event.part), "no")


def touched(answer: NeedsAnswer) -> Touched:
    return {(need.sensor, need.side, need.how) for need in answer.needs}


@settings(law, max_examples=500)
@given(make.jobs, make.cars, make.rule_books)
def test_agrees_with_the_naive_restatement(job: Job, vehicle: Vehicle, rules: Sequence[Rules]) -> None:
    job = evolve(job, decisions=())
    assert touched(find_needs(job, vehicle, (), rules)) == naive(job, vehicle, rules)


@law
@given(make.jobs, make.cars, make.decks, make.rule_books)
def test_decisions_and_cards_never_lose_a_need(
    job: Job, vehicle: Vehicle, cards: list[Procedure], rules: Sequence[Rules]
) -> None:
    with_decisions = find_needs(job, vehicle, cards, rules)
    without = find_needs(evolve(job, decisions=()), vehicle, (), rules)
    assert touched(without) <= touched(with_decisions)
    kept = [need for need in with_decisions.needs if not need.dropped]
    assert all(need.order > 0 for need in kept)
    assert all(need.order == 0 for need in with_decisions.needs if need.dropped)


@law
@given(make.jobs, make.cars, make.decks, make.rule_books, make.some_events)
def test_one_more_event_never_removes_or_weakens_a_need(
    job: Job, vehicle: Vehicle, cards: list[Procedure], rules: Sequence[Rules], event: Event
) -> None:
    before = make.hows(find_needs(job, vehicle, cards, rules))
    after = make.hows(find_needs(evolve(job, events=(*job.events, event)), vehicle, cards, rules))
    assert all(key in after and (how == "conditional" or after[key] == "required") for key, how in before.items())


@law
@given(make.jobs, make.cars, make.decks, make.rule_books)
def test_the_same_documents_give_the_same_answer_in_whatever_order_cards_and_sensors_come(
    job: Job, vehicle: Vehicle, cards: list[Procedure], rules: Sequence[Rules]
) -> None:
    answer = find_needs(job, vehicle, cards, rules)
    shuffled = find_needs(job, evolve(vehicle, sensors=vehicle.sensors[::-1]), cards[::-1], rules)
    assert of_each_need(answer.needs) == of_each_need(shuffled.needs)
    assert answer.needs == find_needs(job, vehicle, cards, rules).needs


@law
@given(make.jobs, make.cars, make.decks, make.rule_books)
def test_the_order_of_work_holds_every_step_once_and_keeps_what_must_come_first(
    job: Job, vehicle: Vehicle, cards: list[Procedure], rules: Sequence[Rules]
) -> None:
    answer = find_needs(job, vehicle, cards, rules)
    steps = order_of_work(answer, job)
    assert [step.order for step in steps] == list(range(1, len(steps) + 1))
    assert steps[0].name == "pre-scan"
    assert steps[-1].name == "post-scan"
    assert {work.name for work in job.work} <= {step.name for step in steps}
    for need in answer.needs:
        own = [step for step in steps if (step.sensor, step.side) == (need.sensor, need.side)]
        assert [step.order for step in own][:1] == ([] if need.dropped else [need.order])
        names = [step.name for step in own if step.name]
        assert list(dict.fromkeys(names)) == ([] if need.dropped else list(need.chain))
    if not any("circle" in warning.code for warning in answer.warnings):
        assert_named_steps_come_first(answer, job, cards)


def assert_named_steps_come_first(answer: NeedsAnswer, job: Job, cards: Sequence[Procedure]) -> None:
    """What operations and cards name under `after`, where it is a step of this job, stands before them."""
    steps = order_of_work(answer, job)
    by_key = {made.key: made for made in cards}
    last = {step.name: step.order for step in steps if step.name}
    first = {step.name: step.order for step in reversed(steps) if step.name}
    afters = [(work.name, work.after) for work in job.work]
    afters += [(key, by_key[key].after) for need in answer.needs if not need.dropped for key in need.chain]
    for name, after in afters:
        for other in after:
            called = [n for n in last if n == other or (n in by_key and by_key[n].name == other)]
            assert all(n == name or last[n] < first[name] for n in called)


@law
@given(
    st.builds(Event, event=st.sampled_from(EVENTS), where=st.sampled_from((None, *WHERES))),
    st.sampled_from(SENSOR_KINDS),
    st.sampled_from(("left", "right", None)),
)
def test_a_fitted_sensor_that_the_default_table_touches_always_appears(
    event: Event, kind: str, side: Side | None
) -> None:
    answer = find_needs(make.order(event), make.car(Sensor(kind, side)), (), (default_rules(),))
    calling = [
        rule
        for rule in default_rules().rules
        if rule.event == event.event and rule.calibrate[0].sensor == kind and rule.where in (None, event.where)
    ]
    reached = [rule for rule in calling if rule.calibrate[0].side in (None, side) or side is None]
    if reached:
        need = make.need_of(answer, kind, side)
        assert {rule.because for rule in reached} <= {cause.because for cause in need.causes}
