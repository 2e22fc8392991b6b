"""The shape of the answer of `plan`, as a JSON Schema."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from standtrue.model.order import StepKind
from standtrue.show.answers.drive import LackTold, LegTold, NearestTold, Searched
from standtrue.show.answers.parts import Shape, StanceTold

MinutesTold = tuple[float, float]


class PathTold(Shape):
    """A move, as `drive` tells it."""

    mode: Literal["drive", "push", "skates"]
    found: bool
    search: Searched
    proven: bool
    shunts: int | None
    length_m: float | None
    minutes: MinutesTold | None
    least_separation_m: float | None
    nearest: NearestTold | None
    doors_open: list[str]
    start: StanceTold | None
    goal: StanceTold | None
    path: list[LegTold]
    turns: list[StanceTold]
    swept: list[list[tuple[float, float]]]
    because: list[LackTold]
    resolution_m: float
    nodes: int


class PlanStepTold(Shape):
    what: str
    kind: StepKind
    operation: str | None = Field(description="The work or card that is done, or whose wait it is.")
    start_min: MinutesTold = Field(description="If everything before takes its least, and its greatest, time.")
    end_min: MinutesTold
    carried_by: str | None = Field(description="`floor` or LIFT/STATE at the end of the step; null outside.")
    height_m: float
    place: int | None = Field(description="The number of the place, as in `places`; null outside.")
    stance: StanceTold | None
    margin_m: float | None = Field(description="Of an operation that needs a place: the margin of the stance.")
    variant: str | None
    people: list[str] = Field(description="Names, where the site lists people.")
    equipment: list[str]
    because: list[str]
    path: PathTold | None = Field(description="Of a move: how the car gets there. Null where the site has no door.")


class SentOutTold(Shape):
    minutes: MinutesTold
    price: tuple[float, float]
    currency: str


class UndoneTold(Shape):
    """What the plan leaves out."""

    procedure: str
    what: str
    because: list[str]
    sent_out: SentOutTold | None


class FrontTold(Shape):
    """A plan that no other beats both in time and in moves."""

    moves: int
    shunts: int
    elapsed_min: MinutesTold
    order: list[str]
    doors_open: list[str]


class AlternativeTold(Shape):
    name: str
    what: str
    moves: int | None = Field(description="Null where nothing can be done.")
    shunts: int | None
    elapsed_min: MinutesTold | None
    proven: bool
    undone: list[str]
    doors_open: list[str]


class NumberedPlace(StanceTold):
    place: int
