"""Stances that a person would choose and can chalk: parallel to the bay, to the lift or to the longest wall.

At one heading the search is over positions only, so that the roomiest of these stances costs a small part of the
search over all headings.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import shapely
from attrs import evolve, frozen

from standtrue.model.basics import Outline, Place
from standtrue.model.ground import Grounds
from standtrue.model.reason import Ref
from standtrue.model.vehicle import Vehicle
from standtrue.place.fits.decide import Best, Ready, closely, freest
from standtrue.place.margin.search import Found, search
from standtrue.place.question.answer import FIT_M, PARALLEL_RAD
from standtrue.place.question.walls import walls
from standtrue.plane.shapes import polygon

LONGEST_WALL = Ref("longest wall")

ALIKE_M = 1e-3
"""Sides that differ in length by less are equally long."""

QUARTER = math.pi / 2

CLOSE_M = 1e-4
"""How near to the bound a search at one heading goes: it is over soon."""

WORTH_M = 2.5e-4
"""Of two headings that differ by less in room the first is taken, so that rounding decides nothing."""


@frozen
class Line:
    """What a car may stand parallel to, either way round, and the way that it runs."""

    ref: Ref
    heading_rad: float

    def off_rad(self, heading_rad: float) -> float:
        """The angle, 0 to a quarter turn, between this and a car that faces so."""
        return abs(math.remainder(heading_rad - self.heading_rad, math.pi))

    def headings(self, square: bool) -> tuple[float, float]:
        """The headings along it, or square to it, either way round."""
        turns = (QUARTER, -QUARTER) if square else (0.0, math.pi)
        one, other = (math.remainder(self.heading_rad + turn, math.tau) for turn in turns)
        return one, other


Group = tuple[Line, ...]
"""Lines of one kind: which of them does not matter."""


@frozen(eq=False)
class Straight:
    """The roomiest stance along a line, or square to it."""

    best: Best
    line: Line
    square: bool

    @property
    def fits(self) -> bool:
        return self.best.found.margin_m >= FIT_M and not self.best.way.blocked


def groups_of(grounds: Grounds, lift: str | None) -> tuple[Group, ...]:
    """What a car can stand parallel to, in the order in which a person looks at it.

    On a lift that alone; on the floor the bay asked for, or any bay, then the lifts, then the longest wall.
    """
    site = grounds.site
    lifts = tuple(Line(Ref("lift", p.name), p.heading_rad) for p in site.lifts if lift in (None, p.name))
    if lift is not None:
        return (lifts,)
    asked = site.bays if grounds.bay is None else (grounds.bay,)
    bays = tuple(line for b in asked for line in _long_sides(b.outline, Ref("bay", b.name, of=site.name)))
    return tuple(group for group in (bays, lifts, tuple(_long_sides(site.outline, LONGEST_WALL))) if group)


def _long_sides(outline: Outline, ref: Ref) -> Iterator[Line]:
    """The longest side of an outline, each of several that are as long; edges in one line are one side."""
    sides = [wall.line for wall in walls(outline)]
    longest = max(math.dist(*side) for side in sides)
    for start, end in sides:
        if math.dist(start, end) > longest - ALIKE_M:
            yield Line(ref, math.atan2(end[1] - start[1], end[0] - start[0]))


def nearest_line(grounds: Grounds, vehicle: Vehicle, lift: str | None, place: Place) -> tuple[Line, float]:
    """The line that a car is the least off, with the angle; of several that of the bay in which the car stands."""
    c, s = math.cos(place.heading_rad), math.sin(place.heading_rad)
    middle = shapely.Point(place.x_m + c * vehicle.wheelbase_m / 2, place.y_m + s * vehicle.wheelbase_m / 2)
    around = {b.name for b in grounds.site.bays if polygon(b.outline).covers(middle)}
    lines = [line for group in reversed(groups_of(grounds, lift)) for line in group]
    lines.sort(key=lambda line: (line.ref.kind == "bay") - 2 * (line.ref.kind == "bay" and line.ref.name in around))
    least = min(line.off_rad(place.heading_rad) for line in lines)
    return next(n for n in lines if n.off_rad(place.heading_rad) <= least + PARALLEL_RAD), least


def straightest(ready: Sequence[Ready], grounds: Grounds, *, square: bool = False) -> Straight | None:
    """The roomiest stance along a line, or square to one: of the first group that leaves the room wanted, else of all.

    The nearest miss where none fits; None where no way allows such a stance that meets its conditions.
    """
    best: Straight | None = None
    for tasks in _by_group(ready, grounds):
        for one, line in tasks:
            for heading in line.headings(square):
                if one.way.faces(heading):
                    best = _better(best, one, line, heading, square)
        if best is not None and best.best.found.margin_m >= max(grounds.site.gaps.room_m, FIT_M):
            break
    return best


def _by_group(ready: Sequence[Ready], grounds: Grounds) -> Iterator[list[tuple[Ready, Line]]]:
    """Every way with every line, group by group; of lines that run the same way the first."""
    own = [(one, groups_of(grounds, one.way.carrier.lift)) for one in ready]
    for number in range(max((len(groups) for _, groups in own), default=0)):
        tasks = []
        for one, groups in own:
            known = [line for group in groups[:number] for line in group]
            for line in groups[number] if number < len(groups) else ():
                if not any(line.off_rad(other.heading_rad) <= PARALLEL_RAD for other in known):
                    known.append(line)
                    tasks.append((one, line))
        yield tasks


def _better(best: Straight | None, one: Ready, line: Line, heading_rad: float, square: bool) -> Straight | None:
    """The roomier of a stance and the roomiest at one heading."""
    known = -math.inf if best is None else best.best.found.margin_m
    packed = one.facing(heading_rad)
    found = search(packed, known_m=known, tolerance_m=CLOSE_M)
    if known < FIT_M and found.margin_m < FIT_M <= found.bound_m:
        found = max(found, closely(packed), key=lambda f: f.margin_m)
    worth = WORTH_M if known >= FIT_M else 0.0
    if found.place is None or found.margin_m <= known + worth:
        return best
    return Straight(Best(_exactly(found, heading_rad), one.way), line, square)


def _exactly(found: Found, heading_rad: float) -> Found:
    """A stance with the heading as it was asked for, free of rounding."""
    assert found.place is not None
    x, y, _ = found.place
    return evolve(found, place=(x, y, math.remainder(heading_rad, math.tau)))


def freest_along(straight: Straight, ready: Sequence[Ready]) -> Straight:
    """On decks: of the stances along the line within 1 mm of the largest margin, the one with the most free room."""
    headings = straight.line.headings(straight.square)
    best = straight.best
    same = [c for c in ready if c.way.carrier.lift == best.way.carrier.lift]
    found = freest(best, [(c.facing(h), c.way) for c in same for h in headings if c.way.faces(h)])
    assert found.found.place is not None
    near = found.found.place[2]
    heading = min(headings, key=lambda h: abs(math.remainder(h - near, math.tau)))
    return evolve(straight, best=evolve(found, found=_exactly(found.found, heading)))
