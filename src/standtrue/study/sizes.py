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

    bound: LatticeSteps
    lengths: dict[int, int]
    undecided: list[int] = field(factory=lambda: [0])

    def search(self, pair: int, width: int, left: int, right: int, low: int, high: int) -> list[_Search]:
        """The search at a width; where the answer is known beforehand, those beside it."""
        search = _Search(pair, width, left, right, max(low, int(self.bound[width])), high)
        return self.next_to(search) if search.low >= high else [search]

    def next_to(self, done: _Search) -> list[_Search]:
        """What is to be searched beside a width that is now known: where the lengths differ, the width between."""
        self.lengths[done.width] = min(done.low, done.high)
        found = []
        for left, right in ((done.left, done.width), (done.width, done.right)):
            low, high = self.lengths.get(right, 0), self.lengths[left]
            if right - left > 1 and low < high:
                found.extend(self.search(done.pair, (left + right) // 2, left, right, low, high))
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
    bounds: Sequence[Frontier] | None = None,
) -> tuple[Frontier, ...]:
    """The frontier of each pair of a car and a card, in their order.

    Every call of `fits` asks for one step of all searches at once. A step takes some 30 questions, a curve one to five
    for every step of the lattice. `bounds`: frontiers, one each, below which it is known that nothing fits.
    """
    sizes = sizes or SizeRange()
    traces = [_Trace(least_lengths(bound, sizes), {-1: sizes.lengths}) for bound in bounds or [None] * len(pairs)]
    last = sizes.widths - 1
    searches = [s for number, t in enumerate(traces) for s in t.search(number, last, -1, last, 0, sizes.lengths)]
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


def least_lengths(frontier: Frontier | None, sizes: SizeRange) -> LatticeSteps:
    """The least length, in steps, for each width of the range; the number of lengths where none fits; None: all fit."""
    least = np.full(sizes.widths, 0 if frontier is None else sizes.lengths, dtype=np.int64)
    for corner in () if frontier is None else frontier.corners:
        width, length = sizes.lattice(corner)
        least[width:] = length
    return least


HEADINGS = 31_416
"""How many headings of a quarter turn are tried: for a car and zones 10 m across, nothing is missed by 0.3 mm."""

Demand = tuple[NDArray[np.float64], float]
"""Points that must be inside a room, shape (n, 2) in the vehicle frame, and how far from its walls, metres."""


def empty_room_frontier(car: int, card: int, ways: Sequence[Sequence[Demand]], sizes: SizeRange) -> Frontier:
    """As `find_frontiers`, for a room with nothing but walls: the demands of any one of the ways must be met.

    At a heading the room must be as long, and as wide, as the demands reach. No size is told to fit that does not.
    """
    least = np.full(sizes.widths + 1, sizes.lengths, dtype=np.int64)
    turn = np.linspace(0.0, np.pi / 2, HEADINGS + 1)
    along = np.stack([np.cos(turn), np.sin(turn)])
    for demands in ways:
        long = _reach(demands, along) + _reach(demands, -along)
        across = np.stack([-along[1], along[0]])
        wide = _reach(demands, across) + _reach(demands, -across)
        for lengths, widths in ((long, wide), (wide, long)):
            at = _steps(widths, sizes.width_m[0], sizes.step_m, sizes.widths)
            np.minimum.at(least, at, _steps(lengths, sizes.length_m[0], sizes.step_m, sizes.lengths))
    lengths_at = np.minimum.accumulate(least[:-1])
    falls = np.flatnonzero(np.diff(lengths_at, prepend=sizes.lengths))
    return Frontier(car, card, tuple(sizes.size(int(w), int(lengths_at[w])) for w in falls))


def _reach(demands: Sequence[Demand], ways: NDArray[np.float64]) -> NDArray[np.float64]:
    """How far the demands reach in each of the directions, shape (2, n)."""
    return np.maximum.reduce([(points @ ways).max(axis=0) + gap for points, gap in demands])


def _steps(metres: NDArray[np.float64], least_m: float, step_m: float, most: int) -> LatticeSteps:
    """The number of the least size of the lattice that is as large; `most` where none is."""
    return np.clip(np.ceil((metres - least_m) / step_m - 1e-6), 0, most).astype(np.int64)


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
        return np.array([least_lengths(frontier, self.sizes) for frontier in self.frontiers])

    def _lengths_for(self, share: float) -> LatticeSteps:
        """The least length, in steps, that covers the share, for each width."""
        order = np.argsort(self._least, axis=0, kind="stable")
        reached = np.cumsum(self._shares[order], axis=0) >= share - SHARE
        first = reached.argmax(axis=0)
        lengths = np.take_along_axis(self._least, np.take_along_axis(order, first[None], axis=0), axis=0)[0]
        return np.where(reached.any(axis=0), lengths, self.sizes.lengths).astype(np.int64)
