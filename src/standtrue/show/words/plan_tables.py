"""The order of work as a terminal shows it: the steps, the places, what else one could do, what is left out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from standtrue.model.order import Plan
from standtrue.model.reason import Length, Number
from standtrue.show.words.blocks import Block, Lines, Rows, Table, Told
from standtrue.show.words.catalog import N_
from standtrue.show.words.plan import (
    StepWords,
    left_out_words,
    short_alternatives,
    span_words,
    step_words,
    title_of,
    turns_words,
    undone_words,
)
from standtrue.show.words.plan_first import head_lines, stand_lines
from standtrue.show.words.plan_short import short_lines
from standtrue.show.words.reader import Reader
from standtrue.show.words.reasons.plan import alternative_name
from standtrue.work.plan.answer import PlanAnswer

SHORT_COLUMNS = (N_("not before"), N_("what"), N_("where"), N_("people"))
STEP_COLUMNS = (N_("starts after"), N_("takes"), N_("what"), N_("where"), N_("people"))
OTHERWISE_COLUMNS = (N_("takes"), N_("moves"), N_("left out"))


def plan_told(answer: PlanAnswer, reader: Reader) -> Told:
    """The answer, then a line a step; at length all figures, reasons and alternatives."""
    told = () if answer.plan is None else step_words(answer.ordered, answer.plan, answer.site, reader)
    first = Lines(tuple(head_lines(answer, reader)), title_of(answer, reader))
    stands = Lines(tuple(stand_lines(answer, reader)))
    return Told((first,), (stands, *_in_short(answer, told, reader)), (stands, *_at_length(answer, told, reader)))


def _in_short(answer: PlanAnswer, told: Sequence[StepWords], reader: Reader) -> Iterator[Block]:
    """A line a step, and the alternatives in one."""
    if told:
        yield Rows(("", *map(reader.term, SHORT_COLUMNS)), tuple(short_lines(answer, told, reader)))
    if others := tuple(short_alternatives(answer, reader)):
        yield Lines((reader.say("Otherwise ({option}): {others}.", option="--otherwise", others="; ".join(others)),))


def _at_length(answer: PlanAnswer, told: Sequence[StepWords], reader: Reader) -> Iterator[Block]:
    """Every figure of the steps, why each is there, the places, the alternatives, and what is left out."""
    if told:
        columns = ("", *map(reader.term, STEP_COLUMNS))
        yield Table(reader.say("Every step"), columns, tuple(_step(words, reader) for words in told))
        yield Lines((), reader.say("Why"))
    for words in told:
        if said := reader.reasons(words.because):
            yield Lines((reader.say("{number} {what}", number=words.number, what=words.what),), indent=2)
            yield Lines(tuple(said), indent=5)
    if answer.plan is not None:
        yield Lines((turns_words(answer.plan, reader),))
    if places := tuple(_places(answer, reader)):
        yield Table(
            reader.say("Places (the rear axle's center, from the site's origin)"),
            ("", "x", "y", reader.say("heading")),
            places,
        )
    if others := tuple(_others(answer, reader)):
        columns = ("", *map(reader.term, OTHERWISE_COLUMNS))
        yield Table(reader.say("Otherwise"), columns, others)
    if answer.ordered.undone:
        yield Lines((), reader.say("Not done here"))
    for undone in answer.ordered.undone:
        yield Lines((reader.reason(undone.draft.what),), indent=2)
        yield Lines(undone_words(undone, reader), indent=5)


def took(words: StepWords, reader: Reader) -> str:
    """How long a step takes."""
    step = words.step
    low, high = sorted((step.end_s[0] - step.start_s[0], step.end_s[2] - step.start_s[2]))
    return span_words(low, high, reader)


def starts(words: StepWords, reader: Reader) -> str:
    """How long after the first step a step starts."""
    return span_words(words.step.start_s[0], words.step.start_s[2], reader)


def _step(words: StepWords, reader: Reader) -> tuple[str, ...]:
    return (
        str(words.number), starts(words, reader), took(words, reader), words.what, words.where, ", ".join(words.people)
    )  # fmt: skip


def _places(answer: PlanAnswer, reader: Reader) -> Iterator[tuple[str, ...]]:
    used = {s.stand.place for s in answer.plan.steps} if answer.plan is not None else set()
    for number, candidate in enumerate(answer.ordered.places, start=1):
        if number in used:
            at = candidate.place
            x, y = (reader.write(Length(metres)) for metres in (at.x_m, at.y_m))
            yield (str(number), x, y, reader.say("{degrees}°", degrees=Number(at.heading_deg, 2)))


def _others(answer: PlanAnswer, reader: Reader) -> Iterator[tuple[str, ...]]:
    """Other plans of the front, and the alternatives."""
    for number, plan in enumerate(answer.ordered.front.plans, start=1):
        if plan is not answer.plan:
            yield (reader.say("as quick or with fewer moves {number}", number=number), *_figures(plan, reader), "")
    for other in answer.alternatives:
        best = other.ordered.plan
        figures = ("", "") if best is None else _figures(best, reader)
        yield (alternative_name(other.change, reader), *figures, left_out_words(other.ordered, reader))


def _figures(plan: Plan, reader: Reader) -> tuple[str, str]:
    return span_words(plan.elapsed_s[0], plan.elapsed_s[2], reader), str(plan.moves)
