"""The search among subsets of readings that could be taken, for the cheapest that is enough.

Enough means that every demand is met, nothing is loose, and, where that is asked, that a blunder of a stated size in
any of the readings is found by the others.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
from attrs import field, frozen
from numpy.typing import NDArray

from standtrue.aim.network import LOOSE
from standtrue.model.asking import Asking

Array = NDArray[np.float64]
Numbers = NDArray[np.int_]

_TINY = 1e-15

SETTLED = 12
"""Sets of more readings than this are not made better without becoming cheaper."""


@frozen(eq=False)
class Choice:
    """The candidates as rows of information.

    `rows` (n, p) are the candidates' derivatives by the unknowns over their u, `given` (p, p) is the information that
    there is without any reading, `costs` (n,) what each costs, `disliked` (n,) what of two that cost the same is taken
    last. `wanted` (k, p) are the derivatives of what is demanded, `most` (k,) how well it must be known, `fixed` (k,)
    what comes to that from elsewhere. `least_redundancy` (n,) is the redundancy number from which a blunder in a
    reading is found; 0 where that is not asked.
    """

    rows: Array
    given: Array
    costs: Array
    wanted: Array
    most: Array
    fixed: Array
    least_redundancy: Array
    disliked: Array
    bound: int = field(init=False)

    def __attrs_post_init__(self) -> None:
        lacking = self.rows.shape[1] - int(np.linalg.matrix_rank(self.given))
        # What is checked by others needs one reading more than what is only fixed.
        checked = bool(len(self.rows)) and lacking > 0 and bool(np.all(self.least_redundancy > 0.0))
        object.__setattr__(self, "bound", lacking + checked)

    @property
    def count(self) -> int:
        return len(self.rows)

    def information(self, chosen: Sequence[int] | Numbers) -> Array:
        rows = self.rows[np.asarray(chosen, dtype=np.int_)]
        return np.asarray(self.given + rows.T @ rows)

    def reached(self, chosen: Sequence[int] | Numbers) -> Array:
        """The u of each demand from the readings chosen; infinite where something is loose."""
        return self._reached(self.information(chosen))

    def _reached(self, information: Array) -> Array:
        """For information matrices of shape (..., p, p)."""
        strengths, ways = np.linalg.eigh(information)
        fixed = np.all(strengths > 1.0 / LOOSE**2, axis=-1)
        safe = np.maximum(strengths, _TINY)
        parts = np.einsum("kp,...pq->...kq", self.wanted, ways)
        u = np.sqrt(np.sum(parts**2 / safe[..., None, :], axis=-1))
        return np.where(fixed[..., None], u, np.inf)

    def redundancy(self, chosen: Sequence[int] | Numbers, information: Array | None = None) -> Array:
        """The redundancy number of each of the chosen readings, with all of them or with this information."""
        known = self.information(chosen) if information is None else information
        rows = self.rows[np.asarray(chosen, dtype=np.int_)]
        inverse = np.linalg.pinv(known, hermitian=True)
        return np.asarray(1.0 - np.einsum("np,pq,nq->n", rows, inverse, rows))

    def enough(self, chosen: Sequence[int] | Numbers) -> bool:
        return self._may_be_enough(chosen, self.information(chosen))

    def _may_be_enough(self, chosen: Sequence[int] | Numbers, information: Array) -> bool:
        """Whether the demands are met and the chosen readings checked with so much information."""
        if not np.all(self._reached(information) <= self.most * (1 + 1e-12)):
            return False
        asked = self.least_redundancy[np.asarray(chosen, dtype=np.int_)]
        return not len(asked) or not asked.any() or bool(np.all(self.redundancy(chosen, information) >= asked - 1e-9))

    def greedy(self) -> list[int]:
        """Add what helps most until it is enough, then leave out what is not needed, the dearest first."""
        chosen: list[int] = []
        base = self.given + np.eye(self.rows.shape[1]) * 1e-6
        while not self.enough(chosen) and len(chosen) < self.count:
            left = [i for i in range(self.count) if i not in chosen]
            now = self._badness([chosen], base[None])[0]
            sets = [[*chosen, i] for i in left]
            added = base + self.rows[left][:, :, None] * self.rows[left][:, None, :]
            gain = (self._badness(sets, added) - now) / self.costs[left]
            best = left[int(np.argmin(gain))]
            chosen.append(best)
            base = base + np.outer(self.rows[best], self.rows[best])
        return self.trim(chosen)

    def _badness(self, sets: Sequence[Sequence[int]], information: Array) -> Array:
        """How far sets of readings, shape (t, k), are from enough with their information (t, p, p)."""
        inverse = np.linalg.inv(information)
        squared = np.einsum("kp,tpq,kq->tk", self.wanted, inverse, self.wanted)
        spread = np.log(np.maximum(np.sqrt(squared) / np.maximum(self.most, _TINY), 1.0)).sum(axis=1)
        chosen = np.array(sets, dtype=np.int_)
        rows = self.rows[chosen]
        redundancy = np.maximum(1.0 - np.einsum("tnp,tpq,tnq->tn", rows, inverse, rows), 1e-6)
        unchecked = np.log(np.maximum(np.sqrt(self.least_redundancy[chosen] / redundancy), 1.0)).sum(axis=1)
        return np.asarray(spread + unchecked - np.linalg.slogdet(information)[1] * 1e-3)

    def trim(self, chosen: Iterable[int]) -> list[int]:
        kept = sorted(chosen)
        for one in sorted(kept, key=lambda i: (-self.costs[i], i)):
            rest = [i for i in kept if i != one]
            if self.enough(rest):
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
        left = [i for i in range(self.count) if i not in chosen]
        groups = [(i,) for i in chosen] + [(i, j) for n, i in enumerate(chosen) for j in chosen[n + 1 :]]
        for out in groups:
            cheaper = [i for i in left if self.costs[i] < self.costs[list(out)].sum() - 1e-12]
            rest = [i for i in chosen if i not in out]
            good = [i for i in cheaper if self.enough([*rest, i])]
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
        after = np.zeros((len(order) + 1, *self.given.shape))
        for n in range(len(order) - 1, -1, -1):
            after[n] = after[n + 1] + np.outer(self.rows[order[n]], self.rows[order[n]])
        stack: list[tuple[int, tuple[int, ...], float]] = [(0, (), 0.0)]
        while stack:
            nodes -= 1
            if nodes < 0 or asking.stopped():
                return best, False
            n, taken, spent = stack.pop()
            information = self.information(taken)
            if taken and spent < price - 1e-12 and self._may_be_enough(taken, information):
                best, price = list(taken), spent
                continue
            rest = np.sort(self.costs[order[n:]])
            lacking = max(1, self.bound - len(taken), self.rows.shape[1] - int(np.linalg.matrix_rank(information)))
            if len(rest) < lacking or spent + rest[:lacking].sum() >= price - 1e-12:
                continue
            if not self._may_be_enough(taken, information + after[n]):
                continue
            stack.append((n + 1, taken, spent))
            stack.append((n + 1, (*taken, order[n]), spent + float(self.costs[order[n]])))
        return best, True

    def settle(self, chosen: list[int]) -> list[int]:
        """Among sets of the same cost, exchange one reading as long as there is less to dislike, or the worst demand is
        met better. Large sets, which only unmet demands ask for, are left as they are."""
        if len(chosen) > SETTLED:
            return sorted(chosen)
        worst = self._worst(chosen)
        for _ in range(len(chosen)):
            trials = [
                [*(i for i in chosen if i != out), new]
                for out in chosen
                for new in range(self.count)
                if new not in chosen and self.costs[new] <= self.costs[out] + 1e-12
            ]
            if not trials:
                break
            first = min(trials, key=self._worst)
            best = self._worst(first)
            if best[0] >= worst[0] and best[1] >= worst[1] * (1 - 1e-9):
                break
            chosen, worst = first, best
        return sorted(chosen)

    def _worst(self, chosen: list[int]) -> tuple[float, float]:
        """What is disliked, and how much of the tightest demand or of the least redundancy is used; infinite where the
        set is not enough."""
        if not self.enough(chosen):
            return float("inf"), float("inf")
        parts = self.reached(chosen) / np.maximum(self.most, _TINY)
        asked = self.least_redundancy[chosen]
        checked = np.sqrt(asked / np.maximum(self.redundancy(chosen), _TINY)) if asked.any() else np.zeros(1)
        return float(self.disliked[chosen].sum()), float(max(parts.max(initial=0.0), checked.max(initial=0.0)))
