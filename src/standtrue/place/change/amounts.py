"""The least of a change that makes room, to 1 mm: a wall moved outward, a thing or a void made smaller."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence

import numpy as np
from attrs import evolve, frozen

from standtrue.model.fits import Fits
from standtrue.place.change.changes import Subject, narrowness, shrunk, wall_moved
from standtrue.place.change.trial import Parted, Trial
from standtrue.place.margin.pairs import Pair
from standtrue.place.margin.ways import Way
from standtrue.place.question.walls import outward
from standtrue.plane.kernels import clip_half_plane
from standtrue.plane.shapes import Convex, convex_pieces, difference, polygon

NEAR_MM = 4
"""How far what strips say may be from what the room itself says; beyond that the room is asked throughout."""


@frozen
class Amount:
    """So much makes room. `proven`: 1 mm less does not."""

    mm: int
    proven: bool


def most(can: Callable[[int], bool], limit: int) -> int:
    """The most, up to the limit, that can be done, if all that is less can be done too."""
    if can(limit):
        return limit
    low, high = 0, limit
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if can(middle) else (low, middle)
    return low


def least(fits: Callable[[int], bool], enough: int, stopped: Callable[[], bool], guess: int = 0) -> Amount:
    """The least that fits, given that `enough` does, 0 does not, and more never hurts."""
    low, high, step = 0, enough, 32
    if 0 < guess < enough and not stopped():
        low, high = (low, guess) if fits(guess) else (guess, high)
        if high == guess and guess > 1 and not stopped():
            low, high = (low, guess - 1) if fits(guess - 1) else (guess - 1, high)
    while low + step < high and not stopped():
        if fits(low + step):
            high = low + step
        else:
            low, step = low + step, step * 2
    while high - low > 1 and not stopped():
        middle = (low + high) // 2
        low, high = (low, middle) if fits(middle) else (middle, high)
    return Amount(high, high - low <= 1)


def least_shrinking(trial: Trial, subject: Subject) -> Amount | None:
    """The least inward offset of an obstacle or a void; None where nothing would be left."""
    enough = math.ceil(narrowness(trial.site, subject) * 1000)

    def fits(mm: int, sure: bool = False) -> bool:
        return trial.fits(shrunk(trial.site, subject, mm / 1000), (subject,), sure).fits is Fits.YES

    found = _settled(least(fits, enough, trial.stopped), enough, lambda mm: fits(mm, True))
    return found if found is not None and found.mm < enough else None


def least_outward(trial: Trial, wall: Subject, enough: int, guess: int = 0) -> Amount:
    """The least that a wall must move outward, given that something fits where it has moved by `enough`.

    A good guess, such as what the wall over against it must move, spares most of the questions.
    """

    def fits(mm: int, sure: bool = True) -> bool:
        grown = wall_moved(trial.site, wall, mm / 1000)
        return grown is not None and trial.fits(grown, (wall,), sure).fits is Fits.YES

    strip = _Strip.of(trial, wall, enough)
    if strip is not None:
        found = _settled(least(strip.fits, enough, trial.stopped, guess), enough, fits)
        if found is not None:
            return found
    found = _settled(least(lambda mm: fits(mm, False), enough, trial.stopped, guess), enough, fits)
    return found or Amount(enough, False)


def _settled(found: Amount, enough: int, fits: Callable[[int], bool]) -> Amount | None:
    """The least by the room itself, where it is near what was found soon: by the sweep alone, by strips."""
    if not found.proven:
        return found if found.mm == enough or fits(found.mm) else Amount(enough, False)
    high = found.mm
    while high < min(enough, found.mm + NEAR_MM) and not fits(high):
        high += 1
    if high == found.mm:
        while high > max(1, found.mm - NEAR_MM) and fits(high - 1):
            high -= 1
    return Amount(high, True) if abs(high - found.mm) < NEAR_MM or high == enough else None


@frozen(eq=False)
class _Strip:
    """A room with one wall moved out as far as it may, asked again with the outer part of the strip won as wall again.

    Only that part is made anew for each question, and nothing else is packed again.
    """

    trial: Trial
    bases: Mapping[Way, Parted]
    pieces: tuple[Convex, ...]
    normal: tuple[float, float]
    line_m: float

    @staticmethod
    def of(trial: Trial, wall: Subject, enough: int) -> _Strip | None:
        """None where doors may stand open: what is wall beside them is told by the outline itself."""
        grown = wall_moved(trial.site, wall, enough / 1000)
        if wall.line is None or grown is None or trial.question.grounds.openable:
            return None
        nx, ny = outward(wall.line)
        x, y = wall.line[0]
        pieces = convex_pieces(difference(polygon(grown.outline), polygon(trial.site.outline)))
        return _Strip(trial, trial.walled(grown, wall), pieces, (nx, ny), nx * x + ny * y)

    def fits(self, mm: int) -> bool:
        """Whether something fits with the wall moved by so much, by the sweep alone."""
        pieces = tuple(c for p in self.pieces if (c := self._beyond(p, self.line_m + mm / 1000)) is not None)

        def more(way: Way) -> Sequence[Pair]:
            return [evolve(p, pieces=pieces) for p in self.bases[way].taken] if pieces else ()

        return self.trial.ask(lambda way: self.bases[way].base.plus(more(way)), sure=False).fits is Fits.YES

    def _beyond(self, piece: Convex, line_m: float) -> Convex | None:
        """The part of a piece beyond a line; None for none."""
        left = np.empty((len(piece) + 2, 2))
        count = clip_half_plane(piece, len(piece), -self.normal[0], -self.normal[1], -line_m, left)
        return np.ascontiguousarray(left[:count]) if count >= 3 else None
