"""A plan from its order: every step with its times, replayed at all-least, all-midpoint and all-greatest."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from attrs import evolve

from standtrue.model.order import (
    OUTSIDE,
    Fitting,
    Move,
    Plan,
    Problem,
    Stand,
    Step,
    StepKind,
    Times,
    Turn,
    times_of,
)
from standtrue.sequence.moves import Ledger
from standtrue.sequence.tables import HAS_GONE, Setting, Want, exchange, following, want_of

Order = Sequence[Turn]


def replay(problem: Problem, order: Order, ledger: Ledger) -> Plan:
    """The plan of an order, everything as early as it can be."""
    runs = [_Run(problem, ledger, level).steps(order) for level in range(3)]
    steps = []
    for low, mid, high in zip(*runs, strict=True):
        starts: Times = (low.start_s[0], mid.start_s[0], high.start_s[0])
        ends: Times = (low.end_s[0], mid.end_s[0], high.end_s[0])
        if mid.kind != "wait" or starts != ends:
            steps.append(evolve(mid, start_s=starts, end_s=ends))
    steps.sort(key=lambda s: (s.start_s[1], s.end_s[1]))
    return Plan(tuple(steps), problem.moves_of(sum(s.kind in ("enter", "move") for s in steps)))


class _Run:
    """One replay, all times at one level. Every wait that may come is there, if of no length.

    `now` is when all that has begun is over. Work that goes on side by side began no sooner than `since`.
    """

    def __init__(self, problem: Problem, ledger: Ledger, level: int) -> None:
        self._problem, self._ledger, self._level = problem, ledger, level
        self._now = 0.0
        self._setting = Setting(problem.first)
        self._stand = self._setting.stand
        self._done: frozenset[int] = frozenset()
        self._waits: dict[int, float] = {}
        self._since: float | None = None
        self._ended: dict[int, float] = {}
        self._busy: dict[str, float] = {}
        self._steps: list[Step] = []

    def steps(self, order: Order) -> list[Step]:
        """All steps, from the car's coming to its leaving. What can be done anywhere waits until the car has come."""
        self._come(order)
        for turn in order:
            operation = self._problem.operations[turn.operation]
            wanted = want_of(turn.choice)
            if self._problem.hands > 1 and operation.beside:
                self._beside(turn, wanted)
            else:
                self._alone(turn, wanted)
            if operation.wait_s[1] > 0.0:
                self._waits[turn.operation] = self._ended[turn.operation] + times_of(operation.wait_s)[self._level]
            self._done |= {turn.operation}
        self._change(HAS_GONE)
        return self._steps

    def _alone(self, turn: Turn, wanted: Want | None) -> None:
        """Do it once all else is over."""
        operation = self._problem.operations[turn.operation]
        self._change(wanted)
        self._since = None
        if operation.kind == "drive":
            self._hold("drive")
        for cured in sorted(operation.cured):
            self._wait_for(cured)
        self._tell(operation.kind, times_of(turn.choice.run_s), turn=turn)
        self._ended[turn.operation] = self._now

    def _beside(self, turn: Turn, wanted: Want | None) -> None:
        """Do it as soon as its people and what it follows allow, beside whatever goes on at the car."""
        operation = self._problem.operations[turn.operation]
        if self._since is None or following(self._setting, wanted) != self._setting:
            self._change(wanted)
            self._since = self._now
        free = (self._busy.get(name, 0.0) for name in turn.team)
        followed = (self._ended[n] for n in operation.after if n in self._ended)
        over, self._now = self._now, max([self._since, *free, *followed])
        self._tell(operation.kind, times_of(turn.choice.run_s), turn=turn)
        self._ended[turn.operation] = self._now
        self._busy.update(dict.fromkeys(turn.team, self._now))
        self._now = max(over, self._now)

    def _come(self, order: Order) -> None:
        """Come in first where nothing before needs the car outside: it takes no longer."""
        if self._stand.place != OUTSIDE:
            return
        for turn in order:
            stand = turn.choice.stand
            if stand is not None:
                if stand.place != OUTSIDE:
                    self._change(Want(Stand(stand.place)))
                return
            if self._problem.operations[turn.operation].wait_s[1] > 0.0 or turn.operation == self._problem.drives_after:
                return

    def _change(self, want: Want | None) -> None:
        """Put away, lower, move, raise, carry over, set up: whatever of it the change asks for."""
        self._hold("all")
        old, wanted = self._setting, following(self._setting, want)
        swap = exchange(old, wanted)
        self._handle("put away", swap.away, swap.away_s)
        down, up = times_of(old.stand.rise_s), times_of(wanted.stand.rise_s)
        if old.stand.place != wanted.stand.place:
            self._lift(Stand(old.stand.place), down)
            self._move(wanted.stand.place)
            self._lift(wanted.stand, up)
        elif old.stand != wanted.stand:
            self._lift(wanted.stand, (abs(up[0] - down[0]), abs(up[1] - down[1]), abs(up[2] - down[2])))
        self._stand = wanted.stand
        self._handle("carry", swap.carried, swap.carry_s)
        self._handle("set up", swap.fetched, swap.set_up_s)
        self._setting = wanted

    def _handle(self, kind: StepKind, fittings: tuple[Fitting, ...], takes_s: Callable[[Problem, int], float]) -> None:
        if fittings:
            least, mid, most = (takes_s(self._problem, level) for level in range(3))
            self._tell(kind, (least, mid, most), fittings=fittings)

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
        self._tell("wait", (left, left, left), waits_for=number)

    def _tell(
        self,
        kind: StepKind,
        takes: Times,
        *,
        waits_for: int | None = None,
        turn: Turn | None = None,
        fittings: tuple[Fitting, ...] = (),
        move: Move | None = None,
    ) -> None:
        start = self._now
        self._now += takes[self._level]
        at, until = (start,) * 3, (self._now,) * 3
        operation, choice, team = (waits_for, None, ()) if turn is None else (turn.operation, turn.choice, turn.team)
        self._steps.append(Step(kind, at, until, self._stand, operation, choice, fittings, move, team))
