"""The answer of `plan`: its shape, and how it is made of what was worked out."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from pydantic import Field

from standtrue.model.basics import Place
from standtrue.model.order import OUTSIDE, Plan, Stand, StepKind, Times
from standtrue.model.reason import Reason
from standtrue.model.site import SentOut
from standtrue.model.stance import written
from standtrue.sequence.clock import Timed
from standtrue.show.answers.drive import WayShape, of_way
from standtrue.show.answers.needs import NeedShape, Standing, of_each_need, standing_fields
from standtrue.show.answers.parts import (
    AnswerShape,
    Coded,
    LeveledShape,
    Shape,
    StanceShape,
    coded,
    envelope,
    level_fields,
    rounded,
    rounded_or_none,
    stance_told,
)
from standtrue.show.words.plan import StepWords, minutes, step_words, undone_because, undone_words
from standtrue.show.words.reader import ENGLISH
from standtrue.show.words.reasons.plan import alternative_name
from standtrue.work.plan.answer import Alternative, PlanAnswer
from standtrue.work.plan.clock import Late, earliest_of, latest_of
from standtrue.work.plan.operations import Draft
from standtrue.work.plan.ordered import Ordered, Undone

MinutesShape = tuple[float, float]
MomentsShape = tuple[str, str]


class SentOutShape(Shape):
    """Who else does it, as ranges."""

    minutes: MinutesShape
    transport: MinutesShape | None = Field(
        default=None, description="What fetching the car and bringing it back takes; null: it is driven there."
    )
    price: tuple[float, float]
    currency: str


class PlanStepShape(LeveledShape):
    what: str
    kind: StepKind
    operation: str | None = Field(description="The work or card that is done, or whose wait it is.")
    start_min: MinutesShape = Field(description="If everything before takes its least, and its greatest, time.")
    end_min: MinutesShape
    starts: MomentsShape | None = Field(
        default=None, description="By the clock, earliest and latest (ISO 8601, local time); null without hours."
    )
    ends: MomentsShape | None = None
    carried_by: str | None = Field(description="`floor` or LIFT/STATE at the end of the step; null outside.")
    height_m: float
    place: int | None = Field(description="The number of the place, as in `places`; null outside.")
    stance: StanceShape | None
    margin_m: float | None = Field(description="Of an operation that needs a place: the margin of the stance.")
    variant: str | None
    people: list[str] = Field(description="Names, where the site lists people.")
    equipment: list[str]
    because: list[str]
    because_coded: list[Coded] = Field(default=[])
    path: WayShape | None = Field(description="Of a move: how the car gets there. Null where the site has no door.")
    sent_out: SentOutShape | None = Field(default=None, description="Of what is done elsewhere: what that takes.")


class ReadyShape(Shape):
    """When the car is ready, in the shop's local time (ISO 8601)."""

    earliest: str
    latest: str
    promised: str | None = Field(description="As the order has it: a date and time, or a date alone.")
    late: Late | None = Field(description="Null where nothing is promised.")


class DoneShape(Shape):
    """What is done, and left out of the plan."""

    procedure: str
    at: str
    by: str


class AgainShape(Shape):
    """What was done and is planned again."""

    procedure: str
    because: list[str]
    because_coded: list[Coded] = Field(default=[])


class UndoneShape(Shape):
    """What the plan leaves out."""

    procedure: str
    what: str
    because: list[str]
    because_coded: list[Coded] = Field(default=[], description="But for what stops it at its places.")
    sent_out: SentOutShape | None


class FrontShape(Shape):
    """A plan that no other beats both in time and in moves."""

    moves: int
    shunts: int
    elapsed_min: MinutesShape
    ready: ReadyShape | None = Field(default=None, description="Null without opening hours or an arrival.")
    order: list[str]
    doors_open: list[str]


class AlternativeShape(Shape):
    name: str
    what: str
    what_coded: Coded = Field(description="What is changed.")
    moves: int | None = Field(description="Null where nothing can be done.")
    shunts: int | None
    elapsed_min: MinutesShape | None
    ready: ReadyShape | None = Field(default=None, description="Null without opening hours or an arrival.")
    proven: bool
    undone: list[str]
    doors_open: list[str]


class NumberedPlace(Shape):
    place: int
    x_m: float
    y_m: float
    heading_deg: float


class PlanShape(AnswerShape, Standing):
    """The whole answer of `plan`."""

    otherwise: str | None = Field(description="The alternative that is told here, if one was asked for.")
    needs: list[NeedShape]
    begins: str | None = Field(
        default=None, description="When the plan begins: the last thing done, or the arrival (ISO 8601, local time)."
    )
    done: list[DoneShape] = Field(default=[], description="What is done and stands.")
    again: list[AgainShape] = Field(default=[], description="What was done and must be done again, since disturbed.")
    steps: list[PlanStepShape]
    moves: int | None = Field(description="Changes of place between entering and leaving; null where there is no plan.")
    shunts: int | None = Field(description="Changes of direction in all moves.")
    elapsed_min: MinutesShape | None
    ready: ReadyShape | None = Field(default=None, description="Null without opening hours or an arrival.")
    not_ready_because: list[str] = Field(default=[], description="Why it is not told when the car is ready.")
    not_ready_because_coded: list[Coded] = Field(default=[])
    proven: bool = Field(description="That no better order exists for these places and the moves found.")
    least_min: float | None = Field(
        default=None, description="Where it is not proven: no order takes less, at the midpoints of all ranges."
    )
    doors_open: list[str]
    places: list[NumberedPlace]
    undone: list[UndoneShape]
    front: list[FrontShape] = Field(description="Every plan that no other beats both in time and in moves.")
    alternatives: list[AlternativeShape]


def of_plan(answer: PlanAnswer) -> PlanShape:
    """The whole answer as data."""
    ordered, plan = answer.ordered, answer.plan
    steps = () if plan is None else step_words(ordered, plan, answer.site, ENGLISH)
    return PlanShape(
        **envelope(answer.basis),
        **standing_fields(answer.needs.answer),
        otherwise=None if answer.otherwise is None else alternative_name(answer.otherwise.change, ENGLISH),
        needs=of_each_need(answer.needs.answer.needs),
        begins=None if answer.clock.begins is None else answer.clock.begins.isoformat(timespec="minutes"),
        done=[DoneShape(procedure=d.what, at=d.at, by=d.by) for d in answer.question.begun.done],
        again=[_again(draft, why) for draft, why in answer.question.begun.again],
        steps=[_step(words, answer) for words in steps],
        **_figures(plan),
        ready=_ready(ordered, answer.timed),
        not_ready_because=ENGLISH.reasons(answer.untimed),
        not_ready_because_coded=coded(answer.untimed),
        proven=ordered.front.proven,
        least_min=None if ordered.front.least_s is None else ordered.front.least_s / 60.0,
        doors_open=[] if plan is None else list(plan.doors_open),
        places=[_numbered(number, c.place) for number, c in enumerate(ordered.places, start=1)],
        undone=[_left_out(u) for u in ordered.undone],
        front=[_brief(p, ordered) for p in ordered.front.plans],
        alternatives=[_alternative(a) for a in answer.alternatives],
    )


def _again(draft: Draft, why: Sequence[Reason]) -> AgainShape:
    return AgainShape(procedure=draft.name, because=ENGLISH.reasons(why), because_coded=coded(why))


def _ready(ordered: Ordered, timed: Timed | None) -> ReadyShape | None:
    if timed is None:
        return None
    earliest, latest = _moments(timed.ready_s)
    promise = ordered.clock.promise
    promised = None if promise is None else promise.written
    return ReadyShape(earliest=earliest, latest=latest, promised=promised, late=ordered.clock.late(timed))


def _moments(times_s: Times) -> MomentsShape:
    earliest, latest = earliest_of(times_s), latest_of(times_s)
    return earliest.isoformat(timespec="minutes"), latest.isoformat(timespec="minutes")


def _figures(plan: Plan | None) -> dict[str, Any]:
    if plan is None:
        return {"moves": None, "shunts": None, "elapsed_min": None}
    return {"moves": plan.moves, "shunts": plan.shunts, "elapsed_min": minutes(plan.elapsed_s)}


def _step(words: StepWords, answer: PlanAnswer) -> PlanStepShape:
    step, ordered = words.step, answer.ordered
    placed = (
        None if step.operation is None or step.choice is None else answer.stances.get((step.operation, step.choice))
    )
    there = step.stand.place != OUTSIDE
    clock = None if answer.timed is None else answer.timed.steps[words.number - 1]
    fittings = step.fittings or (() if step.choice is None else step.choice.fittings)
    return PlanStepShape(
        what=words.what,
        kind=step.kind,
        operation=None if step.operation is None else ordered.problem.operations[step.operation].name,
        start_min=minutes(step.start_s),
        end_min=minutes(step.end_s),
        starts=None if clock is None else _moments(clock.start_s),
        ends=None if clock is None else _moments(clock.end_s),
        carried_by=written(step.stand.carrier) if there else None,
        height_m=step.stand.carrier.height_m,
        place=step.stand.place if there else None,
        stance=_stance(step.stand, ordered),
        margin_m=None if placed is None else rounded_or_none(placed.margin_m),
        **level_fields(None if placed is None else placed.level),
        variant=None if step.choice is None else step.choice.variant,
        people=list(words.people),
        equipment=sorted({f.equipment for f in fittings}),
        because=ENGLISH.reasons(words.because),
        because_coded=coded(words.because),
        path=_path(words, ordered),
        sent_out=_sent_step(words, answer),
    )


def _path(words: StepWords, ordered: Ordered) -> WayShape | None:
    move = words.step.move
    found = None if move is None else ordered.paths.get((move.start, move.goal, move.driven))
    return None if found is None else of_way(found)


def _stance(stand: Stand, ordered: Ordered) -> StanceShape | None:
    return None if stand.place == OUTSIDE else stance_told(ordered.places[stand.place - 1].place)


def _numbered(number: int, place: Place) -> NumberedPlace:
    at = stance_told(place)
    return NumberedPlace(place=number, x_m=at.x_m, y_m=at.y_m, heading_deg=at.heading_deg)


def _brief(plan: Plan, ordered: Ordered) -> FrontShape:
    order = [ordered.problem.operations[turn.operation].name for turn in plan.order]
    ready = _ready(ordered, ordered.timed(plan))
    return FrontShape(**_figures(plan), ready=ready, order=order, doors_open=list(plan.doors_open))


def _left_out(undone: Undone) -> UndoneShape:
    return UndoneShape(
        procedure=undone.draft.name,
        what=ENGLISH.reason(undone.draft.what),
        because=list(undone_words(undone, ENGLISH)),
        because_coded=coded(undone_because(undone)),
        sent_out=None if undone.sent_out is None else _sent_out(undone.sent_out),
    )


def _sent_out(sent: SentOut) -> SentOutShape:
    low, high = (rounded(s / 60) for s in sent.minutes_s)
    way = None if sent.transport_s is None else (rounded(sent.transport_s[0] / 60), rounded(sent.transport_s[1] / 60))
    return SentOutShape(minutes=(low, high), transport=way, price=sent.price, currency=sent.currency)


def _sent_step(words: StepWords, answer: PlanAnswer) -> SentOutShape | None:
    """Who does a step elsewhere."""
    operations = answer.ordered.problem.operations
    if words.step.kind != "sent out" or words.step.operation is None:
        return None
    name = operations[words.step.operation].name
    offer = next((d.sent_out for d in answer.question.drafts if d.name == name), None)
    return None if offer is None else _sent_out(offer)


def _alternative(alternative: Alternative) -> AlternativeShape:
    ordered = alternative.ordered
    return AlternativeShape(
        name=alternative_name(alternative.change, ENGLISH),
        what=ENGLISH.reason(alternative.change),
        what_coded=coded([alternative.change])[0],
        **_figures(ordered.plan),
        ready=None if ordered.plan is None else _ready(ordered, ordered.timed(ordered.plan)),
        proven=ordered.front.proven,
        undone=[u.draft.name for u in ordered.undone],
        doors_open=[] if ordered.plan is None else list(ordered.plan.doors_open),
    )
