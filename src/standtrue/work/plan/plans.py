"""The whole order of one job: needs, work, places, lifts and moves put together into proven plans."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from threading import Event
from time import monotonic

from attrs import evolve

from standtrue.model.asking import Asking, Progress
from standtrue.model.basics import DocumentMark
from standtrue.model.basis import basis_of
from standtrue.model.cautions import Fact, propulsion_facts
from standtrue.model.job import Job
from standtrue.model.level import IsLevel
from standtrue.model.reason import Duration, Reason, Ref, Speed, Term, because
from standtrue.model.shop import Shop
from standtrue.place.question.claims import missing_anchors
from standtrue.work.ask import UnansweredError
from standtrue.work.card_notes import equipment_notes
from standtrue.work.caution_facts import answer_facts, card_facts
from standtrue.work.needs.jobs import Needs, find_job_needs
from standtrue.work.plan.alternatives import Other, Others, gathered, later, places_in_bays
from standtrue.work.plan.answer import AS_PLANNED, Alternative, PlanAnswer
from standtrue.work.plan.clock import clock_of
from standtrue.work.plan.confirm import Stances, confirm
from standtrue.work.plan.elsewhere import with_others
from standtrue.work.plan.floors import find_floors
from standtrue.work.plan.from_here import begun_notes, from_here, late_calls
from standtrue.work.plan.moves import GUIDED, PUSHING, Paths
from standtrue.work.plan.operations import Draft
from standtrue.work.plan.ordered import Ordered
from standtrue.work.plan.question import JobQuestion
from standtrue.work.plan.stances import TRAVEL_S

BUDGET_S, BUDGET = 20.0, 2.0
"""What all alternatives together may take: so many seconds, or so many times what the plan itself took."""


def find_plan(shop: Shop, job: Job, *, alternatives: bool = True, asking: Asking = Asking()) -> PlanAnswer:
    """The order of a job in its site, proven for the places and moves found, and what else could be done.

    Stopped early: the best so far. Raises UnansweredError if a card measures from something that the car's document
    does not place.
    """
    needs = find_job_needs(shop, job)
    site = shop.sites[job.site]
    faults = [f for card in needs.cards if card.needs_space for f in missing_anchors(card, needs.vehicle)]
    if faults:
        raise UnansweredError(dict.fromkeys(faults))
    begun = from_here(needs, site, late_calls(shop, job))
    drafts = tuple(_held_up(draft, job) for draft in begun.drafts)
    if job.drivable in {one.what for one in begun.done}:
        needs = evolve(needs, job=evolve(job, drivable="yes"))
    floors = find_floors(shop, site, needs, begun.cards, asking)
    question = JobQuestion(needs, site, drafts, Paths(site, needs.vehicle), floors, asking, clock_of(site, job), begun)
    ordered, others, limits = _worked_out(question, alternatives)
    return _told(question, shop.touched, ordered, others, limits)


def _held_up(draft: Draft, job: Job) -> Draft:
    """An operation, ruled out where it waits for a part or is sent out."""
    waiting = next((one for one in job.waits if one.what == draft.name), None)
    if waiting is None:
        return draft
    return evolve(draft, ruled_out_by=(because("is-sent-out" if waiting.kind == "sent out" else "waits-for-a-part"),))


def tell_otherwise(answer: PlanAnswer, chosen: Alternative) -> PlanAnswer:
    """The same answer with one of its alternatives as the plan; what was planned first is then one of the others."""
    planned = Alternative(AS_PLANNED, answer.ordered)
    others = [planned, *(a for a in answer.alternatives if a is not chosen)]
    ordered = answer.question.reasoned(chosen.ordered)
    told = _told(answer.question, answer.basis.marks, ordered, others, answer.left_out)
    return evolve(told, otherwise=chosen)


def _worked_out(question: JobQuestion, alternatives: bool) -> tuple[Ordered, list[Alternative], list[Reason]]:
    """The plan, its alternatives, and why some of these are left out.

    The places of all bays are candidates of the plan, too. Should a bay alone still be better in everything, then what
    is done there is the plan. Alternatives share one budget of time, so that they never hold the plan up for long. What
    would make room is asked beside them.
    """
    asking, stop, begun = question.asking, Event(), monotonic()
    with ThreadPoolExecutor(max_workers=asking.workers) as pool:
        try:
            places = places_in_bays(question, pool)
            own = question.candidates()
            candidates = own.pooled(there for f in places.values() if f.exception() is None and (there := f.result()))
            ordered = question.answer(candidates)
            more = with_others(question, candidates, ordered)
            if more is not candidates:
                candidates, ordered = more, question.answer(more)
            _tell_best(ordered, asking)
            until = monotonic() + max(BUDGET_S, BUDGET * (monotonic() - begun))
            aside = evolve(question, asking=asking.until(lambda: stop.is_set() or monotonic() > until))
            others, asked = Others(aside, pool), list[Other]()
            if alternatives:
                asked = [*others.in_bays(places), *others.of(candidates, ordered)]
            planned = ordered
            told = later(pool, asking, lambda: question.reasoned(planned))
            found, left_out = gathered(asked)
            if alternatives and aside.asking.stopped():
                found = [a for a in found if a.ordered.front.proven]
                left_out.append(because("alternatives-stopped" if asking.stopped() else "alternatives-out-of-time"))
        finally:
            # Whatever goes wrong here, nothing goes on beside it.
            stop.set()
    while better := [a for a in found if a.change.code == "only-in-bay" and a.ordered.beats(ordered)]:
        ordered = better[0].ordered
        found.remove(better[0])
    helped = told.result() if ordered is planned else None
    return helped or question.reasoned(ordered), found, left_out


def _tell_best(ordered: Ordered, asking: Asking) -> None:
    """What an early stop would give from now on, while alternatives are looked for."""
    if ordered.plan is not None:
        quick, slow = Duration(ordered.plan.elapsed_s[0]), Duration(ordered.plan.elapsed_s[2])
        best = because("plan-so-far", quick=quick, slow=slow, moves=ordered.plan.moves)
        asking.tell(Progress(because("looking-for-alternatives"), best=best))


def _told(
    question: JobQuestion,
    marks: Sequence[DocumentMark],
    ordered: Ordered,
    others: Sequence[Alternative],
    left_out: Sequence[Reason],
) -> PlanAnswer:
    """The answer, every stance of it measured again."""
    needs, site, ordered = question.needs, question.site, ordered.crewed()
    orders = [plan.order for plan in ordered.front.plans]
    stances = confirm(site, needs.vehicle, question.cards, ordered.problem, ordered.places, orders, question.floors)
    limits = (*(() if ordered.front.proven else (because("order-not-proven"),)), *left_out)
    own = basis_of(marks, _facts(needs, ordered, stances), _warnings(question, ordered, stances), limits)
    found = None if ordered.plan is None else ordered.timed(ordered.plan)
    return PlanAnswer(question, ordered, stances, tuple(others), own, tuple(left_out), timed=found)


def _facts(needs: Needs, ordered: Ordered, stances: Stances) -> Iterator[Fact]:
    """What the plan calls for: the cards, the car, its stances, and its moves."""
    yield from card_facts(needs.cards)
    yield from propulsion_facts(needs.vehicle.propulsion)
    for answer in stances.values():
        yield from answer_facts(answer)
    moves = [s.move for plan in ordered.front.plans for s in plan.steps if s.move is not None]
    if moves:
        yield Fact.CAR_MOVES
    if any(not m.driven for m in moves):
        yield Fact.CAR_PUSHED


def _warnings(question: JobQuestion, ordered: Ordered, stances: Stances) -> Iterator[Reason]:
    needs, site = question.needs, question.site
    yield from needs.basis.warnings
    yield from question.floors.notes
    yield from begun_notes(needs.job, question.begun)
    yield from needs.vehicle.notes
    yield from equipment_notes(needs.cards, (site,))
    done = {operation.name for operation in ordered.problem.operations}
    yield from (note for d in question.drafts if d.name in done for note in d.notes)
    posted = any(o.kind == "scan" and o.stage == "post-scan" for o in ordered.problem.operations)
    if ordered.undone and posted:
        yield because("post-scan-again")
    carriers = {s.stand.carrier for p in ordered.front.plans for s in p.steps}
    used = {c.lift for c in carriers if c.height_m > 0.0}
    for placed in site.lifts:
        if placed.name in used and placed.lift.travel_s is None:
            least, most = map(Duration, TRAVEL_S)
            yield because("lift-travel-assumed", lift=Ref("lift", placed.name), least=least, most=most)
    if not site.doors:
        yield because("no-door-to-plan")
    if not site.lists_people:
        yield because("no-people-listed")
    if site.pace.guide and len(site.people) == 1:
        yield because("too-few-to-guide", needed=GUIDED, listed=1)
    if any(s.move is not None and not s.move.driven for p in ordered.front.plans for s in p.steps):
        slow, fast = (min(push, drive) for push, drive in zip(site.pace.push_mps, site.pace.drive_mps, strict=True))
        yield because("pushing-counted", people=PUSHING, slow=Speed(slow), fast=Speed(fast))
        if 0 < len(site.people) < PUSHING:
            yield because("too-few-to-push", needed=PUSHING, listed=len(site.people))
    for answer in stances.values():
        support = Term(answer.support)
        yield from (because("seen-at-stance", card=answer.name, support=support, seen=s) for s in answer.in_view)
        if answer.level is not None and answer.level.level is not IsLevel.MET:
            yield from (
                because("level-of-card", card=answer.name, support=support, why=w) for w in answer.level.because
            )
    for path in ordered.paths.values():
        yield from path.warnings
