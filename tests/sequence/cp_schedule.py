"""The least time of a network of tasks, proven by CP-SAT. The solver is loaded only when it is asked."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from attrs import frozen
from cp_network import PHASES, Change, Network, Scheduled, Way

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import CpModel, CpSolver, IntVar

LIMIT_S = 60.0
"""After this the best so far is told, not proven."""

SEED = 1

AWAY, DOWN, MOVE, UP, SET = range(PHASES)


def schedule(network: Network, *, most_arrivals: int | None = None, limit_s: float = LIMIT_S) -> Scheduled | None:
    """The schedule that ends soonest, with at most so many arrivals; None where there is none.

    Raises TimeoutError where none was found in time.
    """
    from ortools.sat.python import cp_model

    model = _Model(cp_model.CpModel(), network)
    model.build(most_arrivals)
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = limit_s
    solver.parameters.random_seed = SEED
    if len(network.homes) - len(network.stateless) > 1:
        # Where several things change, clauses alone prove in seconds what linear relaxations leave open for minutes.
        solver.parameters.linearization_level = 0
        solver.parameters.num_workers = 1
    status = solver.solve(model.cp)
    if status == cp_model.INFEASIBLE:
        return None
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        raise TimeoutError(f"no schedule was found within {limit_s:g} s")
    return model.scheduled(solver, status == cp_model.OPTIMAL)


@frozen(eq=False)
class _Node:
    """A way of a task, present or not; `at` are the variables of the phases that lead to it."""

    task: int
    way: Way
    present: IntVar


class _Model:
    """The variables of one question, and the constraints that read like it."""

    def __init__(self, cp: CpModel, network: Network) -> None:
        self.cp, self.network = cp, network
        self.horizon = _horizon(network)
        tasks = network.tasks
        self.start = [self._time(f"start {t.name}") for t in tasks]
        self.end = [self._time(f"end {t.name}") for t in tasks]
        # When each phase of the change before a task begins; the last rows are the things' way home.
        things = sorted(network.homes)
        self.home_row = {thing: len(tasks) + i for i, thing in enumerate(things)}
        self.phase = [
            [self._time(f"phase {row}.{k}") for k in range(PHASES)] for row in range(len(tasks) + len(things))
        ]
        self.done = self._time("done")
        self.present = [[cp.new_bool_var(f"{t.name} way {n}") for n in range(len(t.ways))] for t in tasks]
        # Of a task that others may go on beside: when all are over that began before it and go on with it.
        self.over = [self._time(f"over {t.name}") if t.beside else self.end[n] for n, t in enumerate(tasks)]
        self.by = [[cp.new_bool_var(f"{t.name} team {n}") for n in range(len(t.teams))] for t in tasks]
        self.earlier: dict[tuple[int, int], Any] = {}
        self.arriving: list[tuple[Any, int]] = []

    def _time(self, name: str) -> IntVar:
        return self.cp.new_int_var(0, self.horizon, name)

    def build(self, most_arrivals: int | None) -> None:
        cp = self.cp
        for number, task in enumerate(self.network.tasks):
            cp.add_exactly_one(self.present[number])
            for way, present in zip(task.ways, self.present[number], strict=True):
                cp.add(self.end[number] == self.start[number] + way.takes).only_enforce_if(present)
            for before, lag in task.follows:
                cp.add(self.start[number] >= self.end[before] + lag)
            cp.add(self.done >= self.end[number])
            # No change leads to a task that joins others; what must be over before its change is over before it starts.
            cp.add(self.phase[number][AWAY] <= self.start[number])
            for before in task.carries_on:
                self._carried_on(before, number)
            if task.beside:
                cp.add(self.over[number] >= self.end[number])
            if task.teams:
                cp.add_exactly_one(self.by[number])
        for name in sorted({name for task in self.network.tasks for team in task.teams for name in team}):
            self._by(name)
        for thing in sorted(self.network.homes):
            self._on(thing)
        for hold in self.network.holds:
            for number, task in enumerate(self.network.tasks):
                if number != hold.task and hold.blocks in ("all", task.kind):
                    self._held(hold.task, hold.lag, number, self.start[number])
        if most_arrivals is not None:
            cp.add(sum(count * arc for arc, count in self.arriving) <= most_arrivals)
        cp.minimize(self.done)

    def _by(self, name: str) -> None:
        """One person does one task at a time."""
        spans = []
        for number, task in enumerate(self.network.tasks):
            if own := [by for team, by in zip(task.teams, self.by[number], strict=True) if name in team]:
                length = self._time("")
                self.cp.add(length == self.end[number] - self.start[number])
                # At most one team does it, so their sum says whether this person does.
                busy = self.cp.new_bool_var(f"{name} at {task.name}")
                self.cp.add(busy == sum(own))
                spans.append(self.cp.new_optional_interval_var(self.start[number], length, self.end[number], busy, ""))
        self.cp.add_no_overlap(spans)

    def _carried_on(self, before: int, number: int) -> None:
        """One task is done in a way that leaves off where the way of the other begins."""
        one, two = self.network.tasks[before], self.network.tasks[number]
        for state in dict.fromkeys([*(w.after for w in one.ways), *(w.before for w in two.ways)]):
            left = [p for w, p in zip(one.ways, self.present[before], strict=True) if w.after == state]
            begun = [p for w, p in zip(two.ways, self.present[number], strict=True) if w.before == state]
            self.cp.add(sum(left) == sum(begun))

    def _on(self, thing: str) -> None:
        """One thing does one task at a time but for those that go on side by side, with the changes between them."""
        nodes = [
            _Node(number, way, present)
            for number, task in enumerate(self.network.tasks)
            for way, present in zip(task.ways, self.present[number], strict=True)
            if way.thing == thing
        ]
        alone = [n for n in nodes if not self.network.tasks[n.task].beside]
        spans = [
            self.cp.new_optional_interval_var(self.start[n.task], n.way.takes, self.end[n.task], n.present, "")
            for n in alone
        ]
        self.cp.add_no_overlap(spans)
        # Said again, since it closes what would stay open: nobody is done before a thing's own work is.
        self.cp.add(self.done >= sum(n.way.takes * n.present for n in alone))
        if thing in self.network.stateless:
            return
        arcs: list[tuple[int, int, Any]] = []
        idle = self.cp.new_bool_var(f"{thing} idle")
        arcs.append((0, 0, idle))
        for i, node in enumerate(nodes, start=1):
            arcs.append((i, i, ~node.present))
            self.cp.add_implication(node.present, ~idle)
            self._arc(arcs, 0, None, i, node, thing)
            self._home(arcs, i, node, thing)
            for j, other in enumerate(nodes, start=1):
                if other.task != node.task:
                    self._arc(arcs, i, node, j, other, thing)
        self.cp.add_circuit(arcs)
        if thing in self.network.returning:
            self._round(thing, nodes, arcs)

    def _round(self, thing: str, nodes: list[_Node], arcs: list[tuple[int, int, Any]]) -> None:
        """Said again, for the bound: all is done no sooner than the thing's own work and changes take together."""
        change = self.network.change
        after = [self.network.homes[thing], *(n.way.after for n in nodes)]
        before = [self.network.end(thing), *(n.way.before for n in nodes)]
        works = sum(n.way.takes * n.present for n in nodes if not self.network.tasks[n.task].beside)
        changes = sum(_least(change(after[i], before[j])) * arc for i, j, arc in arcs if i != j)
        self.cp.add(self.done >= works + changes)

    def _arc(self, arcs: list[tuple[int, int, Any]], i: int, one: _Node | None, j: int, two: _Node, thing: str) -> None:
        """The thing goes from one task, or its home, straight to another."""
        state = self.network.homes[thing] if one is None else one.way.after
        if two.way.keeps and state != two.way.before:
            return
        arc = self.cp.new_bool_var(f"{thing} {i}-{j}")
        arcs.append((i, j, arc))
        if one is not None and state == two.way.before and self._beside(one, two):
            # In the order in which they begin, so that none begins before the thing is ready for the first.
            self.cp.add(self.start[two.task] >= self.start[one.task]).only_enforce_if(arc)
            self.cp.add(self.over[two.task] >= self.over[one.task]).only_enforce_if(arc)
            return
        begins = 0 if one is None else self.over[one.task]
        change = self.network.change(state, two.way.before)
        self._phases(arc, begins, change, two.task, self.start[two.task], two.task)

    def _beside(self, one: _Node, two: _Node) -> bool:
        return self.network.tasks[one.task].beside and self.network.tasks[two.task].beside

    def _home(self, arcs: list[tuple[int, int, Any]], i: int, node: _Node, thing: str) -> None:
        arc = self.cp.new_bool_var(f"{thing} {i}-home")
        arcs.append((i, 0, arc))
        if thing in self.network.returning:
            change = self.network.change(node.way.after, self.network.end(thing))
            self._phases(arc, self.over[node.task], change, self.home_row[thing], self.done, None)

    def _phases(self, arc: Any, begins: Any, change: Change, row: int, ends: Any, task: int | None) -> None:
        """The phases of a change follow one another, none while a hold bars it. `task` None: the way home."""
        cp, at = self.cp, self.phase[row]
        cp.add(at[AWAY] >= begins).only_enforce_if(arc)
        if change.arrivals:
            self.arriving.append((arc, change.arrivals))
        for k in range(PHASES):
            then = ends if k + 1 == PHASES else at[k + 1]
            takes = change.phases[k]
            if k == MOVE and change.moves and (task is not None or self.network.turning == -1):
                for literals, seconds in self._modes(change, task):
                    if seconds is None:
                        cp.add_bool_or([~arc, *(~one for one in literals)])
                    else:
                        cp.add(then >= at[k] + seconds).only_enforce_if([arc, *literals])
            elif takes is None:
                cp.add(arc == 0)
            else:
                cp.add(then >= at[k] + takes).only_enforce_if(arc)
        for hold in self.network.holds:
            for k, kind in ((AWAY, "all"), (DOWN, "lift"), (MOVE, "drive"), (UP, "lift")):
                barred = kind == "all" or (change.moves if k == MOVE else bool(change.phases[k]))
                if hold.blocks == kind and barred and hold.task != task:
                    self._held(hold.task, hold.lag, task, at[k], arc)

    def _modes(self, change: Change, task: int | None) -> Iterator[tuple[list[Any], int | None]]:
        """Under which literals a move takes how long: driven once the turning task is done, else pushed."""
        turning = self.network.turning
        if turning is None:
            yield [], change.phases[MOVE]
        elif turning == -1 or turning == task:
            yield [], change.early
        elif task is None:
            yield [], change.phases[MOVE]
        else:
            first = self._first(turning, task)
            yield [first], change.phases[MOVE]
            yield [~first], change.early

    def _held(self, held: int, lag: int, task: int | None, at: Any, arc: Any = None) -> None:
        """If the held task comes before, this comes after its lag. On the way home all tasks have come before."""
        literals = [] if arc is None else [arc]
        if task is not None:
            literals.append(self._first(held, task))
        constraint = self.cp.add(at >= self.end[held] + lag)
        if literals:
            constraint.only_enforce_if(literals)

    def _first(self, one: int, two: int) -> Any:
        """Whether the first of two tasks of one thing comes before the other's change begins."""
        if (one, two) not in self.earlier:
            literal = self.cp.new_bool_var(f"{one} before {two}")
            both = self.network.tasks[one].beside and self.network.tasks[two].beside
            self.cp.add(self.phase[two][AWAY] >= self.end[one]).only_enforce_if(literal)
            # Side by side, the one ends after the other's change if it does not end before.
            later, sooner = (self.end[one], self.start[two]) if both else (self.phase[one][AWAY], self.end[two])
            self.cp.add(later >= sooner).only_enforce_if(~literal)
            self.earlier[one, two] = literal
        return self.earlier[one, two]

    def scheduled(self, solver: CpSolver, proven: bool) -> Scheduled:
        """The solution as plain numbers."""
        ways = tuple(next(n for n, p in enumerate(own) if solver.boolean_value(p)) for own in self.present)
        teams = tuple(next((n for n, p in enumerate(own) if solver.boolean_value(p)), 0) for own in self.by)
        arrivals = sum(count for arc, count in self.arriving if solver.boolean_value(arc))
        starts = tuple(solver.value(s) for s in self.start)
        return Scheduled(starts, ways, teams, solver.value(self.done), arrivals, proven)


def _least(change: Change) -> int:
    """How long a change takes at the least, whether or not the turning point has come."""
    moves = [m for m in (change.phases[MOVE], change.early if change.moves else None) if m is not None]
    return sum(p for k, p in enumerate(change.phases) if k != MOVE and p is not None) + min(moves, default=0)


def _horizon(network: Network) -> int:
    """No schedule need take longer: everything one after another, the slowest way, after the longest change."""
    whole = sum(max(w.takes for w in t.ways) + sum(lag for _, lag in t.follows) for t in network.tasks)
    whole += sum(hold.lag for hold in network.holds)
    states = {w.before for t in network.tasks for w in t.ways} | set(map(network.end, network.homes))
    afters = {w.after for t in network.tasks for w in t.ways} | set(network.homes.values())
    longest = 0
    for one in afters:
        for two in states:
            change = network.change(one, two)
            moved = [m for m in (change.phases[MOVE], change.early) if m is not None]
            rest = sum(p for k, p in enumerate(change.phases) if k != MOVE and p is not None)
            longest = max(longest, rest + max(moved, default=0))
    return whole + longest * (len(network.tasks) + len(network.homes))
