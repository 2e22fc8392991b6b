"""A job's steps as they are handed to whoever works at the car: all of the order of work that is needed there."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from attrs import field, frozen

from standtrue.drive.question.answer import Answer as Way
from standtrue.model.basics import Place
from standtrue.model.job import Done
from standtrue.model.order import OUTSIDE, Step, StepKind, Title
from standtrue.model.reason import Reason, Ref, Term
from standtrue.model.stance import written
from standtrue.work.plan.answer import PlanAnswer

CHANGE_TAKEN = "planned-with-change"
"""The code of the reason that a plan takes a change of the room to be made."""

MOST_POSES = 24
"""So many poses of a leg are kept: enough to draw its line."""


@frozen
class Leg:
    """A stretch of one gear and one curvature, as in `drive`; `way` is the line of the rear axle's middle."""

    gear: str
    length_m: float
    curvature_per_m: float
    full_lock: bool
    way: tuple[Place, ...]


@frozen
class CarStep:
    """One step of the order of work. `key` tells it from every other, of this order and of those before it.

    `called` is what it is called: a kind (`card`, `work`, `term`, `drive` of a card, or "") and a name. `place` is
    where the car stands at its end, on what `on` says; None: outside. `nearest` is what a move comes nearest to, as
    kind and name, with the room left; `span_s` is what the step takes. `change`: what of the room must be changed
    before anything else, since the plan takes it to be so.
    """

    key: str
    number: int
    kind: StepKind
    called: tuple[str, str] = ("", "")
    operation: str = ""
    team: tuple[str, ...] = ()
    place: Place | None = None
    on: str = "floor"
    height_m: float = 0.0
    variant: str | None = None
    doors_open: tuple[str, ...] = ()
    equipment: tuple[str, ...] = ()
    legs: tuple[Leg, ...] = ()
    driven: bool = True
    nearest: tuple[str, str, float] | None = None
    change: Reason | None = None
    span_s: tuple[float, float] = (0.0, 0.0)

    @property
    def card(self) -> str:
        """The key of the card that the step works by, where the car stands for it; "" for none."""
        return self.called[1] if self.kind == "calibration" and self.called[0] == "card" else ""


@frozen
class Handed:
    """An order of work as it was handed over. `number` counts those of the job from 1: the last is worked by.

    `done` is what was done before it, and is not in it.
    """

    number: int
    by: str
    at: str
    steps: tuple[CarStep, ...]
    done: tuple[Done, ...] = field(factory=tuple)


def handed_of(answer: PlanAnswer, number: int, by: str, at: str) -> Handed:
    """The plan of an answer as it is handed over: what it takes to be changed in the room comes first.

    Raises ValueError where there is none.
    """
    if answer.plan is None:
        raise ValueError("nothing to hand over")
    changes = [reason for reason in answer.basis.warnings if reason.code == CHANGE_TAKEN]
    first = [CarStep(f"{number}.{n}", n, "confirm", change=told) for n, told in enumerate(changes, start=1)]
    numbered = enumerate(answer.plan.steps, start=1 + len(first))
    steps = (*first, *(_step(answer, step, f"{number}.{n}", n) for n, step in numbered))
    return Handed(number, by, at, steps, answer.question.begun.done)


def _step(answer: PlanAnswer, step: Step, key: str, number: int) -> CarStep:
    ordered = answer.ordered
    operation = None if step.operation is None else ordered.problem.operations[step.operation]
    place = None if step.stand.place == OUTSIDE else ordered.places[step.stand.place - 1].place
    way = None
    if step.move is not None:
        way = ordered.paths.get((step.move.start, step.move.goal, step.move.driven))
    near = None if way is None else way.nearest
    return CarStep(
        key=key,
        number=number,
        kind=step.kind,
        called=("", "") if operation is None else _called(operation.title),
        operation="" if operation is None else operation.name,
        team=step.team,
        place=place,
        on=written(step.stand.carrier),
        height_m=step.stand.carrier.height_m,
        variant=None if step.choice is None else step.choice.variant,
        doors_open=() if step.choice is None else step.choice.doors_open,
        equipment=tuple(fitting.equipment for fitting in step.fittings),
        legs=() if way is None else tuple(_legs(way)),
        driven=step.move is None or step.move.driven,
        nearest=None if near is None else (near.thing.kind, near.thing.name, near.separation_m),
        span_s=(step.end_s[0] - step.start_s[0], step.end_s[2] - step.start_s[2]),
    )


def _called(title: Title) -> tuple[str, str]:
    if isinstance(title, Ref):
        return title.kind, title.name
    if isinstance(title, Term):
        return "term", title.word
    card = title["card"]
    return "drive", card.name if isinstance(card, Ref) else ""


def _legs(way: Way) -> Iterator[Leg]:
    """Each leg with its own part of the way, thinned out."""
    ends = (*way.leg_at, len(way.poses) - 1)
    for leg, (first, last) in zip(way.legs, pairwise(ends), strict=True):
        own = way.poses[first : last + 1]
        every = max(1, len(own) // MOST_POSES)
        kept = (*own[:-1:every], own[-1]) if own else ()
        yield Leg(leg.gear, leg.length_m, leg.curvature_per_m, leg.full_lock, kept)
