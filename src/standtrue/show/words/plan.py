"""A plan in plain words: what each step is, where and by whom, and why something is left out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from attrs import frozen

from standtrue.model.basics import Range
from standtrue.model.order import OUTSIDE, Operation, Plan, Problem, Stand, Step, StepKind, Times
from standtrue.model.reason import Duration, Length, Number, Reason, because
from standtrue.model.site import SentOut, Site
from standtrue.show.words.catalog import N_
from standtrue.show.words.place import verdict
from standtrue.show.words.reader import LANGUAGES, Reader
from standtrue.show.words.reasons.plan import alternative_name
from standtrue.show.words.remedies import remedies_words
from standtrue.show.words.texts import as_sentence
from standtrue.work.plan.answer import Alternative, PlanAnswer
from standtrue.work.plan.ordered import Ordered, Undone

MANY = 3
"""More names than this are told by what is not among them, where that is fewer."""

CHANGES: Mapping[StepKind, str] = {
    "set up": N_("set up the {equipment}"),
    "carry": N_("carry the {equipment} over and set up again"),
    "put away": N_("put the {equipment} away"),
}
MOVES: Mapping[tuple[StepKind, bool], str] = {
    ("enter", True): N_("drive in to place {place}"),
    ("enter", False): N_("push in to place {place}"),
    ("move", True): N_("drive to place {place}"),
    ("move", False): N_("push to place {place}"),
    ("leave", True): N_("drive out"),
    ("leave", False): N_("push out"),
}
"""By kind of step, and whether the car is driven."""

SCANS = (N_("pre-scan"), N_("post-scan"))
"""What the two scans are called."""


@frozen
class StepWords:
    """One step in words. `people` are names, where the site lists any; `because` is still to be said."""

    number: int
    step: Step
    what: str
    where: str
    people: tuple[str, ...]
    because: tuple[Reason, ...]


def step_words(ordered: Ordered, plan: Plan, site: Site, reader: Reader) -> tuple[StepWords, ...]:
    """Every step of a plan, numbered from 1."""
    told = []
    for number, step in enumerate(plan.steps, start=1):
        operation = None if step.operation is None else ordered.problem.operations[step.operation]
        people = tuple(_called(name, site, reader) for name in _people(plan, number - 1, ordered.problem, site))
        reasons = step_because(plan, number - 1, ordered.problem)
        told.append(StepWords(number, step, _what(step, operation, reader), where(step.stand, reader), people, reasons))
    return tuple(told)


def where(stand: Stand, reader: Reader) -> str:
    """Where the car stands and on what: `place 1, on flush lift (up) at 900 mm`."""
    if stand.place == OUTSIDE:
        return reader.say("outside")
    on = stand.carrier
    if on.lift is None:
        return reader.say("place {number}, floor", number=stand.place)
    if on.height_m <= 0.0:
        return reader.say("place {number}, on {lift} ({state})", number=stand.place, lift=on.lift, state=on.state)
    height = Length(on.height_m)
    return reader.say(
        "place {number}, on {lift} ({state}) at {height}",
        number=stand.place, lift=on.lift, state=on.state, height=height,
    )  # fmt: skip


def _what(step: Step, operation: Operation | None, reader: Reader) -> str:
    if step.kind == "wait":
        title = "" if operation is None else operation.title
        return reader.say("wait: {operation} must cure or dry", operation=title)
    if step.kind in CHANGES:
        return reader.say(CHANGES[step.kind], equipment=tuple(f.equipment for f in step.fittings))
    if step.kind == "lift":
        height_m = step.stand.carrier.height_m
        return (
            reader.say("raise the car to {height}", height=Length(height_m))
            if height_m
            else reader.say("lower the car")
        )
    if step.move is not None:
        return reader.say(MOVES[step.kind, step.move.driven], place=step.stand.place)
    what = reader.term(step.kind) if operation is None else reader.reason(operation.what)
    if step.choice is None or not step.choice.variant:
        return what
    return reader.say("{what} ({variant})", what=what, variant=step.choice.variant)


def _people(plan: Plan, number: int, problem: Problem, site: Site) -> tuple[str, ...]:
    """Who does a step: the operation's own crew; moves and equipment go with the operation that follows."""
    step = plan.steps[number]
    if step.kind == "wait":
        return ()
    following = [*plan.steps[number:], *reversed(plan.steps[:number])]
    if step.operation is not None:
        return step.team
    crew = next((s.team for s in following if s.team), ())
    others = () if step.team else (p.name for p in site.people)
    return tuple(dict.fromkeys([*crew, *others]))[: problem.hands_for(step)]


def _called(name: str, site: Site, reader: Reader) -> str:
    """A person whom the site lists by the name there; anybody else is the one more person of an alternative."""
    listed = not site.people or any(p.name == name for p in site.people)
    return name if listed else reader.say("one more person")


def step_because(plan: Plan, number: int, problem: Problem) -> tuple[Reason, ...]:
    """Why a step is there: an operation's own reasons; a change names what it is for."""
    step = plan.steps[number]
    if step.operation is not None:
        return problem.operations[step.operation].because
    after = (s for s in plan.steps[number:] if s.operation is not None and s.kind != "wait")
    following = next(after, None)
    if following is None or following.operation is None or step.kind == "put away":
        return ()
    return (because("step-for", operation=problem.operations[following.operation].title),)


def minutes(times: Times) -> Range:
    """The least and the greatest, minutes to a hundredth."""
    return round(times[0] / 60, 2), round(times[2] / 60, 2)


def span_words(low_s: float, high_s: float, reader: Reader) -> str:
    """A span of time for a reader: `3 min to 5 min`, `2 h 05 min to 3 h`, `20 s`."""
    return reader.span(Duration(low_s), Duration(high_s))


def undone_words(undone: Undone, reader: Reader) -> tuple[str, ...]:
    """Why something is left out, what would make room, and who else could do it."""
    return tuple(dict.fromkeys(_undone(undone, reader)))


def undone_because(undone: Undone) -> tuple[Reason, ...]:
    """The reasons for which something is left out, but for what stops it at its places."""
    if not undone.waits_for:
        return undone.ruled_out_by
    return (*undone.ruled_out_by, because("follows-left-out", operations=undone.waits_for))


def _undone(undone: Undone, reader: Reader) -> Iterator[str]:
    yield from (as_sentence(reader.reason(lack)) for lack in undone_because(undone))
    for answer, remedies in undone.answers:
        yield verdict(answer, reader)
        yield from remedies_words(remedies, answer, reader)
    if undone.shut_in:
        yield reader.say("Even so no way in was found.")
    if undone.sent_out is not None:
        yield sent_out_words(undone.sent_out, reader)


def sent_out_words(sent: SentOut, reader: Reader) -> str:
    """What it takes to have it done elsewhere, or by whoever comes for it."""
    time, price = sent_out_figures(sent, reader)
    return reader.say("It can be sent out: {time}, {price}.", time=time, price=price)


def sent_out_figures(sent: SentOut, reader: Reader) -> tuple[str, str]:
    """How long it takes until the car is back, and what it costs."""
    price = reader.span(*(Number(p, 0 if p == round(p) else 2) for p in sent.price))
    said = reader.say("{price} {currency}", price=price, currency=sent.currency)
    return span_words(*sent.takes_s, reader), said


def left_out_words(ordered: Ordered, reader: Reader) -> str:
    """What an answer leaves out; where that is most of the job, what it does not leave out."""
    left, done = [u.draft.title for u in ordered.undone], [o.title for o in ordered.problem.operations]
    if not left:
        return reader.say("nothing")
    if len(left) <= max(MANY, len(done)):
        return reader.say("{n}: {names}", n=len(left), names=tuple(left))
    whole = len(left) + len(done)
    if not done:
        return reader.say("{n} of {whole}: all", n=len(left), whole=whole)
    return reader.say("{n} of {whole}: all but {names}", n=len(left), whole=whole, names=tuple(done))


def alternative_words(alternatives: Iterable[Alternative], reader: Reader) -> Iterator[str]:
    """Each alternative in a sentence."""
    for other in alternatives:
        plan, name = other.ordered.plan, alternative_name(other.change, reader)
        left = left_out_words(other.ordered, reader)
        if plan is None:
            yield reader.say("{name}: no order was found; left out: {left}.", name=name, left=left)
            continue
        yield reader.say_n(
            "{name}: {time}, {n} move; left out: {left}.", "{name}: {time}, {n} moves; left out: {left}.",
            plan.moves, name=name, left=left, time=span_words(plan.elapsed_s[0], plan.elapsed_s[2], reader),
        )  # fmt: skip


def short_alternatives(answer: PlanAnswer, reader: Reader) -> Iterator[str]:
    """The alternatives that leave nothing more out, with what they gain or cost; then the names of the others.

    By the clock where there is one: work of an hour more may be ready as soon, on the morning after.
    """
    least, others = len(answer.ordered.undone), []
    for other in answer.alternatives:
        plan, left, name = other.ordered.plan, len(other.ordered.undone), alternative_name(other.change, reader)
        if plan is None or answer.plan is None or left > least:
            others.append(name)
            continue
        found = other.ordered.timed(plan)
        if found is None or answer.timed is None:
            more = longer_words(plan.elapsed_s[1] - answer.plan.elapsed_s[1], reader)
        else:
            more = later_words(found.ready_s[1] - answer.timed.ready_s[1], reader)
        if left < least:
            done = reader.say("nothing left out") if not left else reader.say("{n} more done", n=least - left)
            yield reader.say("{name} ({done}, {more})", name=name, done=done, more=more)
        else:
            yield reader.say("{name} ({more})", name=name, more=more)
    if others:
        yield reader.say("with more left out {names}", names=tuple(others))


def longer_words(seconds: float, reader: Reader) -> str:
    """How much longer or shorter something takes, at the midpoints."""
    if abs(seconds) < 60.0:
        return reader.say("as long")
    by = Duration(abs(seconds))
    return reader.say("{time} longer", time=by) if seconds > 0.0 else reader.say("{time} shorter", time=by)


def later_words(seconds: float, reader: Reader) -> str:
    """How much later or sooner the car is ready by the clock, at the midpoints."""
    if abs(seconds) < 60.0:
        return reader.say("ready as soon")
    by = Duration(abs(seconds))
    return reader.say("ready {time} later", time=by) if seconds > 0.0 else reader.say("ready {time} sooner", time=by)


def turns_words(plan: Plan, reader: Reader) -> str:
    """How often the car changes direction in all its moves."""
    if not plan.shunts:
        return reader.say("No change of direction.")
    return reader.say_n("{n} change of direction.", "{n} changes of direction.", plan.shunts)


def alternatives_by_name(name: str, alternatives: Iterable[Alternative], reader: Reader) -> Mapping[str, Alternative]:
    """The alternatives by what this reader calls them; where one has the name in another language, by that alone."""
    others = list(alternatives)
    for language in LANGUAGES:
        known = {alternative_name(a.change, Reader(reader.units, language)): a for a in others}
        if name in known:
            return known
    return {alternative_name(a.change, reader): a for a in others}


def title_of(answer: PlanAnswer, reader: Reader) -> str:
    """What the plan and every picture of it is called."""
    names = {"job": answer.needs.job.name, "vehicle": answer.needs.vehicle.name, "site": answer.site.name}
    if answer.otherwise is None:
        return reader.say("{job}: {vehicle}, {site}", **names)
    name = alternative_name(answer.otherwise.change, reader)
    return reader.say("{job} ({otherwise}): {vehicle}, {site}", otherwise=name, **names)
