"""How the cars of a study get to where they stand: ways searched, and ways taken over from a car before.

The way back is the way there, driven the other way.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import islice

from attrs import define, field, frozen

from standtrue.drive.engine import drive
from standtrue.drive.question.answer import Answer as Way
from standtrue.drive.question.answer import End
from standtrue.drive.question.refused import refusals
from standtrue.drive.taken_over import can_take_over
from standtrue.model.asking import Asking
from standtrue.model.basics import Place
from standtrue.model.ground import Grounds
from standtrue.model.reason import Reason, because
from standtrue.model.site import Site
from standtrue.model.vehicle import Vehicle
from standtrue.place.question.answer import Answer
from standtrue.work.drive.arrivals import equipment_in_use, goal_of, other_stances

MOST_STANCES = 2
"""At so many stances of one question a way is looked for."""

MOST_KNOWN = 24
"""Of so many ways found before it is asked whether the next car can take them; those taken over most come first."""

NO_WAY_FOUND = because("no-way-found")
"""Sought in vain, and not proven that there is none."""


@frozen(eq=False)
class Gone:
    """A way that was found: from which door to which end, with what taken from its store before."""

    door: str
    goal: End
    way: Way
    taken: tuple[str, ...] = ()

    @property
    def place(self) -> Place:
        assert self.goal.place is not None
        return self.goal.place


@define
class Counts:
    """How many ways were searched, found or not, and how many were taken over from a car before."""

    searched: int = 0
    taken_over: int = 0


@define(eq=False)
class WaysIn:
    """The ways into one room that were found so far, for whichever car."""

    grounds: Grounds
    asking: Asking
    counts: Counts = field(factory=Counts)
    _known: list[Gone] = field(factory=list)
    _uses: dict[int, int] = field(factory=dict)

    @property
    def site(self) -> Site:
        return self.grounds.site

    def barred(self, vehicle: Vehicle) -> tuple[Reason, ...]:
        """Why the car gets through no door at all, proven: one reason for each door; () where it may."""
        why = []
        for door in self.site.doors:
            found = next(refusals(self.site, vehicle, End(door=door.name), End(door=door.name), "drive"), None)
            if found is None:
                return ()
            why.append(found.why)
        return tuple(dict.fromkeys(why))

    def known(self) -> Iterator[Gone]:
        """The ways found so far, those that most cars took over first."""
        ranked = sorted(self._known, key=lambda gone: -self._uses.get(id(gone), 0))
        return islice(iter(ranked), MOST_KNOWN)

    def takes(self, vehicle: Vehicle, gone: Gone) -> bool:
        """Whether a car can take a way that was found for a car before."""
        found = can_take_over(self.site, vehicle, gone.way, End(door=gone.door), gone.goal, bay=self.grounds.bay)
        if found:
            self.counts.taken_over += 1
            self._uses[id(gone)] = self._uses.get(id(gone), 0) + 1
        return found

    def search(self, answer: Answer) -> tuple[Answer, Gone] | None:
        """A way to an answer's stance, or to another of its stances; None if none was found, or it was stopped."""
        stances = [answer.stands]
        for number in range(MOST_STANCES):
            if number == 1:
                stances = [*stances, *other_stances(answer)]
            if number >= len(stances) or self.asking.stopped():
                return None
            gone = self._to(stances[number])
            if gone is not None:
                return stances[number], gone
        return None

    def _to(self, stance: Answer) -> Gone | None:
        goal = goal_of(stance)
        stored = {e.name for e in self.site.equipment if e.store is not None}
        for in_use in dict.fromkeys((frozenset[str](), equipment_in_use(stance) & stored)):
            for door in self._nearest(stance.place):
                way = drive(
                    self.site,
                    stance.vehicle,
                    End(door=door),
                    goal,
                    bay=self.grounds.bay,
                    in_use=in_use,
                    quick=True,
                    hopeless=self.asking.stopped,
                )
                self.counts.searched += 1
                if way.found:
                    gone = Gone(door, goal, way, tuple(sorted(in_use)))
                    if not in_use:
                        self._known.append(gone)
                    return gone
        return None

    def _nearest(self, place: Place | None) -> Sequence[str]:
        """The doors, the nearest to a place first."""
        assert place is not None

        def far(number: int) -> float:
            door = self.site.doors[number]
            x, y = (door.start[0] + door.end[0]) / 2, (door.start[1] + door.end[1]) / 2
            return (x - place.x_m) ** 2 + (y - place.y_m) ** 2

        return [self.site.doors[n].name for n in sorted(range(len(self.site.doors)), key=far)]
