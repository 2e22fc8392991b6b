"""A lift: what its document and a site that holds one in place look like, what must hold, and the model of it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Annotated

from attrs import evolve
from pydantic import Field

from standtrue.documents.fields import (
    XY,
    Angle,
    AnglePair,
    DurationRange,
    Flag,
    Mass,
    Name,
    OutlineShape,
    PositiveLength,
    Size,
    SizeRange,
)
from standtrue.documents.leaves import choice
from standtrue.documents.parts import (
    DocumentForm,
    Form,
    Kind,
    ObstacleForm,
    Path,
    Shaped,
    Tell,
    check_obstacles,
    names_once,
    obstacles_of,
    outlines_of,
)
from standtrue.model.basics import Range
from standtrue.model.lift import Arm, Lift, LiftState, Obstacle, PlacedLift, Plate
from standtrue.model.reason import because

CARRIES = choice(("wheels", "body"), broken="wheels")
FACING = choice(("one", "either"), broken="either")
AXLE = choice(("front", "rear"), broken="front")


class PartForm(ObstacleForm):
    rises: Flag = Field(False, description="Goes up with the decks: its heights are those at the lowest decks.")


class StateForm(Form):
    name: Name
    deck_height: SizeRange | None = None
    decks: tuple[OutlineShape, ...] = ()
    deck_thickness: PositiveLength = 0.15
    voids: tuple[OutlineShape, ...] = ()
    fills: tuple[OutlineShape, ...] = ()
    obstacles: tuple[PartForm, ...] = ()
    ramps: tuple[OutlineShape, ...] = ()
    drive_on: Flag = False


class PlateForm(Shaped):
    axle: Annotated[str, AXLE]


class ArmForm(Form):
    pivot: XY
    reach: SizeRange
    swing: AnglePair
    capacity: Mass | None = None


class LiftFields(Form):
    """What a lift document holds, and what `[[lifts]]` of a site may hold in place."""

    capacity: Mass | None = None
    axle_capacity: Mass | None = None
    carries: Annotated[str, CARRIES] = "wheels"
    posts: tuple[ObstacleForm, ...] = ()
    locks: tuple[Size, ...] = ()
    travel: DurationRange | None = None
    facing: Annotated[str, FACING] = "either"
    wheelbase: SizeRange | None = None
    jacks: Flag = False
    states: tuple[StateForm, ...] = ()
    plates: tuple[PlateForm, ...] = ()
    arms: tuple[ArmForm, ...] = ()


class LiftForm(DocumentForm, LiftFields):
    states: tuple[StateForm, ...] = Field(min_length=1)


class PlacedLiftForm(LiftFields):
    name: Name
    at: XY
    heading: Angle = 0.0
    type: Name | None = None


# Checks


def check_lift(form: LiftForm, tell: Tell) -> None:
    """A lift document."""
    check_fields(form, (), tell)


def check_fields(form: LiftFields, path: Path, tell: Tell) -> None:
    """What a lift document holds, or a site in place."""
    names_once(form.states, (*path, "states"), tell)
    check_obstacles(form.posts, (*path, "posts"), tell)
    for i, state in enumerate(form.states):
        here = (*path, "states", i)
        check_obstacles(state.obstacles, (*here, "obstacles"), tell)
        for k, part in enumerate(state.obstacles):
            if part.rises and state.deck_height is None:
                what, remedy = because("rises-without-deck-height"), because("write-deck-heights")
                tell((*here, "obstacles", k, "rises"), "fields-conflict", what, remedy)
        if state.decks and state.deck_height is None:
            tell((*here, "deck_height"), "missing-field", because("deck-height-missing"), because("write-deck-height"))
    if form.capacity is not None and form.axle_capacity is not None and form.axle_capacity > form.capacity:
        what, remedy = because("axle-capacity-above-whole"), because("look-whether-exchanged")
        tell((*path, "axle_capacity"), "value-impossible", what, remedy)


def check_placed(form: PlacedLiftForm, path: Path, tell: Tell) -> None:
    """A lift of a site: either a type or fields of its own."""
    own = sorted(form.model_fields_set - {"name", "at", "heading", "type"})
    if form.type is None and not form.states:
        what, remedy = because("lift-without-type-or-states"), because("name-lift-type-or-write-fields")
        tell((*path, "type"), "missing-field", what, remedy)
    if form.type is not None and own:
        what, remedy = because("lift-with-type-and-fields"), because("keep-type-or-fields")
        tell((*path, own[0]), "fields-conflict", what, remedy)
    check_fields(form, path, tell)


# To the model


def to_lift(form: LiftFields, name: str) -> Lift:
    """A lift document, or the lift fields that a site holds in place."""
    return Lift(
        name=name,
        states=tuple(_state(state) for state in form.states),
        carries="body" if form.carries == "body" else "wheels",
        capacity_kg=form.capacity,
        axle_capacity_kg=form.axle_capacity,
        posts=obstacles_of(form.posts, "post"),
        locks_m=tuple(sorted(form.locks)),
        travel_s=form.travel,
        facing="one" if form.facing == "one" else "either",
        wheelbase_m=form.wheelbase,
        jacks=form.jacks,
        plates=tuple(Plate("front" if p.axle == "front" else "rear", p.shape.points) for p in form.plates),
        arms=tuple(Arm(arm.pivot, arm.reach, _swing(arm.swing), arm.capacity) for arm in form.arms),
    )


def _swing(swing: Range) -> Range:
    """Angles counter-clockwise from the first to the second."""
    start, end = swing
    return (start, end if end >= start else end + 2 * math.pi)


def _state(form: StateForm) -> LiftState:
    return LiftState(
        name=form.name,
        deck_height_m=form.deck_height or (0.0, 0.0),
        decks=outlines_of(form.decks),
        deck_thickness_m=form.deck_thickness,
        voids=outlines_of(form.voids),
        fills=outlines_of(form.fills),
        obstacles=_parts(form.obstacles),
        ramps=outlines_of(form.ramps),
        drive_on=form.drive_on,
    )


def _parts(forms: tuple[PartForm, ...]) -> tuple[Obstacle, ...]:
    return tuple(evolve(part, rises=form.rises) for part, form in zip(obstacles_of(forms, "part"), forms, strict=True))


def placed_lift(form: PlacedLiftForm, lifts: Mapping[str, Lift]) -> PlacedLift:
    """A lift of a site; `lifts` must hold its type, where it names one."""
    lift = to_lift(form, form.name) if form.type is None else lifts[form.type]
    return PlacedLift(form.name, form.at, form.heading, lift)


KIND = Kind("lift", LiftForm, check_lift)
