"""Asking many questions of yes or no at once: what was packed for one is there for the next."""

from __future__ import annotations

import math
from collections.abc import Hashable, Iterator
from concurrent.futures import ThreadPoolExecutor
from itertools import combinations, pairwise
from typing import Generic, NamedTuple, TypeVar

import numpy as np
from attrs import field, frozen
from numpy.typing import NDArray

from standtrue.model.basics import Place
from standtrue.model.cover_loads import weak_floors
from standtrue.model.fits import Fits
from standtrue.model.procedure import Procedure
from standtrue.model.site import Equipment, Gaps
from standtrue.model.vehicle import Vehicle
from standtrue.place.fits.decide import decide
from standtrue.place.kernels.batch import Asks, answer_rows
from standtrue.place.kernels.bounds import Ints
from standtrue.place.kernels.search import HALVES
from standtrue.place.kernels.sweep import NO, UNDECIDED
from standtrue.place.kernels.tables import Floors, Shapes
from standtrue.place.many.tables import Seen, pack_cards, pack_cars, pack_floors
from standtrue.place.margin.pairs import bounds_in
from standtrue.place.margin.ways import Question, Setting, plates_by_axle, settings
from standtrue.plane.kernels import Array
from standtrue.plane.shapes import pieces_outside, union

SHARES_EACH = 64
FEWEST_ROWS = 32
"""Into how many shares the rows go for each worker, unless these would hold fewer rows than that."""

AXLES = {"front": 1, "rear": 2}

_T = TypeVar("_T")

_Row = tuple[tuple[int, ...], tuple[float, ...]]
"""One way of a question, as the compiled call reads it: codes and sizes, all but the question's number and its car."""

_Rows = tuple[tuple[_Row, ...], bool]
"""The rows of a question; and whether it must be asked by itself: each card finds in its store what others use,
or a cover carries some wheels and not others."""


@frozen(eq=False)
class _Shelf(Generic[_T]):
    """Things put by, each once: its key says which it is, and `kept` holds what the key is made of."""

    number: dict[Hashable, int] = field(factory=dict)
    kept: list[_T] = field(factory=list)

    def put(self, key: Hashable, thing: _T) -> int:
        if key not in self.number:
            self.number[key] = len(self.kept)
            self.kept.append(thing)
        return self.number[key]


@frozen(eq=False)
class _Known:
    """What the rows name."""

    cars: _Shelf[tuple[Vehicle, Gaps]] = field(factory=_Shelf)
    cards: _Shelf[tuple[Procedure, tuple[Equipment, ...], Procedure]] = field(factory=_Shelf)
    sets: _Shelf[tuple[int, ...]] = field(factory=_Shelf)
    floors: _Shelf[Seen] = field(factory=_Shelf)


class Packed(NamedTuple):
    """Everything that the compiled call reads."""

    cars: Shapes
    anchors: Array
    cards: Shapes
    floors: Floors
    asks: Asks


@frozen(eq=False)
class AnyFits:
    """Questions put by with `ask`, and answered all together.

    Cars, cards and sites are told apart by identity: ask with the same objects again and nothing is packed twice.
    """

    _known: _Known = field(factory=_Known, init=False)
    _codes: list[tuple[int, ...]] = field(factory=list, init=False)
    _sizes: list[tuple[float, ...]] = field(factory=list, init=False)
    _dealt: list[int] = field(factory=list, init=False)
    _questions: list[Question] = field(factory=list, init=False)
    _alone: set[int] = field(factory=set, init=False)
    _rows: dict[Hashable, _Rows] = field(factory=dict, init=False)

    def __len__(self) -> int:
        return len(self._questions)

    def ask(self, question: Question) -> int:
        """Put a question by; returns its number. Its cards' anchors must be known (`claims.missing_anchors`)."""
        number = len(self._questions)
        self._questions.append(question)
        key = (
            id(question.grounds),
            tuple(map(id, question.cards)),
            question.support,
            tuple(map(id, question.uneven)),
            _ways_key(question),
        )
        if key not in self._rows:
            self._rows[key] = self._rows_of(question)
        rows, alone = self._rows[key]
        if alone:
            self._alone.add(number)
        gaps = question.grounds.site.gaps
        car = self._known.cars.put((id(question.vehicle), gaps), (question.vehicle, gaps))
        for codes, sizes in rows:
            self._codes.append((number, car, *codes))
            self._sizes.append(sizes)
        return number

    def answers(self, workers: int = 1) -> list[Fits]:
        """For each question whether some stance fits. With several workers each thread takes a share."""
        return [fits for fits, _ in self.with_stances(workers)]

    def with_stances(self, workers: int = 1) -> list[tuple[Fits, Place | None]]:
        """As `answers`, each with a stance that fits: which one may depend on what else was asked, and by how many."""
        order = self._order()
        verdicts, stances = self._swept(order, workers)
        return [self._answer(number, int(verdicts[number]), stances[number], order) for number in range(len(self))]

    def _rows_of(self, question: Question) -> _Rows:
        """The rows of a question, all but its number and its car."""
        rows, alone = [], False
        for setting in all_settings(question):
            if setting.one_at_a_time or setting.over_weak_covers:
                alone = True
            elif not any(setting.out_of_reach()):
                rows.append(self._row(question, setting))
        return tuple(rows), alone

    def _row(self, question: Question, setting: Setting) -> _Row:
        known, site = self._known, question.grounds.site
        forms = zip(question.cards, setting.names, setting.question.cards, strict=True)
        cards = tuple(
            known.cards.put((id(card), name, id(site.equipment)), (form, site.equipment, card))
            for card, name, form in forms
        )
        lift, hold, plates = setting.carrier.lift, setting.hold, setting.plates_of
        key = (
            id(setting.ground),
            id(setting.driven),
            lift,
            setting.on_decks,
            hold is not None,
            plates.name if plates is not None else None,
        )
        floor = known.floors.put(key, _seen(setting)) if key not in known.floors.number else known.floors.number[key]
        at = len(self._dealt) if hold is not None else -1
        if hold is not None:
            self._dealt.extend(hold.dealt)
        codes = (
            known.sets.put(cards, cards),
            floor,
            int(setting.on_decks),
            int(question.support == "lift up"),
            int(hold is not None),
            int(site.wall_metal),
            at,
        )
        return codes, _sizes(setting)

    def _order(self) -> Ints:
        """The rows, a question's together, those where only the car differs side by side: each tries the last stance.

        Longer cars first: what gives room to them mostly does to the next.
        """
        firsts: dict[int, tuple[int, int, float, int]] = {}
        for codes in self._codes:
            if codes[0] not in firsts:
                vehicle = self._questions[codes[0]].vehicle
                firsts[codes[0]] = (codes[2], codes[3], -vehicle.length_m, codes[0])
        keys = [firsts[codes[0]] for codes in self._codes]
        return np.array(sorted(range(len(keys)), key=keys.__getitem__), dtype=np.int64)

    def packed(self, order: Ints | None = None) -> Packed | None:
        """What was put by, packed for the compiled call; None if no question has a way at all."""
        if not self._codes:
            return None
        rows = slice(None) if order is None else order
        known = self._known
        cars, anchors = pack_cars(known.cars.kept)
        cards = pack_cards([(form, equipment) for form, equipment, _ in known.cards.kept])
        sets = known.sets.kept
        asks = Asks(
            np.array(self._codes, dtype=np.int64)[rows],
            np.array(self._sizes)[rows],
            np.array([*self._dealt, 0], dtype=np.int64),
            np.concatenate([[0], np.cumsum([len(s) for s in sets])]).astype(np.int64),
            np.array([c for s in sets for c in s], dtype=np.int64),
        )
        return Packed(cars, anchors, cards, pack_floors(known.floors.kept), asks)

    def _swept(self, order: Ints, workers: int) -> tuple[NDArray[np.int8], Array]:
        verdicts, stances = np.full(len(self), NO, np.int8), np.zeros((len(self), 4))
        packed = self.packed(order)
        if packed is None:
            return verdicts, stances

        def work(share: tuple[int, int]) -> None:
            answer_rows(*packed, HALVES, *share, verdicts, stances)

        # Like questions stand together, and some kinds cost a hundred times what others do: many small shares.
        rows = len(packed.asks.codes)
        shares = _shares(packed.asks.codes[:, 0], min(SHARES_EACH * workers, max(1, rows // FEWEST_ROWS)))
        shares = shares if workers > 1 else [(0, rows)]
        if len(shares) == 1:
            work(shares[0])
        else:
            with ThreadPoolExecutor(workers) as pool:
                list(pool.map(work, shares))
        return verdicts, stances

    def _answer(self, number: int, verdict: int, stance: Array, order: Ints) -> tuple[Fits, Place | None]:
        if number in self._alone or verdict == UNDECIDED:
            return one_by_one(self._questions[number])
        if verdict == NO:
            return Fits.NO, None
        x, y, turn, row = (float(v) for v in stance)
        axis = self._known.floors.kept[self._codes[order[int(row)]][3]].axis_rad
        c, s = math.cos(axis), math.sin(axis)
        return Fits.YES, Place(c * x - s * y, s * x + c * y, math.remainder(turn + axis, math.tau))


def any_fit(question: Question) -> Fits:
    """Whether some stance fits: YES with a witness behind it, NO with a certificate, or undecided."""
    asked = AnyFits()
    asked.ask(question)
    return asked.answers()[0]


def all_settings(question: Question) -> Iterator[Setting]:
    """What every way is made of, those with the fewest doors open first."""
    openable = question.grounds.openable
    for count in range(len(openable) + 1):
        for doors in combinations(openable, count):
            yield from settings(question, doors, [])


def one_by_one(question: Question) -> tuple[Fits, Place | None]:
    """As `any_fit`, with a stance; by the search where the sweep leaves it open."""
    found = {Fits.NO}
    for setting in all_settings(question):
        way = setting.way()
        fits, at = (Fits.NO, None) if way.blocked else decide(way.packed())
        if fits is Fits.YES and at is not None:
            return Fits.YES, Place(*at)
        found.add(fits)
    return Fits.any_of(found), None


def _ways_key(question: Question) -> Hashable:
    """What of a car decides by which ways a question can be served: see `ways.settings` and `arms.holds`."""
    choices = weak_floors(question.grounds.site, question.vehicle)
    weak = tuple(tuple((area.ref, area.over) for area in areas) for areas in choices)
    if question.support == "floor":
        return weak
    lifts = [p.lift for p in question.grounds.site.lifts]
    vehicle = question.vehicle
    taken = tuple(lift.takes(vehicle.wheelbase_m) for lift in lifts)
    arms = question.support == "lift up" and any(lift.carries == "body" for lift in lifts)
    return weak, taken, vehicle.lift_points if arms else None


def _seen(setting: Setting) -> Seen:
    plates = () if setting.plates_of is None else plates_by_axle(setting.plates_of)
    return Seen(
        setting.ground,
        setting.driven,
        setting.axis_rad,
        setting.carrier.lift,
        setting.on_decks,
        setting.hold.reaches if setting.hold is not None else (),
        tuple((AXLES[axle], pieces_outside(union(outlines))) for axle, outlines in plates),
    )


def _sizes(setting: Setting) -> tuple[float, ...]:
    """Heights, and where the car may be and look, in axes along the walls or decks."""
    ceiling, axis = setting.ground.site.clear_height_m, setting.axis_rad
    center, half = (0.0, math.pi) if setting.headings is None else setting.headings
    return (
        setting.carrier.height_m,
        setting.driven_height_m,
        math.inf if ceiling is None else ceiling,
        *bounds_in(axis, setting.origins),
        0.0 if setting.headings is None else math.remainder(center - axis, math.tau),
        half,
    )


def _shares(questions: Ints, workers: int) -> list[tuple[int, int]]:
    """Rows first to past-last for each of the workers; a question's rows stay together."""
    begins = np.flatnonzero(np.diff(questions, prepend=-1))
    cuts = begins[np.linspace(0, len(begins), workers + 1).astype(np.int64)[1:-1]]
    edges = sorted({0, *(int(c) for c in cuts), len(questions)})
    return list(pairwise(edges))
