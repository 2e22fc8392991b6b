"""The form of a lift, and of a lift as a site places it."""

from __future__ import annotations

from typing import Annotated

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
    choice,
)
from standtrue.documents.forms.base import Document, Form, ObstacleForm, Shaped

CARRIES = choice(("wheels", "body"), broken="wheels")
FACING = choice(("one", "either"), broken="either")
AXLE = choice(("front", "rear"), broken="front")


class StateForm(Form):
    name: Name
    deck_height: SizeRange | None = None
    decks: tuple[OutlineShape, ...] = ()
    deck_thickness: PositiveLength = 0.15
    voids: tuple[OutlineShape, ...] = ()
    fills: tuple[OutlineShape, ...] = ()
    obstacles: tuple[ObstacleForm, ...] = ()
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


class LiftForm(Document, LiftFields):
    states: tuple[StateForm, ...] = Field(min_length=1)


class PlacedLiftForm(LiftFields):
    name: Name
    at: XY
    heading: Angle = 0.0
    type: Name | None = None
