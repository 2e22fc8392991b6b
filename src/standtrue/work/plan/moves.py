"""Moves between the candidate places of a job: bounds at once, the paths themselves once a plan wants them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import partial

from attrs import evolve

from standtrue.drive.engine import drive, no_way_out
from standtrue.drive.path.shortest import shortest_length
from standtrue.drive.question.answer import Answer, End, Mode
from standtrue.drive.question.ends import places_of
from standtrue.drive.question.found_way import seconds_for
from standtrue.model.basics import Place, Range
from standtrue.model.order import OUTSIDE, Move
from standtrue.model.site import Site
from standtrue.model.vehicle import Vehicle
from standtrue.sequence.moves import NO_WAY, Key
from standtrue.work.plan.stances import Candidate

Ask = tuple[End, End, Mode]

PUSHING = 3
"""How many people it takes to push a car: one at its wheel and brake, two who push. Common practice, no source."""

GUIDED = 2
"""How many people a guided move takes at the least. Common practice, no source."""

NEAR_M = 1e-6
"""Rounding: so much shorter than the shortest path a path found may seem to be."""


class Paths:
    """Every path found so far in one site, for one car: alternatives ask for the same moves again.

    Searches are quick ones. The way back is the way there driven the other way. Where one fails there is no way back
    either, nor one for a car that is pushed: it turns no tighter. A search that fails is the dearest: where a coarse
    one by one door fails, all doors are tried at once.
    """

    def __init__(self, site: Site, vehicle: Vehicle) -> None:
        self.site, self.vehicle = site, vehicle
        self._found: dict[Ask, Answer] = {}
        self._shut: dict[tuple[frozenset[End], bool], Answer] = {}
        self._shut_in: dict[End, Answer | None] = {}

    def find(self, start: End, goal: End, mode: Mode) -> Answer:
        """The move from one end to the other. A car is pushed the way that it would be driven."""
        if mode == "push":
            driven = self.find(start, goal, "drive")
            took = seconds_for(self.site.pace, mode, driven.length_m, driven.shunts)
            return evolve(driven, mode=mode, seconds=took) if driven.found else driven
        ask, way = (start, goal, mode), (frozenset((start, goal)), mode == "skates")
        if way in self._shut:
            return self._shut[way]
        inside = [end for end in (start, goal) if end.door is None]
        place = inside[0] if len(inside) == 1 and mode != "skates" else None
        shut_in = None if place is None else self._shut_in.get(place)
        if shut_in is not None:
            return shut_in
        known_back = self._found.get((goal, start, mode))
        if known_back is not None and known_back.found:
            self._found[ask] = known_back.back()
        if ask not in self._found:
            hopeless = None if place is None else partial(self._hopeless, place, mode)
            self._found[ask] = drive(self.site, self.vehicle, start, goal, mode, quick=True, hopeless=hopeless)
        if not self._found[ask].found:
            self._shut[way] = self._found[ask]
        return self._found[ask]

    def _hopeless(self, place: End, mode: Mode) -> bool:
        """Whether no door leads to a place, as far as a quick search tells."""
        if place not in self._shut_in:
            self._shut_in[place] = no_way_out(self.site, self.vehicle, place, mode)
        return self._shut_in[place] is not None


class Maneuvers:
    """The move costs of one set of candidates. `rolling`: every move inside is made on skates.

    Outside is beyond any door: the quickest one counts. A site without doors is entered and left without a path.
    """

    def __init__(self, paths: Paths, candidates: Sequence[Candidate], *, rolling: bool = False) -> None:
        self._paths, self._rolling = paths, rolling
        self._ends = [c.end(paths.site) for c in candidates]
        self._doors = [End(door=d.name) for d in paths.site.doors]
        self.answers: dict[Key, Answer] = {}

    def bound(self, start: int, goal: int, driven: bool) -> Range:
        """The least that any path takes, by way of any door."""
        if OUTSIDE in (start, goal) and not self._doors:
            return seconds_for(self._paths.site.pace, "drive", 0.0, 0)
        spans = [self._least(a, b, self._mode(start, goal, driven)) for a, b in self._pairs(start, goal)]
        return min(spans, key=sum)

    def find(self, start: int, goal: int, driven: bool) -> Move:
        """The quickest path by way of any door; none where no path was found, nor to a place that no door leads to."""
        if OUTSIDE in (start, goal) and not self._doors:
            return Move(start, goal, driven, self.bound(start, goal, driven))
        if OUTSIDE not in (start, goal):
            for place in (start, goal):
                if not self._entered(place, driven):
                    return Move(start, goal, driven, NO_WAY)
        mode = self._mode(start, goal, driven)
        best: Answer | None = None
        for pair in sorted(self._pairs(start, goal), key=lambda p: sum(self._least(p[0], p[1], mode))):
            if best is not None and best.found and sum(self._least(pair[0], pair[1], mode)) >= sum(best.seconds):
                break
            answer = self._paths.find(*pair, mode)
            if best is None or (answer.found and (not best.found or sum(answer.seconds) < sum(best.seconds))):
                best = answer
        assert best is not None
        self.answers[start, goal, driven] = best
        return Move(start, goal, driven, best.seconds if best.found else NO_WAY, shunts=best.shunts)

    def _entered(self, place: int, driven: bool) -> bool:
        """Whether a path from a door was found; where there are no doors, nobody asks."""
        if self._doors and (OUTSIDE, place, driven) not in self.answers:
            self.find(OUTSIDE, place, driven)
        return not self._doors or self.answers[OUTSIDE, place, driven].found

    def cut_off(self, place: int) -> Answer | None:
        """An answer that says why a place cannot be come to, or left, as far as asked; None where that is not known."""
        barred = [a for (p, q, _), a in self.answers.items() if place in (p, q) and not a.found]
        return barred[0] if barred else None

    def shut_in(self, place: int) -> bool:
        """Whether each move asked for to or from a place was sought in vain, and any was."""
        tried = [answer.found for (start, goal, _), answer in self.answers.items() if place in (start, goal)]
        return bool(tried) and not any(tried)

    def _mode(self, start: int, goal: int, driven: bool) -> Mode:
        if self._rolling and OUTSIDE not in (start, goal):
            return "skates"
        return "drive" if driven else "push"

    def _pairs(self, start: int, goal: int) -> list[tuple[End, End]]:
        starts = self._doors if start == OUTSIDE else [self._ends[start - 1]]
        goals = self._doors if goal == OUTSIDE else [self._ends[goal - 1]]
        return [(a, b) for a in starts for b in goals]

    def _least(self, start: End, goal: End, mode: Mode) -> Range:
        """What the move takes where nothing stands about: no path is shorter."""
        vehicle, pace = self._paths.vehicle, self._paths.site.pace
        ones, twos = (places_of(self._paths.site, vehicle, end) for end in (start, goal))
        length = min(_least_length(vehicle, a, b, mode) for a in ones for b in twos)
        return seconds_for(pace, mode, max(0.0, length - NEAR_M), 0)


def _least_length(vehicle: Vehicle, one: Place, two: Place, mode: Mode) -> float:
    """The length of the shortest path between two places for this car, metres.

    On skates it is measured at the car's middle, and a turn at its corners.
    """
    start, goal = ((p.x_m, p.y_m, p.heading_rad) for p in (one, two))
    if mode != "skates":
        radius = vehicle.least_radius_m
        return math.dist(start[:2], goal[:2]) if radius is None else shortest_length(radius, start, goal)
    ahead = (vehicle.front_x_m + vehicle.rear_x_m) / 2
    (x0, y0), (x1, y1) = ((x + ahead * math.cos(h), y + ahead * math.sin(h)) for x, y, h in (start, goal))
    turn = abs(math.remainder(start[2] - goal[2], math.tau))
    return math.hypot(x1 - x0, y1 - y0) + math.hypot(vehicle.length_m, vehicle.width_m) / 2 * turn
