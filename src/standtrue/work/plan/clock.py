"""The clock of one job: the hours of its shop and people, when it begins, and when it is promised."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Literal

from attrs import frozen

from standtrue.model.job import Job
from standtrue.model.order import Plan, Problem
from standtrue.model.reason import Reason, Ref, because
from standtrue.model.site import Site
from standtrue.sequence.clock import Calendar, Hours, Spans, Timed, timed

MONDAY = datetime(2001, 1, 1)
"""The beginning of day 0 of every calendar, local time."""

WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")

Late = Literal["no", "yes", "may be"]


@frozen
class Promise:
    """By when the car is promised. `all_day`: the order names the day alone, so `at` is the midnight that ends it."""

    at: datetime
    all_day: bool = False

    @property
    def written(self) -> str:
        """As the order has it, ISO 8601."""
        if not self.all_day:
            return self.at.isoformat(timespec="minutes")
        return (self.at - timedelta(days=1)).date().isoformat()


@frozen(eq=False)
class JobClock:
    """When a job begins, and the hours that it is done in. `untimed`: why its plan has no clock times."""

    calendar: Calendar | None = None
    begins: datetime | None = None
    promise: Promise | None = None
    untimed: tuple[Reason, ...] = ()

    def timed(self, problem: Problem, plan: Plan) -> Timed | None:
        """A plan by the clock; None without hours or an arrival, or where it is never done."""
        if self.calendar is None or self.begins is None:
            return None
        return timed(problem, plan, self.calendar, seconds_of(self.begins))

    def late(self, found: Timed) -> Late | None:
        """Whether a plan keeps what is promised; None where nothing is."""
        if self.promise is None:
            return None
        if earliest_of(found.ready_s) > self.promise.at:
            return "yes"
        return "no" if latest_of(found.ready_s) <= self.promise.at else "may be"


def clock_of(site: Site, job: Job) -> JobClock:
    """The clock of a job in its site."""
    begins = None if not job.arrives else _moment(job.arrives)
    if job.done:
        begins = _moment(job.done[-1].at)
    why = []
    if not site.hours:
        why.append(because("no-opening-hours", site=Ref("site", site.name)))
    if begins is None:
        why.append(because("no-arrival"))
    calendar = calendar_of(site) if site.hours else None
    return JobClock(calendar, begins, promise_of(job.promised), tuple(why))


def calendar_of(site: Site) -> Calendar:
    """The hours of a site and of those of its people who have hours of their own, or days off."""
    shop = _hours(site.hours, site.closed_on)
    own = {p.name: p for p in site.people if p.hours or p.away_on}
    people = {name: _hours(p.hours or site.hours, p.away_on) for name, p in own.items()}
    return Calendar(shop, people)


def _hours(rows: Sequence[tuple[str, str, str]], off: Sequence[str]) -> Hours:
    week: tuple[Spans, ...] = tuple(
        tuple((_of_day(opens), _of_day(closes)) for day, opens, closes in rows if day == name) for name in WEEKDAYS
    )
    return Hours(week, frozenset(day_of(_moment(day)) for day in off))


def _of_day(clock: str) -> float:
    """Seconds from midnight of HH:MM."""
    hours, _, minutes = clock.partition(":")
    return 3600.0 * int(hours) + 60.0 * int(minutes)


def _moment(written: str) -> datetime:
    """A date and time, or the beginning of a day."""
    return datetime.fromisoformat(written)


def promise_of(written: str) -> Promise | None:
    """By when a car is promised, as its order has it; None where nothing is."""
    if not written:
        return None
    if "T" in written:
        return Promise(_moment(written))
    return Promise(_moment(written) + timedelta(days=1), all_day=True)


def seconds_of(moment: datetime) -> float:
    """A moment as calendars have it."""
    return (moment - MONDAY).total_seconds()


def day_of(moment: datetime) -> int:
    """The number of a day, as calendars have it."""
    return (moment.date() - MONDAY.date()).days


def earliest_of(times_s: Sequence[float]) -> datetime:
    """The least of some times, down to its minute: no sooner than that."""
    return MONDAY + timedelta(minutes=math.floor(times_s[0] / 60.0 + 1e-6))


def latest_of(times_s: Sequence[float]) -> datetime:
    """The greatest of some times, up to a whole minute: by then."""
    return MONDAY + timedelta(minutes=math.ceil(times_s[-1] / 60.0 - 1e-6))
