"""The answer of `targets`: where a set-up's targets go, and which readings to take."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from pydantic import Field

from standtrue.aim.chalk import ChalkLine, FromString
from standtrue.aim.layout import Measure, Offset, TargetLayout, in_car
from standtrue.aim.planning import Further, Planned, SetupPlan
from standtrue.aim.scene import Scene
from standtrue.show.answers.aim_parts import (
    PointShape,
    ReadingShape,
    TargetShape,
    degrees,
    of_reading,
    of_target,
    told,
    unit_of,
)
from standtrue.show.answers.parts import (
    AnswerShape,
    Coded,
    LeveledShape,
    Shape,
    StanceShape,
    coded,
    envelope,
    level_fields,
    ring,
    rounded,
    rounded_or_none,
    stance_told,
)
from standtrue.show.words.reader import ENGLISH
from standtrue.work.aim import laying
from standtrue.work.aim.reading_minutes import reading_s


class OffsetShape(Shape):
    """A point as seen from a floor mark: along the datum's direction, to the left of it, straight on the plan."""

    mark: str
    along_m: float
    left_m: float
    plan_m: float


class WheelOffsets(Shape):
    wheel: str
    offsets: list[OffsetShape]


class MeasureShape(Shape):
    """A distance: straight, on the plan between points plumbed down, and how much higher `to` lies."""

    from_: str = Field(validation_alias="from", serialization_alias="from")
    to: str
    straight_m: float
    plan_m: float
    rise_m: float


class LayoutShape(TargetShape):
    offsets: list[OffsetShape]
    hubs: list[MeasureShape]
    sensor: MeasureShape | None
    diagonals: list[MeasureShape] = Field(
        description="From both rear hubs to both ends of the chalk line, on the plan."
    )
    swept: list[PointShape]


class ReachedShape(Shape):
    tolerance: str
    u: float | None = Field(description="Null where no reading says anything about it.")
    most_u: float
    unit: Literal["m", "rad"]


SpotShape = tuple[float, float, float]


class EndShape(Shape):
    """An end of what is read, metres: in the site frame, and in the vehicle frame with its height above the floor."""

    site: SpotShape
    vehicle: SpotShape


class PlannedShape(ReadingShape):
    """A reading of the plan."""

    number: int
    part: str | None = Field(description="The target that it places; null where it ties the car to the floor.")
    planned: float = Field(description="What it will say where everything stands as planned.")
    again: bool = Field(description="The same a second time: another person, or another instrument.")
    checked_by: list[int] = Field(description="The numbers of the readings that check it.")
    smallest_blunder: float | None = Field(
        description="The least blunder in it that the others find, 4 times of 5. Null where none is found."
    )
    under_car: bool
    over: list[str] = Field(description="Open pits that it passes.")
    before_frames: bool = Field(description="Only before the targets' equipment comes in.")
    minutes: float
    start: EndShape
    end: EndShape


class FurtherShape(Shape):
    """What one reading more would buy."""

    reading: ReadingShape
    part: str | None
    tolerance: str | None
    unit: Literal["m", "rad"] | None
    u_before: float | None
    u_after: float | None
    blunder_before_m: float | None
    blunder_after_m: float | None


class PlanPartShape(Shape):
    """What is planned apart: a target, or the car on the floor (null)."""

    part: str | None
    readings: list[int]
    enough: bool
    proven: bool


class PlanShape(Shape):
    readings: list[PlannedShape]
    enough: bool
    proven: bool = Field(description="Whether it is proven that no fewer (or cheaper) readings do.")
    short_of: list[str]
    reached: list[ReachedShape]
    short_of_coded: list[Coded] = Field([])
    checked: Literal["every", "least"]
    blunder_m: float | None = Field(description="Each blunder of this size in a length should be found.")
    blunder_deg: float | None
    unchecked: list[int] = Field(description="The readings in which such a blunder may hide.")
    parts: list[PlanPartShape]
    least: list[ReadingShape]
    further: list[FurtherShape]
    minutes: float


class ThrustShape(Shape):
    heading_deg: float = Field(description="In the vehicle frame, positive to the left.")
    u_deg: float
    known: bool = Field(description="Whether rear toes were read; if not, the centerline stands in for it.")


class FromStringShape(Shape):
    """How a tape finds a mark: squarely beside a string, and how far past the string's last mark at a wheel."""

    string: Literal["left string", "right string"]
    offset_m: float
    beyond_wheel_m: float
    stopped_by: list[str]


class ChalkMarkShape(Shape):
    where: str = Field(description="`nose`, `tail` or a target.")
    site: PointShape
    vehicle: PointShape
    strings: list[FromStringShape]


class ChalkShape(Shape):
    """A line to snap on the floor through two marks."""

    line: Literal["thrust line", "centerline"]
    heading_deg: float = Field(description="Against the car's centerline, positive to the left.")
    u_deg: float
    ahead: bool = Field(description="Ahead of the car, or behind it.")
    marks: list[ChalkMarkShape]
    clear: bool
    stopped_by: list[str]


class TargetsAnswer(AnswerShape, LeveledShape):
    stance: StanceShape
    thrust_line: ThrustShape
    wheels: list[WheelOffsets] = Field(description="The wheels' centers, which lie under the tires.")
    points: list[WheelOffsets] = Field(description="The points at the wheels that hands can reach, plumbed down.")
    targets: list[LayoutShape]
    chalk: list[ChalkShape]
    plan: PlanShape | None


def of_targets(answer: laying.TargetsAnswer) -> TargetsAnswer:
    """How to lay a set-up out."""
    scene = answer.scene
    return TargetsAnswer(
        **envelope(answer.basis),
        stance=stance_told(scene.place),
        **level_fields(answer.stance.level),
        thrust_line=ThrustShape(
            heading_deg=degrees(scene.thrust.value_rad), u_deg=degrees(scene.thrust.u_rad), known=answer.toes_known
        ),
        wheels=[WheelOffsets(wheel=wheel, offsets=_offsets(offsets)) for wheel, offsets in answer.wheels],
        points=[WheelOffsets(wheel=point, offsets=_offsets(offsets)) for point, offsets in answer.points],
        targets=[_layout(layout) for layout in answer.targets],
        chalk=[_chalk(line) for line in answer.chalk],
        plan=None if answer.plan is None else _plan(answer.plan, answer),
    )


def _layout(layout: TargetLayout) -> LayoutShape:
    return LayoutShape(
        **dict(of_target(layout.place)),
        offsets=_offsets(layout.offsets),
        hubs=[_measure(m) for m in layout.hubs],
        sensor=None if layout.sensor is None else _measure(layout.sensor),
        diagonals=[_measure(m) for m in layout.diagonals],
        swept=ring(layout.place.swept),
    )


def _offsets(offsets: Iterable[Offset]) -> list[OffsetShape]:
    return [
        OffsetShape(mark=o.mark, along_m=rounded(o.along_m), left_m=rounded(o.left_m), plan_m=rounded(o.plan_m))
        for o in offsets
    ]


def _measure(one: Measure) -> MeasureShape:
    return MeasureShape(
        from_=one.start,
        to=one.end,
        straight_m=rounded(one.straight_m),
        plan_m=rounded(one.plan_m),
        rise_m=rounded(one.rise_m),
    )


def _plan(plan: SetupPlan, answer: laying.TargetsAnswer) -> PlanShape:
    scene = answer.scene
    return PlanShape(
        readings=[_planned(p, answer) for p in plan.planned],
        enough=plan.enough,
        proven=plan.proven,
        short_of=[told(what.reason) for what in plan.short_of],
        reached=[
            ReachedShape(
                tolerance=told(r.what.reason),
                u=rounded_or_none(r.u),
                most_u=rounded(r.most_u),
                unit=unit_of(r.what.is_angle),
            )
            for r in plan.reached
        ],
        short_of_coded=coded(what.reason for what in plan.short_of),
        checked=plan.checked,
        blunder_m=None if plan.asked is None else rounded(plan.asked.length_m),
        blunder_deg=None if plan.asked is None else degrees(plan.asked.angle_rad),
        unchecked=[p.number for p in plan.unchecked],
        parts=[
            PlanPartShape(
                part=name or None,
                readings=[p.number for p in plan.planned if p.part == name],
                enough=part.enough,
                proven=part.proven,
            )
            for name, part in plan.parts
        ],
        least=[of_reading(r, scene) for r in plan.least],
        further=[_further(one, scene) for one in plan.further],
        minutes=rounded(answer.reading_s / 60.0),
    )


def _planned(one: Planned, answer: laying.TargetsAnswer) -> PlannedShape:
    view = one.candidate.view
    assert view is not None
    place = answer.scene.place
    ends = [EndShape(site=_spot(end), vehicle=_spot(in_car(place, end))) for end in (view.start, view.end)]
    return PlannedShape(
        **dict(of_reading(one.reading, answer.scene)),
        number=one.number,
        part=one.part or None,
        planned=rounded(one.value),
        again=one.candidate.again,
        checked_by=list(one.checked_by),
        smallest_blunder=rounded_or_none(one.found),
        under_car=view.under_car,
        over=[ENGLISH.write(ref) for ref in view.over],
        before_frames=view.before_frames,
        minutes=rounded(reading_s(answer.scene.site, one.candidate.instrument) / 60.0),
        start=ends[0],
        end=ends[1],
    )


def _spot(spot: tuple[float, float, float]) -> SpotShape:
    x, y, z = spot
    return rounded(x), rounded(y), rounded(z)


def _further(one: Further, scene: Scene) -> FurtherShape:
    tightest = one.tightest
    return FurtherShape(
        reading=of_reading(one.candidate.reading, scene),
        part=one.part or None,
        tolerance=None if tightest is None else told(tightest.reason),
        unit=None if tightest is None else unit_of(tightest.is_angle),
        u_before=None if tightest is None else rounded_or_none(one.u[0]),
        u_after=None if tightest is None else rounded_or_none(one.u[1]),
        blunder_before_m=rounded_or_none(one.found[0]),
        blunder_after_m=rounded_or_none(one.found[1]),
    )


def _chalk(line: ChalkLine) -> ChalkShape:
    return ChalkShape(
        line="thrust line" if line.name == "thrust line" else "centerline",
        heading_deg=degrees(line.heading_rad),
        u_deg=degrees(line.u_rad),
        ahead=line.ahead,
        marks=[
            ChalkMarkShape(
                where=ENGLISH.write(mark.where),
                site=(rounded(mark.at[0]), rounded(mark.at[1])),
                vehicle=(rounded(mark.in_car[0]), rounded(mark.in_car[1])),
                strings=[_from_string(one) for one in mark.strings],
            )
            for mark in line.marks
        ],
        clear=line.clear,
        stopped_by=[ENGLISH.write(ref) for ref in line.stopped_by],
    )


def _from_string(one: FromString) -> FromStringShape:
    return FromStringShape(
        string="left string" if one.line == "left string" else "right string",
        offset_m=rounded(one.offset_m),
        beyond_wheel_m=rounded(one.beyond_m),
        stopped_by=[ENGLISH.write(ref) for ref in one.stopped_by],
    )
