"""The search among subsets of readings that could be taken, for the cheapest that is enough.

Enough means that every demand is met, nothing is loose, and, where that is asked, that a blunder of a stated size in
any of the readings is found by the others.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import combinations, islice

import numpy as np
from attrs import field, frozen
from numpy.typing import NDArray

from standtrue.aim.network import LOOSE
from standtrue.model.asking import Asking

Array = NDArray[np.float64]
Numbers = NDArray[np.int_]

_TINY = 1e-15

SUBSETS, BATCH = 25_000, 4096
"""So many sets are looked at one by one before a search for smaller ones ends, so many at once."""

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
        """Whether these readings meet every demand, leave nothing loose, and are checked."""
        return bool(self._fine(np.asarray(chosen, dtype=np.int_)[None])[0])

    def _fine(self, sets: Numbers) -> NDArray[np.bool_]:
        """Which sets of readings, shape (t, k), are enough."""
        return np.isfinite(self._used(sets))

    def _used(self, sets: Numbers, information: Array | None = None) -> Array:
        """How much of the tightest demand, or of the least redundancy, each set of readings uses, shape (t,): 0 to 1.

        Infinite for a set that is not enough. With `information` (t, p, p) as if there were so much of it.
        """
        rows = self.rows[sets]
        known = self.given + rows.transpose(0, 2, 1) @ rows if information is None else information
        inverse = _inverse(known)
        variance = _spread(self.wanted, inverse)
        asked = self.least_redundancy[sets]
        redundancy = 1.0 - _spread(rows, inverse)
        shares = np.sqrt(np.maximum(variance, 0.0)) / np.maximum(self.most, _TINY)
        checks = np.where(asked > 0.0, np.sqrt(asked / np.maximum(redundancy, _TINY)), 0.0)
        used = np.concatenate([shares, checks, np.zeros((len(sets), 1))], axis=1).max(axis=1)
        likely = np.flatnonzero(used <= 1.0 + 1e-9)
        fixed = np.linalg.eigvalsh(known[likely])[:, 0] > 1.0 / LOOSE**2 if known.shape[-1] else np.ones(len(likely))
        out = np.full(len(sets), np.inf)
        out[likely] = np.where(fixed, used[likely], np.inf)
        return out

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
        shares = np.sqrt(_spread(self.wanted, inverse)) / np.maximum(self.most, _TINY)
        spread = np.log(np.maximum(shares, 1.0)).sum(axis=1)
        chosen = np.array(sets, dtype=np.int_)
        rows = self.rows[chosen]
        redundancy = np.maximum(1.0 - _spread(rows, inverse), 1e-6)
        unchecked = np.log(np.maximum(np.sqrt(self.least_redundancy[chosen] / redundancy), 1.0)).sum(axis=1)
        return np.asarray(spread + unchecked - np.linalg.slogdet(information)[1] * 1e-3)

    def pruned(self) -> list[int]:
        """Begin with all, and leave out what is missed least, the dearest first, as long as it is enough."""
        chosen = list(range(self.count))
        while chosen:
            trials = np.array([[i for i in chosen if i != out] for out in chosen], dtype=np.int_)
            used = self._used(trials) + self.costs[trials].sum(axis=1) * 1e3
            if not np.isfinite(used).any():
                break
            chosen = [int(i) for i in trials[int(np.argmin(used))]]
        return chosen

    def smallest(self, known: list[int]) -> tuple[list[int], bool]:
        """The best of the smallest sets that are enough, none larger than `known`, and whether that is proven.

        Every set is looked at, the smallest first, until more than `SUBSETS` would be.
        """
        left = SUBSETS
        for size in range(max(self.bound, 1), len(known)):
            left -= math.comb(self.count, size)
            if left < 0:
                return known, False
            best: tuple[float, float, list[int]] | None = None
            sets = combinations(range(self.count), size)
            while batch := list(islice(sets, BATCH)):
                found = self._best(np.array(batch, dtype=np.int_))
                best = found if best is None or (found is not None and found < best) else best
            if best is not None:
                return best[2], True
        return known, True

    def _best(self, sets: Numbers) -> tuple[float, float, list[int]] | None:
        """Of sets of readings that are enough the one with the least to dislike, then with the most to spare."""
        used = self._used(sets)
        if not np.isfinite(used).any():
            return None
        disliked = np.where(np.isfinite(used), self.disliked[sets].sum(axis=1), np.inf)
        first = int(np.lexsort((used, disliked))[0])
        return float(disliked[first]), float(used[first]), [int(i) for i in sets[first]]

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
            price = float(self.costs[list(out)].sum()) - 1e-12
            cheaper = [i for i in left if self.costs[i] < price]
            if not cheaper:
                continue
            rest = [i for i in chosen if i not in out]
            fine = self._fine(np.array([[*rest, i] for i in cheaper], dtype=np.int_))
            good = [i for i, ok in zip(cheaper, fine, strict=True) if ok]
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
            if taken and spent < price - 1e-12 and self.enough(taken):
                best, price = list(taken), spent
                continue
            rest = np.sort(self.costs[order[n:]])
            lacking = max(1, self.bound - len(taken), self.rows.shape[1] - int(np.linalg.matrix_rank(information)))
            if len(rest) < lacking or spent + rest[:lacking].sum() >= price - 1e-12:
                continue
            more = (information + after[n])[None]
            if not np.isfinite(self._used(np.array([taken], dtype=np.int_), more)[0]):
                continue
            stack.append((n + 1, taken, spent))
            stack.append((n + 1, (*taken, order[n]), spent + float(self.costs[order[n]])))
        return best, True

    def settle(self, chosen: list[int]) -> list[int]:
        """Among sets of the same cost, exchange one reading as long as there is less to dislike, or the worst demand is
        met better. Large sets, which only unmet demands ask for, are left as they are."""
        if not 0 < len(chosen) <= SETTLED:
            return sorted(chosen)
        best = self._best(np.array([chosen], dtype=np.int_))
        for _ in range(len(chosen)):
            trials = [
                [*(i for i in chosen if i != out), new]
                for out in chosen
                for new in range(self.count)
                if new not in chosen and self.costs[new] <= self.costs[out] + 1e-12
            ]
            found = self._best(np.array(trials, dtype=np.int_)) if trials else None
            if found is None or (best is not None and found[:2] >= (best[0], best[1] * (1 - 1e-9))):
                break
            chosen, best = found[2], found
        return sorted(chosen)


def _spread(rows: Array, inverse: NDArray[np.floating]) -> Array:
    """The square of u of each of the rows, (k, p) or (t, k, p), by each of the inverses (t, p, p): shape (t, k).

    By products of matrices, which take a sixth of the time of one sum over three arrays.
    """
    return np.asarray(np.sum(rows @ inverse * rows, axis=-1))


def _inverse(information: Array) -> Array:
    """The inverses of information matrices, shape (t, p, p); very large where something is loose."""
    scale = np.sqrt(np.maximum(np.einsum("tpp->tp", information), _TINY))
    scaled = information / (scale[:, :, None] * scale[:, None, :])
    inverse = np.linalg.inv(scaled + np.eye(information.shape[-1]) * 1e-11)
    return np.asarray(inverse / (scale[:, :, None] * scale[:, None, :]))
