"""The greatest distance at which something still fits, to a millimeter. Whether it fits comes in as a function.

Two things are asked at a distance: whether the way there is free, and whether the target can also stand there. The way
to a nearer target is part of the way to a farther one, so what bars the way bars it from there on. Where a target
stands is another matter: an open pit may bar it at three meters and not at five.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Literal

from attrs import frozen

from standtrue.model.asking import Asking, Progress
from standtrue.model.fits import Fits
from standtrue.model.reason import because

DistanceQuestion = tuple[int, int, bool]
"""The number of a question, a distance in millimeters, and whether the target stands there, or only the way is free."""

FitFunction = Callable[[Sequence[DistanceQuestion]], Sequence[Fits]]

STEP_MM = 20
"""Where the farthest spot does not serve, nearer ones are tried so far apart: a shorter stretch may be missed."""

AT_ONCE = 16


@frozen
class Distance:
    """The greatest distance, millimeters; None where none fits. `undecided`: somewhere it could not be told.

    Not `known`: the search was stopped before it was found.
    """

    most_mm: int | None
    undecided: bool = False
    known: bool = True


class _Search:
    """One question on its way: first how far the way is free, then the farthest spot to stand at."""

    def __init__(self, least_mm: int, most_mm: int) -> None:
        self.least, self.undecided, self.answer = least_mm, False, -1
        self.low, self.high = least_mm - 1, most_mm + 1
        self.above = self.high
        self.phase: Literal["way", "spots", "edge", "done"] = "way"

    def next_spots(self) -> list[tuple[int, bool]]:
        if self.phase == "way":
            # Most often nothing fits at all, or the whole room is free: ask the ends first.
            first = self.low < self.least
            return [(self.least if first else (self.low + self.high) // 2, False)]
        if self.phase == "spots":
            last = self.high - STEP_MM * (AT_ONCE - 1)
            spots = list(range(self.high, max(self.least, last - 1), -STEP_MM))
            if last <= self.least:
                spots.append(self.least)
            return [(mm, True) for mm in spots]
        return [((self.low + self.high) // 2, True)]

    def learn(self, spots: Sequence[tuple[int, bool]], fits: Sequence[Fits]) -> None:
        self.undecided |= any(fit is Fits.UNDECIDED for fit in fits)
        if self.phase == "way":
            self._way(spots[0][0], fits[0] is Fits.YES)
        elif self.phase == "spots":
            self._spots([mm for mm, _ in spots], [fit is Fits.YES for fit in fits])
        elif fits[0] is Fits.YES:
            self.low = spots[0][0]
        else:
            self.high = spots[0][0]
        if self.phase == "edge" and self.high - self.low <= 1:
            self.phase, self.answer = "done", self.low

    def _way(self, mm: int, fits: bool) -> None:
        self.low, self.high = (mm, self.high) if fits else (self.low, mm)
        if self.low < self.least and not fits:
            self.phase = "done"
        elif self.high - self.low <= STEP_MM:
            self.phase, self.above, self.high = "spots", self.high, self.high - 1

    def _spots(self, spots: Sequence[int], fits: Sequence[bool]) -> None:
        first = next((i for i, fit in enumerate(fits) if fit), None)
        if first is not None:
            self.phase, self.low = "edge", spots[first]
            self.high = spots[first - 1] if first > 0 else self.above
        elif spots[-1] <= self.least:
            self.phase = "done"
        else:
            self.above, self.high = spots[-1], max(self.least, spots[-1] - STEP_MM)


def find_distances(
    fits: FitFunction, bounds_mm: Sequence[tuple[int, int]], asking: Asking | None = None
) -> tuple[Distance, ...]:
    """For each question the greatest distance between its bounds at which it fits.

    Every call of `fits` asks for one step of all. Stopped early, it tells what is known by then (`Distance.known`).
    """
    asking = asking or Asking()
    searches = [_Search(low, high) for low, high in bounds_mm]
    waiting = list(range(len(searches)))
    while waiting and not asking.stopped():
        questions = [(i, searches[i].next_spots()) for i in waiting]
        answers = iter(fits([(i, mm, stands) for i, spots in questions for mm, stands in spots]))
        for i, spots in questions:
            searches[i].learn(spots, [next(answers) for _ in spots])
        waiting = [i for i in waiting if searches[i].phase != "done"]
        asking.tell(Progress(because("finding-distances"), len(searches) - len(waiting), len(searches)))
    return tuple(Distance(s.answer if s.answer >= 0 else None, s.undecided, s.phase == "done") for s in searches)
