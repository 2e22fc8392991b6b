"""One step of a plan in one line: what, where and who, as short as can be understood."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from standtrue.model.order import OUTSIDE, Operation, Stand, Step, StepKind
from standtrue.model.reason import Length, Reason, Ref
from standtrue.model.site import Site
from standtrue.show.words.catalog import N_
from standtrue.show.words.clock import far, not_before, step_moments
from standtrue.show.words.days import day_words, of_day
from standtrue.show.words.plan import StepWords
from standtrue.show.words.reader import Reader
from standtrue.work.plan.answer import PlanAnswer
from standtrue.work.plan.ordered import Ordered

WHO_WIDE = 16
"""Names longer than this together are told by what tells each from all others."""

Line = tuple[str, str, str, str, str]
"""Numbers, not before, what, where, who."""

_CHANGES: Mapping[StepKind, str] = {
    "set up": N_("set up {equipment}"),
    "carry": N_("carry {equipment} over"),
    "put away": N_("put {equipment} away"),
}
_MOVES: Mapping[tuple[StepKind, bool], str] = {
    ("enter", True): N_("drive in"),
    ("enter", False): N_("push in"),
    ("move", True): N_("drive over"),
    ("move", False): N_("push over"),
    ("leave", True): N_("drive out"),
    ("leave", False): N_("push out"),
}
_AS_STEP: Mapping[str, str] = {
    "calibrate-by-card": N_("calibrate {sensor}"),
    "calibrate-without-card": N_("calibrate {sensor}"),
    "look-then-calibrate-by-card": N_("look first: {sensor}"),
    "look-then-calibrate-without-card": N_("look first: {sensor}"),
}
"""What is done with a sensor, by the code of what its operation is."""


def short_lines(answer: PlanAnswer, told: Sequence[StepWords], reader: Reader) -> list[Line]:
    """A line a step; what is done with equipment stands in the line of what it is done for. By the clock each day is
    headed by its name."""
    lines: list[Line] = []
    day = ""
    for group in folded(told):
        step = main_of(group).step
        first, last = group[0].number, group[-1].number
        moments = step_moments(answer, first - 1)
        today = (
            "" if moments is None else day_words(moments[0][0], reader, dated=far(moments[0][0], answer.clock.begins))
        )
        if today != day:
            lines.append(("", "", today, "", ""))
            day = today
        lines.append(
            (
                str(first) if first == last else f"{first}–{last}",
                not_before(answer, first - 1, reader) if moments is None else of_day(moments[0][0], reader),
                short_what(step, operation_of(answer.ordered, step), reader),
                short_where(step.stand, reader),
                short_who(tuple(dict.fromkeys(p for t in group for p in t.people)), answer.site),
            )
        )
    return lines


def operation_of(ordered: Ordered, step: Step) -> Operation | None:
    """The operation of a step."""
    return None if step.operation is None else ordered.problem.operations[step.operation]


def folded(told: Sequence[StepWords]) -> list[list[StepWords]]:
    """The steps in groups: setting up goes with the operation right after it, putting away with the step before."""
    groups: list[list[StepWords]] = []
    waits = False
    for number, words in enumerate(told):
        after = words.step.kind == "put away" and bool(groups) and groups[-1][-1].step.move is None
        if waits or after:
            groups[-1].append(words)
        else:
            groups.append([words])
        following = next((t.step for t in told[number:] if t.step.kind not in _CHANGES), None)
        begun = words.step.kind in ("set up", "carry") or (waits and words.step.kind == "put away")
        waits = begun and following is not None and following.choice is not None
    return groups


def main_of(group: Sequence[StepWords]) -> StepWords:
    """What a group is about: what is done with the equipment, if anything is."""
    return next((t for t in group if t.step.kind not in _CHANGES), group[0])


def short_what(step: Step, operation: Operation | None, reader: Reader) -> str:
    """What is done, in a few words."""
    if step.kind in _CHANGES:
        return reader.say(_CHANGES[step.kind], equipment=tuple(f.equipment for f in step.fittings))
    if step.kind == "lift":
        height = Length(step.stand.carrier.height_m)
        return reader.say("raise to {height}", height=height) if height.metres else reader.say("lower the car")
    if step.move is not None:
        return reader.say(_MOVES[step.kind, step.move.driven])
    if operation is None:
        return reader.term(step.kind)
    if step.kind == "wait":
        return reader.say("wait: {operation}", operation=operation.title)
    return operation_words(operation, reader)


def operation_words(operation: Operation, reader: Reader) -> str:
    """An operation in a few words: a calibration by its sensor, anything else by its own name."""
    sensor = sensor_of(operation.what)
    if operation.kind == "drive" and sensor is not None:
        return reader.say("drive: {sensor}", sensor=sensor)
    if operation.kind == "confirm":
        return reader.say("confirm: {what}", what=operation.title)
    said = called(operation.what, reader) or reader.write(operation.title)
    return reader.say("sent out: {what}", what=said) if operation.kind == "sent out" else said


def called(what: Reason, reader: Reader) -> str:
    """A calibration by its sensor: `calibrate front radar`, `look first: rear camera`. "" for anything else."""
    values = dict(what.values)
    of = values.get("of")
    if isinstance(of, Reason):
        return called(of, reader)
    sensor = sensor_of(what)
    return "" if sensor is None or what.code not in _AS_STEP else reader.say(_AS_STEP[what.code], sensor=sensor)


def sensor_of(what: Reason) -> Ref | None:
    """The sensor that an operation calibrates, if it is one that does."""
    values = dict(what.values)
    sensor, of = values.get("sensor"), values.get("of")
    if isinstance(sensor, Ref):
        return sensor
    return sensor_of(of) if isinstance(of, Reason) else None


def short_where(stand: Stand, reader: Reader) -> str:
    """By the number of the place, and what the car stands on there."""
    if stand.place == OUTSIDE:
        return reader.say("outside")
    on = stand.carrier
    if on.lift is None:
        return reader.say("{place}, floor", place=stand.place)
    if on.height_m > 0.0:
        return reader.say("{place}, lift up", place=stand.place)
    return reader.say("{place}, lift down", place=stand.place)


def short_who(people: tuple[str, ...], site: Site, wide: int = WHO_WIDE) -> str:
    """The names; where they are longer than this together, of each what tells it from everybody else."""
    whole = ", ".join(people)
    if len(whole) <= wide:
        return whole
    listed = [p.name for p in site.people]
    return ", ".join(_apart(name, listed) for name in people)


def _apart(name: str, others: Iterable[str]) -> str:
    """The last words of a name that nobody else's name ends in."""
    parts = name.split()
    for start in range(len(parts) - 1, 0, -1):
        short = " ".join(parts[start:])
        if sum(other.split()[-len(parts) + start :] == parts[start:] for other in others) == 1:
            return short
    return name
