"""What the record keeps of the work at a car: the steps as they were handed over, and each thing that happened."""

from __future__ import annotations

import math
from typing import Literal

from pydantic import Field

from standtrue.model.basics import Place
from standtrue.model.job import Done
from standtrue.model.order import StepKind
from standtrue.show.answers.parts import Coded, Shape, StanceShape, coded_or_none, rounded, stance_told
from standtrue.show.answers.uncoded import uncoded
from standtrue.work.car.happened import Happened, What
from standtrue.work.car.steps import CarStep, Handed, Leg


class CarLegShape(Shape):
    gear: Literal["forward", "reverse", "slide", "turn"]
    length_m: float
    curvature_per_m: float = Field(description="Positive to the left.")
    full_lock: bool
    way: list[StanceShape]


class NearestShape(Shape):
    """What a move comes nearest to, and the room that is left there."""

    kind: str
    name: str
    separation_m: float


class CarStepShape(Shape):
    key: str
    number: int
    kind: StepKind
    called: list[str] = Field(description="What kind of name it is, and the name: a card, a work, a term, a drive.")
    operation: str
    people: list[str]
    stance: StanceShape | None
    carried_by: str
    height_m: float
    variant: str | None
    doors_open: list[str]
    equipment: list[str]
    legs: list[CarLegShape]
    driven: bool
    nearest: NearestShape | None
    change: Coded | None = Field(default=None, description="What of the room must be changed before anything else.")
    seconds: tuple[float, float]


class CarDoneShape(Shape):
    what: str
    at: str
    by: str


class HandedAnswer(Shape):
    """An order of work as it was handed to whoever works at the car."""

    job: str
    number: int = Field(description="Which order of work of the job, from 1: the last one is worked by.")
    by: str
    at: str
    steps: list[CarStepShape]
    done: list[CarDoneShape] = Field(description="What was done before it.")
    demonstration: bool


class HappenedAnswer(Shape):
    """One thing that happened at a car, kept as it was typed."""

    job: str
    key: str = Field(description="By which it is told from the same sent again.")
    at: str = Field(description="When it was typed: UTC, by the server's clock.")
    by: str
    device: str
    step: str
    what: What
    name: str = ""
    part: str = Field("", description="The target that a reading places.")
    value: float | None = Field(None, description="Metres or radians.")
    typed: str = ""
    text: str = ""
    codes: list[str] = Field(default=[])
    digest: str = Field("", description="Of a photo, by which it is found in the record.")
    to: str = ""
    undoes: str = Field("", description="The key of what is taken back.")
    demonstration: bool = False


def of_handed(job: str, handed: Handed, demonstration: bool) -> HandedAnswer:
    """An order of work as it was handed over."""
    steps = [_step(one) for one in handed.steps]
    done = [CarDoneShape(what=one.what, at=one.at, by=one.by) for one in handed.done]
    return HandedAnswer(
        job=job, number=handed.number, by=handed.by, at=handed.at, steps=steps, done=done, demonstration=demonstration
    )


def of_happened(job: str, one: Happened, demonstration: bool) -> HappenedAnswer:
    """A thing that happened."""
    told = {name: getattr(one, name) for name in _PLAIN}
    return HappenedAnswer(job=job, codes=list(one.codes), demonstration=demonstration, **told)


_PLAIN = (
    "key", "at", "by", "device", "step", "what", "name", "part", "value", "typed", "text", "digest", "to", "undoes",
)  # fmt: skip


def happened_again(told: HappenedAnswer) -> Happened:
    """What happened, from what was kept of it."""
    return Happened(codes=tuple(told.codes), **{name: getattr(told, name) for name in _PLAIN})


def handed_again(told: HandedAnswer) -> Handed:
    """An order of work, from what was kept of it."""
    done = tuple(Done(one.what, one.at, one.by) for one in told.done)
    return Handed(told.number, told.by, told.at, tuple(map(_step_again, told.steps)), done)


def _step(one: CarStep) -> CarStepShape:
    near = one.nearest
    return CarStepShape(
        key=one.key,
        number=one.number,
        kind=one.kind,
        called=list(one.called),
        operation=one.operation,
        people=list(one.team),
        stance=None if one.place is None else stance_told(one.place),
        carried_by=one.on,
        height_m=rounded(one.height_m),
        variant=one.variant,
        doors_open=list(one.doors_open),
        equipment=list(one.equipment),
        legs=[_leg(leg) for leg in one.legs],
        driven=one.driven,
        nearest=None if near is None else NearestShape(kind=near[0], name=near[1], separation_m=rounded(near[2])),
        change=coded_or_none(one.change),
        seconds=one.span_s,
    )


def _leg(leg: Leg) -> CarLegShape:
    return CarLegShape(
        gear=leg.gear,  # type: ignore[arg-type]  # a gear is one of these
        length_m=rounded(leg.length_m),
        curvature_per_m=rounded(leg.curvature_per_m),
        full_lock=leg.full_lock,
        way=[stance_told(place) for place in leg.way],
    )


def _step_again(told: CarStepShape) -> CarStep:
    kind, name = told.called
    near = told.nearest
    return CarStep(
        key=told.key,
        number=told.number,
        kind=told.kind,
        called=(kind, name),
        operation=told.operation,
        team=tuple(told.people),
        place=None if told.stance is None else _place(told.stance),
        on=told.carried_by,
        height_m=told.height_m,
        variant=told.variant,
        doors_open=tuple(told.doors_open),
        equipment=tuple(told.equipment),
        legs=tuple(
            Leg(leg.gear, leg.length_m, leg.curvature_per_m, leg.full_lock, tuple(map(_place, leg.way)))
            for leg in told.legs
        ),
        driven=told.driven,
        nearest=None if near is None else (near.kind, near.name, near.separation_m),
        change=None if told.change is None else uncoded(told.change),
        span_s=told.seconds,
    )


def _place(told: StanceShape) -> Place:
    return Place(told.x_m, told.y_m, math.radians(told.heading_deg))
