"""The shape of the answer of `drive`, and of what `place --reach` adds to an answer, as JSON Schemas."""

from __future__ import annotations

from typing import Literal

from pydantic import ConfigDict, Field

from standtrue.show.answers.parts import Shape, StanceTold, Told

Searched = Literal["solved", "exhausted", "gave up"]


class LegTold(Shape):
    """A stretch of one gear and one curvature; the rear axle's center moves along it (on skates: the car's middle)."""

    gear: Literal["forward", "reverse", "slide", "turn"]
    length_m: float
    curvature_per_m: float = Field(description="Positive to the left.")
    direction_deg: float | None = Field(
        default=None, description="Of a slide, from the car's forward direction, counter-clockwise."
    )
    turn_deg: float | None = Field(default=None, description="Of a turn on skates about the car's middle.")


class NearestTold(Shape):
    """What comes nearest to what on the way."""

    part: str
    thing: str
    gap_m: float
    between: list[tuple[float, float]] = Field(description="From the car to the thing, metres in the site frame.")


class LackTold(Shape):
    """What is in the way."""

    thing: str
    lacking_m: float | None = Field(description="How much room is missing on each side, to about a tenth.")
    why: str


class DriveAnswer(Told):
    mode: Literal["drive", "push", "skates"]
    found: bool
    search: Searched = Field(description="How the search ended: exhausted or gave up is no proof; see `proven`.")
    proven: bool = Field(description="That there is no way at all, however finely one searched.")
    shunts: int | None = Field(description="Changes of direction: an upper bound on the fewest.")
    length_m: float | None
    minutes: tuple[float, float] | None
    least_separation_m: float | None = Field(description="Proven between the poses too, not sampled.")
    nearest: NearestTold | None
    doors_open: list[str]
    start: StanceTold | None
    goal: StanceTold | None
    path: list[LegTold]
    turns: list[StanceTold] = Field(description="Where the direction changes.")
    swept: list[list[tuple[float, float]]] = Field(description="What body and mirrors pass over: outer rings.")
    because: list[LackTold]
    resolution_m: float = Field(description="The finest resolution that was searched; 0: worked out without a grid.")
    nodes: int


class ReachedTold(Shape):
    """Whether the car can be driven to a stance from a door."""

    model_config = ConfigDict(populate_by_name=True)

    door: str = Field(alias="from", description="The door that it comes from.")
    found: bool
    search: Searched
    proven: bool = Field(description="That there is no way at all to the best stance, however finely one searched.")
    shunts: int | None
    length_m: float | None
    minutes: tuple[float, float] | None
    least_separation_m: float | None
    doors_open: list[str]
    path: list[LegTold]
    because: list[str]
    resolution_m: float
    best: bool = Field(description="Whether the way leads to the answer's own stance; else to another that fits.")
    tried: int = Field(description="How many stances that fit were tried.")
    stance: StanceTold
    margin_m: float
    taken: list[str] = Field(description="Equipment that must be taken from its store before the car comes.")


DRIVE_ANSWERS: dict[str, type[Shape]] = {"drive": DriveAnswer}
