"""What a job calls for, as data: the needs with every reason, and the order of work."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from pydantic import Field

from standtrue.model.job import Decision, Job
from standtrue.needs import Need, NotFitted, OpenQuestion, WorkStep
from standtrue.needs import NeedsAnswer as Found
from standtrue.needs.answer import StepKind
from standtrue.show.answers.parts import AnswerShape, Coded, Json, Shape, coded, coded_or_none, envelope
from standtrue.show.words.needs import dropped_words
from standtrue.show.words.reader import ENGLISH
from standtrue.work.needs.jobs import Needs


class Overruled(Shape):
    verdict: Literal["keep", "drop"]
    because: str
    by: str
    on: str | None = Field(default=None, description="The day of the decision; null where none is given.")
    because_es: str = Field(default="", description="The same in Spanish, where the order gives it.")


class NeedShape(Shape):
    procedure: str | None = Field(description="The card that finishes the calibration, NAME or NAME/left.")
    sensor: str
    side: Literal["left", "right"] | None
    how: Literal["required", "conditional"]
    because: list[str]
    because_coded: list[Coded] = Field(default=[], description="The same as code and values.")
    before: list[str]
    card: bool
    overruled: Overruled | None
    alternatives: list[str]
    chain: list[str] = Field(description="The cards to run one after another; the last is `procedure`.")
    order: int
    remedy: str | None
    remedy_coded: Coded | None = None


class StepShape(Shape):
    order: int
    stage: str
    kind: StepKind
    what: str
    what_coded: Coded | None = None


class NotFittedShape(Shape):
    sensor: str
    side: Literal["left", "right"] | None
    because: list[str]
    because_coded: list[Coded] = Field(default=[], description="The same as code and values.")


class OpenShape(Shape):
    """An event that fires no rule, and on which nobody has decided."""

    event: str
    where: str | None
    nearest: list[str] = Field(description="The nearest events that are known.")
    sensors: list[str] = Field(description="The sensors to look at first; their needs are conditional.")
    what: str
    what_coded: Coded


class DroppedShape(Overruled):
    """A required calibration that a person decided against."""

    sensor: str
    side: Literal["left", "right"] | None
    what: str


class Standing(Shape):
    """What every answer on a job tells of its needs."""

    open_questions: list[OpenShape] = Field(default=[], description="Events that no rule knows and nobody has decided.")
    dropped: list[DroppedShape] = Field(default=[], description="Required calibrations that a person decided against.")


class ScanShape(Shape):
    when: Literal["before", "after"]
    findings: list[str]


class DoneShape(Shape):
    what: str
    at: str
    by: str


class OrderShape(Shape):
    """The repair order as it was written when it was asked."""

    name: str
    site: str
    vehicle: str
    order_number: str
    vin: str
    plate: str
    odometer: str
    payer: str
    scans: list[ScanShape] = Field(description="With no entry for `before` or `after`: nobody wrote that it was done.")
    done: list[DoneShape]
    time_zone: str = Field(
        "", description="The site's, by its name in the IANA time zone database; empty: it names none."
    )


class NeedsAnswer(AnswerShape, Standing):
    needs: list[NeedShape]
    order: list[StepShape]
    not_fitted: list[NotFittedShape]
    job: OrderShape | None = None


def of_needs(needs: Needs) -> NeedsAnswer:
    """The answer of `needs`."""
    return NeedsAnswer(**envelope(needs.basis), **needs_fields(needs))


def _order(job: Job, time_zone: str) -> OrderShape:
    return OrderShape(
        name=job.name,
        site=job.site,
        vehicle=job.vehicle,
        order_number=job.order_number,
        vin=job.vin,
        plate=job.plate,
        odometer=job.odometer,
        payer=job.payer,
        scans=[ScanShape(when=scan.when, findings=list(scan.findings)) for scan in job.scans],
        done=[DoneShape(what=one.what, at=one.at, by=one.by) for one in job.done],
        time_zone=time_zone,
    )


def needs_fields(needs: Needs) -> Json:
    """The fields of `NeedsAnswer` beside the envelope, for every answer that holds them."""
    return {
        **standing_fields(needs.answer),
        "needs": of_each_need(needs.answer.needs),
        "order": [_step(step) for step in needs.order],
        "not_fitted": [_not_fitted(sensor) for sensor in needs.answer.not_fitted],
        "job": _order(needs.job, needs.time_zone),
    }


def standing_fields(answer: Found) -> Json:
    """The fields of `Standing`."""
    return {
        "open_questions": [_open(question) for question in answer.open_questions],
        "dropped": [
            DroppedShape(
                **_overruled(need.overruled), sensor=need.sensor, side=need.side, what=dropped_words(need, ENGLISH)
            )
            for need in answer.dropped
            if need.overruled is not None
        ],
    }


def _open(question: OpenQuestion) -> OpenShape:
    return OpenShape(
        event=question.of.event,
        where=question.of.where,
        nearest=[ENGLISH.write(near) for near in question.nearest],
        sensors=[ENGLISH.write(ref) for ref in question.sensors],
        what=ENGLISH.reason(question.reason),
        what_coded=coded((question.reason,))[0],
    )


def _overruled(decision: Decision) -> Json:
    return {
        "verdict": decision.verdict,
        "because": ENGLISH.write(decision.because),
        "by": decision.by,
        "on": decision.on or None,
        "because_es": decision.because.es,
    }


def of_each_need(needs: Iterable[Need]) -> list[NeedShape]:
    """Each need, in the order given."""
    return [_need(need) for need in needs]


def _need(need: Need) -> NeedShape:
    decision = need.overruled
    return NeedShape(
        procedure=need.procedure,
        sensor=need.sensor,
        side=need.side,
        how=need.how,
        because=ENGLISH.reasons(need.because),
        because_coded=coded(need.because),
        before=[ENGLISH.write(first) for first in need.before],
        card=need.card,
        overruled=None if decision is None else Overruled(**_overruled(decision)),
        alternatives=list(need.alternatives),
        chain=list(need.chain),
        order=need.order,
        remedy=None if need.remedy is None else ENGLISH.reason(need.remedy),
        remedy_coded=coded_or_none(need.remedy),
    )


def _step(step: WorkStep) -> StepShape:
    return StepShape(
        order=step.order,
        stage=step.stage,
        kind=step.kind,
        what=ENGLISH.reason(step.what),
        what_coded=coded_or_none(step.what),
    )


def _not_fitted(sensor: NotFitted) -> NotFittedShape:
    return NotFittedShape(
        sensor=sensor.sensor,
        side=sensor.side,
        because=ENGLISH.reasons(sensor.because),
        because_coded=coded(sensor.because),
    )
