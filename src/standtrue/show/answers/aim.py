"""The shapes of the answers of `targets`, `measured`, `floor`, `alignment`, `loads`, `reflector` and `sheet`."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from standtrue.show.answers.parts import Shape, StanceTold, Told, TouchTold

Verdict = Literal["accept", "reject", "cannot tell"]
PointTold = tuple[float, float]


class OffsetTold(Shape):
    """A point as seen from a floor mark: along the datum's direction, to the left of it, straight on the plan."""

    mark: str
    along_m: float
    left_m: float
    plan_m: float


class WheelOffsets(Shape):
    wheel: str
    offsets: list[OffsetTold]


class MeasureTold(Shape):
    """A distance: straight, on the plan between points plumbed down, and how much higher `to` lies."""

    from_: str = Field(alias="from")
    to: str
    straight_m: float
    plan_m: float
    rise_m: float


class TargetTold(Shape):
    target: str
    x_m: float
    y_m: float
    z_m: float
    facing_deg: float = Field(description="The way the printed side looks, in the site frame.")
    line: Literal["thrust line", "centerline"]


class LayoutTold(TargetTold):
    offsets: list[OffsetTold]
    hubs: list[MeasureTold]
    sensor: MeasureTold | None
    diagonals: list[MeasureTold] = Field(description="From both rear hubs to both ends of the chalk line, on the plan.")
    swept: list[PointTold]


class ReadingTold(Shape):
    what: Literal["distance", "offset", "height", "angle", "lean"]
    from_: list[str] = Field(alias="from")
    to: list[str]
    plumbed: bool
    title: str
    u: float
    unit: Literal["m", "rad"]


class ReachedTold(Shape):
    tolerance: str
    u: float | None = Field(description="Null where no reading says anything about it.")
    most_u: float
    unit: Literal["m", "rad"]


class PlanTold(Shape):
    readings: list[ReadingTold]
    enough: bool
    proven: bool = Field(description="Whether it is proven that no fewer (or cheaper) readings do.")
    short_of: list[str]
    reached: list[ReachedTold]


class ThrustTold(Shape):
    heading_deg: float = Field(description="In the vehicle frame, positive to the left.")
    u_deg: float


class TargetsAnswer(Told):
    stance: StanceTold
    thrust_line: ThrustTold
    wheels: list[WheelOffsets]
    targets: list[LayoutTold]
    plan: PlanTold | None


class CarTold(StanceTold):
    forward_m: float = Field(description="Off the planned stance, in the planned vehicle frame.")
    left_m: float
    turn_deg: float
    u_x_m: float
    u_y_m: float
    u_heading_deg: float
    thrust_heading_deg: float


class LengthPart(Shape):
    name: Literal["along", "across", "height"]
    measured: bool
    deviation_m: float | None
    u_m: float | None
    limit_m: float | None
    verdict: Verdict | None
    probability: float | None = Field(description="That the true deviation lies within the limit.")
    risk: float | None = Field(description="Bounds how often a wrong decision is taken.")


class AnglePart(Shape):
    name: Literal["turn", "lean"]
    measured: bool
    deviation_deg: float | None
    u_deg: float | None
    limit_deg: float | None
    verdict: Verdict | None
    probability: float | None
    risk: float | None


class TargetStandsTold(Shape):
    target: str
    verdict: Verdict
    because: list[str]
    parts: list[LengthPart | AnglePart]
    covariance: list[list[float | None]] = Field(description="Of the parts in their order: metres and radians.")
    correct: list[str] = Field(description="What to do to the target, in words.")


class QuestionTold(Shape):
    reading: int
    words: str
    impossible: bool


class TestTold(Shape):
    title: str
    test: float | None = Field(description="The standardized residual; null where no other reading checks it.")
    detectable: float | None = Field(description="The least blunder found with 80 % power: metres or radians.")


class BlunderTold(Shape):
    alarm: bool
    suspects: list[str] = Field(description="One reading, or those that cannot be told apart.")
    size: float | None
    critical: float | None
    unchecked: list[str]
    readings: list[TestTold]


class SettlingTold(Shape):
    target: str
    reading: ReadingTold
    probability: float


class ConditionTold(Shape):
    what: str
    low: float | None
    high: float | None
    unit: str
    found: float | None
    standing: Literal["met", "not met", "not recorded", "cannot tell"]


class WheelHeight(Shape):
    wheel: str
    height_m: float


class WheelShim(Shape):
    wheel: str
    shim_m: float


class StandRise(Shape):
    """How much the floor under a target lies above that under the wheels."""

    target: str
    above_wheels_m: float


class SensorTold(Shape):
    """Where the card's sensor looks because the car is tilted, from where it would on level floor."""

    sensor: str
    pitch_deg: float = Field(description="Positive down.")
    roll_deg: float = Field(description="Positive with its left side up.")
    at_100_m_m: float = Field(description="How much lower it looks at 100 m.")


class StandingTold(Shape):
    stance: StanceTold
    wheels: list[WheelHeight]
    shims: list[WheelShim]
    stands: list[StandRise]
    sensor: SensorTold | None
    pitch_deg: float | None = Field(description="Positive nose down.")
    roll_deg: float | None = Field(description="Positive left side up.")
    warp_m: float | None
    at_100_m_m: float | None
    difference_m: float | None
    u_m: float | None
    slope_deg: float | None
    within_m: float | None
    within_deg: float | None
    verdict: Verdict | None
    unknown: list[str]


class StandsTold(Shape):
    """The stance measured again for the card: as planned, or where the readings say that the car stands."""

    place: StanceTold | None
    planned: bool = Field(description="No reading ties the car to the floor: this is the planned stance.")
    carried_by: str
    height_m: float
    fits: bool
    verdict: Verdict = Field(description="With a guard band of the margin's own uncertainty.")
    margin_m: float | None
    u_m: float | None = Field(description="Standard uncertainty of the margin.")
    probability: float | None = Field(description="That the car fits.")
    touches: list[TouchTold]
    because: list[str]
    in_view: list[str]


class MeasuredAnswer(Told):
    verdict: Verdict
    may_calibrate: bool = Field(description="Nothing of what was asked stands against it. Says nothing of safety.")
    car: CarTold | None
    stance: StandsTold
    floor: StandingTold | None = Field(description="The floor under it by the survey, where the card asks for level.")
    targets: list[TargetStandsTold]
    corrected: list[TargetTold] = Field(description="Where the targets go for the car as it stands.")
    refused: list[str]
    questions: list[QuestionTold]
    blunder: BlunderTold | None
    settling: list[SettlingTold]
    conditions: list[ConditionTold]
    alignment_holds: list[str]


class AngleTold(Shape):
    name: str
    value_deg: float
    u_deg: float


class LimitTold(Shape):
    limit: str
    reading: str
    low_deg: float
    high_deg: float
    standing: Literal["accept", "reject", "cannot tell", "not measured"]
    probability: float | None


class AlignmentAnswer(Told):
    vehicle: str
    may_calibrate: bool
    holds: list[str]
    thrust_heading_deg: float | None
    values: list[AngleTold]
    checks: list[LimitTold]


class LoadTold(Shape):
    name: str
    load_kg: float | None
    capacity_kg: float | None
    ok: bool | None


class LoadsAnswer(Told):
    vehicle: str
    lift: str
    loads: list[LoadTold]
    may_lift: bool
    tips: bool
    missing: list[str]


class PlaneTold(Shape):
    a_m: float
    bx: float
    cy: float
    slope_deg: float
    uphill_deg: float
    rms_m: float | None
    greatest_m: float
    residuals_m: list[float]


class NumbersTold(Shape):
    line: str
    ff: float | None
    fl: float | None


class FlatnessTold(Shape):
    """The worst gap under a straight edge against one row of DIN 18202, table 3."""

    row: int
    ok: bool | None
    worst_m: float | None
    limit_m: float | None
    apart_m: float | None


class LevelTold(Shape):
    from_m: float
    to_m: float
    area_m2: float
    because: str
    level: list[list[PointTold]]
    uneven: list[list[PointTold]]
    unknown: list[list[PointTold]]


class FloorAnswer(Told):
    survey: str
    plane: PlaneTold
    numbers: list[NumbersTold]
    flatness: list[FlatnessTold]
    level: LevelTold | None = Field(description="Where the floor is level enough for the card.")
    standing: StandingTold | None


class ReflectorAnswer(Told):
    frequency_ghz: float
    leg_m: float
    section_m2: float
    section_dbsm: float
    far_field_m: float


class SheetStance(Shape):
    """One stance of the sheet and the cards that run there, each with the set-up that fixes it, if any."""

    place: StanceTold
    carried_by: str
    height_m: float
    doors_open: list[str]
    fits: bool
    margin_m: float | None
    procedures: list[str]
    setups: list[str]
    steps: list[int] = Field(description="The steps of the order of work in which they run; empty without one.")


class SheetAnswer(Told):
    file: str
    paper: Literal["letter", "a4"]
    units: Literal["metric", "us"]
    stances: list[SheetStance]
    without_place: list[str] = Field(description="Cards that need no place, and the drives of those that do.")
    fits_nowhere: list[str]
    steps: int | None = Field(description="How many steps the order of work on the sheet has; null without one.")
    proven: bool | None = Field(description="Whether that order is proven to be the best; null without one.")
    left_out: list[str] = Field(description="What the order of work leaves out; its reasons are on the sheet.")


AIM_ANSWERS: dict[str, type[Shape]] = {
    "targets": TargetsAnswer,
    "measured": MeasuredAnswer,
    "floor": FloorAnswer,
    "alignment": AlignmentAnswer,
    "loads": LoadsAnswer,
    "reflector": ReflectorAnswer,
    "sheet": SheetAnswer,
}
