"""A plan in plain words: what each step is, where and by whom, and why something is left out."""

from __future__ import annotations

from collections.abc import Iterator

from attrs import frozen

from standtrue.model.basics import Range
from standtrue.model.order import OUTSIDE, Operation, Plan, Problem, Stand, Step, Times
from standtrue.model.reader_units import System, format_length
from standtrue.model.site import SentOut, Site
from standtrue.show.words.place import remedies_words, verdict
from standtrue.work.plan.answer import Ordered, PlanAnswer, Undone

GUIDED = 2
PUSHING = 2
"""How many people a guided move, and a pushed one, take at the least. Common practice, no source."""

MANY = 3
"""More names than this are told by what is not among them, where that is fewer."""


@frozen
class Told:
    """One step in words. `people` are names, where the site lists any."""

    number: int
    step: Step
    what: str
    where: str
    people: tuple[str, ...]
    because: tuple[str, ...]


def told_steps(ordered: Ordered, plan: Plan, site: Site, units: System = "metric") -> tuple[Told, ...]:
    """Every step of a plan, numbered from 1."""
    told = []
    for number, step in enumerate(plan.steps, start=1):
        operation = None if step.operation is None else ordered.problem.operations[step.operation]
        people = _people(plan, number - 1, ordered.problem, site)
        because = _because(plan, number - 1, ordered.problem)
        told.append(Told(number, step, _what(step, operation, units), where(step.stand, units), people, because))
    return tuple(told)


def where(stand: Stand, units: System = "metric") -> str:
    """Where the car stands and on what: `place 1, on flush lift/up at 900 mm`."""
    if stand.place == OUTSIDE:
        return "outside"
    on = "floor" if stand.carried_by == "floor" else f"{stand.carried_by}"
    height = f" at {format_length(stand.height_m, units)}" if stand.height_m > 0.0 else ""
    return f"place {stand.place}, {on}{height}"


def _what(step: Step, operation: Operation | None, units: System) -> str:
    names = " and ".join(f.equipment for f in step.fittings)
    if step.kind == "wait":
        return f"wait: {operation.name if operation else ''} must cure or dry"
    if step.kind == "set up":
        return f"set up the {names}"
    if step.kind == "carry":
        return f"carry the {names} over and set up again"
    if step.kind == "put away":
        return f"put the {names} away"
    if step.kind == "lift":
        return (
            f"raise the car to {format_length(step.stand.height_m, units)}" if step.stand.height_m else "lower the car"
        )
    if step.move is not None:
        how = "drive" if step.move.driven else "push"
        goes = {"enter": f"{how} in to place", "move": f"{how} to place"}.get(step.kind)
        return f"{how} out" if goes is None else f"{goes} {step.stand.place}"
    what = operation.what if operation is not None else step.kind
    variant = f" ({step.choice.variant})" if step.choice is not None and step.choice.variant else ""
    return what + variant


def _people(plan: Plan, number: int, problem: Problem, site: Site) -> tuple[str, ...]:
    """Who does a step: the operation's own crew; moves and equipment go with the operation that follows."""
    step = plan.steps[number]
    if step.kind == "wait":
        return ()
    following = [*plan.steps[number:], *reversed(plan.steps[:number])]
    if step.operation is not None:
        return step.team
    crew = next((s.team for s in following if s.team), ())
    names = tuple(dict.fromkeys([*crew, *(p.name for p in site.people)]))
    if step.move is None:
        return names[: max(1, min(problem.hands, len(step.fittings)))]
    return names[: PUSHING if not step.move.driven else GUIDED if site.pace.guide else 1]


def _because(plan: Plan, number: int, problem: Problem) -> tuple[str, ...]:
    """Why a step is there: an operation's own reasons; a change names what it is for."""
    step = plan.steps[number]
    if step.operation is not None:
        return problem.operations[step.operation].because
    after = (s for s in plan.steps[number:] if s.operation is not None and s.kind != "wait")
    following = next(after, None)
    if following is None or following.operation is None or step.kind == "put away":
        return ()
    return (f"for: {problem.operations[following.operation].name}",)


def minutes(times: Times) -> Range:
    """The least and the greatest, minutes to a hundredth."""
    return round(times[0] / 60, 2), round(times[2] / 60, 2)


def span_words(low_s: float, high_s: float) -> str:
    """A span of time for a reader: `3 to 5 min`, `2 h 05 min to 3 h`, `20 s`."""
    low, high = _clock(low_s), _clock(high_s)
    return low if low == high else f"{low} to {high}"


def _clock(seconds: float) -> str:
    if seconds < 90.0:
        return f"{round(seconds)} s"
    whole = round(seconds / 60)
    hours, rest = divmod(whole, 60)
    if not hours:
        return f"{whole} min"
    return f"{hours} h {rest:02d} min" if rest else f"{hours} h"


def undone_words(undone: Undone, units: System = "metric") -> tuple[str, ...]:
    """Why something is left out, what would make room, and who else could do it."""
    return tuple(dict.fromkeys(_undone(undone, units)))


def _undone(undone: Undone, units: System) -> Iterator[str]:
    yield from (f"{lack[:1].upper()}{lack[1:]}." for lack in undone.lacks)
    if undone.waits_for:
        yield f"It comes after what cannot be done here: {', '.join(undone.waits_for)}."
    for answer, remedies in undone.answers:
        yield verdict(answer, units)
        yield from remedies_words(remedies, answer, units)
    if undone.sent_out is not None:
        yield sent_out_words(undone.sent_out)


def sent_out_words(sent: SentOut) -> str:
    """What it takes to have it done elsewhere, or by whoever comes for it."""
    low, high = sent.price
    price = f"{low:g}" if low == high else f"{low:g} to {high:g}"
    return f"It can be sent out: {span_words(*sent.minutes_s)}, {price} {sent.currency}."


def summary_words(answer: PlanAnswer) -> Iterator[str]:
    """What a plan comes to, in a sentence or two; first what is changed, where an alternative is told."""
    ordered, plan = answer.ordered, answer.plan
    if answer.otherwise is not None:
        yield f"{answer.otherwise.name[:1].upper()}{answer.otherwise.name[1:]}: {answer.otherwise.what}."
    if plan is None:
        yield "No order was found in which the work can be done here."
        return
    moves = "no move" if not plan.moves else "1 move" if plan.moves == 1 else f"{plan.moves} moves"
    took = span_words(plan.elapsed_s[0], plan.elapsed_s[2])
    turns = "1 change" if plan.shunts == 1 else f"{plan.shunts} changes"
    yield f"{took} in all, {moves} between coming and leaving, {turns} of direction."
    if ordered.front.proven:
        yield "Proven: no other order is quicker with as few moves, for these places and the moves found."
    else:
        yield "Not proven: the search was stopped."
    if plan.doors_open:
        yield f"Doors open: {', '.join(plan.doors_open)}."


def left_out_words(ordered: Ordered) -> str:
    """What an answer leaves out; where that is most of the job, what it does not leave out."""
    left, done = [u.draft.name for u in ordered.undone], [o.name for o in ordered.problem.operations]
    if not left:
        return "nothing"
    if len(left) <= max(MANY, len(done)):
        return f"{len(left)}: {', '.join(left)}"
    return f"{len(left)} of {len(left) + len(done)}: all but {', '.join(done) or 'nothing'}"


def alternative_words(answer: PlanAnswer) -> Iterator[str]:
    """Each alternative in a sentence."""
    for other in answer.alternatives:
        plan, undone = other.ordered.plan, other.ordered.undone
        left = f"; left out: {left_out_words(other.ordered)}" if undone else "; nothing is left out"
        if plan is None:
            yield f"{other.name}: no order was found{left}."
            continue
        moves = "1 move" if plan.moves == 1 else f"{plan.moves} moves"
        yield f"{other.name}: {span_words(plan.elapsed_s[0], plan.elapsed_s[2])}, {moves}{left}."
