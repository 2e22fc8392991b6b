"""The whole order of one job: needs, work, places, lifts and moves put together into proven plans."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from concurrent.futures import ThreadPoolExecutor
from threading import Event

from attrs import evolve

from standtrue.model.cautions import CAUTIONS, Caution, Fact, propulsion_facts
from standtrue.model.job import Job
from standtrue.model.reason import Note
from standtrue.model.shop import Shop
from standtrue.place.question.claims import missing_anchors
from standtrue.work.ask import UnansweredError, pick
from standtrue.work.needs.jobs import Needs, find_job_needs
from standtrue.work.plan.answer import Alternative, Ordered, PlanAnswer
from standtrue.work.plan.asking import Asked, Progress
from standtrue.work.plan.confirm import Stances, confirm
from standtrue.work.plan.floors import find_floors
from standtrue.work.plan.moves import Paths
from standtrue.work.plan.operations import draft_operations
from standtrue.work.plan.stances import TRAVEL_S
from standtrue.work.used import answer_facts, card_facts, cautions, marks_of

AS_PLANNED = "as planned first"

STOPPED_NOTE = "the search was stopped: not all alternatives were worked out"


def find_plan(
    folder: Shop,
    job: Job,
    *,
    alternatives: bool = True,
    otherwise: str | None = None,
    progress: Progress | None = None,
) -> PlanAnswer:
    """The order of a job in its site, proven for the places and moves found, and what else could be done.

    `otherwise` names the alternative to tell instead, as the whole answer.

    Raises UnansweredError if a card measures from something that the car's document does not place, or if there is no
    such alternative.
    """
    needs = find_job_needs(folder, job)
    site = folder.sites[job.site]
    faults = [f for card in needs.cards if card.needs_space for f in missing_anchors(card, needs.vehicle)]
    if faults:
        raise UnansweredError(dict.fromkeys(faults))
    drafts = draft_operations(needs, site)
    floors = find_floors(folder, site, needs, [d.card for d in drafts if d.card is not None])
    asked = Asked(needs, site, drafts, Paths(site, needs.vehicle), floors, progress)
    others: list[Alternative] = []
    stop = Event()
    aside = evolve(asked, progress=None if progress is None else _until(stop, progress))
    with ThreadPoolExecutor(max_workers=os.cpu_count() or 1) as pool:
        alternatives = alternatives or otherwise is not None
        bays = [pool.submit(aside.in_bay, b.name) for b in site.bays if alternatives]
        candidates = asked.candidates()
        ordered = asked.reasoned(asked.answer(candidates))
        if not ordered.front.proven:
            stop.set()
        more = aside.alternatives(candidates, ordered) if alternatives and not stop.is_set() else []
        try:
            for future in [*bays, *(pool.submit(one) for one in more)]:
                others.extend(future.result())
        except KeyboardInterrupt:
            stop.set()
            pool.shutdown(cancel_futures=True)
    if stop.is_set():
        others = [a for a in others if a.ordered.front.proven]
    marks = tuple(dict.fromkeys([*needs.marks, *marks_of(folder, sites=[site], surveys=floors.surveys)]))
    chosen = None
    if otherwise is not None and (not stop.is_set() or otherwise in {a.name for a in others}):
        chosen = pick("alternative", otherwise, {a.name: a for a in others}, "--otherwise")
        planned = Alternative(AS_PLANNED, "one thing after another, in any bay of the shop as it is", ordered)
        others, ordered = [planned, *(a for a in others if a is not chosen)], asked.reasoned(chosen.ordered)
    orders = [plan.order for plan in ordered.front.plans]
    stances = confirm(site, needs.vehicle, asked.cards, ordered.problem, ordered.places, orders, floors.uneven)
    told = cautions(_facts(needs, ordered, stances), marks)
    notes = [*_warnings(asked, ordered, stances), *([STOPPED_NOTE] if stop.is_set() and alternatives else [])]
    answered = tuple(others), marks, tuple(notes), _in_order(told, needs)
    return PlanAnswer(needs, site, ordered, stances, *answered, otherwise=chosen)


def _until(stop: Event, progress: Progress) -> Progress:
    """Progress of what is worked out aside: interrupted, it interrupts all that is, and not the plan itself."""

    def tell(what: str, done: int, of: int) -> None:
        if stop.is_set():
            raise KeyboardInterrupt
        try:
            progress(what, done, of)
        except KeyboardInterrupt:
            stop.set()
            raise

    return tell


def _facts(needs: Needs, ordered: Ordered, stances: Stances) -> Iterator[frozenset[Fact]]:
    """What the plan calls for: the cards, the car, its stances, and its moves."""
    yield card_facts(needs.cards)
    yield propulsion_facts(needs.vehicle.propulsion)
    yield from (answer_facts(a) for a in stances.values())
    moves = [s.move for plan in ordered.front.plans for s in plan.steps if s.move is not None]
    yield frozenset({Fact.CAR_MOVES} if moves else ())
    yield frozenset({Fact.CAR_PUSHED} if any(not m.driven for m in moves) else ())


def _in_order(told: Iterable[Caution], needs: Needs) -> tuple[Caution, ...]:
    known = {*told, *needs.cautions}
    return tuple(c for c in CAUTIONS if c in known)


def _warnings(asked: Asked, ordered: Ordered, stances: Stances) -> Iterator[Note]:
    notes = [*asked.needs.warnings, *asked.floors.notes]
    if asked.needs.vehicle.estimated:
        notes.append(
            f"vehicle {asked.needs.vehicle.name}: estimated, not measured: {', '.join(asked.needs.vehicle.estimated)}"
        )
    done = {operation.name for operation in ordered.problem.operations}
    notes += [note for d in asked.drafts if d.name in done for note in d.notes]
    used = {s.stand.carried_by.partition("/")[0] for p in ordered.front.plans for s in p.steps if s.stand.height_m > 0}
    for placed in asked.site.lifts:
        if placed.name in used and placed.lift.travel_s is None:
            low, high = TRAVEL_S
            notes.append(f"{placed.name}: {low:.0f} to {high:.0f} s of travel assumed (common practice)")
    if not asked.site.doors:
        notes.append("the site has no door: how the car comes in and leaves is not planned")
    if not asked.site.people:
        notes.append("the site lists no people: whoever it takes is taken to be there")
    notes += [f"{a.name} ({a.support}): {seen}" for a in stances.values() for seen in a.in_view]
    notes += [w for path in ordered.paths.values() for w in path.warnings]
    if not ordered.front.proven:
        notes.append("the search was stopped: the plan can be done, but is not proven to be the best")
    yield from dict.fromkeys(notes)
