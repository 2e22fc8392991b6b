"""The answer of `targets`: where a set-up's targets go, and which readings to take."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from pydantic import Field

from standtrue.aim.layout import Measure, Offset, TargetLayout
from standtrue.aim.reading_plan import ReadingPlan
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
    Shape,
    StanceShape,
    coded,
    envelope,
    ring,
    rounded,
    rounded_or_none,
    stance_told,
)
from standtrue.work.aim import aiming


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


class PlanShape(Shape):
    readings: list[ReadingShape]
    enough: bool
    proven: bool = Field(description="Whether it is proven that no fewer (or cheaper) readings do.")
    short_of: list[str]
    reached: list[ReachedShape]
    short_of_coded: list[Coded] = Field([])


class ThrustShape(Shape):
    heading_deg: float = Field(description="In the vehicle frame, positive to the left.")
    u_deg: float


class TargetsAnswer(AnswerShape):
    stance: StanceShape
    thrust_line: ThrustShape
    wheels: list[WheelOffsets]
    targets: list[LayoutShape]
    plan: PlanShape | None


def of_targets(answer: aiming.TargetsAnswer) -> TargetsAnswer:
    """How to lay a set-up out."""
    scene = answer.scene
    return TargetsAnswer(
        **envelope(answer.basis),
        stance=stance_told(scene.place),
        thrust_line=ThrustShape(heading_deg=degrees(scene.thrust.value_rad), u_deg=degrees(scene.thrust.u_rad)),
        wheels=[WheelOffsets(wheel=wheel, offsets=_offsets(offsets)) for wheel, offsets in answer.wheels],
        targets=[_layout(layout) for layout in answer.targets],
        plan=None if answer.plan is None else _plan(answer.plan, scene),
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


def _plan(plan: ReadingPlan, scene: Scene) -> PlanShape:
    return PlanShape(
        readings=[of_reading(r, scene) for r in plan.readings],
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
    )
