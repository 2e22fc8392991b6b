"""The shape of every answer that `--json` gives, as JSON Schemas. The answers themselves are written by `work`."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import Field

from standtrue.documents.schemas import DIALECT
from standtrue.show.answers.ahead import AheadTold
from standtrue.show.answers.alignment import AlignmentAnswer
from standtrue.show.answers.drive import DRIVE_ANSWERS, ReachedTold
from standtrue.show.answers.faults import Faults, FaultTold
from standtrue.show.answers.floor import FloorAnswer
from standtrue.show.answers.loads import LoadsAnswer
from standtrue.show.answers.measured import MeasuredAnswer
from standtrue.show.answers.mix import MixTold
from standtrue.show.answers.needs import NeedTold
from standtrue.show.answers.parts import Shape, StanceTold, Told, TouchTold
from standtrue.show.answers.plan import PlanTold
from standtrue.show.answers.reflector import ReflectorAnswer
from standtrue.show.answers.sheet import SheetAnswer
from standtrue.show.answers.sizes import SizesTold
from standtrue.show.answers.study import StudyTold
from standtrue.show.answers.targets import TargetsAnswer


class ReadAnswer(Told):
    faults: list[FaultTold]


class StepTold(Shape):
    order: int
    stage: str
    kind: Literal["scan", "work", "need"]
    what: str


class NotFittedTold(Shape):
    sensor: str
    side: Literal["left", "right"] | None
    because: list[str]


class NeedsAnswer(Told):
    needs: list[NeedTold]
    order: list[StepTold]
    not_fitted: list[NotFittedTold]


class PolygonTold(Shape):
    outline: list[tuple[float, float]]
    holes: list[list[tuple[float, float]]]


class RegionTold(Shape):
    heading_deg: float
    polygons: list[PolygonTold] = Field(description="Where the rear axle's center fits, less at most 0.1 mm.")


class RemedyTold(Shape):
    """One change of the shop that makes room."""

    thing: str = Field(description="Walls are numbered as the outline's edges, from 1, with the side they face.")
    kind: Literal["movable", "cover", "obstacle", "void", "wall"]
    action: Literal["move", "cover", "shrink", "remove"]
    least_m: float | None = Field(description="The least amount that makes room; null for cover and remove.")
    direction_deg: float | None = Field(description="Of a move, counter-clockwise from the site's +x.")
    exact: bool = Field(description="Whether `least_m` is proven the least, to 1 mm; if not, a smaller one may do.")


class PlaceTold(Shape):
    procedure: str | None
    side: Literal["left", "right"] | None
    variant: str | None
    support: Literal["floor", "lift down", "lift up"]
    carried_by: str | None
    height_m: float
    fits: bool | Literal["undecided"]
    margin_m: float | None
    margin_bound_m: float | None = Field(description="No stance has a larger margin: proven.")
    free_m: float | None
    stance: StanceTold | None
    doors_open: list[str]
    touches: list[TouchTold]
    because: list[str]
    remedies: list[RemedyTold] = Field(description="Single changes. Any one of them makes room.")
    remedy_pairs: list[list[RemedyTold]] = Field(
        description="Where no single change does but to move a wall: two changes that make room together."
    )
    nearest_miss: StanceTold | None = Field(description="For the picture only.")
    region: list[RegionTold] = Field(default=[], description="Only with --region.")
    reached: ReachedTold | None = Field(default=None, description="Only with --reach; null where nothing fits.")


class UseTold(Shape):
    """One card served at a shared place. Raising the car changes its stance, not its place."""

    procedure: str
    side: Literal["left", "right"] | None
    variant: str | None
    support: Literal["floor", "lift down", "lift up"]
    carried_by: str
    height_m: float
    doors_open: list[str]
    margin_m: float


class SharedTold(Shape):
    place: StanceTold
    margin_m: float = Field(description="The smallest over its uses.")
    uses: list[UseTold]


class PlaceAnswer(Told):
    answers: list[PlaceTold]
    shared: list[SharedTold] = Field(description="The fewest places that serve all procedures that fit somewhere.")
    shared_proven: bool = Field(description="Whether it is proven that no fewer places do.")


class JobAnswer(NeedsAnswer):
    answers: list[PlaceTold]
    shared: list[SharedTold] = Field(description="The fewest places that serve all procedures that fit somewhere.")
    shared_proven: bool = Field(description="Whether it is proven that no fewer places do.")


ANSWERS: dict[str, type[Shape]] = {
    "faults": Faults,
    "read": ReadAnswer,
    "needs": NeedsAnswer,
    "place": PlaceAnswer,
    "job": JobAnswer,
    "plan": PlanTold,
    "study": StudyTold,
    **DRIVE_ANSWERS,
    "sizes": SizesTold,
    "ahead": AheadTold,
    "mix": MixTold,
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
