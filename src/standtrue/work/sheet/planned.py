"""A job's plan as its sheet needs it: where each card runs, and a set-up's stance by the plan."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from attrs import evolve, frozen

from standtrue.model.basics import Place
from standtrue.model.job import Job
from standtrue.model.procedure import Procedure
from standtrue.model.setup import Setup
from standtrue.model.shop import Shop
from standtrue.place.question.answer import Answer
from standtrue.work.needs.jobs import find_job_needs
from standtrue.work.plan.answer import PlanAnswer
from standtrue.work.plan.operations import draft_operations

AS_TYPED_M, AS_TYPED_RAD = 2e-3, math.radians(0.05)
"""A set-up's stance nearer to the plan's than this is the same, typed in by hand."""


@frozen(eq=False)
class PlannedCard:
    """A card, where the plan has it run, and the number of its step there."""

    card: Procedure
    answer: Answer
    step: int
    place: int
    variant: str | None


def worth_a_plan(folder: Shop, job: Job) -> bool:
    """Whether the job has more than one step that needs a place: with one, there is no order to speak of."""
    drafts = draft_operations(find_job_needs(folder, job), folder.sites[job.site])
    return sum(d.card is not None for d in drafts) > 1


def planned_cards(answer: PlanAnswer, cards: Iterable[Procedure]) -> Iterator[PlannedCard]:
    """Those of the cards that the plan gives a place, in its order."""
    by_key = {card.key: card for card in cards}
    operations = answer.ordered.problem.operations
    for number, step in enumerate(() if answer.plan is None else answer.plan.steps, start=1):
        if step.operation is None or step.choice is None or step.kind == "wait":
            continue
        card = by_key.get(operations[step.operation].name)
        stance = answer.stances.get((step.operation, step.choice))
        if card is not None and stance is not None:
            yield PlannedCard(card, stance, number, step.stand.place, step.choice.variant)


def steps_without_place(answer: PlanAnswer, card: Procedure) -> tuple[int, ...]:
    """The steps in which a card runs without a place of its own: on the road, or wherever the car is."""
    names = (card.key, f"{card.key} (drive)")
    operations = answer.ordered.problem.operations
    return tuple(
        number
        for number, step in enumerate(() if answer.plan is None else answer.plan.steps, start=1)
        if step.operation is not None
        and step.kind not in ("wait", "sent out")
        and operations[step.operation].name in names
        and (step.operation, step.choice) not in answer.stances
    )


def at_plan(setup: Setup, planned: PlannedCard) -> Setup:
    """A set-up at the stance of the plan: its instruments and its alignment, and where the plan has the car."""
    answer = planned.answer
    assert answer.place is not None
    return evolve(
        setup, place=answer.place, on=answer.carried_by, height_m=answer.height_m, variant=planned.variant
    )  # fmt: skip


def agrees(setup: Setup, planned: Setup) -> bool:
    """Whether a set-up has the car where the plan does."""
    same = (setup.on, setup.variant) == (planned.on, planned.variant)
    return same and _near(setup.place, planned.place) and abs(setup.height_m - planned.height_m) <= AS_TYPED_M


def _near(one: Place, other: Place) -> bool:
    turn = abs(math.remainder(one.heading_rad - other.heading_rad, math.tau))
    return math.dist((one.x_m, one.y_m), (other.x_m, other.y_m)) <= AS_TYPED_M and turn <= AS_TYPED_RAD
