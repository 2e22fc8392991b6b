"""The answer of `measured`: what a set-up's readings say, and what comes before it."""

from __future__ import annotations

import math

from pydantic import Field

from standtrue.aim.conditions import ConditionCheck, Standing
from standtrue.aim.questions import Question
from standtrue.aim.settle import Settling
from standtrue.aim.setup import SetupAnswer
from standtrue.aim.stands import CarStands
from standtrue.aim.titles import title_of
from standtrue.model.fits import Fits
from standtrue.model.verdict import Verdict
from standtrue.show.answers.aim_parts import (
    ReadingShape,
    StandingShape,
    TargetShape,
    degrees,
    of_reading,
    of_standing,
    of_target,
    told,
)
from standtrue.show.answers.doubt import DoubtShape, of_doubt
from standtrue.show.answers.parts import (
    AnswerShape,
    Coded,
    Shape,
    StanceShape,
    TouchShape,
    coded,
    coded_or_none,
    envelope,
    rounded,
    rounded_or_none,
    stance_told,
)
from standtrue.show.answers.place import of_touch
from standtrue.show.answers.set_up import SetUpShape, of_set_up
from standtrue.show.answers.stands import TargetStandsShape, of_stands
from standtrue.show.words.aim import question_words
from standtrue.show.words.gate import gate_line
from standtrue.show.words.reader import ENGLISH
from standtrue.work.aim import aiming
from standtrue.work.aim.gate import Gate, May
from standtrue.work.aim.restanding import Restood


class CarShape(StanceShape):
    forward_m: float = Field(description="Off the planned stance, in the planned vehicle frame.")
    left_m: float
    turn_deg: float
    u_x_m: float
    u_y_m: float
    u_heading_deg: float
    thrust_heading_deg: float


class QuestionShape(Shape):
    reading: int
    words: str
    impossible: bool
    words_coded: list[Coded] = Field([], description="Why, and what would explain it if there is such.")


class TestShape(Shape):
    title: str
    test: float | None = Field(description="The standardized residual; null where no other reading checks it.")
    detectable: float | None = Field(description="The least blunder found with 80 % power: metres or radians.")


class BlunderShape(Shape):
    alarm: bool
    suspects: list[str] = Field(description="One reading, or those that cannot be told apart.")
    size: float | None
    critical: float | None
    unchecked: list[str]
    readings: list[TestShape]
    suspects_coded: list[Coded] = Field([])
    unchecked_coded: list[Coded] = Field([])


class SettlingShape(Shape):
    target: str
    reading: ReadingShape
    probability: float


class ConditionShape(Shape):
    what: str
    low: float | None
    high: float | None
    unit: str
    found: float | None = Field(description="As recorded, in `found_unit`.")
    standing: Standing
    because_coded: Coded | None = None
    found_unit: str = ""
    found_u: float | None = Field(None, description="Standard uncertainty in `found_unit`, where it was stated.")
    value: float | None = Field(None, description="What was found, in the card's unit.")


class StandsShape(Shape):
    """The stance measured again for the card: as planned, or where the readings say that the car stands."""

    place: StanceShape | None
    planned: bool = Field(description="No reading ties the car to the floor: this is the planned stance.")
    carried_by: str
    height_m: float
    fits: bool
    verdict: Verdict = Field(description="With a guard band of the margin's own uncertainty.")
    margin_m: float | None
    u_m: float | None = Field(description="Standard uncertainty of the margin.")
    probability: float | None = Field(description="That the car fits.")
    touches: list[TouchShape]
    because: list[str]
    in_view: list[str]
    because_coded: list[Coded] = Field([])
    in_view_coded: list[Coded] = Field([])


class GateShape(Shape):
    """The one verdict of everything that is known: whether a calibration may start. Says nothing of safety."""

    verdict: May
    line: str = Field(description="The verdict as a whole sentence: the first line of the answer.")
    card_status: str
    because: list[str] = Field(description="What stands against it: what is known to first, each by what mends first.")
    to_do: list[str] = Field(description="What mends or settles each; empty where the rest of the answer says it.")
    known: list[bool] = Field(description="Whether each is known to stand against it, or not known at all.")
    in_tolerance: list[str] = Field(description="The targets found in tolerance.")
    because_coded: list[Coded]
    to_do_coded: list[Coded | None]
    told_coded: list[Coded] = Field(description="What must be said even beside a yes.")


class MeasuredAnswer(AnswerShape):
    verdict: Verdict = Field(description="Of the targets alone: `gate` has the verdict of everything.")
    may_calibrate: bool = Field(description="Nothing of what was asked stands against it. Says nothing of safety.")
    car: CarShape | None
    stance: StandsShape
    floor: StandingShape | None = Field(description="The floor under it by the survey, where the card asks for level.")
    targets: list[TargetStandsShape]
    corrected: list[TargetShape] = Field(description="Where the targets go for the car as it stands.")
    refused: list[str]
    questions: list[QuestionShape]
    blunder: BlunderShape | None
    doubt: DoubtShape | None = Field(None, description="With an alarm: what it comes to.")
    settling: list[SettlingShape]
    conditions: list[ConditionShape]
    alignment_holds: list[str]
    refused_coded: list[Coded] = Field([])
    alignment_holds_coded: list[Coded] = Field([])
    gate: GateShape
    set_up: SetUpShape | None = Field(None, description="Which set-up, by which card, with every reading as given.")


def of_measured(answer: aiming.MeasuredAnswer) -> MeasuredAnswer:
    """What a set-up's readings say."""
    setup = answer.setup
    return MeasuredAnswer(
        **envelope(answer.basis),
        verdict=setup.verdict,
        may_calibrate=answer.may_calibrate,
        car=None if setup.car is None else _car(setup.car),
        stance=_restood(answer.stance, setup.car is None),
        floor=None if answer.floor is None else of_standing(answer.floor),
        targets=[of_stands(target) for target in setup.targets],
        corrected=[of_target(place) for place in setup.corrected],
        refused=ENGLISH.reasons(setup.refused),
        questions=[_question(q) for q in setup.questions],
        blunder=_blunder(setup),
        doubt=of_doubt(setup),
        settling=[_settling(s, setup) for s in answer.settling],
        conditions=[_condition(c) for c in answer.conditions],
        alignment_holds=ENGLISH.reasons(answer.alignment.holds),
        refused_coded=coded(setup.refused),
        alignment_holds_coded=coded(answer.alignment.holds),
        gate=of_gate(answer.gate),
        set_up=of_set_up(answer),
    )


def of_gate(gate: Gate) -> GateShape:
    """Whether a calibration may start, and what stands against it."""
    holds = gate.ordered
    return GateShape(
        verdict=gate.verdict,
        line=gate_line(gate, ENGLISH),
        card_status=gate.status,
        because=[ENGLISH.reason(hold.what) for hold in holds],
        to_do=["" if hold.do is None else ENGLISH.reason(hold.do) for hold in holds],
        known=[hold.sure for hold in holds],
        in_tolerance=[target.name for target in gate.kept],
        because_coded=[c for hold in holds if (c := coded_or_none(hold.what)) is not None],
        to_do_coded=[coded_or_none(hold.do) for hold in holds],
        told_coded=coded(gate.told),
    )


def _car(car: CarStands) -> CarShape:
    u_x, u_y, u_heading = (math.sqrt(float(car.covariance[i, i])) for i in range(3))
    return CarShape(
        **dict(stance_told(car.place)),
        forward_m=rounded(car.forward_m),
        left_m=rounded(car.left_m),
        turn_deg=degrees(car.turn_rad),
        u_x_m=rounded(u_x),
        u_y_m=rounded(u_y),
        u_heading_deg=degrees(u_heading),
        thrust_heading_deg=degrees(car.thrust_heading_rad),
    )


def _restood(stance: Restood, planned: bool) -> StandsShape:
    answer = stance.answer
    fits = answer.fits is Fits.YES
    return StandsShape(
        place=stance_told(answer.place) if answer.place is not None else None,
        planned=planned,
        carried_by=answer.carried_by,
        height_m=rounded(answer.height_m),
        fits=fits,
        verdict=stance.verdict,
        margin_m=rounded_or_none(answer.margin_m) if fits else None,
        u_m=rounded_or_none(stance.u_m),
        probability=None if stance.tested is None else round(stance.tested.probability, 6),
        touches=[of_touch(touch) for touch in answer.touches],
        because=ENGLISH.reasons(answer.because),
        in_view=ENGLISH.reasons(answer.in_view),
        because_coded=coded(answer.because),
        in_view_coded=coded(answer.in_view),
    )


def _question(question: Question) -> QuestionShape:
    reasons = [question.why] if question.perhaps is None else [question.why, question.perhaps]
    return QuestionShape(
        reading=question.reading,
        words=question_words(question, ENGLISH),
        impossible=question.impossible,
        words_coded=coded(reasons),
    )


def _blunder(setup: SetupAnswer) -> BlunderShape | None:
    test = setup.blunder
    if test is None:
        return None
    assert setup.adjustment is not None
    tested = setup.adjustment.readings
    titles = [title_of(reading, setup.scene) for reading in tested]
    suspects, unchecked = [titles[i] for i in test.suspects], [titles[i] for i in test.unchecked]
    return BlunderShape(
        alarm=test.alarm,
        suspects=[told(title) for title in suspects],
        size=rounded_or_none(test.size) if test.alarm else None,
        critical=rounded_or_none(test.critical),
        unchecked=[told(title) for title in unchecked],
        readings=[
            TestShape(title=told(title), test=rounded_or_none(float(w)), detectable=rounded_or_none(d))
            for title, w, d, reading in zip(titles, test.test, test.detectable, tested, strict=True)
            if reading.what != "size"
        ],
        suspects_coded=coded(suspects),
        unchecked_coded=coded(unchecked),
    )


def _settling(settling: Settling, setup: SetupAnswer) -> SettlingShape:
    return SettlingShape(
        target=settling.target,
        reading=of_reading(settling.reading, setup.scene),
        probability=round(settling.probability, 4),
    )


def _condition(check: ConditionCheck) -> ConditionShape:
    return ConditionShape(
        what=check.condition.what,
        low=check.condition.low,
        high=check.condition.high,
        unit=check.condition.unit,
        found=None if check.found is None else check.found.value,
        standing=check.standing,
        because_coded=coded_or_none(check.because),
        found_unit="" if check.found is None else check.found.unit,
        found_u=None if check.found is None or check.found.u == 0.0 else check.found.u,
        value=rounded_or_none(check.value),
    )
