"""From which size of a rectangular room on a car fits for a card, and what share of the work each size covers.

Sizes lie on a lattice, 5 mm apart. A room that is larger either way never covers less, so for each width there is a
least length, and it never grows with the width: a staircase. Whether a car fits comes in as a function.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cached_property
from typing import Literal

import numpy as np
from attrs import define, field, frozen
from numpy.typing import NDArray

from standtrue.model.basics import Range

Fit = bool | Literal["undecided"]

SHARE = 1e-9
"""Shares of work this near count as equal: weights are sums of rounded numbers."""


@frozen(order=True)
class Size:
    """The inside of a rectangular room, metres: its width, and its length along the lift."""

    width_m: float
    length_m: float

    @property
    def area_m2(self) -> float:
        return self.width_m * self.length_m


Asked = tuple[Size, int, int]
"""A size, the number of a car, the number of a card."""

FitFunction = Callable[[Sequence[Asked]], Sequence[Fit]]
"""Whether each fits. A larger size must never fit less."""

Progress = Callable[[int, int], None]
"""Told how many frontiers are known, and of how many."""

LatticeSteps = NDArray[np.int64]


@frozen
class SizeRange:
    """The sizes looked at: from the least to the greatest width and length, metres, `step_m` apart."""

    width_m: Range = (2.5, 9.0)
    length_m: Range = (4.0, 16.0)
    step_m: float = 0.005

    @property
    def widths(self) -> int:
        """How many widths there are."""
        return round((self.width_m[1] - self.width_m[0]) / self.step_m) + 1

    @property
    def lengths(self) -> int:
        """How many lengths there are."""
        return round((self.length_m[1] - self.length_m[0]) / self.step_m) + 1

    def size(self, width: int, length: int) -> Size:
        """The size of these numbers in the lattice, counted from the least."""
        return Size(
            round(self.width_m[0] + width * self.step_m, 6),
            round(self.length_m[0] + length * self.step_m, 6),
        )

    def lattice(self, size: Size) -> tuple[int, int]:
        """The numbers of the greatest size of the lattice that is no larger than this one either way."""
        slack = 1e-6
        return (
            int(np.floor((size.width_m - self.width_m[0]) / self.step_m + slack)),
            int(np.floor((size.length_m - self.length_m[0]) / self.step_m + slack)),
        )


@frozen
class Frontier:
    """Where one car starts to fit for one card.

    `corners` are the least sizes that fit, widths rising and lengths falling: a room fits if it is as wide and as long
    as any of them. Each of them was asked, and so was the size one step shorter and, but for the first at the least
    width, the one a step narrower: those do not fit. Empty: no size of the range fits. `undecided` counts the sizes at
    which the fit function could not tell; they count as not fitting, and lie within 2 mm of the frontier.
    """

    car: int
    card: int
    corners: tuple[Size, ...]
    undecided: int = 0

    def fits(self, size: Size) -> bool:
        """Whether a room of this size is large enough: right to one step of the lattice."""
        return any(size.width_m >= c.width_m - 1e-9 and size.length_m >= c.length_m - 1e-9 for c in self.corners)


@define
class _Search:
    """The least length at one width, known to be one of `low` to `high`, between two widths that are known."""

    pair: int
    width: int
    left: int
    right: int
    low: int
    high: int
    tries: int = 0

    @property
    def asks(self) -> int:
        """The length to ask. Frontiers are mostly steps: the least and the greatest are likelier than any other."""
        return (self.low, self.high - 1, (self.low + self.high) // 2)[min(self.tries, 2)]

    def told(self, fits: bool) -> bool:
        """Take the answer; whether the search is over."""
        if fits:
            self.high = self.asks
        else:
            self.low = self.asks + 1
        self.tries += 1
        return self.low >= self.high


@frozen(eq=False)
class _Trace:
    """One staircase on its way: the least length at each width that was looked at.

    At the width before the first nothing fits: its least length is the one past the last.
    """

    lengths: dict[int, int]
    undecided: list[int] = field(factory=lambda: [0])

    def next_to(self, done: _Search) -> list[_Search]:
        """What is to be searched beside a width that is now known: where the lengths differ, the width between."""
        self.lengths[done.width] = done.low
        found = []
        for left, right in ((done.left, done.width), (done.width, done.right)):
            low, high = self.lengths.get(right, done.low), self.lengths[left]
            if right - left > 1 and low < high:
                found.append(_Search(done.pair, (left + right) // 2, left, right, low, high))
        return found

    def corners(self, sizes: SizeRange) -> tuple[Size, ...]:
        """The widths at which the least length falls."""
        found, least = [], sizes.lengths
        for width, length in sorted(self.lengths.items()):
            if length < least:
                found.append(sizes.size(width, length))
                least = length
        return tuple(found)


def find_frontiers(
    fits: FitFunction,
    pairs: Sequence[tuple[int, int]],
    sizes: SizeRange | None = None,
    progress: Progress | None = None,
) -> tuple[Frontier, ...]:
    """The frontier of each pair of a car and a card, in their order.

    Every call of `fits` asks for one step of all searches at once. A frontier takes some 30 to 300 questions.
    """
    sizes = sizes or SizeRange()
    traces = [_Trace({-1: sizes.lengths}) for _ in pairs]
    last = sizes.widths - 1
    searches = [_Search(number, last, -1, last, 0, sizes.lengths) for number in range(len(pairs))]
    while searches:
        answers = fits([(sizes.size(s.width, s.asks), *pairs[s.pair]) for s in searches])
        waiting = []
        for search, answer in zip(searches, answers, strict=True):
            traces[search.pair].undecided[0] += answer == "undecided"
            if search.told(answer is True):
                waiting.extend(traces[search.pair].next_to(search))
            else:
                waiting.append(search)
        searches = waiting
        if progress is not None:
            progress(len(pairs) - len({s.pair for s in searches}), len(pairs))
    return tuple(
        Frontier(car, card, trace.corners(sizes), trace.undecided[0])
        for (car, card), trace in zip(pairs, traces, strict=True)
    )


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
    """What share of the work every size covers. Weights are those of the frontiers, one each; at least one above 0."""

    sizes: SizeRange
    frontiers: tuple[Frontier, ...]
    weights: tuple[float, ...]

    def share(self, size: Size) -> float:
        """The share of the work, by weight, that a room of this size covers; beyond the range, as at its end."""
        width, length = self.sizes.lattice(size)
        if width < 0 or length < 0:
            return 0.0
        covered = self._least[:, min(width, self.sizes.widths - 1)] <= min(length, self.sizes.lengths - 1)
        return float(self._shares[covered].sum())

    @property
    def greatest(self) -> float:
        """The share that the largest room of the range covers."""
        return float(self._shares[self._least[:, -1] < self.sizes.lengths].sum())

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

    @cached_property
    def _least(self) -> LatticeSteps:
        """The least length, in steps, for each frontier (rows) and each width (columns)."""
        least = np.full((len(self.frontiers), self.sizes.widths), self.sizes.lengths, dtype=np.int64)
        for row, frontier in zip(least, self.frontiers, strict=True):
            for corner in frontier.corners:
                width, length = self.sizes.lattice(corner)
                row[width:] = length
        return least

    def _lengths_for(self, share: float) -> LatticeSteps:
        """The least length, in steps, that covers the share, for each width."""
        order = np.argsort(self._least, axis=0, kind="stable")
        reached = np.cumsum(self._shares[order], axis=0) >= share - SHARE
        first = reached.argmax(axis=0)
        lengths = np.take_along_axis(self._least, np.take_along_axis(order, first[None], axis=0), axis=0)[0]
        return np.where(reached.any(axis=0), lengths, self.sizes.lengths).astype(np.int64)
