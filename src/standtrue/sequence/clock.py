"""When each step of a plan starts and ends by the clock, by the hours of the shop and of its people.

Time is the shop's local time, in seconds from the beginning of a Monday, day 0. A day has 24 hours: nobody is told of
clocks that are put forward or back, since durations here are those of work.

Who works and when:
- A step is done while the shop is open and everybody of its team is there. Who has no hours of their own is there
  whenever the shop is open.
- A step that is done alone is done by whichever of its teams is done with it first, the plan's own where they are
  equal. Work that goes on beside other work keeps to the plan's team.
- Moves, lift travel, setting up and putting away are done by a team of the operation that follows, or of the last, and
  by as many others as they take, of whom the shop has: those with whom it is done first.

What closing time does:
- Mechanical and body work, and what is sent out, is left off at closing and carried on when the team is next there.
- All else is begun only if it ends before the next closing, a break at noon included: moves, lift travel, setting up
  and putting away, scans, confirmations, calibrations and drives. What takes longer, at its longest, than any time for
  which its team is ever there at one go is carried over too. What is set up may stand over night.
- A wait, such as a cure, runs on whether or not anybody is there.

For the same teams beginning later never ends sooner, so a later arrival never brings the end forward, and what takes
its least ends no later than what takes its greatest. More hours never make it later, except where they make something
fit in at one go that was carried over because it never did.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations

from attrs import Factory, field, frozen

from standtrue.model.order import Operation, Plan, Problem, Step, Times

DAY_S = 86_400.0
AHEAD_DAYS = 370
"""So far ahead hours are looked at: what is not done by then has no time."""

NEAR_S = 1e-6

CARRIED = ("work", "sent out")
"""The kinds of step that are left off at closing and carried on."""

ON_WHEELS = ("enter", "move", "leave", "drive")

Spans = tuple[tuple[float, float], ...]
"""Stretches of time, seconds, in order, none touching the next."""


@frozen
class Hours:
    """When a shop is open, or somebody is there: stretches of seconds from midnight by weekday, Monday first.

    `off` are days, by their number, on which nobody is.
    """

    week: tuple[Spans, ...]
    off: frozenset[int] = frozenset()

    def on(self, day: int) -> Spans:
        """The stretches of one day, seconds from its midnight."""
        return () if day in self.off else self.week[day % 7]


@frozen
class Calendar:
    """The hours of a shop, and of those people who have hours of their own."""

    shop: Hours
    people: Mapping[str, Hours] = field(factory=dict)

    def spans(self, team: Sequence[str], first: int) -> Spans:
        """When the shop is open and all of a team are there, from a day on; what touches is one."""
        hours = [self.shop, *(self.people[name] for name in team if name in self.people)]
        joined: list[tuple[float, float]] = []
        for day in range(first, first + AHEAD_DAYS):
            shared = hours[0].on(day)
            for other in hours[1:]:
                shared = tuple(_shared(shared, other.on(day)))
            for start, end in ((day * DAY_S + a, day * DAY_S + b) for a, b in shared):
                if joined and start <= joined[-1][1]:
                    joined[-1] = (joined[-1][0], max(end, joined[-1][1]))
                else:
                    joined.append((start, end))
        return tuple(joined)


def _shared(one: Spans, two: Spans) -> Iterator[tuple[float, float]]:
    """What two lists of stretches have in common."""
    for a, b in one:
        for c, d in two:
            if max(a, c) < min(b, d):
                yield max(a, c), min(b, d)


@frozen
class TimedStep:
    """When a step starts and ends if all takes its least, its midpoint, its greatest; and by whom, at the midpoints."""

    start_s: Times
    end_s: Times
    team: tuple[str, ...] = ()


@frozen
class Timed:
    """A plan by the clock: its steps in the plan's own order, and when the car is ready.

    `waiting` are the numbers of steps, from 0, before which everything waits for the shop or for people, at the
    midpoints.
    """

    steps: tuple[TimedStep, ...]
    ready_s: Times
    waiting: tuple[int, ...] = ()


def timed(problem: Problem, plan: Plan, calendar: Calendar, begins_s: float) -> Timed | None:
    """A plan by the clock, everything as early as it can be; None where it is not done within a year.

    `begins_s` is when it begins: when the car arrives, or now.
    """
    there = _There(calendar, math.floor(begins_s / DAY_S))
    runs = [_Run(problem, plan, there, level, begins_s) for level in range(3)]
    told = [run.steps() for run in runs]
    steps = []
    for number in range(len(plan.steps)):
        low, mid, high = (t[number] for t in told)
        steps.append(TimedStep((low[0], mid[0], high[0]), (low[1], mid[1], high[1]), mid[2]))
    ready: Times = (runs[0].now, runs[1].now, runs[2].now)
    return Timed(tuple(steps), ready, tuple(runs[1].waiting)) if ready[2] < math.inf else None


@frozen(eq=False)
class _There:
    """When each team is there, looked up once."""

    calendar: Calendar
    first: int
    known: dict[tuple[str, ...], tuple[Spans, list[float]]] = Factory(dict)

    def spans(self, team: tuple[str, ...]) -> tuple[Spans, list[float]]:
        """The stretches in which a team is there, and their ends."""
        if team not in self.known:
            spans = self.calendar.spans(team, self.first)
            self.known[team] = spans, [end for _, end in spans]
        return self.known[team]

    def longest(self, team: tuple[str, ...]) -> float:
        """The longest time for which a team is there at one go."""
        return max((end - start for start, end in self.spans(team)[0]), default=0.0)

    def done(self, team: tuple[str, ...], from_s: float, takes_s: float, carried: bool) -> tuple[float, float]:
        """When a team begins and ends what takes so long; infinite where it never does."""
        if takes_s <= NEAR_S or from_s == math.inf:
            return from_s, from_s
        spans, ends = self.spans(team)
        begun, left = math.inf, takes_s
        for start, end in spans[bisect_right(ends, from_s + NEAR_S) :]:
            at = max(start, from_s)
            if at + left <= end + NEAR_S:
                return min(begun, at), at + left
            if carried:
                begun, left = min(begun, at), left - (end - at)
        return math.inf, math.inf


class _Run:
    """One pass through a plan, all at one level of time. `now` is when all that has begun is over.

    Work that goes on side by side begins no sooner than `since`.
    """

    def __init__(self, problem: Problem, plan: Plan, there: _There, level: int, begins_s: float) -> None:
        self._problem, self._plan, self._there, self._level = problem, plan, there, level
        self.now = begins_s
        self.waiting: list[int] = []
        self._until: dict[int, float] = {}
        self._ended: dict[int, float] = {}
        self._busy: dict[str, float] = {}
        self._since: float | None = None

    def steps(self) -> list[tuple[float, float, tuple[str, ...]]]:
        """When each step starts and ends, and by whom."""
        return [self._step(number, step) for number, step in enumerate(self._plan.steps)]

    def _step(self, number: int, step: Step) -> tuple[float, float, tuple[str, ...]]:
        operation = None if step.operation is None else self._problem.operations[step.operation]
        if step.kind == "wait":
            start, self.now = self.now, max(self.now, self._until.get(step.operation or 0, 0.0))
            return start, self.now, ()
        beside = operation is not None and operation.beside and self._problem.hands > 1
        teams: tuple[tuple[str, ...], ...]
        if operation is not None and beside:
            free, teams = self._free(number, step, operation), (step.team,)
        else:
            free, teams, self._since = self.now, self._teams(number), None
        free = max([free, *self._held(step, operation)])
        takes = step.end_s[self._level] - step.start_s[self._level]
        start, end, team = min((self._by(step, t, free, takes) for t in teams), key=lambda one: one[1])
        if start > free + NEAR_S:
            self.waiting.append(number)
        if step.operation is not None and operation is not None:
            wait = operation.wait_s
            self._until[step.operation] = end + (wait[0], (wait[0] + wait[1]) / 2, wait[1])[self._level]
            self._ended[step.operation] = end
            self._busy.update(dict.fromkeys(team, end))
        self.now = max(self.now, end)
        return start, end, team

    def _by(self, step: Step, team: tuple[str, ...], free: float, takes: float) -> tuple[float, float, tuple[str, ...]]:
        """When one team would do a step."""
        carried = step.kind in CARRIED or step.end_s[2] - step.start_s[2] > self._there.longest(team) + NEAR_S
        return (*self._there.done(team, free, takes, carried), team)

    def _free(self, number: int, step: Step, operation: Operation) -> float:
        """When work beside other work could begin: once its people are free, and what it follows is done."""
        before = self._plan.steps[number - 1] if number else None
        if self._since is None or before is None or before.stand != step.stand:
            self._since = self.now
        followed = (self._ended[n] for n in operation.after if n in self._ended)
        return max([self._since, *followed, *(self._busy.get(name, self._since) for name in step.team)])

    def _held(self, step: Step, operation: Operation | None) -> Iterator[float]:
        """When the waits are over that bar this step."""
        for number, until in self._until.items():
            blocks = self._problem.operations[number].blocks
            barred = (
                blocks == "all"
                or (blocks == "drive" and step.kind in ON_WHEELS)
                or (blocks == "lift" and step.kind == "lift")
            )
            if barred or (operation is not None and number in operation.cured):
                yield until

    def _teams(self, number: int) -> tuple[tuple[str, ...], ...]:
        """Who may do a step, the plan's own team first; nobody named: whoever is in the shop."""
        own = self._plan.steps[number]
        if own.operation is not None:
            return self._teams_of(own) if own.team else ((),)
        steps = (*self._plan.steps[number:], *reversed(self._plan.steps[:number]))
        crewed = (s for s in steps if s.operation is not None and s.kind != "wait" and s.team)
        followed = next(crewed, None)
        return self._helped(own, ((),) if followed is None else self._teams_of(followed))

    def _teams_of(self, step: Step) -> tuple[tuple[str, ...], ...]:
        """The teams of a step's operation, that of the plan first."""
        teams = () if step.operation is None else self._problem.operations[step.operation].teams
        return (step.team, *(t for t in teams if t != step.team))

    def _helped(self, step: Step, teams: tuple[tuple[str, ...], ...]) -> tuple[tuple[str, ...], ...]:
        """These teams, each with every choice of as many others as the step takes besides."""
        takes, own_hours = self._problem.hands_for(step), self._there.calendar.people
        found: dict[frozenset[str], tuple[str, ...]] = {}
        for team in teams:
            others = [name for name in self._problem.people if name not in team]
            lacks = min(max(0, takes - len(team)), len(others))
            # Of those who are there whenever the shop is open, one is as good as another.
            always = [name for name in others if name not in own_hours][:lacks]
            may = [name for name in others if name in own_hours or name in always]
            for more in combinations(may, lacks):
                found.setdefault(frozenset((*team, *more)), (*team, *more))
        return tuple(found.values())
