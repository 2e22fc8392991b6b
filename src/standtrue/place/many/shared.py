"""The fewest places that serve a set of cards, one after another, each in its own lift state and with its own doors.

Raising a car changes its stance, not its place, so one place can serve one card on the floor and another on a
raised lift. Cards at one place run one after another: the zones of one are nothing to the others.

Proven: that no fewer places serve the cards (`Shared.proven`), and, unless a search came to within a hair of its
limit, that no other choice of as few places opens fewer doors, counted over the uses. A preference: among
those, places with room to spare. Each place is improved for the ways it uses, within a limit of work; and where a
place parallel to the bay, the lift or the longest wall serves the same cards with as few doors, it is the one told.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from standtrue.model.basics import Place, Side, SupportClass
from standtrue.model.ground import Grounds, Unfloor
from standtrue.model.level import LevelTold
from standtrue.model.procedure import Procedure
from standtrue.model.stance import Carrier, written
from standtrue.model.vehicle import Vehicle
from standtrue.place.fits.chosen import Aligned, aligned
from standtrue.place.fits.straight import groups_of
from standtrue.place.kernels.partitions import NEVER, lightest_partitions
from standtrue.place.many.together import NO_DOORS, Board, Seen
from standtrue.place.margin.measure import measure
from standtrue.place.question.answer import FIT_M, PARALLEL_RAD
from standtrue.plane.kernels import Array

MOST_CARDS = 16
"""Beyond this many cards the places are found greedily, and not proven to be the fewest."""

TRIES = 12
"""How many more groups are tested, or their places improved, for the sake of room."""

IMPROVE_BOXES = 2_000
IMPROVE_STARTS = 3
"""How far, and for how many choices of ways, a place is improved: a preference, not a proof."""

PLACE = 1 << 30
DOOR = 1 << 10
"""A place weighs more than any doors, and a door more than all that is not known yet."""

Ints = NDArray[np.int64]


@frozen
class Use:
    """One card served at a place: in which form, carried by what, with which doors open.

    `variant` is None for the card's own zones; `margin_m` is this use's own. `level` is told by whoever has a survey.
    """

    card: Procedure
    variant: str | None
    support: SupportClass
    carrier: Carrier
    doors_open: tuple[str, ...]
    margin_m: float
    level: LevelTold | None = None

    @property
    def form(self) -> Procedure:
        """The card in the form in which it is met."""
        return next((self.card.as_variant(v) for v in self.card.variants if v.name == self.variant), self.card)

    @property
    def carried_by(self) -> str:
        """`floor` or LIFT/STATE, as documents and JSON write what carries the car."""
        return written(self.carrier)

    @property
    def height_m(self) -> float:
        """The height of the decks, metres; 0 on the floor."""
        return self.carrier.height_m


@frozen
class SharedPlace:
    """A place and what it serves. `margin_m` is the smallest over its uses; `aligned` tells what it is parallel to."""

    place: Place
    margin_m: float
    uses: tuple[Use, ...]
    aligned: Aligned


@frozen
class Shared:
    """The fewest places that serve all cards that fit somewhere. `unserved` are those that were found to fit nowhere.

    `proven`: no fewer places serve them, and nothing that was left undecided could change that.
    """

    places: tuple[SharedPlace, ...]
    proven: bool
    unserved: tuple[Procedure, ...]


def shared_places(
    grounds: Grounds,
    vehicle: Vehicle,
    cards: Sequence[Procedure],
    supports: Sequence[SupportClass],
    *,
    uneven: Mapping[tuple[str, SupportClass], Sequence[Unfloor]] | None = None,
    board: Board | None = None,
    straight: bool = True,
) -> Shared:
    """The fewest places from which all cards that fit somewhere can be served, on these support classes.

    Anchors must be known (`claims.missing_anchors`). `uneven` is floor too uneven, by card key and class of support.
    `board` is one made of just this question, where the caller has a use for it too. Not `straight`: the places are
    only to be counted, and may be askew.
    """
    board = Board(grounds, vehicle, cards, supports, uneven) if board is None else board
    alone = [board.serve((i,)) for i in range(len(cards))]
    served = [i for i, s in enumerate(alone) if s.doors is not None]
    proven = not any(s.doubt for s in alone if s.doors is None)
    if len(served) > MOST_CARDS:
        groups, least = [(g, _improved(board, g)) for g in _greedy(board, served)], False
    else:
        groups, least = _Partition(board, served).solve()
    stands = _Stands(board, grounds, vehicle, tuple(cards), straight)
    spread = _spread(board, [(g, stands.best(g, seen)) for g, seen in groups], stands)
    roomiest = {tuple(group): seen for group, seen in groups}
    places = tuple(stands.told(group, seen, roomiest.get(tuple(group), seen)) for group, seen in spread)
    unserved = tuple(c for c, s in zip(cards, alone, strict=True) if s.doors is None)
    proven &= all(p.margin_m >= FIT_M for p in places)
    return Shared(places, proven and least, unserved)


class _Partition:
    """The partition of some cards into the fewest servable groups, with the fewest doors open.

    Every group is taken to be servable, with as few doors as its cards alone, until that is tested. The best
    partition is tested first: either it stands, or what failed is shrunk to the least that fails and the next
    best is tried. So few groups are ever tested. Arrays are indexed by sets of cards, as bits.
    """

    def __init__(self, board: Board, served: Sequence[int]) -> None:
        self.board = board
        self.served = list(served)
        self.sets: Ints = np.arange(1 << len(served), dtype=np.int64)
        self.members: Ints = self.sets[:, None] >> np.arange(len(served)) & 1
        self.upper: Ints = np.full(len(self.sets), NO_DOORS, dtype=np.int64)
        self.proof: NDArray[np.bool_] = np.ones(len(self.sets), dtype=np.bool_)
        self.places: dict[int, Seen] = {}
        self.looked = 0
        self._learn_places()
        self.alone: Ints = self.members @ self.upper[1 << np.arange(len(served))]
        self.lower: Ints = self.alone.copy()

    def solve(self) -> tuple[list[tuple[list[int], Seen]], bool]:
        """The groups with a place for each, and whether no fewer can do."""
        alike = np.zeros(len(self.sets))
        while True:
            groups = _lightest(self._weights() + (self.upper > self.lower), alike)
            unknown = self._first_unknown(groups)
            if unknown is None:
                break
            self._test(unknown)
        fewest = _lightest(np.where(self.proof, PLACE, NEVER), alike)
        least = len(fewest) == len(groups)
        return [(self._cards(g), self._place(g)) for g in self._roomiest()], least

    def _roomiest(self) -> list[int]:
        """Of the partitions as good, the one of the largest smallest margin, as far as TRIES go.

        A group is taken to have all the room that its known parts have, until it is tried itself.
        """
        rooms = np.full(len(self.sets), np.inf)
        for _ in range(TRIES):
            groups = _lightest(self._weights(), rooms)
            unknown = self._first_unknown(groups)
            untried = next((g for g in groups if g not in self.places), None)
            if unknown is not None:
                self._test(unknown)
            elif untried is not None:
                room = self._place(untried).room(self._cards(untried))[1]
                rooms = np.where(self.sets & untried == untried, np.minimum(rooms, room), rooms)
            else:
                return groups
        rooms[[g for g in self.sets if g not in self.places]] = -np.inf
        return _lightest(self._weights() + (self.upper > self.lower), rooms)

    def _weights(self) -> Ints:
        return np.where(self.lower < NO_DOORS, PLACE + DOOR * self.lower, NEVER)

    def _first_unknown(self, groups: Sequence[int]) -> int | None:
        return next((g for g in groups if self.upper[g] > self.lower[g]), None)

    def _place(self, group: int) -> Seen:
        if group not in self.places:
            self.places[group] = _improved(self.board, self._cards(group))
        return self.places[group]

    def _cards(self, group: int) -> list[int]:
        return [self.served[i] for i in range(len(self.served)) if group >> i & 1]

    def _test(self, group: int) -> None:
        """Learn whether a group can be served, and with how few doors; where not, which least part of it cannot."""
        if self._serve(group):
            return
        for card in range(len(self.served)):
            part = group & ~(1 << card)
            if part != group and self.upper[part] >= NO_DOORS and not self._serve(part):
                group = part

    def _serve(self, group: int) -> bool:
        found = self.board.serve(self._cards(group))
        self._learn_places()
        above = self.sets & group == group
        if found.doors is None:
            self.lower[above] = NO_DOORS
            if not found.doubt:
                self.proof[above] = False
            return False
        more = self.alone + found.doors - self.alone[group]
        self.lower = np.where(above, np.maximum(self.lower, more), self.lower)
        self.upper[group] = found.doors
        return True

    def _learn_places(self) -> None:
        """Every part of what a place seen serves can be served."""
        for seen in self.board.seen[self.looked :]:
            self.upper = np.minimum(self.upper, self.members @ seen.doors[self.served])
        self.looked = len(self.board.seen)


def _lightest(weights: Ints, rooms: Array) -> list[int]:
    """The partition of all cards into groups of the least weight in all; of those, the largest smallest room."""
    first = lightest_partitions(weights, rooms)
    groups = []
    left = len(weights) - 1
    while left:
        groups.append(int(first[left]))
        left ^= groups[-1]
    return groups


def _greedy(board: Board, served: Sequence[int]) -> list[list[int]]:
    """Groups filled one after another with whatever still goes in."""
    groups: list[list[int]] = []
    for card in served:
        for group in groups:
            if board.serve([*group, card]).doors is not None:
                group.append(card)
                break
        else:
            groups.append([card])
    return groups


def _spread(board: Board, groups: Sequence[tuple[list[int], Seen]], stands: _Stands) -> list[tuple[list[int], Seen]]:
    """Each card goes to the place where it has the most room, which can only free the others."""
    cards = sorted(c for group, _ in groups for c in group)
    homes = [_roomiest([seen for _, seen in groups], c) for c in cards]
    spread = []
    for number, (before, seen) in enumerate(groups):
        now = [c for c, home in zip(cards, homes, strict=True) if home == number]
        if now:
            spread.append((now, seen if now == before else stands.best(now, _improved(board, now, seen))))
    return sorted(spread, key=lambda s: s[0][0])


def _roomiest(places: Sequence[Seen], card: int) -> int:
    return max(range(len(places)), key=lambda i: places[i].room([card]))


def _improved(board: Board, group: Sequence[int], start: Seen | None = None, facing: float | None = None) -> Seen:
    """The place of the most room found for a group, from the best places seen and the ways they use; at one heading."""
    here = [s for s in board.seen if facing is None or s.faces(facing)] if start is None else [start]
    ranked = sorted(here, key=lambda s: s.room(group), reverse=True)
    best = ranked[0]
    tried: set[tuple[tuple[int, Side | None], ...]] = set()
    for seen in ranked:
        while len(tried) < IMPROVE_STARTS and seen.room(group)[0] == best.room(group)[0]:
            uses = tuple((int(seen.best[c]), seen.side(int(seen.best[c]))) for c in group)
            if uses in tried:
                break
            tried.add(uses)
            known = best.room(group)[1]
            found = board.roomier(uses, facing, known, IMPROVE_BOXES)
            if found.place is None:
                break
            seen = board.look(found.place if facing is None else (*found.place[:2], facing))
            best = max(best, seen, key=lambda s: s.room(group))
    return best


@frozen(eq=False)
class _Stands:
    """Where the car is to stand for groups of cards: if `straight`, parallel to something where that serves as well."""

    board: Board
    grounds: Grounds
    vehicle: Vehicle
    cards: tuple[Procedure, ...]
    straight: bool

    def best(self, group: Sequence[int], roomiest: Seen) -> Seen:
        """The place for a group: parallel to a line before square to one before as it is.

        Of the first lines that leave the room wanted the roomiest, else of all.
        """
        wanted, doors = self.grounds.site.gaps.room_m, -roomiest.room(group)[0]
        for square in (False, True) if self.straight else ():
            best: Seen | None = None
            tried: set[float] = set()
            for lines in groups_of(self.grounds, None):
                for heading in (h for line in lines for h in line.headings(square)):
                    if round(heading, 9) not in tried and self.board.serve_facing(group, heading, doors):
                        best = self._better(group, best, _improved(self.board, group, facing=heading))
                    tried.add(round(heading, 9))
                if best is not None and best.room(group)[1] >= wanted:
                    break
            if best is not None:
                return best
        return roomiest

    def _better(self, group: Sequence[int], best: Seen | None, found: Seen) -> Seen | None:
        """The roomier of two places; none at which the car would be askew on a lift."""
        lines = [line for lift in self._lifts(group, found) for (line,) in groups_of(self.grounds, lift)]
        if any(line.off_rad(found.pose[2]) > PARALLEL_RAD for line in lines):
            return best
        return found if best is None or found.room(group) > best.room(group) else best

    def _lifts(self, group: Sequence[int], seen: Seen) -> list[str]:
        carriers = (self.board.options[int(seen.best[c])].way.carrier for c in group)
        return list(dict.fromkeys(c.lift for c in carriers if c.lift is not None))

    def told(self, group: Sequence[int], seen: Seen, roomiest: Seen) -> SharedPlace:
        """The place as told: every use measured by general geometry."""
        place = Place(*seen.pose)
        uses, free = [], math.inf
        for card in group:
            number = int(seen.best[card])
            option = self.board.options[number]
            way = option.way
            margin, _, own_free = measure(way.pairs, way.origins, seen.side(number), place)
            free = min(free, own_free)
            doors = way.ground.doors_open
            uses.append(Use(self.cards[card], way.variants[0], option.support, way.carrier, doors, margin))
        least = min(u.margin_m for u in uses)
        lift = next(iter(self._lifts(group, seen)), None)
        best = Place(*roomiest.pose), roomiest.room(group)[1]
        told = aligned(self.grounds, self.vehicle, lift, place, (least, free), best)
        return SharedPlace(place, least, tuple(uses), told)
