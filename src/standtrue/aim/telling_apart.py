"""Further readings of a plan, so that a blunder is not only found but its reading told from the others.

Four tapes that tie a car have one check among them: they find a blunder together, and none says which of them has it.
Test values that correlate by more than 0.9 cannot be told apart (W. Förstner, 1983).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from attrs import evolve

from standtrue.aim.blunders import ALIKE, UNCHECKED
from standtrue.aim.candidates import Candidate
from standtrue.aim.reading_choice import Choice
from standtrue.aim.reading_plan import Demand, Reached, ReadingPlan

MOST = 6
"""A tie, or a target's place on the floor, should not take more readings than this: height and lean come on top."""

PAIR = 2
"""Of so many readings that cannot be told apart each is read again."""


def on_floor(plan: ReadingPlan) -> int:
    """How many readings of a plan place something on the floor: all but heights and leans."""
    return sum(r.what not in ("height", "lean") for r in plan.readings)


def told_apart(
    choice: Choice, candidates: Sequence[Candidate], demands: Sequence[Demand], plan: ReadingPlan
) -> ReadingPlan:
    """A plan, with readings on the floor up to `MOST` where more than two of its own could not be told apart.

    `choice` is of the candidates. None is added that is worse to take than the worst of the plan.
    """
    chosen = list(plan.chosen)
    worst = max((candidates[n].tier for n in chosen), default=0)
    left = [n for n, c in enumerate(candidates) if c.tier <= worst and c.reading.what in ("distance", "offset")]
    crowd = _crowd(choice, chosen)
    for _ in range(MOST - on_floor(plan)):
        tried = [(_crowd(choice, [*chosen, n]), candidates[n].cost, n) for n in left if n not in chosen]
        best = min(tried, default=(crowd, 0.0, 0))
        if crowd[0] <= PAIR or best[0][0] >= crowd[0]:
            break
        crowd, chosen = best[0], [*chosen, best[2]]
    if len(chosen) == len(plan.chosen):
        return plan
    u = choice.reached(chosen)
    known = tuple(Reached(d.what, float(np.hypot(x, d.fixed_u)), d.most_u) for d, x in zip(demands, u, strict=True))
    reached = (*known, *plan.reached[len(known) :])
    readings = tuple(candidates[n].reading for n in chosen)
    cost = sum(candidates[n].cost for n in chosen)
    return evolve(plan, readings=readings, cost=cost, reached=reached, chosen=tuple(chosen), proven=False)


def _crowd(choice: Choice, chosen: Sequence[int]) -> tuple[int, float]:
    """How many readings the largest group has that cannot be told apart, and how much all test values correlate."""
    rows = choice.rows[list(chosen)]
    spread = np.eye(len(rows)) - rows @ np.linalg.pinv(choice.information(chosen), hermitian=True) @ rows.T
    checked = np.flatnonzero(np.diag(spread) > UNCHECKED)
    root = np.sqrt(np.diag(spread)[checked])
    alike = np.abs(spread[np.ix_(checked, checked)] / np.outer(root, root))
    groups = np.sum(alike > ALIKE, axis=1)
    return int(groups.max(initial=0)), round(float(np.sum(alike**2)), 9)
