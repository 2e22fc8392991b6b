"""From which size of a rectangular room on a car fits for a card.

Sizes lie on a lattice, 5 mm apart. A room that is larger either way never covers less, so for each width there is a
least length, and it never grows with the width: a staircase. Whether a car fits comes in as a function.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
import shapely
from attrs import define, field, frozen
from numpy.typing import NDArray

from standtrue.model.asking import Asking, Progress
from standtrue.model.basics import Range
from standtrue.model.fits import Fits
from standtrue.model.reason import because


@frozen(order=True)
class Size:
    """The inside of a rectangular room, metres: its width, and its length along the lift."""

    width_m: float
    length_m: float

    @property
    def area_m2(self) -> float:
        return self.width_m * self.length_m


SizeQuestion = tuple[Size, int, int]
"""A size, the number of a car, the number of a card."""

FitFunction = Callable[[Sequence[SizeQuestion]], Sequence[Fits]]
"""Whether each fits. A larger size must never fit less."""

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
    which the fit function could not tell; they count as not fitting, and lie within 2 mm of the frontier. Not `whole`:
    the search was stopped; the corners fit, and smaller sizes may too.
    """

    car: int
    card: int
    corners: tuple[Size, ...]
    undecided: int = 0
    whole: bool = True

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
    def next_length(self) -> int:
        """The length to ask. Frontiers are mostly steps: the least and the greatest are likelier than any other."""
        return (self.low, self.high - 1, (self.low + self.high) // 2)[min(self.tries, 2)]

    def learn(self, fits: bool) -> bool:
        """Take the answer; whether the search is over."""
        if fits:
            self.high = self.next_length
        else:
            self.low = self.next_length + 1
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
    asking: Asking | None = None,
    bounds: Sequence[Frontier] | None = None,
) -> tuple[Frontier, ...]:
    """The frontier of each pair of a car and a card, in their order.

    Every call of `fits` asks for one step of all searches at once. A step takes some 30 questions, a curve one to five
    for every step of the lattice. Stopped early, it tells what is known by then (`Frontier.whole`). `bounds`:
    frontiers, one each, below which it is known that nothing fits. Progress counts the widths, over all frontiers, at
    which the least length is known.
    """
    sizes, asking = sizes or SizeRange(), asking or Asking()
    below: Sequence[Frontier | None] = bounds or [None] * len(pairs)
    traces = [_Trace(least_lengths(bound, sizes), {-1: sizes.lengths}) for bound in below]
    last = sizes.widths - 1
    searches = [s for number, t in enumerate(traces) for s in t.search(number, last, -1, last, 0, sizes.lengths)]
    widths = len(pairs) * sizes.widths
    while searches and not asking.stopped():
        searches = _step(fits, pairs, sizes, traces, searches)
        open_widths = sum(s.right - s.left - 1 for s in searches)
        asking.tell(Progress(because("finding-sizes"), widths - open_widths, widths))
    stopped = {s.pair for s in searches}
    return tuple(
        Frontier(car, card, trace.corners(sizes), trace.undecided[0], number not in stopped)
        for number, ((car, card), trace) in enumerate(zip(pairs, traces, strict=True))
    )


def _step(
    fits: FitFunction,
    pairs: Sequence[tuple[int, int]],
    sizes: SizeRange,
    traces: Sequence[_Trace],
    searches: Sequence[_Search],
) -> list[_Search]:
    """Ask one step of all searches; returns those that go on, and those that begin."""
    answers = fits([(sizes.size(s.width, s.next_length), *pairs[s.pair]) for s in searches])
    waiting = []
    for search, answer in zip(searches, answers, strict=True):
        traces[search.pair].undecided[0] += answer is Fits.UNDECIDED
        if search.learn(answer is Fits.YES):
            waiting.extend(traces[search.pair].next_to(search))
        else:
            waiting.append(search)
    return waiting


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
    for demands in map(_outermost, ways):
        long = _extent(demands, along) + _extent(demands, -along)
        across = np.stack([-along[1], along[0]])
        wide = _extent(demands, across) + _extent(demands, -across)
        for lengths, widths in ((long, wide), (wide, long)):
            at = _steps(widths, sizes.width_m[0], sizes.step_m, sizes.widths)
            np.minimum.at(least, at, _steps(lengths, sizes.length_m[0], sizes.step_m, sizes.lengths))
    lengths_at = np.minimum.accumulate(least[:-1])
    falls = np.flatnonzero(np.diff(lengths_at, prepend=sizes.lengths))
    return Frontier(car, card, tuple(sizes.size(int(w), int(lengths_at[w])) for w in falls))


def _outermost(demands: Sequence[Demand]) -> list[Demand]:
    """The same demands, those of one gap together, without points that lie among the others."""
    gaps: dict[float, list[NDArray[np.float64]]] = {}
    for points, gap in demands:
        gaps.setdefault(gap, []).append(points)
    hulls = ((shapely.convex_hull(shapely.multipoints(np.concatenate(found))), gap) for gap, found in gaps.items())
    return [(np.asarray(shapely.get_coordinates(hull), dtype=np.float64), gap) for hull, gap in hulls]


def _extent(demands: Sequence[Demand], ways: NDArray[np.float64]) -> NDArray[np.float64]:
    """How far the demands reach in each of the directions, shape (2, n)."""
    found = np.full(ways.shape[1], -np.inf)
    for points, gap in demands:
        for x, y in points:
            np.maximum(found, ways[0] * x + (ways[1] * y + gap), out=found)
    return found


def _steps(metres: NDArray[np.float64], least_m: float, step_m: float, most: int) -> LatticeSteps:
    """The number of the least size of the lattice that is as large; `most` where none is."""
    return np.clip(np.ceil((metres - least_m) / step_m - 1e-6), 0, most).astype(np.int64)
