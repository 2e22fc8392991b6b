"""A plan by the clock: against a slow simulation tick by tick that shares nothing with it, and what always holds."""

from __future__ import annotations

import random
from collections.abc import Iterable, Iterator
from itertools import combinations

import pytest
from attrs import evolve
from sequence_makers import PEOPLE, Costs, random_crew_job, random_job
from test_order_job import flat, work

from standtrue.model.basics import Range
from standtrue.model.order import Handling, Move, Operation, OperationKind, Plan, Problem, Stand, Step
from standtrue.sequence.clock import DAY_S, Calendar, Hours, Spans, Timed, timed
from standtrue.sequence.solve import order_job

TICK_S = 300.0
TICKS = round(DAY_S / TICK_S)
"""Everything lasts whole ticks, so that a simulation by ticks is exact."""

SCALE = 60.0
"""The random jobs' tens of seconds as ten minutes."""


def scaled(span: Range) -> Range:
    return span[0] * SCALE, span[1] * SCALE


def long_job(seed: int) -> tuple[Problem, Plan]:
    """A random job of hours, by people of several teams or one thing after another, and its quickest plan."""
    chance = random.Random(seed)
    crew = seed % 2 == 0
    problem, costs = random_crew_job(seed) if crew else random_job(seed)
    operations = tuple(_slower(o, o.teams if crew else _teams(chance)) for o in problem.operations)
    handling = tuple((n, Handling(scaled(h.set_up_s), scaled(h.put_away_s))) for n, h in problem.handling)
    slower = Costs({key: scaled(span) for key, span in costs.table.items()})
    movers = (chance.randint(1, 3), chance.randint(1, 2))
    problem = evolve(
        problem, operations=operations, handling=handling, begins=_raised(problem.begins), people=PEOPLE, movers=movers
    )
    plans = order_job(problem, slower).plans
    return problem, plans[0] if plans else Plan((), 0)


def _slower(operation: Operation, teams: tuple[tuple[str, ...], ...]) -> Operation:
    choices = tuple(evolve(c, run_s=scaled(c.run_s), stand=_raised(c.stand)) for c in operation.choices)
    return evolve(operation, choices=choices, wait_s=scaled(operation.wait_s), teams=teams)


def _raised(stand: Stand | None) -> Stand | None:
    return None if stand is None else evolve(stand, rise_s=scaled(stand.rise_s))


def _teams(chance: random.Random) -> tuple[tuple[str, ...], ...]:
    """One person, or one of two, or nobody named."""
    names = chance.sample(PEOPLE, 2)
    return chance.choice([(), ((names[0],),), ((names[0],), (names[1],)), ((names[0], names[1]),)])


def random_hours(chance: random.Random) -> Hours:
    """Some days of the week, with a break or none, now and then round the clock; a few days off."""
    week: list[Spans] = []
    for _ in range(7):
        opens = chance.randint(TICKS // 4, TICKS // 2)
        closes = chance.randint(opens + 2, TICKS)
        noon = (opens + closes) // 2
        kind = chance.random()
        if kind < 0.2:
            week.append(())
        elif kind < 0.3:
            week.append(((0.0, DAY_S),))
        elif kind < 0.6 and closes - opens > 20:
            week.append(((opens * TICK_S, noon * TICK_S), ((noon + 6) * TICK_S, closes * TICK_S)))
        else:
            week.append(((opens * TICK_S, closes * TICK_S),))
    if not any(week):
        week[0] = ((8 * 3600.0, 17 * 3600.0),)
    return Hours(tuple(week), frozenset(chance.sample(range(14), 2)))


def random_calendar(seed: int) -> Calendar:
    chance = random.Random(1000 + seed)
    day = ((6 * 3600.0, 20 * 3600.0),)
    shop = random_hours(chance)
    own = {name: random_hours(chance) for name in PEOPLE if chance.random() < 0.5}
    # So that somebody is there at some time: Tuesdays all are.
    return Calendar(_on_tuesdays(shop, day), {name: _on_tuesdays(h, day) for name, h in own.items()})


def _on_tuesdays(hours: Hours, day: tuple[tuple[float, float], ...]) -> Hours:
    return evolve(hours, week=(hours.week[0], day, *hours.week[2:]))


# The simulation


class Simulated:
    """One level of a plan, tick by tick: whoever is there works, all else waits."""

    def __init__(self, problem: Problem, plan: Plan, calendar: Calendar, level: int, begins: int) -> None:
        self.problem, self.plan, self.calendar, self.level, self.begins = problem, plan, calendar, level, begins
        self.now = begins
        self.seen: dict[tuple[tuple[str, ...], int], bool] = {}
        self.over: dict[int, int] = {}
        self.spans: dict[int, tuple[int, int]] = {}

    def open(self, team: tuple[str, ...], tick: int) -> bool:
        """Whether all are there in a tick: looked up once each."""
        if (team, tick) not in self.seen:
            self.seen[team, tick] = self.look(team, tick)
        return self.seen[team, tick]

    def look(self, team: tuple[str, ...], tick: int) -> bool:
        day, of_day = divmod(tick, TICKS)
        for hours in [self.calendar.shop, *(self.calendar.people[n] for n in team if n in self.calendar.people)]:
            spans = hours.week[day % 7]
            if day in hours.off or not any(a <= of_day * TICK_S < b for a, b in spans):
                return False
        return True

    def takes(self, step: Step, level: int) -> int:
        return round((step.end_s[level] - step.start_s[level]) / TICK_S)

    def fits_somewhere(self, step: Step, team: tuple[str, ...]) -> bool:
        """Whether the team is ever there for as long as it may take, within some weeks of the beginning."""
        run, wanted = 0, self.takes(step, 2)
        first = self.begins // TICKS * TICKS
        for tick in range(first, first + 21 * TICKS):
            run = run + 1 if self.open(team, tick) else 0
            if run >= wanted:
                return True
        return False

    def alone(self, step: Step, team: tuple[str, ...]) -> tuple[int, int]:
        length, tick = self.takes(step, self.level), self.now
        if length == 0:
            return tick, tick
        if step.kind in ("work", "sent out") or not self.fits_somewhere(step, team):
            begun, left = None, length
            while left:
                if self.open(team, tick):
                    begun, left = tick if begun is None else begun, left - 1
                tick += 1
            assert begun is not None
            return begun, tick
        while not all(self.open(team, tick + k) for k in range(length)):
            tick += 1
        return tick, tick + length

    def until(self, number: int) -> int:
        wait = self.problem.operations[number].wait_s
        lasts = (wait[0], (wait[0] + wait[1]) / 2, wait[1])[self.level]
        return self.over[number] + round(lasts / TICK_S)

    def hold(self, step: Step) -> None:
        operation = None if step.operation is None else self.problem.operations[step.operation]
        for number in self.over:
            blocks = self.problem.operations[number].blocks
            drives = step.kind in ("enter", "move", "leave", "drive")
            cured = operation is not None and number in operation.cured
            if blocks == "all" or cured or (blocks == "drive" and drives) or (blocks == "lift" and step.kind == "lift"):
                self.now = max(self.now, self.until(number))

    def run(self) -> dict[int, tuple[int, int]]:
        steps, number = self.plan.steps, 0
        while number < len(steps):
            group = list(self.together(number))
            if group:
                self.hold(steps[number])
                self.side_by_side(group)
                number += len(group)
                continue
            self.one(number)
            number += 1
        return self.spans

    def one(self, number: int) -> None:
        step, begun = self.plan.steps[number], self.now
        if step.kind == "wait":
            assert step.operation is not None
            self.now = max(self.now, self.until(step.operation))
            self.spans[number] = begun, self.now
            return
        self.hold(step)
        self.spans[number] = min((self.alone(step, team) for team in self.teams(number)), key=lambda span: span[1])
        self.now = self.spans[number][1]
        if step.operation is not None:
            self.over[step.operation] = self.now

    def teams(self, number: int) -> list[tuple[str, ...]]:
        """An operation's own; of another step those of what follows, or else of what was last, and whoever helps."""
        steps = self.plan.steps
        if steps[number].operation is not None:
            return list(self.problem.operations[steps[number].operation or 0].teams) or [()]
        for step in [*steps[number:], *steps[:number][::-1]]:
            if step.operation is not None and step.kind != "wait" and self.problem.operations[step.operation].teams:
                teams = self.problem.operations[step.operation].teams
                return [all_ for team in teams for all_ in self.helped(steps[number], team)]
        return list(self.helped(steps[number], ()))

    def helped(self, step: Step, team: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
        """Every crew of as many as the step takes with this team in it; all there are where they are too few."""
        people, move = self.problem.people, step.move
        takes = min(self.problem.hands, len(step.fittings)) if move is None else self.problem.movers[move.driven]
        size = max(len(team), min(takes, len({*people, *team})))
        yield from (all_ for all_ in combinations(sorted({*people, *team}), size) if set(team) <= set(all_))

    def together(self, number: int) -> Iterator[int]:
        """The steps from this one on that go on side by side."""
        first = self.plan.steps[number]
        for n in range(number, len(self.plan.steps)):
            step = self.plan.steps[n]
            operation = None if step.operation is None else self.problem.operations[step.operation]
            beside = step.kind == "work" and operation is not None and operation.blocks != "all" and not operation.cured
            if self.problem.hands < 2 or not beside or step.stand != first.stand:
                return
            yield n

    def side_by_side(self, group: list[int]) -> None:
        """Each tick everybody works on the first of their own that can be gone on with."""
        steps = self.plan.steps
        left = {n: self.takes(steps[n], self.level) for n in group}
        begun: dict[int, int] = {}
        tick = self.now
        while len(self.spans.keys() & set(group)) < len(group):
            for _ in group:
                # What takes no time is over at once, and so on.
                for n in group:
                    if n not in self.spans and left[n] == 0 and self.may_begin(n, group):
                        self.spans[n] = begun.get(n, tick), tick
                        self.over[steps[n].operation or 0] = tick
            for n in group:
                if n not in self.spans and self.may_begin(n, group) and self.open(steps[n].team, tick):
                    begun.setdefault(n, tick)
                    left[n] -= 1
            tick += 1
        self.now = max(self.now, *(self.spans[n][1] for n in group))

    def may_begin(self, number: int, group: list[int]) -> bool:
        step = self.plan.steps[number]
        first = [n for n in group if n < number and set(self.plan.steps[n].team) & set(step.team)]
        needed = self.problem.operations[step.operation or 0].after
        inside = {self.plan.steps[n].operation: n for n in group}
        return all(n in self.spans for n in (*first, *(inside[o] for o in needed if o in inside)))


def told(found: Timed, level: int) -> list[tuple[float, float]]:
    return [(s.start_s[level], s.end_s[level]) for s in found.steps]


@pytest.mark.parametrize("batch", range(2))
def test_times_are_those_of_a_simulation_by_ticks(batch: int) -> None:
    """Random jobs and calendars, all three levels, every step."""
    assert simulated(range(15 * batch, 15 * batch + 15)) > 3 * DAY_S


@pytest.mark.long
@pytest.mark.parametrize("batch", range(20))
def test_times_are_those_of_a_simulation_in_many_random_jobs(batch: int) -> None:
    """A thousand more of them."""
    assert simulated(range(1_000 + 50 * batch, 1_050 + 50 * batch)) > 3 * DAY_S


def simulated(seeds: Iterable[int]) -> float:
    """How long the longest of these jobs takes, seconds; each as the simulation has it."""
    longest = 0.0
    for seed in seeds:
        problem, plan = long_job(seed)
        calendar = random_calendar(seed)
        begins = random.Random(seed).randrange(3 * TICKS)
        found = timed(problem, plan, calendar, begins * TICK_S)
        assert found is not None
        for level in range(3):
            spans = Simulated(problem, plan, calendar, level, begins).run()
            assert told(found, level) == [(a * TICK_S, b * TICK_S) for _, (a, b) in sorted(spans.items())], (
                seed,
                level,
            )
        longest = max(longest, found.ready_s[2] - begins * TICK_S)
    return longest


def test_round_the_clock_it_is_the_arrival_and_what_has_elapsed() -> None:
    always = Calendar(Hours((((0.0, DAY_S),),) * 7))
    for seed in range(30):
        problem, plan = long_job(seed)
        found = timed(problem, plan, always, 12_345.0)
        assert found is not None
        for step, clock in zip(plan.steps, found.steps, strict=True):
            assert clock.start_s == pytest.approx([12_345.0 + s for s in step.start_s])
            assert clock.end_s == pytest.approx([12_345.0 + s for s in step.end_s])
        assert not found.waiting


def test_order_of_the_levels_and_of_arrivals_and_more_hours() -> None:
    """The least is ready first, who comes later is ready no sooner, and more hours make nothing later."""
    sooner = 0
    for seed in range(40):
        problem, plan = long_job(seed)
        calendar = random_calendar(seed)
        chance = random.Random(seed)
        begins = chance.randrange(2 * TICKS) * TICK_S
        found = timed(problem, plan, calendar, begins)
        later = timed(problem, plan, calendar, begins + chance.randrange(2 * TICKS) * TICK_S)
        more = timed(problem, plan, _with_more(calendar, chance), begins)
        assert found is not None
        assert later is not None
        assert more is not None
        for step in found.steps:
            assert step.end_s[0] <= step.end_s[1] <= step.end_s[2], seed
        assert all(a <= b for a, b in zip(found.ready_s, later.ready_s, strict=True)), seed
        if all(_fits(s, calendar) for s in plan.steps):
            assert all(a <= b for a, b in zip(more.ready_s, found.ready_s, strict=True)), seed
            sooner += more.ready_s[1] < found.ready_s[1]
    assert sooner > 10


def _fits(step: Step, calendar: Calendar) -> bool:
    """Whether a step is never carried over for being too long, whoever does it."""
    spans = calendar.spans(tuple(calendar.people), 0)
    return step.kind in ("work", "wait") or step.end_s[2] - step.start_s[2] <= max(b - a for a, b in spans)


def _with_more(calendar: Calendar, chance: random.Random) -> Calendar:
    """Everybody there on one more morning, and no days off."""
    day = chance.randrange(7)

    def more(hours: Hours) -> Hours:
        own = [(a, b) for a, b in hours.week[day] if a > 9 * 3600.0]
        kept = [(a, b) for a, b in hours.week[day] if a <= 9 * 3600.0]
        longer = max([9 * 3600.0, *(b for _, b in kept)])
        joined = ((0.0, longer), *((a, b) for a, b in own if b > longer))
        clean = tuple((max(a, longer), b) if n else (a, b) for n, (a, b) in enumerate(joined))
        return Hours((*hours.week[:day], clean, *hours.week[day + 1 :]))

    return Calendar(more(calendar.shop), {name: more(hours) for name, hours in calendar.people.items()})


# By hand


NINE_TO_FIVE = Hours((*(((9 * 3600.0, 17 * 3600.0),),) * 5, (), ()))
SHOP = Calendar(NINE_TO_FIVE)


def ready_h(kind: OperationKind, hours: float, begins_h: float, calendar: Calendar = SHOP) -> tuple[float, int]:
    """When one operation of so many hours is over, in hours, and on which day: moves take no time."""
    job = evolve(work("it", hours * 3600.0, Stand(1)), kind=kind, teams=(("Ash",), ("Birch",)))
    problem = Problem((job,), 2)
    (plan,) = order_job(problem, flat(2, 0.0)).plans
    found = timed(problem, plan, calendar, begins_h * 3600.0)
    assert found is not None
    day, rest = divmod(found.ready_s[1], DAY_S)
    return rest / 3600.0, int(day)


def test_work_is_left_off_at_closing_and_a_calibration_is_not_begun() -> None:
    assert ready_h("work", 2.0, 16.0) == (10.0, 1)
    assert ready_h("calibration", 2.0, 16.0) == (11.0, 1)
    assert ready_h("calibration", 1.0, 16.0) == (17.0, 0)
    # Over the weekend, and before opening.
    assert ready_h("work", 2.0, 4 * 24 + 16.0) == (10.0, 7)
    assert ready_h("calibration", 1.0, 3.0) == (10.0, 0)
    # Longer than any day: carried over as work is.
    assert ready_h("calibration", 9.0, 16.0) == (17.0, 1)


def test_who_is_away_waits_or_another_team_does_it() -> None:
    away = Hours(NINE_TO_FIVE.week, frozenset({0, 1}))
    assert ready_h("calibration", 2.0, 9.0, Calendar(NINE_TO_FIVE, {"Ash": away})) == (11.0, 0)
    assert ready_h("calibration", 2.0, 9.0, Calendar(NINE_TO_FIVE, {"Ash": away, "Birch": away})) == (11.0, 2)
    never = Hours(((),) * 7)
    calendar = Calendar(NINE_TO_FIVE, {"Ash": never, "Birch": never})
    job = evolve(work("it", 60.0, Stand(1)), teams=(("Ash",),))
    problem = Problem((job,), 2)
    assert timed(problem, order_job(problem, flat(2)).plans[0], calendar, 0.0) is None


def test_a_cure_runs_on_over_night() -> None:
    """Glass in at four in the afternoon, six hours to cure: the car leaves when the shop opens."""
    glass = evolve(work("glass", 3600.0, Stand(1)), wait_s=(6 * 3600.0, 6 * 3600.0), blocks="drive")
    problem = Problem((glass,), 2)
    (plan,) = order_job(problem, flat(2, 0.0)).plans
    found = timed(problem, plan, Calendar(NINE_TO_FIVE), 15 * 3600.0)
    assert found is not None
    wait = next(n for n, s in enumerate(plan.steps) if s.kind == "wait")
    assert found.steps[wait].end_s[1] == 22 * 3600.0
    moves = Move(0, 1, True, (600.0, 600.0))
    late = evolve(plan, steps=(*plan.steps[:-1], evolve(plan.steps[-1], end_s=_plus(plan, 600.0), move=moves)))
    found = timed(problem, late, Calendar(NINE_TO_FIVE), 15 * 3600.0)
    assert found is not None
    assert found.steps[-1].start_s[1] == DAY_S + 9 * 3600.0
    assert found.waiting == (len(plan.steps) - 1,)


def _plus(plan: Plan, seconds: float) -> tuple[float, float, float]:
    low, mid, high = plan.steps[-1].end_s
    return low + seconds, mid + seconds, high + seconds
