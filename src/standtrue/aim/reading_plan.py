"""Which readings to take, before anyone kneels: the fewest that let every tolerance be decided.

The covariance of an adjustment depends on which readings are taken and how good each is, not on what they will say.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import numpy as np
from attrs import evolve, frozen
from numpy.typing import NDArray

from standtrue.aim.bodies import Network, Reading
from standtrue.aim.conformity import RISK, guard_factor
from standtrue.aim.network import LOOSE
from standtrue.model.asking import Asking
from standtrue.model.reason import Reason, Ref, Term, because

Array = NDArray[np.float64]

QUIET = Asking()

ROOM = 0.5
"""How much of a tolerance must be left for the set-up itself when the guard bands are taken off."""

NODES = 20_000
"""After so many partial plans the search for a better one stops, and the plan is not called proven."""

NEARLY = 1.05
"""Where a demand cannot be met, the plan comes this near to the best that all readings together would give."""

_TINY = 1e-15


@frozen
class Tolerated:
    """What a card gives a tolerance for: a part of a target's place, radians if `is_angle`, else metres."""

    target: str
    part: str
    is_angle: bool = False

    @property
    def reason(self) -> Reason:
        return because("tolerance", target=Ref("target", self.target), part=Term(self.part))


@frozen(eq=False)
class Demand:
    """A quantity that must be known to a standard uncertainty of `most_u`: which it is, and its derivatives by the
    unknowns.

    `fixed_u` is what comes to it from elsewhere and no reading makes smaller (the thrust angle's, say).
    """

    what: Tolerated
    slopes: Array
    most_u: float
    fixed_u: float = 0.0

    @property
    def most_of_readings(self) -> float:
        """What the readings may contribute; 0 where the rest alone is too much."""
        return math.sqrt(max(self.most_u**2 - self.fixed_u**2, 0.0))


@frozen
class Reached:
    """What a plan gives for one demand: standard uncertainty and the most that is allowed."""

    what: Tolerated
    u: float
    most_u: float

    @property
    def ok(self) -> bool:
        return self.u <= self.most_u * (1 + 1e-12)


@frozen
class ReadingPlan:
    """The readings to take. `proven`: no cheaper set does.

    `enough` is False where all candidates together do not meet every demand: the plan then comes within 5 % of the
    best u that they give for those, and `reached` says what that is.
    """

    readings: tuple[Reading, ...]
    cost: float
    reached: tuple[Reached, ...]
    enough: bool
    proven: bool

    @property
    def short_of(self) -> tuple[Tolerated, ...]:
        """The demands that cannot be met with these instruments."""
        return tuple(r.what for r in self.reached if not r.ok)

    def with_unread(self, demands: Sequence[Demand]) -> ReadingPlan:
        """This plan, with demands that no candidate says anything about."""
        if not demands:
            return self
        reached = (*self.reached, *(Reached(d.what, math.inf, d.most_u) for d in demands))
        return evolve(self, reached=reached, enough=False)


def deciding_u(half_width: float, risk: float = RISK, room: float = ROOM) -> float:
    """The greatest u at which a tolerance of plus or minus `half_width` can be decided and `room` of it is left."""
    return half_width * (1.0 - room) / guard_factor(risk)


def plan_readings(
    network: Network,
    candidates: Sequence[Reading],
    demands: Sequence[Demand],
    costs: Sequence[float] | None = None,
    at: Array | None = None,
    nodes: int = NODES,
    asking: Asking = QUIET,
) -> ReadingPlan:
    """The cheapest set of the candidate readings that meets every demand and leaves no body loose.

    `costs` are what each reading costs to take (1 each by default: the fewest readings). Greedy choice and exchanges
    first, then branch and bound until proven, stopped, or `nodes` partial plans were looked at.
    """
    choice = _Choice(network, candidates, demands, costs, network.start if at is None else at)
    every = np.arange(len(candidates))
    if not choice.enough(every):
        reached = choice.reached(every)
        if not np.all(np.isfinite(reached)):
            return choice.plan(every, proven=True)
        choice.most = np.maximum(choice.most, reached * NEARLY)
    first = choice.improve(choice.greedy())
    best, proven = choice.prove(first, nodes, asking)
    return choice.plan(choice.settle(best), proven)


class _Choice:
    """The candidates as rows of information, and the search among their subsets."""

    def __init__(
        self,
        network: Network,
        candidates: Sequence[Reading],
        demands: Sequence[Demand],
        costs: Sequence[float] | None,
        at: Array,
    ) -> None:
        self.candidates = tuple(candidates)
        self.demands = tuple(demands)
        self.costs = np.ones(len(candidates)) if costs is None else np.asarray(costs, dtype=np.float64)
        if len(self.costs) != len(candidates) or not np.all(self.costs > 0.0):
            raise ValueError("each candidate needs a cost above 0")
        slopes = network.predict(candidates, at)[1] if candidates else np.zeros((0, len(network.unknowns)))
        self.rows: Array = slopes / np.array([r.u for r in candidates])[:, None]
        self.wanted: Array = np.array([d.slopes for d in demands]).reshape(len(demands), -1)
        self.most: Array = np.array([d.most_of_readings for d in demands])
        self.given = network.given
        self.unknowns = len(network.unknowns)

    def reached(self, chosen: NDArray[np.int_]) -> Array:
        """The u of each demand from the readings chosen; infinite where something is loose."""
        return self._reached(self.given + self.rows[chosen].T @ self.rows[chosen])

    def _reached(self, information: Array) -> Array:
        """For information matrices of shape (..., p, p)."""
        strengths, ways = np.linalg.eigh(information)
        fixed = strengths[..., 0] > 1.0 / LOOSE**2
        safe = np.maximum(strengths, _TINY)
        parts = np.einsum("kp,...pq->...kq", self.wanted, ways)
        u = np.sqrt(np.sum(parts**2 / safe[..., None, :], axis=-1))
        return np.where(fixed[..., None], u, np.inf)

    def enough(self, chosen: NDArray[np.int_]) -> bool:
        return bool(np.all(self.reached(chosen) <= self.most * (1 + 1e-12)))

    def _enough(self, information: Array) -> NDArray[np.bool_]:
        return np.asarray(np.all(self._reached(information) <= self.most * (1 + 1e-12), axis=-1))

    def greedy(self) -> list[int]:
        """Add what helps most until it is enough, then leave out what is not needed, the dearest first."""
        chosen: list[int] = []
        base = self.given + np.eye(self.unknowns) * 1e-6
        information = base.copy()
        while not self.enough(np.array(chosen, dtype=np.int_)):
            left = [i for i in range(len(self.candidates)) if i not in chosen]
            added = information + self.rows[left][:, :, None] * self.rows[left][:, None, :]
            inverse = np.linalg.inv(added)
            squared = np.einsum("kp,tpq,kq->tk", self.wanted, inverse, self.wanted)
            spread = np.log(np.maximum(np.sqrt(squared) / np.maximum(self.most, _TINY), 1.0)).sum(axis=1)
            loose = -np.linalg.slogdet(added)[1] * 1e-3
            gain = (spread + loose - self._badness(information)) / self.costs[left]
            best = left[int(np.argmin(gain))]
            chosen.append(best)
            information = information + np.outer(self.rows[best], self.rows[best])
        return self.trim(chosen)

    def _badness(self, information: Array) -> float:
        squared = np.einsum("kp,pq,kq->k", self.wanted, np.linalg.inv(information), self.wanted)
        spread = np.log(np.maximum(np.sqrt(squared) / np.maximum(self.most, _TINY), 1.0)).sum()
        return float(spread - np.linalg.slogdet(information)[1] * 1e-3)

    def trim(self, chosen: Iterable[int]) -> list[int]:
        kept = sorted(chosen)
        for one in sorted(kept, key=lambda i: (-self.costs[i], i)):
            rest = [i for i in kept if i != one]
            if self.enough(np.array(rest, dtype=np.int_)):
                kept = rest
        return kept

    def improve(self, chosen: list[int]) -> list[int]:
        """Replace one reading by a cheaper one, or two by one, as long as that is possible."""
        better: list[int] | None = chosen
        while better is not None:
            chosen = better
            better = self._exchange(chosen)
        return chosen

    def _exchange(self, chosen: list[int]) -> list[int] | None:
        left = [i for i in range(len(self.candidates)) if i not in chosen]
        groups = [(i,) for i in chosen] + [(i, j) for n, i in enumerate(chosen) for j in chosen[n + 1 :]]
        for out in groups:
            cheaper = [i for i in left if self.costs[i] < self.costs[list(out)].sum() - 1e-12]
            if not cheaper:
                continue
            rest = [i for i in chosen if i not in out]
            base = self.given + self.rows[rest].T @ self.rows[rest]
            does = self._enough(base + self.rows[cheaper][:, :, None] * self.rows[cheaper][:, None, :])
            good = [i for i, fine in zip(cheaper, does, strict=True) if fine]
            if good:
                return self.trim([*rest, min(good, key=lambda i: (self.costs[i], i))])
        return None

    def prove(self, chosen: list[int], nodes: int, asking: Asking) -> tuple[list[int], bool]:
        """Branch on taking or leaving each candidate, the most telling first.

        A branch ends when all it may still take is not enough, or when it cannot become cheaper: every reading raises
        the rank by at most one, so as many are needed as the rank lacks.
        """
        order = [int(i) for i in np.argsort(-np.linalg.norm(self.rows, axis=1) / self.costs, kind="stable")]
        best, price = chosen, float(self.costs[chosen].sum())
        after = np.zeros((len(order) + 1, self.unknowns, self.unknowns))
        for n in range(len(order) - 1, -1, -1):
            after[n] = after[n + 1] + np.outer(self.rows[order[n]], self.rows[order[n]])
        stack: list[tuple[int, tuple[int, ...], float]] = [(0, (), 0.0)]
        while stack:
            nodes -= 1
            if nodes < 0 or asking.stopped():
                return best, False
            n, taken, spent = stack.pop()
            information = self.given + self.rows[list(taken)].T @ self.rows[list(taken)] if taken else self.given
            if taken and spent < price - 1e-12 and bool(self._enough(information)):
                best, price = list(taken), spent
                continue
            lacking = max(1, self.unknowns - self._rank(taken))
            rest = np.sort(self.costs[order[n:]])
            if len(rest) < lacking or spent + rest[:lacking].sum() >= price - 1e-12:
                continue
            if not bool(self._enough(information + after[n])):
                continue
            stack.append((n + 1, taken, spent))
            stack.append((n + 1, (*taken, order[n]), spent + float(self.costs[order[n]])))
        return best, True

    def _rank(self, taken: tuple[int, ...]) -> int:
        known = int(np.count_nonzero(np.diag(self.given)))
        return known + int(np.linalg.matrix_rank(self.rows[list(taken)])) if taken else known

    def settle(self, chosen: list[int]) -> NDArray[np.int_]:
        """Among sets of the same cost, exchange one reading as long as the worst demand is met better."""
        worst = self._worst(chosen)
        for _ in range(len(chosen)):
            trials = [
                [*(i for i in chosen if i != out), new]
                for out in chosen
                for new in range(len(self.candidates))
                if new not in chosen and self.costs[new] <= self.costs[out] + 1e-12
            ]
            if not trials:
                break
            first = min(trials, key=self._worst)
            if self._worst(first) >= worst * (1 - 1e-9):
                break
            chosen, worst = first, self._worst(first)
        return np.array(sorted(chosen), dtype=np.int_)

    def _worst(self, chosen: list[int]) -> float:
        if not self.demands:
            return 0.0
        return float(np.max(self.reached(np.array(chosen, dtype=np.int_)) / np.maximum(self.most, _TINY)))

    def plan(self, chosen: NDArray[np.int_], proven: bool) -> ReadingPlan:
        u = self.reached(chosen)
        reached = tuple(
            Reached(d.what, math.hypot(float(x), d.fixed_u), d.most_u) for d, x in zip(self.demands, u, strict=True)
        )
        readings = tuple(self.candidates[i] for i in chosen)
        return ReadingPlan(readings, float(self.costs[chosen].sum()), reached, all(r.ok for r in reached), proven)
