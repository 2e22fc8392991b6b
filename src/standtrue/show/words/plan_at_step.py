"""What a step needs at the car: figures, tolerances, conditions, what must be first, room to spare, cautions."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from standtrue.aim.layout import lay_out
from standtrue.model.cautions import Fact, cautions_for, sensor_facts
from standtrue.model.ground import Grounds
from standtrue.model.order import Step
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Angle, Length, Reason, Ref
from standtrue.place.question.answer import Answer
from standtrue.show.words import sheet, sheet_card
from standtrue.show.words.plan import StepWords
from standtrue.show.words.reader import Reader
from standtrue.show.words.sheet_limits import limit_words
from standtrue.show.words.texts import as_sentence
from standtrue.work.caution_facts import answer_facts, card_facts
from standtrue.work.plan.answer import PlanAnswer
from standtrue.work.sheet.content import CardPart

_AT_THE_PLACE = frozenset({Fact.RAISED, Fact.OPEN_PIT, Fact.OPEN_DOOR, Fact.OVERLOAD, Fact.UNKNOWN_MASS})
_OF_THE_CARD = frozenset({Fact.RADAR, Fact.LIDAR, Fact.UNVERIFIED_CARD, Fact.UNUSABLE_CARD})


def at_step(answer: PlanAnswer, words: StepWords, reader: Reader) -> Iterator[str]:
    """What to know of one step beside where, when and who, a line each."""
    step = words.step
    if step.move is not None:
        yield from _of_move(answer, step, reader)
        return
    if step.kind in ("set up", "carry", "put away"):
        return
    yield from _of_operation(answer, step, reader)
    yield from _first(answer, step, reader)


def _of_operation(answer: PlanAnswer, step: Step, reader: Reader) -> Iterator[str]:
    """Figures, tolerances, conditions, and room to spare."""
    card, stance = card_of(answer, step), stance_of(answer, step)
    if step.kind in ("wait", "sent out") or card is None:
        return
    if step.kind == "drive":
        yield as_sentence(sheet.without_place(card, reader))
    if step.kind == "drive" and "static" in card.method:
        return  # What must be so is told where the car stands.
    if stance is None or stance.place is None:
        yield from _before(CardPart(card, _nowhere(answer, card), ()), reader)
        return
    form = stance.forms[0]
    layouts = lay_out(form, answer.needs.vehicle, answer.site, stance.place, 0.0, stance.height_m)
    part = CardPart(form, stance, layouts)
    yield from sheet_card.answers(part, reader)
    yield from tolerance_lines(part, reader)
    yield from _before(part, reader)
    if spare := sheet.spare(stance, reader):
        yield spare


def step_cautions(answer: PlanAnswer, words: StepWords) -> tuple[Reason, ...]:
    """What could hurt someone in one step."""
    step, card, stance = words.step, card_of(answer, words.step), stance_of(answer, words.step)
    facts: set[Fact] = set()
    if step.move is not None:
        facts |= {Fact.CAR_MOVES} | (set() if step.move.driven else {Fact.CAR_PUSHED})
        if any(set(void.closed) != {c.name for c in void.covers} or not void.covers for void in answer.site.voids):
            facts.add(Fact.OPEN_PIT)
    if step.kind == "lift" and step.stand.carrier.height_m > 0.0:
        facts.add(Fact.RAISED)
    if stance is not None and step.kind != "wait":
        facts |= answer_facts(stance) & _AT_THE_PLACE
    if card is not None and card.sensor and step.kind in ("calibration", "drive"):
        facts |= card_facts([card]) & _OF_THE_CARD | sensor_facts([card.sensor])
    if step.kind == "drive":
        facts.add(Fact.ROAD_TEST)
    return tuple(c.reason for c in cautions_for(frozenset(facts))[:-1])


def card_of(answer: PlanAnswer, step: Step) -> Procedure | None:
    """The card that a step works by: one of the job's needs, or one made of a work's own zones."""
    if step.operation is None:
        return None
    name = answer.ordered.problem.operations[step.operation].name
    named = (name, name.removesuffix(" (drive)"))
    return next((c for c in (*answer.needs.cards, *answer.question.cards) if c.key in named), None)


def stance_of(answer: PlanAnswer, step: Step) -> Answer | None:
    """Where the car stands for a step, if that needs a place."""
    if step.operation is None or step.choice is None:
        return None
    return answer.stances.get((step.operation, step.choice))


def tolerance_lines(part: CardPart, reader: Reader) -> Iterator[str]:
    """How far off each target may be, in one line each."""
    for layout in part.targets:
        place, limits = layout.place, layout.place.tolerance
        lengths = (("along", limits.along_m), ("across", limits.across_m), ("height", limits.height_m))
        angles = (("turn", limits.turn_rad), ("lean", limits.lean_rad))
        told = [
            reader.say("{way} {limit}", way=reader.term(way), limit=limit_words(limit, reader))
            for way, limit in lengths
            if limit is not None
        ]
        told += [
            reader.say("{way} {limit:fine-down}", way=reader.term(way), limit=Angle(limit))
            for way, limit in angles
            if limit is not None
        ]
        if told and len(part.targets) > 1:
            yield reader.say("{target} at most off: {limits}.", target=Ref("target", place.name), limits=tuple(told))
        elif told:
            yield reader.say("At most off: {limits}.", limits=tuple(told))


def _of_move(answer: PlanAnswer, step: Step, reader: Reader) -> Iterator[str]:
    """How far, how often it turns back, which doors are open, and what comes nearest."""
    assert step.move is not None
    path = answer.ordered.paths.get((step.move.start, step.move.goal, step.move.driven))
    if path is None:
        return
    if path.length_m:
        far, turns = Length(path.length_m), step.move.shunts
        yield (
            reader.say_n("{far}, {n} change of direction.", "{far}, {n} changes of direction.", turns, far=far)
            if turns
            else reader.say("{far}, no change of direction.", far=far)
        )
    if path.doors_open:
        yield reader.say("Doors open: {doors}.", doors=path.doors_open)
    if path.nearest is not None:
        yield sheet.nearest(path.nearest, reader)


def _first(answer: PlanAnswer, step: Step, reader: Reader) -> Iterator[str]:
    """What must come first, and so did in this plan."""
    if step.operation is None or step.kind == "wait":
        return
    name = answer.ordered.problem.operations[step.operation].name
    need = next((n for n in answer.needs.answer.needs if not n.dropped and name in n.chain), None)
    if need is not None:
        own = {name, name.partition("/")[0]}
        if before := tuple(first for first in need.before if first not in own):
            yield reader.say("First: {before}.", before=before)
        return
    drafts = answer.question.drafts
    draft = next((d for d in drafts if d.name == name), None)
    named = () if draft is None else tuple(b.task for b in draft.befores if b.why in ("card", "rule", "job"))
    if named:
        yield reader.say("First: {before}.", before=tuple(drafts[n].title for n in sorted(named)))


def _before(part: CardPart, reader: Reader) -> Iterator[str]:
    rows = sheet_card.before_rows(part, part.answer, reader)
    if rows:
        yield reader.say("Before it starts: {conditions}.", conditions="; ".join(rows))


def _nowhere(answer: PlanAnswer, card: Procedure) -> Answer:
    """The answer of a card that needs no place."""
    grounds = Grounds(answer.site)
    return Answer((card,), answer.needs.vehicle, grounds, grounds.at_rest(), "floor")


def cautions_told(answer: PlanAnswer, told: Iterable[StepWords]) -> tuple[Reason, ...]:
    """The cautions of several steps, each once."""
    return tuple(dict.fromkeys(c for words in told for c in step_cautions(answer, words)))
