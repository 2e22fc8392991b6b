"""Find a path between poses among polygons: several resolutions, then polishing."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from functools import partial

import numpy as np
from attrs import evolve, frozen

from standtrue.drive.kernels.joins import Ask
from standtrue.drive.kernels.trees import Effort
from standtrue.drive.path.effort import LEG_EFFORTS, LEVELS, QUICK, ROADMAP_AFTER, TIGHT
from standtrue.drive.path.found import Found, Outcome
from standtrue.drive.path.task import Task, solved, task_for
from standtrue.drive.proofs.no_way import no_turn, no_way, parted
from standtrue.drive.world.packed import Packed, Pose
from standtrue.drive.world.symmetry import answered_form, path_turned_back

SAME = 1e-9
"""Poses nearer than this, meters and radians, are one."""

FEW_PAIRS = 150
"""With so few pairs a proof that there is no way is quicker than a search."""

BETTER_NODES, A_SHUNT, FEW_SHUNTS = 1_500, 2_500, 2
"""How many more nodes a way already found is worth, and how many more for each change of direction beyond a few."""

Policy = Callable[[Task, Found], Found]
"""What is tried where no way was found yet: what it finds or proves, or what was found before."""


def prove_no_turn(task: Task, best: Found) -> Found:
    """A proof by headings, where things are so few that it is quick."""
    if len(task.packed.world.pairs) > FEW_PAIRS:
        return best
    return evolve(best, proof=no_turn(task.packed, task.grid, task.ones, task.twos))


def prove_no_way(task: Task, best: Found) -> Found:
    """A proof that there is no way at all."""
    return evolve(best, proof=no_way(task.packed, task.grid, task.ones, task.twos))


def prove_parted(fineness: int, task: Task, best: Found) -> Found:
    """A proof that there is no way, over finer boxes."""
    return evolve(best, proof=parted(task.packed, task.ones, task.twos, fineness))


def touch_gaps(task: Task, best: Found) -> Found:
    """A way that keeps its gaps and no more."""
    exact = task.to_a_hair()
    return exact if exact.solved else best


def thread_passages(task: Task, best: Found) -> Found:
    """A way from narrow passage to narrow passage."""
    path = task.over_passages() if len(task.passages) else None
    return best if path is None else solved(task.ask, task.ones[0], path, LEG_EFFORTS[-1].cell, best.nodes)


@frozen
class Level:
    """A search at one resolution, and what else is tried where it finds nothing."""

    effort: Effort
    then: tuple[Policy, ...] = ()


@frozen
class Strategy:
    """What is tried before any search, and the resolutions one after another."""

    first: tuple[Policy, ...]
    levels: tuple[Level, ...]


_THEN: dict[int, tuple[Policy, ...]] = {
    0: (prove_no_way, partial(prove_parted, 1)),
    TIGHT: (touch_gaps,),
    ROADMAP_AFTER: (thread_passages, partial(prove_parted, 2)),
}

THOROUGH = Strategy((prove_no_turn,), tuple(Level(e, _THEN.get(n, ())) for n, e in enumerate(LEVELS)))
"""Everything, until a way is found or it is proven that there is none."""


def no_more_than(*efforts: Effort) -> Strategy:
    """Searches of these efforts only: no proofs, no roadmap."""
    return Strategy((), tuple(Level(e) for e in efforts))


COARSE = no_more_than(*QUICK)
"""What a quick search tries."""


def find_path(
    packed: Packed,
    ask: Ask,
    starts: Sequence[Pose],
    goals: Sequence[Pose],
    strategy: Strategy = THOROUGH,
    *,
    hopeless: Callable[[], bool] | None = None,
) -> Found:
    """The cheapest path found from one of `starts` to one of `goals`, polished.

    Resolutions are tried until one gives a path, and a little further for a cheaper one. The path keeps a hair more
    than every gap where it can, so that what just touches on paper is apart in any other reckoning. `hopeless` is
    asked, after a resolution that shows no way, whether to look no further.
    """
    here = next((one for one in starts for two in goals if _same(one, two)), None)
    if here is not None:
        return Found(Outcome.SOLVED, here, np.empty((0, 4)), 0.0, 0.0, 0)
    form = answered_form(packed, starts, goals)
    found = _find(task_for(form.packed, ask, form.starts, form.goals), strategy, hopeless)
    if found.start is not None:
        start, path = path_turned_back(form, starts, found.start, found.path)
        return evolve(found, start=start, path=path)
    if found.proof is not None:
        return evolve(found, outcome=Outcome.EXHAUSTED, proof=found.proof.turned_back(form))
    return found


def _same(one: Pose, two: Pose) -> bool:
    turn = abs(math.remainder(one[2] - two[2], math.tau))
    return max(abs(one[0] - two[0]), abs(one[1] - two[1]), turn) < SAME


def _find(task: Task, strategy: Strategy, hopeless: Callable[[], bool] | None) -> Found:
    best = task.repeated()
    for policy in strategy.first:
        if not best.solved:
            best = policy(task, best)
    if best.proven:
        return best
    levels, spent = iter(strategy.levels), 0
    if not best.solved:
        best, spent = _first_way(task, levels, best, hopeless)
    return _cheaper_way(task, levels, best, spent) if best.solved else best


def _first_way(
    task: Task, levels: Iterator[Level], best: Found, hopeless: Callable[[], bool] | None
) -> tuple[Found, int]:
    """The first way that any level finds, and how many nodes that level took; or why there is none."""
    total = 0
    for level in levels:
        tried = task.searched(level.effort)
        total += tried.nodes
        best = tried if tried.solved else evolve(tried, nodes=total)
        for policy in level.then:
            if not (best.solved or best.proven):
                best = policy(task, best)
        if best.solved:
            return best, max(tried.nodes, BETTER_NODES // 3)
        if best.proven or (hopeless is not None and hopeless()):
            break
    return best, 0


def _cheaper_way(task: Task, levels: Iterator[Level], best: Found, spent: int) -> Found:
    """A cheaper way than the one found, at the levels that are left: the more it turns back, the longer looked for."""
    spare = BETTER_NODES + A_SHUNT * max(0, best.shunts - FEW_SHUNTS) - spent
    for level in levels:
        if best.shunts <= 1 or spare <= 0:
            break
        effort = level.effort._replace(most=min(level.effort.most, spare))
        tried = task.searched(effort, best.seconds)
        if tried.solved and tried.seconds < best.seconds:
            best = tried
        spare -= tried.nodes
    return best
