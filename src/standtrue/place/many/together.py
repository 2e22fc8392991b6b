"""Which cards one place can serve, one after another: every way of every card, and the places seen so far.

The pairs of all ways are few: the car's own recur in every way on the same ground. They are packed once, so
that one look at a place tells which ways of which cards it serves, and how widely.
"""

# long: one board, from the pairs of all its options to what a place serves
from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from copy import copy
from functools import reduce
from itertools import combinations, product
from operator import and_, or_

import numpy as np
from attrs import evolve, field, frozen
from numpy.typing import NDArray

from standtrue.model.basics import Outline, Side, SupportClass
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds, Unfloor
from standtrue.model.procedure import Procedure
from standtrue.model.vehicle import Vehicle
from standtrue.place.fits.decide import Pose, decide, decide_closely
from standtrue.place.margin.pairs import Pair, Pool, pack
from standtrue.place.margin.search import Found, Packed, search, values_at
from standtrue.place.margin.ways import HEADING_RAD, Question, Way, ways
from standtrue.place.question.answer import FIT_M, PARALLEL_RAD
from standtrue.place.question.claims import Claim
from standtrue.plane.kernels import Array
from standtrue.plane.shapes import Convex

Box = tuple[float, float, float, float]
Window = tuple[float, float] | None
Key = tuple[Outline, Side | None, int, float, bool]
Ints = NDArray[np.int64]

NO_STRIPS = (0, 0)

NO_DOORS = 10**6
"""More doors than a site has: stands for a card that cannot be served."""


@frozen(eq=False)
class Option:
    """One way of one card. `base` and the strips on either side of the car are sets of the board's pairs, as bits.

    `strips` is left and right; both are empty where the driver need not get out.
    """

    card: int
    support: SupportClass
    way: Way
    base: int
    strips: tuple[int, int]

    @property
    def doors(self) -> int:
        """How many doors stand open."""
        return len(self.way.ground.doors_open)


@frozen(eq=False)
class Seen:
    """A place looked at: the margin of every option there (-inf where it is none), and which side is the better.

    For every card: the fewest doors with which it is served there, NO_DOORS where it is not, and the
    option of the largest margin with so few.
    """

    pose: Pose
    options: Sequence[Option]
    margins: Array
    left: NDArray[np.bool_]
    doors: Ints
    best: Ints

    def faces(self, heading_rad: float) -> bool:
        """Whether the car faces so here."""
        return abs(math.remainder(self.pose[2] - heading_rad, math.tau)) <= PARALLEL_RAD

    def side(self, number: int) -> Side | None:
        """The side on which the driver gets out in this option."""
        if self.options[number].strips == NO_STRIPS:
            return None
        return "left" if self.left[number] else "right"

    def room(self, cards: Sequence[int]) -> tuple[int, float]:
        """How well these cards are served there: the fewer doors the better, then the larger smallest margin."""
        own = list(cards)
        return -int(self.doors[own].sum()), float(self.margins[self.best[own]].min())


@frozen
class Served:
    """What it takes to serve some cards from one place: the doors open in all, None if nowhere.

    `doubt`: a search that could have found better came to no end, or to within a hair of the limit.
    """

    doors: int | None
    doubt: bool = False


@frozen
class Demand:
    """Pairs that must hold, as bits, and a pair of strips of which one must; where the car may be.

    `axis_rad` only tells the search which way to look. `facing` is the one heading asked for; None: any.
    """

    bits: int
    strips: tuple[int, int]
    box: Box
    window: Window
    axis_rad: float = field(default=0.0, eq=False)
    facing: float | None = None

    def implies(self, other: Demand) -> bool:
        """Whether every place for this is one for the other, which asks less in no smaller a domain."""
        (x0, y0, x1, y1), (u0, v0, u1, v1) = self.box, other.box
        inside = u0 <= x0 and v0 <= y0 and u1 >= x1 and v1 >= y1
        inside &= other.window in (None, self.window) and other.facing in (None, self.facing)
        return inside and not other.bits & ~self.bits and other.strips in (NO_STRIPS, self.strips)


class Board:
    """Every option of every card, and every place seen. Not for several threads at once."""

    def __init__(
        self,
        grounds: Grounds,
        vehicle: Vehicle,
        cards: Sequence[Procedure],
        supports: Sequence[SupportClass],
        uneven: Mapping[tuple[str, SupportClass], Sequence[Unfloor]] | None = None,
    ) -> None:
        self._pairs: list[Pair] = []
        self._numbers: dict[Key, int] = {}
        self._known_pairs: dict[int, tuple[int, Pair]] = {}
        self._claims: dict[Outline, Claim] = {}
        self._pieces: dict[int, tuple[tuple[Convex, ...], int]] = {}
        self._shapes: dict[tuple[bytes, ...], int] = {}
        self.options: list[Option] = []
        self.seen: list[Seen] = []
        self._sought: dict[Demand, tuple[Fits, Pose | None]] = {}
        self._searched: dict[tuple[Demand, float, int], Found] = {}
        self._decided: dict[Demand, Fits] = {}
        self._failed: list[Demand] = []
        for number, card in enumerate(cards):
            for support in supports:
                if support in card.all_supports:
                    rough = tuple((uneven or {}).get((card.key, support), ()))
                    question = Question(grounds, vehicle, (card,), support, rough)
                    self.options.extend(self._options(question, number))
        self.options.sort(key=lambda o: (o.card, o.doors))
        if self.options:
            self._lay_out()
        self._index(len(cards))

    def part(self, cards: Sequence[int], supports: Collection[SupportClass]) -> Board:
        """The board of some of these cards on some classes of support; what is worked out for one counts for both.

        Only places that it has seen itself count for it.
        """
        part, number = copy(self), {card: n for n, card in enumerate(cards)}
        kept = (o for o in self.options if o.card in number and o.support in supports)
        part.options = [evolve(option, card=number[option.card]) for option in kept]
        part.seen, part._decided, part._failed = [], {}, []
        part._index(len(cards))
        return part

    def _options(self, question: Question, card: int) -> Iterator[Option]:
        openable = question.grounds.openable
        for doors in (d for count in range(len(openable) + 1) for d in combinations(openable, count)):
            for way in ways(question, doors, []):
                if way.blocked:
                    continue
                sides: dict[Side | None, list[Pair]] = {None: [], "left": [], "right": []}
                for pair in way.pairs:
                    sides[pair.side].append(pair)
                base, left, right = (self._bits(own) for own in sides.values())
                yield Option(card, question.support, way, base, (left, right))

    def _bits(self, pairs: Iterable[Pair]) -> int:
        bits = 0
        for number in {self._number(p) for p in pairs}:
            bits |= 1 << number
        return bits

    def _number(self, pair: Pair) -> int:
        """The number of this pair, the same for every pair that demands the same."""
        if id(pair) not in self._known_pairs:
            # An id is a pair's own only as long as the pair is there.
            self._known_pairs[id(pair)] = (self._number_of(pair), pair)
        return self._known_pairs[id(pair)][0]

    def _number_of(self, pair: Pair) -> int:
        shape = self._shape(pair.pieces)
        key = (pair.claim.outline, pair.side, shape, pair.gap_m, pair.condition)
        if key not in self._numbers:
            self._numbers[key] = len(self._pairs)
            # Which pairs are strips is told by the bits: `pack` must take none for one.
            same = self._claims.setdefault(pair.claim.outline, evolve(pair.claim, role="zone"))
            self._pairs.append(evolve(pair, claim=same, pieces=self._pieces[shape][0]))
        return self._numbers[key]

    def _shape(self, pieces: tuple[Convex, ...]) -> int:
        """The id of the first pieces seen that are these, point for point."""
        if id(pieces) not in self._pieces:
            content = tuple(p.tobytes() for p in pieces)
            self._pieces[id(pieces)] = (pieces, self._shapes.setdefault(content, id(pieces)))
        return self._pieces[id(pieces)][1]

    def _lay_out(self) -> None:
        """Pack all pairs."""
        self._pool = Pool.of(self._pairs)
        self._packed = pack(self._pool, (0.0, 0.0, 0.0, 0.0))
        order, self._rows = np.unique(self._packed.sources, return_index=True)
        by_row = np.argsort(self._rows)
        self._rows, self._order = self._rows[by_row], order[by_row]

    def _index(self, cards: int) -> None:
        """Index the options of each card, and the pairs of each option: counted, conditions, left and right strip."""
        self.of_card: list[list[int]] = [[] for _ in range(cards)]
        for i, option in enumerate(self.options):
            self.of_card[option.card].append(i)
        conditions = sum(1 << i for i, p in enumerate(self._pairs) if p.condition)
        flat: list[int] = []
        starts: list[int] = []
        for option in self.options:
            for bits in (option.base & ~conditions, option.base & conditions, *option.strips):
                starts.append(len(flat))
                flat.extend(_members(bits).tolist() if bits else [len(self._pairs)])
        self._flat, self._starts = np.array(flat), np.array(starts)
        windows = [o.way.headings or (0.0, math.inf) for o in self.options]
        self._windows = np.array(windows)
        self._doors = np.array([o.doors for o in self.options])

    def look(self, pose: Pose) -> Seen:
        """What a place serves."""
        values = np.minimum.reduceat(values_at(self._packed, *pose), self._rows)
        least = np.full(len(self._pairs) + 1, np.inf)
        least[self._order] = values
        parts = np.minimum.reduceat(least[self._flat], self._starts).reshape(-1, 4)
        margins = np.minimum(parts[:, 0], np.maximum(parts[:, 2], parts[:, 3]))
        off = np.abs(np.remainder(pose[2] - self._windows[:, 0] + math.pi, math.tau) - math.pi)
        margins[(parts[:, 1] < FIT_M) | (off > self._windows[:, 1] + HEADING_RAD)] = -np.inf
        doors = np.where(margins >= FIT_M, self._doors, NO_DOORS)
        fewest, best = np.full(len(self.of_card), NO_DOORS), np.zeros(len(self.of_card), dtype=np.int64)
        for card, own in enumerate(self.of_card):
            if own:
                fewest[card] = doors[own].min()
                best[card] = own[int(np.argmax(np.where(doors[own] == fewest[card], margins[own], -np.inf)))]
        return Seen(pose, self.options, margins, parts[:, 2] >= parts[:, 3], fewest, best)

    def serve_facing(self, cards: Sequence[int], heading_rad: float, doors: int) -> bool:
        """Whether a place at this heading serves all these cards with no more doors; one is then among those seen."""
        ready = all(self.of_card[c] for c in cards)
        return ready and self._grow((), list(cards), doors, heading_rad) is Fits.YES

    def serve(self, cards: Sequence[int]) -> Served:
        """The fewest doors, counted over the uses, with which one place serves all these cards."""
        if not all(self.of_card[c] for c in cards):
            return Served(None)
        fewest = [min(self.options[i].doors for i in self.of_card[c]) for c in cards]
        most = [max(self.options[i].doors for i in self.of_card[c]) for c in cards]
        known = self._known(cards)
        doubt = False
        if known is None:
            common = self._common(cards)
            if common is not Fits.YES:
                return Served(None, common is Fits.UNDECIDED)
            known = self._known(cards)
        for budget in range(sum(fewest), sum(most) + 1 if known is None else known):
            grown = self._grow((), list(cards), budget, None)
            if grown is Fits.YES:
                return Served(budget, doubt)
            doubt |= grown is Fits.UNDECIDED
        return Served(known, doubt)

    def _known(self, cards: Sequence[int]) -> int | None:
        """The fewest doors of any place seen that serves these cards."""
        least = min((int(s.doors[list(cards)].sum()) for s in self.seen), default=NO_DOORS)
        return least if least < NO_DOORS else None

    def _common(self, cards: Sequence[int]) -> Fits:
        """Whether the pairs that all ways of each card share leave any place."""
        own = [[self.options[i] for i in self.of_card[c]] for c in cards]
        bits = reduce(or_, (reduce(and_, (o.base for o in options)) for options in own))
        box = _overlap([_hull([o.way.origins for o in options]) for options in own])
        if box is None or not bits:
            return Fits.of(box is not None)
        every = [o for options in own for o in options]
        return self._decide(Demand(bits, _same_strips(every), box, None, every[0].way.axis_rad))

    def _grow(self, chosen: tuple[int, ...], rest: list[int], budget: int, facing: float | None) -> Fits:
        """Whether `chosen` and one option of each card in `rest`, within the doors left, go together."""
        if not rest:
            return Fits.YES
        card, *later = rest
        kept = sum(self.options[self.of_card[c][0]].doors for c in later)
        outcome = Fits.NO
        for number in self.of_card[card]:
            left = budget - self.options[number].doors
            if left < kept:
                break
            grown = self._together((*chosen, number), facing)
            if grown is Fits.YES:
                grown = self._grow((*chosen, number), later, left, facing)
            if grown is Fits.YES:
                return Fits.YES
            outcome = Fits.UNDECIDED if grown is Fits.UNDECIDED else outcome
        return outcome

    def _together(self, chosen: tuple[int, ...], facing: float | None) -> Fits:
        """Whether one place serves all these options."""
        if self._serves(chosen, facing):
            return Fits.YES
        own = [self.options[i] for i in chosen]
        demand = _demand_of(own)
        if demand is None:
            return Fits.NO
        demand = evolve(demand, facing=facing)
        found = self._decide(demand)
        if found is not Fits.YES or self._serves(chosen, facing):
            return found
        strips = list(dict.fromkeys(o.strips for o in own if o.strips != NO_STRIPS))
        if demand.strips != NO_STRIPS or not strips:
            return Fits.UNDECIDED  # The place found lies outside the window of one of the lifts.
        outcome = Fits.NO
        for sides in product(*strips):
            found = self._decide(evolve(demand, bits=reduce(or_, sides, demand.bits)))
            if found is Fits.YES and self._serves(chosen, facing):
                return Fits.YES
            outcome = outcome if found is Fits.NO else Fits.UNDECIDED
        return outcome

    def _serves(self, chosen: tuple[int, ...], facing: float | None) -> bool:
        return any(s.margins[list(chosen)].min() >= FIT_M for s in self.seen if facing is None or s.faces(facing))

    def _decide(self, demand: Demand) -> Fits:
        """Whether there is a place for this; if so, it is among those seen."""
        if demand not in self._decided:
            if any(demand.implies(failed) for failed in self._failed):
                return Fits.NO
            if demand not in self._sought:
                packed = self.packed(demand)
                self._sought[demand] = decide(packed) if demand.facing is None else decide_closely(packed)
            verdict, pose = self._sought[demand]
            self._decided[demand] = verdict
            if pose is not None:
                self.seen.append(self.look(pose if demand.facing is None else (*pose[:2], demand.facing)))
            elif verdict is Fits.NO:
                self._failed.append(demand)
        return self._decided[demand]

    def packed(self, demand: Demand) -> Packed:
        """The problem of these pairs."""
        left, right = demand.strips
        among = _members(demand.bits | left | right)
        packed = pack(self._pool, demand.box, headings=demand.window, axis_rad=demand.axis_rad, among=among)
        codes = np.zeros(len(self._pairs), dtype=np.int64)
        for code, bits in ((2, right), (1, left)):
            codes[_members(bits)] = code
        packed = evolve(packed, problem=packed.problem._replace(sides=codes[packed.sources]))
        return packed if demand.facing is None else packed.facing(demand.facing)

    def roomier(
        self, uses: Sequence[tuple[int, Side | None]], facing: float | None, known_m: float, most: int
    ) -> Found:
        """The roomiest place for these options, with these sides where the strips are not the same, if it has more room
        than is known of. Some place serves them. `facing` is the one heading asked for, if only one is."""
        own = [self.options[i] for i, _ in uses]
        demand = _demand_of(own)
        assert demand is not None
        if demand.strips == NO_STRIPS:
            chosen = (o.strips[side == "right"] for o, (_, side) in zip(own, uses, strict=True))
            demand = evolve(demand, bits=reduce(or_, chosen, demand.bits))
        asked = evolve(demand, facing=facing), known_m, most
        if asked not in self._searched:
            self._searched[asked] = search(self.packed(asked[0]), known_m=known_m, most=most)
        return self._searched[asked]


def _demand_of(options: Sequence[Option]) -> Demand | None:
    """What the options ask together, without their strips where these are not the same; None if nowhere."""
    box = _overlap([o.way.origins for o in options])
    if box is None:
        return None
    # A window that is too wide proves too much, never too little: a place found is looked at.
    lifted = next((o.way for o in options if o.way.headings is not None), options[0].way)
    bits = reduce(or_, (o.base for o in options))
    return Demand(bits, _same_strips(options), box, lifted.headings, lifted.axis_rad)


def _same_strips(options: Sequence[Option]) -> tuple[int, int]:
    """The strips that all options ask for, if they are the same."""
    strips = {o.strips for o in options}
    return strips.pop() if len(strips) == 1 else NO_STRIPS


def _members(bits: int) -> Ints:
    """The numbers of the bits that are set, the least first."""
    octets = np.frombuffer(bits.to_bytes(bits.bit_length() // 8 + 1, "little"), dtype=np.uint8)
    return np.flatnonzero(np.unpackbits(octets, bitorder="little"))


def _overlap(boxes: Sequence[Box]) -> Box | None:
    x0, y0, x1, y1 = zip(*boxes, strict=True)
    box = (max(x0), max(y0), min(x1), min(y1))
    return box if box[0] <= box[2] and box[1] <= box[3] else None


def _hull(boxes: Sequence[Box]) -> Box:
    x0, y0, x1, y1 = zip(*boxes, strict=True)
    return min(x0), min(y0), max(x1), max(y1)
