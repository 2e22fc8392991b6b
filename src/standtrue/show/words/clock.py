"""When things happen by the clock, and whether what is promised is kept. All times are the shop's own."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime, timedelta

from standtrue.model.reason import Duration
from standtrue.show.words.catalog import N_
from standtrue.show.words.days import day_words, moment_words, of_day
from standtrue.show.words.reader import Reader
from standtrue.show.words.texts import as_sentence
from standtrue.work.plan.answer import PlanAnswer
from standtrue.work.plan.clock import Late, Promise, earliest_of, latest_of
from standtrue.work.plan.from_here import begun_notes
from standtrue.work.plan.ordered import Ordered

LATE: Mapping[Late, str] = {"no": N_("in time"), "yes": N_("late"), "may be": N_("maybe late")}
"""Whether a promise is kept."""


def far(when: datetime, begins: datetime | None) -> bool:
    """Whether a day's name alone could be that of another week, for a job that begins then."""
    return begins is None or not begins.date() <= when.date() < begins.date() + timedelta(days=7)


def promise_words(promise: Promise, begins: datetime | None, reader: Reader) -> str:
    """By when a car is promised: a day and time, or a day."""
    last = promise.at - timedelta(days=1) if promise.all_day else promise.at
    dated = far(last, begins)
    return day_words(last, reader, dated=dated) if promise.all_day else moment_words(last, reader, dated=dated)


def ready_words(answer: PlanAnswer, reader: Reader) -> str:
    """When the car is ready, against what is promised; "" where there are no clock times.

    Where something is not done here the car is ready only but for that, and the sentence says so.
    """
    if answer.timed is None:
        return ""
    begins, promise = answer.clock.begins, answer.clock.promise
    moments = (earliest_of(answer.timed.ready_s), latest_of(answer.timed.ready_s))
    first, last = (moment_words(m, reader, dated=far(m, begins)) for m in moments)
    when = (
        first if first == last else reader.say("{first} at the earliest, {last} at the latest", first=first, last=last)
    )
    ready = (
        reader.say("ready, but for what is not done, {when}", when=when)
        if answer.ordered.undone
        else reader.say("ready {when}", when=when)
    )
    if promise is None or answer.late is None:
        return as_sentence(ready)
    by, late = promise_words(promise, begins, reader), reader.term(LATE[answer.late])
    return as_sentence(reader.say("{ready}; promised {by}: {late}", ready=ready, by=by, late=late))


def begun_lines(answer: PlanAnswer, reader: Reader) -> Iterator[str]:
    """What is done, what is planned again and why, and what is not known of where the job stands."""
    begun = answer.question.begun
    if begun.done:
        yield reader.say("Done: {what}.", what=tuple(reader.term(one.what) for one in begun.done))
    yield from (as_sentence(reader.reason(note)) for note in begun_notes(answer.needs.job, begun))


def ready_span(answer: PlanAnswer, other: Ordered, reader: Reader) -> str:
    """From when to when the car is ready by another order of the same job; "" without clock times."""
    found = None if other.plan is None else other.timed(other.plan)
    if found is None:
        return ""
    begins = answer.clock.begins
    moments = (earliest_of(found.ready_s), latest_of(found.ready_s))
    first, last = (moment_words(m, reader, dated=far(m, begins)) for m in moments)
    return first if first == last else reader.say("{first} to {last}", first=first, last=last)


def untimed_words(answer: PlanAnswer, reader: Reader) -> str:
    """Why there are no clock times: `no opening hours entered`; "" where there are."""
    return reader.all_of(reader.reasons(answer.untimed))


def step_moments(answer: PlanAnswer, number: int) -> tuple[tuple[datetime, datetime], tuple[datetime, datetime]] | None:
    """When the step of a number (from 0) starts, and ends: earliest and latest each; None without clock times."""
    if answer.timed is None:
        return None
    step = answer.timed.steps[number]
    return (
        (earliest_of(step.start_s), latest_of(step.start_s)),
        (earliest_of(step.end_s), latest_of(step.end_s)),
    )


def step_span(answer: PlanAnswer, number: int, reader: Reader) -> tuple[str, str]:
    """From when to when the step of a number (from 0) runs at the midpoints; empty without clock times."""
    if answer.timed is None:
        return "", ""
    step = answer.timed.steps[number]
    moments = (earliest_of(step.start_s[1:]), earliest_of(step.end_s[1:]))
    start, end = (moment_words(m, reader, dated=far(m, answer.clock.begins)) for m in moments)
    return start, end


def not_before(answer: PlanAnswer, number: int, reader: Reader) -> str:
    """When the step of a number (from 0) starts at the earliest: by the clock, or else how long after the first."""
    moments = step_moments(answer, number)
    if moments is not None:
        when = moments[0][0]
        return moment_words(when, reader, dated=far(when, answer.clock.begins))
    return "" if answer.plan is None else reader.write(Duration(answer.plan.steps[number].start_s[0]))


def starts_words(answer: PlanAnswer, number: int, reader: Reader) -> str:
    """When the step of a number (from 0) starts, at the earliest and the latest: by the clock, or after the first."""
    moments, plan = step_moments(answer, number), answer.plan
    if moments is not None:
        first, last = (moment_words(m, reader, dated=far(m, answer.clock.begins)) for m in moments[0])
        return first if first == last else reader.say("{first} to {last}", first=first, last=last)
    low, high = (0.0, 0.0) if plan is None else (plan.steps[number].start_s[0], plan.steps[number].start_s[2])
    return reader.say("After {after}", after=reader.span(Duration(low), Duration(high)))


def begins_lines(answer: PlanAnswer, number: int, reader: Reader) -> list[str]:
    """The same for two lines of a table: the earliest, then `to` the latest; a day that both share is named once."""
    moments, plan = step_moments(answer, number), answer.plan
    if moments is not None:
        (first, last), _ = moments
        said = [moment_words(m, reader, dated=far(m, answer.clock.begins)) for m in (first, last)]
        if first.date() == last.date():
            said[1] = of_day(last, reader)
        same = first == last
    else:
        low, high = (0.0, 0.0) if plan is None else (plan.steps[number].start_s[0], plan.steps[number].start_s[2])
        said = [reader.write(Duration(s)) for s in (low, high)]
        same = said[0] == said[1]
    return said[:1] if same else [said[0], reader.say("to {high}", high=said[1])]
