"""What share of the work each size of room covers, and the least rooms that cover a share."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from standtrue.study.sizes import Frontier, LatticeSteps, Size, SizeRange, least_lengths

SHARE = 1e-9
"""Shares of work this near count as equal: weights are sums of rounded numbers."""

Options = tuple[tuple[int, ...], ...]
"""Sets of frontiers, by number, any of which would do; () if nothing does, ((),) if it can always be done."""


def coverage_of_orders(
    frontiers: Sequence[Frontier], orders: Sequence[Sequence[Options]], weights: Sequence[float], sizes: SizeRange
) -> Coverage:
    """The coverage of orders, each a list of needs: done where for each need one of its options fits with all cards."""
    known = [least_lengths(frontier, sizes) for frontier in frontiers]
    never = np.full(sizes.widths, sizes.lengths, dtype=np.int64)
    always = np.zeros(sizes.widths, dtype=np.int64)

    def met(options: Options) -> LatticeSteps:
        least = never
        for option in options:
            least = np.minimum(least, np.maximum.reduce([always, *(known[i] for i in option)]))
        return least

    rows = [np.maximum.reduce([always, *map(met, needs)]) for needs in orders]
    return Coverage(sizes, np.array(rows), tuple(weights))


@frozen
class LeastBay:
    """The least bays that cover a share of the work: no other of them is both narrower and shorter, or as either.

    `least_area` is the one of the least area; None where no size of the range covers the share.
    """

    share: float
    bays: tuple[Size, ...]

    @property
    def least_area(self) -> Size | None:
        return min(self.bays, key=lambda bay: (round(bay.area_m2, 9), bay), default=None)


@frozen(eq=False)
class Coverage:
    """What share of the work every size covers.

    `least` is the least length, in steps, at which each piece of work (rows) can be done at each width (columns);
    the number of lengths where it cannot. Weights are those of the rows, one each; at least one above 0.
    """

    sizes: SizeRange
    least: LatticeSteps
    weights: tuple[float, ...]

    def share(self, size: Size) -> float:
        """The share of the work, by weight, that a room of this size covers; beyond the range, as at its end."""
        width, length = self.sizes.lattice(size)
        if width < 0 or length < 0:
            return 0.0
        covered = self.least[:, min(width, self.sizes.widths - 1)] <= min(length, self.sizes.lengths - 1)
        return float(self._shares[covered].sum())

    @property
    def greatest(self) -> float:
        """The share that the largest room of the range covers."""
        return float(self._shares[self.least[:, -1] < self.sizes.lengths].sum())

    def least_bay(self, share: float) -> LeastBay:
        """The least bays that cover this share of the work: the corners of its contour."""
        lengths = self._lengths_for(share)
        falls = np.flatnonzero(np.diff(lengths, prepend=self.sizes.lengths))
        return LeastBay(share, tuple(self.sizes.size(int(w), int(lengths[w])) for w in falls))

    def table(self, widths_m: Sequence[float], lengths_m: Sequence[float]) -> NDArray[np.float64]:
        """The share for each width (rows) and length (columns)."""
        return np.array([[self.share(Size(w, length)) for length in lengths_m] for w in widths_m])

    @cached_property
    def _shares(self) -> NDArray[np.float64]:
        weights = np.array(self.weights, dtype=np.float64)
        shares: NDArray[np.float64] = weights / weights.sum()
        return shares

    def _lengths_for(self, share: float) -> LatticeSteps:
        """The least length, in steps, that covers the share, for each width."""
        order = np.argsort(self.least, axis=0, kind="stable")
        reached = np.cumsum(self._shares[order], axis=0) >= share - SHARE
        first = reached.argmax(axis=0)
        lengths = np.take_along_axis(self.least, np.take_along_axis(order, first[None], axis=0), axis=0)[0]
        return np.where(reached.any(axis=0), lengths, self.sizes.lengths).astype(np.int64)
