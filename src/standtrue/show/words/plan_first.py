"""What a plan says first: when the car is ready, what is not done and the least that would help, where it stands."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from standtrue.model.fits import Fits
from standtrue.model.level import IsLevel
from standtrue.model.order import OUTSIDE, Operation, Plan
from standtrue.model.reason import Angle, Duration, Reason, Term
from standtrue.show.words.catalog import N_
from standtrue.show.words.clock import begun_lines, ready_words, untimed_words
from standtrue.show.words.level import level_words
from standtrue.show.words.needs import card_lines, dropped_words, open_words
from standtrue.show.words.plan import MANY, sent_out_figures, span_words
from standtrue.show.words.plan_short import sensor_of
from standtrue.show.words.reader import Reader, Said
from standtrue.show.words.reasons.plan import alternative_name
from standtrue.show.words.remedies import remedy_words
from standtrue.show.words.texts import as_sentence
from standtrue.work.plan.answer import Alternative, PlanAnswer
from standtrue.work.plan.ordered import Undone
from standtrue.work.plan.whereabouts import whereabouts

LEAST_S = 60.0
"""What is quicker by less than this is as quick."""

LEAST_RAD = math.radians(0.5)
"""A car that is turned by less than this stands straight."""

LACKS: Mapping[str, str] = {
    "nobody-has-skill": N_("somebody with the skill {skill}"),
    "too-few-people": N_("{needed} people, where the site lists {listed}"),
    "site-lacks-equipment": N_("equipment that the site does not list: {equipment}"),
    "no-card": N_("the maker's procedure, written as a card"),
}
"""Whom or what a shop lacks for something, by the code of why it is not done."""


def first_lines(answer: PlanAnswer, reader: Reader) -> Iterator[str]:
    """The answer, in the order in which a foreman needs it."""
    yield from head_lines(answer, reader)
    yield from stand_lines(answer, reader)


def head_lines(answer: PlanAnswer, reader: Reader) -> Iterator[str]:
    """When the car is ready, what is not done, what was dropped; before that what is changed in an alternative."""
    if answer.otherwise is not None:
        change = answer.otherwise.change
        yield reader.say("{name}: {what}.", name=as_sentence(alternative_name(change, reader))[:-1], what=change)
    yield from ready_lines(answer, reader)
    yield from card_lines(answer.question.needs, reader)
    yield from begun_lines(answer, reader)
    yield from not_done_lines(answer, reader)
    yield from decided_lines(answer, reader)


def stand_lines(answer: PlanAnswer, reader: Reader) -> Iterator[str]:
    """Where the car stands for what, which doors are open, and how good the order is known to be; "" for no step."""
    if answer.plan is None or not answer.plan.steps:
        return
    yield from place_lines(answer, answer.plan, reader)
    yield from unlevel_lines(answer, reader)
    if answer.plan.doors_open:
        yield reader.say("Doors open: {doors}.", doors=answer.plan.doors_open)
    yield " ".join((size_words(answer.plan, reader), known_line(answer, answer.plan, reader)))


def unlevel_lines(answer: PlanAnswer, reader: Reader) -> Iterator[str]:
    """What is asked of the floor where the car stands and is not known to be met: once each, with its cards."""
    cards: dict[str, list[str]] = {}
    for stance in answer.stances.values():
        if stance.level is not None and stance.level.level is not IsLevel.MET:
            cards.setdefault(level_words(stance.level, reader), []).append(stance.name)
    for said, names in cards.items():
        yield as_sentence(reader.say("{level}: {cards}", level=said, cards=tuple(dict.fromkeys(names))))


def ready_lines(answer: PlanAnswer, reader: Reader) -> Iterator[str]:
    """When the car is ready."""
    plan = answer.plan
    if plan is None:
        if answer.ordered.front.proven:
            yield reader.say("There is no order in which the work can be done here.")
        else:
            yield reader.say("No order was found so far. That does not say that there is none.")
        return
    if ready := ready_words(answer, reader):
        yield ready
    else:
        took = span_words(plan.elapsed_s[0], plan.elapsed_s[2], reader)
        yield reader.say("It takes {time}: {why}.", time=took, why=untimed_words(answer, reader))


def size_words(plan: Plan, reader: Reader) -> str:
    """How long the work takes, and how often the car changes its place in the shop."""
    took = span_words(plan.elapsed_s[0], plan.elapsed_s[2], reader)
    if not plan.moves:
        return reader.say("{time} of work, no move inside.", time=took)
    return reader.say_n("{time} of work, {n} move inside.", "{time} of work, {n} moves inside.", plan.moves, time=took)


def not_done_lines(answer: PlanAnswer, reader: Reader) -> Iterator[str]:
    """What the plan leaves out and the least that would have it done, a line each; then what waits for it."""
    undone = answer.ordered.undone
    told: dict[tuple[str, str], list[str]] = {}
    for one in (u for u in undone if not u.waits_for):
        told.setdefault(_why_not(one, reader), []).append(undone_name(one, reader))
    for (sentence, why), names in told.items():
        yield reader.say(sentence, what=tuple(dict.fromkeys(names)), why=why)
    if waiting := tuple(dict.fromkeys(undone_name(u, reader) for u in undone if u.waits_for)):
        yield reader.say("Not done, since it comes after that: {what}.", what=waiting)


def _why_not(undone: Undone, reader: Reader) -> tuple[str, str]:
    """The sentence that says of something that it is not done, and what is said in it."""
    if least := least_words(undone, reader):
        return N_("Not done: {what}. It takes: {why}."), least
    tried = [(answer, remedies) for answer, remedies in undone.answers if answer.fits is Fits.NO]
    if undone.shut_in:
        change = next(r.single[0] for _, r in tried if r.single)
        said = N_("Not done: {what}. It would fit if you {why}, but then no way in was found, either.")
        return said, remedy_words(change, reader)
    if why := undone.ruled_out_by or next((a.because for a, _ in tried if a.because), ()):
        return N_("Not done: {what}: {why}."), reader.reason(why[0])
    if tried and not any(remedies.cut for _, remedies in tried):
        return N_("Not done: {what}. No single change that was tried makes room."), ""
    return N_("Not done: {what}. What would help was not looked for."), ""


def undone_name(undone: Undone, reader: Reader) -> str:
    """What is left out, by its sensor where it is a calibration."""
    draft = undone.draft
    sensor = sensor_of(draft.what)
    if sensor is None:
        return reader.write(draft.title)
    if isinstance(draft.title, Reason):
        return reader.say("{sensor} (drive)", sensor=sensor)
    if draft.what.code.startswith("look"):
        return reader.say("{sensor} (look first)", sensor=sensor)
    return reader.write(sensor)


def least_words(undone: Undone, reader: Reader) -> str:
    """The least that would have it done: whom or what is lacking, a change of the room, sending it out. "" for none."""
    lacks = [reader.say(LACKS[r.code], **dict(r.values)) for r in undone.ruled_out_by if r.code in LACKS]
    ways = [reader.all_of(lacks)] if lacks else []
    if undone.least is not None:
        ways.append(remedy_words(undone.least, reader))
    if undone.sent_out is not None:
        time, price = sent_out_figures(undone.sent_out, reader)
        ways.append(reader.say("send it out ({time}, {price})", time=time, price=price))
    return reader.any_of(ways) if ways else ""


def decided_lines(answer: PlanAnswer, reader: Reader) -> Iterator[str]:
    """What only a person can decide, what is called for and nobody ordered, and what a person dropped, each sensor."""
    needs = answer.needs.answer
    yield from (open_words(question, reader) for question in needs.open_questions)
    yield from reader.reasons(needs.open_points)
    for need in needs.needs:
        if need.dropped and need.overruled is not None and not need.overruled.event:
            yield dropped_words(need, reader)


def place_lines(answer: PlanAnswer, plan: Plan, reader: Reader) -> Iterator[str]:
    """Where the car stands, and what for; a line a place, in the order in which it comes there."""
    for number in dict.fromkeys(step.stand.place for step in plan.steps):
        done = [s.operation for s in plan.steps if s.stand.place == number and s.kind != "wait"]
        drafts = [answer.ordered.problem.operations[o] for o in done if o is not None]
        if what := _what_for(drafts, reader):
            yield reader.say("{where}: {what}.", where=place_words(answer, plan, number, reader), what=what)


def _what_for(operations: Sequence[Operation], reader: Reader) -> str:
    """What is done at a place: each kind of sensor once, whatever its sides; of works their number if they are many."""
    sensors = [sensor_of(o.what) for o in operations]
    names: list[Said] = [Term(name) for name in dict.fromkeys(s.name for s in sensors if s is not None)]
    works: list[Said] = [o.title for o in operations if o.kind == "work"]
    if len(works) + len(names) > MANY:
        works = [reader.say_n("{n} work", "{n} works", len(works))] if works else []
    rest: list[Said] = [o.title for o, s in zip(operations, sensors, strict=True) if s is None and o.kind != "work"]
    return reader.all_of([*works, *names] or rest)


def place_words(answer: PlanAnswer, plan: Plan, number: int, reader: Reader) -> str:
    """A place by what one sees: `Place 1 (lift bay, on flush lift, nose toward the lift bay door)`."""
    if number == OUTSIDE:
        return reader.say("Outside")
    at = whereabouts(answer.ordered, plan, number, answer.site, answer.needs.vehicle)
    parts = [reader.write(at.bays)] if at.bays else []
    parts += [reader.say("on {lift:the}", lift=at.lift)] if at.lift is not None else []
    askew = at.askew_rad > LEAST_RAD and at.lift is None
    parts += [reader.say("askew by {angle}", angle=Angle(at.askew_rad))] if askew else []
    parts += [reader.say("beside {thing:the}", thing=at.near)] if at.near is not None else []
    parts += [reader.say("nose toward {thing:the}", thing=at.ahead)] if at.ahead is not None else []
    return reader.say("Place {number} ({where})", number=number, where=", ".join(parts))


def known_line(answer: PlanAnswer, plan: Plan, reader: Reader) -> str:
    """How good the order is known to be, no more and no less."""
    front = answer.ordered.front
    if front.proven and not any(_beats(a, plan, answer) for a in answer.alternatives):
        return reader.say("Proven: no other order is quicker with as few moves, at these places.")
    if front.proven:
        return reader.say("Proven for these places only: an alternative is quicker.")
    if front.least_s is None:
        return reader.say("Not proven: not every order was looked at.")
    gap = max(0.0, plan.elapsed_s[1] - front.least_s)
    return reader.say("Not proven: another order may save up to {gap}, not more.", gap=Duration(gap))


def _beats(other: Alternative, plan: Plan, answer: PlanAnswer) -> bool:
    """Whether the same people with the same means are quicker otherwise, with nothing more left out."""
    best = other.ordered.plan
    alike = other.change.code == "only-in-bay" and len(other.ordered.undone) <= len(answer.ordered.undone)
    quicker = best is not None and best.elapsed_s[1] < plan.elapsed_s[1] - LEAST_S
    return alike and best is not None and best.moves <= plan.moves and quicker
