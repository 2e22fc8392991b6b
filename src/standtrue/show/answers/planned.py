"""A plan that was handed over, read again from the record."""

from __future__ import annotations

import math
from datetime import datetime

from standtrue.model.basics import Place
from standtrue.show.answers.car_kept import writing
from standtrue.show.answers.handed import HandedToAnswer, of_handed
from standtrue.show.answers.kept import read_again, said_of
from standtrue.show.answers.parts import StanceShape
from standtrue.show.answers.plan import PlanShape, PlanStepShape, of_plan
from standtrue.work.orders.planned import Entries, Moments, Planned, PlannedStep, Writing


def handing_over(job: str, demonstration: bool) -> Writing:
    """How a plan that is handed over is written down."""
    return Writing(
        lambda answer: said_of(of_plan(answer)),
        lambda handed: said_of(of_handed(handed)),
        writing(job, demonstration),
    )


def planned_of(entries: Entries) -> Planned | None:
    """The plan that was handed over last, as the record has it; None where there is none that this release reads."""
    if entries.plan is None or entries.handed is None:
        return None
    plan, handed = (read_again(e.entry.kind, e.entry.shape, e.content or b"") for e in (entries.plan, entries.handed))
    if not isinstance(plan, PlanShape) or not isinstance(handed, HandedToAnswer):
        return None
    ready = None if plan.ready is None else _moments((plan.ready.earliest, plan.ready.latest))
    return Planned(
        handed.to,
        entries.handed.entry.who,
        entries.handed.entry.at,
        tuple(map(_step, plan.steps)),
        ready,
        tuple(one.procedure for one in plan.undone),
        entries.changed,
    )


def _step(step: PlanStepShape) -> PlannedStep:
    return PlannedStep(
        step.kind,
        step.operation,
        None if step.starts is None else _moments(step.starts),
        None if step.ends is None else _moments(step.ends),
        tuple(step.people),
        None if step.stance is None else _place(step.stance),
        step.carried_by or "",
    )


def _place(stance: StanceShape) -> Place:
    return Place(stance.x_m, stance.y_m, math.radians(stance.heading_deg))


def _moments(written: tuple[str, str]) -> Moments:
    return datetime.fromisoformat(written[0]), datetime.fromisoformat(written[1])
