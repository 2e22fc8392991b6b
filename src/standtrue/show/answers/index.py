"""The shape of every answer that `--json` gives, as JSON Schemas. The answers themselves are written by `work`."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import Field

from standtrue.documents.schemas import DIALECT
from standtrue.show.answers.alignment import AlignmentAnswer
from standtrue.show.answers.drive import DRIVE_ANSWERS
from standtrue.show.answers.faults import Faults
from standtrue.show.answers.floor import FloorAnswer
from standtrue.show.answers.loads import LoadsAnswer
from standtrue.show.answers.measured import MeasuredAnswer
from standtrue.show.answers.needs import NeedsAnswer
from standtrue.show.answers.parts import Shape, Told
from standtrue.show.answers.place import JobTold, PlaceAnswer
from standtrue.show.answers.plan import PlanTold
from standtrue.show.answers.read import ReadAnswer
from standtrue.show.answers.reflector import ReflectorAnswer
from standtrue.show.answers.sheet import SheetAnswer
from standtrue.show.answers.targets import TargetsAnswer


class ShareTold(Shape):
    name: str
    done_per_year: float
    per_year: float
    share: float = Field(description="From 0 to 1.")


class CardShareTold(Shape):
    procedure: str = Field(description="NAME or NAME/left.")
    done_per_year: float
    per_year: float
    share: float
    supports: list[ShareTold] = Field(description="For each support class that the card allows.")


class StopTold(Shape):
    """A card that does not fit, or something to calibrate that no card covers."""

    name: str
    no_card: bool
    lost_per_year: float
    alone_per_year: float = Field(description="Of those lost, the orders that nothing else stops.")
    vehicles: list[str]
    change: str | None = Field(description="The single change that wins most of it back.")
    wall_m: float | None = Field(description="How far a wall moves outward in it, where one does.")
    won_per_year: float


class ChangeTold(Shape):
    change: str
    wall_m: float | None = Field(description="How far a wall moves outward, where one does.")
    share: float
    done_per_year: float
    won_per_year: float


class PlacesTold(Shape):
    places: int
    orders_per_year: float


class FitTold(Shape):
    vehicle: str
    procedure: str
    support: Literal["floor", "lift down", "lift up"]
    fits: Literal["yes", "no", "undecided"]


class RoomTold(Shape):
    room: str
    site: str
    bay: str | None
    share: float
    done_per_year: float
    per_year: float
    undecided_per_year: float
    by_order: list[ShareTold]
    by_vehicle: list[ShareTold]
    by_procedure: list[CardShareTold]
    stops: list[StopTold] = Field(description="What stops the rest, the most work lost first.")
    changes: list[ChangeTold] = Field(description="Single changes that win work back, the most first.")
    places: list[PlacesTold] | None = Field(description="From how many places the finished orders are served.")
    fits: list[FitTold]


class StudyAnswer(Told):
    study: str
    mix: str
    partial: bool = Field(description="Stopped before its end: only the cars listed count.")
    vehicles: list[str]
    assumptions: list[str]
    rooms: list[RoomTold]


class SizeTold(Shape):
    """The inside of a rectangular room; its length runs along the lift."""

    width_m: float
    length_m: float


class SizeTodayTold(SizeTold):
    share: float = Field(description="Of the work, in a room of that size laid out by the rules.")


class LeastBayTold(Shape):
    share: float
    least_area: SizeTold | None = Field(description="None where no size looked at covers the share.")
    bays: list[SizeTold] = Field(description="The least sizes that cover it: any room as large as one of them does.")


class FrontierTold(Shape):
    vehicle: str
    procedure: str
    corners: list[SizeTold] = Field(description="The least sizes at which it fits, widths rising. None: no size fits.")
    undecided: int = Field(description="Sizes within 2 mm of the frontier at which it could not be told.")
    whole: bool = Field(description="Not so where it was stopped: smaller sizes may fit too.")


class SizesAnswer(Told):
    site: str
    lift: str | None
    supports: list[Literal["floor", "lift down", "lift up"]]
    partial: bool
    rules: list[str] = Field(description="How the rooms are laid out, and by what the work is weighed.")
    widths_m: list[float]
    lengths_m: list[float]
    step_m: float
    greatest_share: float
    today: SizeTodayTold | None = Field(description="The site's own size, where it is a rectangle.")
    least_bays: list[LeastBayTold]
    frontiers: list[FrontierTold]


class ReachTold(Shape):
    """How far from the body a target can stand, wherever in the room the car stands; null where none can."""

    vehicle: str
    support: Literal["floor", "lift down", "lift up"]
    ahead_m: float | None
    behind_m: float | None
    left_m: float | None
    right_m: float | None
    known: bool = Field(description="Not so where it was stopped before all four were found.")


class ReachAnswer(Told):
    site: str
    bay: str | None
    equipment: str | None = Field(description="What stands there; null for a plain square.")
    means: str = Field(description="What the distances mean.")
    partial: bool
    reaches: list[ReachTold]


class ColumnTold(Shape):
    field: str
    heading: str
    unit: str | None = Field(description="Of bare numbers; null where none was given.")


class AsideTold(Shape):
    line: int = Field(description="Its line in the file; the heading is line 1.")
    name: str
    why: str


class MixAnswer(Shape):
    mix: str
    files: list[str]
    rows: int
    counted: int
    known: list[str] = Field(description="Cars that the shop folder knew already.")
    columns: list[ColumnTold]
    ignored: list[str] = Field(description="Headings that were not used.")
    set_aside: list[AsideTold]
    warnings: list[str]


ANSWERS: dict[str, type[Shape]] = {
    "faults": Faults,
    "read": ReadAnswer,
    "needs": NeedsAnswer,
    "place": PlaceAnswer,
    "job": JobTold,
    "plan": PlanTold,
    "study": StudyAnswer,
    **DRIVE_ANSWERS,
    "sizes": SizesAnswer,
    "reach": ReachAnswer,
    "mix": MixAnswer,
    "targets": TargetsAnswer,
    "measured": MeasuredAnswer,
    "floor": FloorAnswer,
    "alignment": AlignmentAnswer,
    "loads": LoadsAnswer,
    "reflector": ReflectorAnswer,
    "sheet": SheetAnswer,
}


def answer_schemas() -> dict[str, dict[str, Any]]:
    """The JSON Schema of each command's answer, by command; `faults` is what bad input gets."""
    return {
        name: {"$schema": DIALECT, **shape.model_json_schema(mode="serialization"), "title": name}
        for name, shape in ANSWERS.items()
    }
