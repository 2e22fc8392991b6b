"""A plan from its order: every step with its times, replayed at all-least, all-midpoint and all-greatest."""

from __future__ import annotations

from collections.abc import Sequence

from attrs import evolve

from standtrue.model.plan import (
    OUTSIDE,
    Choice,
    Fitting,
    Move,
    Plan,
    Problem,
    Stand,
    Step,
    StepKind,
    Times,
    times_of,
)
from standtrue.sequence.moves import Ledger
from standtrue.sequence.tables import Setting, setting_of, sorted_fittings

Order = Sequence[tuple[int, Choice]]
GONE = Setting(Stand(OUTSIDE))


def replay(problem: Problem, order: Order, ledger: Ledger) -> Plan:
    """The plan of an order, everything as early as it can be."""
    runs = [_Run(problem, ledger, level).steps(order) for level in range(3)]
    steps = []
    for low, mid, high in zip(*runs, strict=True):
        starts: Times = (low.start_s[0], mid.start_s[0], high.start_s[0])
        ends: Times = (low.end_s[0], mid.end_s[0], high.end_s[0])
        if mid.kind != "wait" or starts != ends:
            steps.append(evolve(mid, start_s=starts, end_s=ends))
    return Plan(tuple(steps), max(0, sum(s.kind in ("enter", "move") for s in steps) - 1))


class _Run:
    """One replay, all times at one level. Every wait that may come is there, if of no length."""

    def __init__(self, problem: Problem, ledger: Ledger, level: int) -> None:
        self._problem, self._ledger, self._level = problem, ledger, level
        self._now = 0.0
        self._setting = GONE
        self._stand = GONE.stand
        self._done: frozenset[int] = frozenset()
        self._waits: dict[int, float] = {}
        self._told: list[Step] = []

    def steps(self, order: Order) -> list[Step]:
        """All steps, from the car's coming to its leaving. What can be done anywhere waits until the car has come."""
        self._come(order)
        for number, choice in order:
            operation = self._problem.operations[number]
            self._change(setting_of(choice) or self._setting)
            if operation.kind == "drive":
                self._hold("drive")
            for cured in sorted(operation.cured):
                self._wait_for(cured)
            self._tell(operation.kind, times_of(choice.run_s), operation=number, choice=choice)
            self._done |= {number}
            if operation.wait_s[1] > 0.0:
                self._waits[number] = self._now + times_of(operation.wait_s)[self._level]
        self._change(GONE)
        return self._told

    def _come(self, order: Order) -> None:
        """Come in first where nothing before needs the car outside: it takes no longer."""
        for number, choice in order:
            if choice.stand is not None:
                if choice.stand.place != OUTSIDE:
                    self._change(Setting(Stand(choice.stand.place)))
                return
            if self._problem.operations[number].wait_s[1] > 0.0 or number == self._problem.drives_after:
                return

    def _change(self, wanted: Setting) -> None:
        """Put away, lower, move, raise, set up: whatever of it the change asks for."""
        self._hold("all")
        old = self._setting
        stays = old.stand.place == wanted.stand.place
        kept = old.fittings & wanted.fittings if stays else frozenset()
        self._handle("put away", old.fittings - kept)
        down, up = times_of(old.stand.rise_s), times_of(wanted.stand.rise_s)
        if not stays:
            self._lift(Stand(old.stand.place), down)
            self._move(wanted.stand.place)
            self._lift(wanted.stand, up)
        elif old.stand != wanted.stand:
            self._lift(wanted.stand, (abs(up[0] - down[0]), abs(up[1] - down[1]), abs(up[2] - down[2])))
        self._stand = wanted.stand
        self._handle("set up", wanted.fittings - kept)
        self._setting = wanted

    def _handle(self, kind: StepKind, fittings: frozenset[Fitting]) -> None:
        takes = [0.0, 0.0, 0.0]
        for fitting in sorted_fittings(fittings):
            handling = self._problem.handled(fitting)
            for level, time in enumerate(times_of(handling.set_up_s if kind == "set up" else handling.put_away_s)):
                takes[level] += time
        if fittings:
            self._tell(kind, (takes[0], takes[1], takes[2]), fittings=tuple(sorted_fittings(fittings)))

    def _lift(self, to: Stand, takes: Times) -> None:
        if takes[2] > 0.0:
            self._hold("lift")
            self._stand = to
            self._tell("lift", takes)

    def _move(self, goal: int) -> None:
        self._hold("drive")
        start = self._setting.stand.place
        move: Move = self._ledger.cost((start, goal, self._problem.drives(self._done)))
        kind: StepKind = "enter" if start == OUTSIDE else "leave" if goal == OUTSIDE else "move"
        self._stand = Stand(goal)
        self._tell(kind, times_of(move.seconds), move=move)

    def _hold(self, what: str) -> None:
        """Wait for every wait that blocks this."""
        for number in self._waits:
            if self._problem.operations[number].blocks == what:
                self._wait_for(number)

    def _wait_for(self, number: int) -> None:
        left = max(0.0, self._waits.get(number, 0.0) - self._now)
        self._tell("wait", (left, left, left), operation=number)

    def _tell(
        self,
        kind: StepKind,
        takes: Times,
        *,
        operation: int | None = None,
        choice: Choice | None = None,
        fittings: tuple[Fitting, ...] = (),
        move: Move | None = None,
    ) -> None:
        start = self._now
        self._now += takes[self._level]
        at, until = (start,) * 3, (self._now,) * 3
        self._told.append(Step(kind, at, until, self._stand, operation, choice, fittings, move))
