"""A job asked of CP-SAT: the same problem, the same front, by other means.

What is set up must depend on the last choice alone: each choice clears whatever it does not use itself.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from cp_network import Change, Hold, Network, Scheduled, State, Task, Way
from cp_schedule import LIMIT_S, schedule

from standtrue.model.order import OUTSIDE, Choice, Front, Plan, Problem, Stand, Turn, middle
from standtrue.sequence.moves import Ledger
from standtrue.sequence.replay import replay
from standtrue.sequence.tables import Setting, exchange, sorted_fittings

TENTHS = 10
"""Times are told to the solver in tenths of a second."""

CAR = "car"
GONE = Setting(Stand(OUTSIDE))


def setting_of(choice: Choice) -> Setting | None:
    """What a choice asks for; None where it takes the car as it stands."""
    return None if choice.stand is None else Setting(choice.stand, choice.fittings)


def front_by_cp(
    problem: Problem, ledger: Ledger, limit_s: float = LIMIT_S, stopped: Callable[[], bool] = lambda: False
) -> Front:
    """The front of a job with moves as the ledger knows them: the least time for every number of moves.

    Stopped early: those found so far, not proven.
    """
    network, choices = network_of(problem, ledger)
    kept: list[Plan] = []
    # The least number of arrivals of any plan: a car outside must come in, but for work on the road alone.
    least = 0 if problem.first.place != OUTSIDE else 1
    most, proven = None, True
    while most is None or most >= least:
        if kept and stopped():
            return Front(tuple(kept), False)
        try:
            best = schedule(network, most_arrivals=most, limit_s=limit_s)
        except TimeoutError:
            return Front(tuple(kept), False)
        if best is None:
            break
        plan = replay(problem, _turns(problem, network, choices, best), ledger)
        proven &= best.proven
        # Of two plans as quick, the one with fewer moves beats the other.
        kept = [*(p for p in kept if p.elapsed_s[1] < plan.elapsed_s[1] - 0.5 / TENTHS), plan]
        # A plan of so many moves arrives once more often; with fewer, there may be a slower one.
        most = plan.moves + least - 1
    return Front(tuple(kept), proven)


def _turns(problem: Problem, network: Network, choices: list[list[Choice]], best: Scheduled) -> list[Turn]:
    """The operations as they start one after another; one that takes no time before one that starts with its end."""
    ends = [start + network.tasks[n].ways[best.ways[n]].takes for n, start in enumerate(best.starts)]
    order = sorted(range(len(ends)), key=lambda n: (best.starts[n], ends[n]))
    teams = [o.teams[best.teams[n]] if o.teams else () for n, o in enumerate(problem.operations)]
    return [Turn(n, choices[n][best.ways[n]], teams[n]) for n in order]


def network_of(problem: Problem, ledger: Ledger) -> tuple[Network, list[list[Choice]]]:
    """The job as a network of one thing, the car, and the choice that each way stands for."""
    begun = Setting(problem.first)
    settings = {s for o in problem.operations for c in o.choices if (s := setting_of(c)) is not None} | {GONE, begun}
    ordered = sorted(settings, key=_key)
    tasks, choices = [], []
    for operation in problem.operations:
        ways: list[Way] = []
        own: list[Choice] = []
        for choice in operation.choices:
            wanted = setting_of(choice)
            for setting in ordered if wanted is None else [wanted]:
                ways.append(Way(CAR, _tenths(middle(choice.run_s)), setting, setting, wanted is None))
                own.append(choice)
        cured = [(n, _tenths(middle(problem.operations[n].wait_s))) for n in sorted(operation.cured)]
        follows = (*((n, 0) for n in sorted(operation.after)), *cured)
        kind = "drive" if operation.kind == "drive" else ""
        beside = problem.hands > 1 and operation.beside
        # Alone at the car, any team has the time.
        tasks.append(Task(operation.name, tuple(ways), follows, kind, beside, operation.teams if beside else ()))
        choices.append(own)
    holds = tuple(
        Hold(n, _tenths(middle(o.wait_s)), o.blocks)
        for n, o in enumerate(problem.operations)
        if o.blocks is not None and o.wait_s[1] > 0.0
    )
    turning = -1 if problem.never_drives else problem.drives_after

    def change(one: State, two: State) -> Change:
        assert isinstance(one, Setting)
        assert isinstance(two, Setting)
        return _change(problem, ledger, one, two)

    home: dict[str, State] = {CAR: begun}
    return Network(tuple(tasks), home, change, frozenset({CAR}), holds, turning, ends={CAR: GONE}), choices


def _change(problem: Problem, ledger: Ledger, one: Setting, two: Setting) -> Change:
    swap = exchange(one, two)
    away, set_up = swap.away_s(problem, 1), swap.carry_s(problem, 1) + swap.set_up_s(problem, 1)
    down, up = middle(one.stand.rise_s), middle(two.stand.rise_s)
    if one.stand.place == two.stand.place:
        return Change((_tenths(away), 0, 0, _tenths(abs(up - down)), _tenths(set_up)))
    driven, pushed = (_move(ledger, one.stand, two.stand, d) for d in (True, False))
    phases = (_tenths(away), _tenths(down), driven, _tenths(up), _tenths(set_up))
    return Change(phases, pushed, True, int(two.stand.place != OUTSIDE))


def _move(ledger: Ledger, one: Stand, two: Stand, driven: bool) -> int | None:
    seconds = middle(ledger.cost((one.place, two.place, driven)).seconds)
    return _tenths(seconds) if seconds < math.inf else None


def _tenths(seconds: float) -> int:
    return round(seconds * TENTHS)


def _key(setting: Setting) -> tuple[int, str, str, float, tuple[tuple[str, tuple[float, ...]], ...]]:
    carrier = setting.stand.carrier
    fittings = tuple((f.equipment, f.at) for f in sorted_fittings(setting.fittings))
    return setting.stand.place, carrier.lift or "", carrier.state, carrier.height_m, fittings
