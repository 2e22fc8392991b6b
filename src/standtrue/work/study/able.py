"""What a shop can do of what fits in its room: with what it has, on its floor as surveyed, driven to and out again.

Of every card of every car a place is looked for that serves it and that the car can be driven to from a door: first
among the places that cars before could be driven to, then anew. What was found is proven; what was not found is no
proof that there is nothing, and is told as not known.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence

from attrs import define, field, frozen

from standtrue.model.asking import Asking
from standtrue.model.basics import SUPPORT_CLASSES, SupportClass
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.model.level import IsLevel, LevelTold
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Reason, Ref, because
from standtrue.model.shop import Shop
from standtrue.model.vehicle import Vehicle
from standtrue.place.engine import best_stance
from standtrue.place.many.together import Board
from standtrue.place.margin.ways import Way
from standtrue.place.question.answer import FIT_M
from standtrue.study.shop_share import Found, ShopTally, shop_tally
from standtrue.study.tally import CardFit, Table
from standtrue.work.drive.arrivals import end_at
from standtrue.work.place.level import NOT_SURVEYED, LevelFloors, level_floors
from standtrue.work.place.settle import settle
from standtrue.work.study.lacks import asked_of, not_entered
from standtrue.work.study.rooms import Room
from standtrue.work.study.ways_in import NO_WAY_FOUND, Gone, WaysIn
from standtrue.work.study.year import Year

MOST_IN_VAIN = 3
"""Where ways for so many cards of a car were sought in vain, and none was found for any, no more is looked for."""

NOT_WITH_THAT = because("not-with-equipment-there")


@frozen(eq=False)
class ShopShare:
    """What the shop can do in one room; `told` is None where too little is entered, and `missing` says what.

    `searched` ways were looked for, `taken_over` are those that a car took over from one before.
    """

    missing: tuple[Reason, ...] = ()
    told: ShopTally | None = None
    searched: int = 0
    taken_over: int = 0


def find_shop_share(
    shop: Shop, year: Year, room: Room, table: Table, asking: Asking, did: Callable[[int], None] = lambda _cars: None
) -> ShopShare | None:
    """What the shop can do of what fits in `table`, which holds every card of every car of the year.

    None where it was stopped before its end. `did` is told of so many more cars each time.
    """
    missing = not_entered(room.site)
    if missing:
        did(len(year.vehicles))
        return ShopShare(missing)
    asked = {key: asked_of(room.site, card) for key, card in year.cards.items()}
    level = level_floors(shop, room.site, [one.card for one in asked.values()])
    looking = _Looking(WaysIn(room.grounds, asking), level, asking)
    able: dict[tuple[str, str], Found] = {}
    fitting: dict[str, dict[str, tuple[SupportClass, ...]]] = {}
    for (car, key), fit in table.items():
        if supports := _supports_of(fit):
            fitting.setdefault(car, {})[key] = supports
    for vehicle in sorted(year.vehicles.values(), key=_widest_first):
        here = fitting.get(vehicle.name, {})
        found = looking.car(vehicle, [_Wanted(asked[key].card, supports) for key, supports in here.items()])
        if asking.stopped():
            return None
        able.update(((vehicle.name, key), one) for key, one in zip(here, found, strict=True))
        did(1)
    told = shop_tally(year.tasks, table, able, {key: one.lacks for key, one in asked.items()})
    counts = looking.ways.counts
    return ShopShare((), told, counts.searched, counts.taken_over)


def _widest_first(vehicle: Vehicle) -> tuple[float, float, float, str]:
    """Cars whose ways most likely serve those after: the widest turn first, then the longest, then the widest."""
    return -(vehicle.least_radius_m or 0.0), -vehicle.length_m, -vehicle.width_over_mirrors_m, vehicle.name


def _supports_of(told: CardFit) -> tuple[SupportClass, ...]:
    """The supports on which a card fits in the room."""
    return tuple(support for support, fit in told if fit is Fits.YES)


@frozen(eq=False)
class _Wanted:
    """A card as the shop can do it, and the supports on which it fits in the room."""

    card: Procedure
    supports: tuple[SupportClass, ...]


@define(eq=False)
class _Looking:
    """Looks for places that can be driven to, in one room, car after car."""

    ways: WaysIn
    level: LevelFloors
    asking: Asking

    def car(self, vehicle: Vehicle, wanted: Sequence[_Wanted]) -> list[Found]:
        """What is found of each of these cards."""
        barred = self.ways.barred(vehicle)
        if barred or not wanted:
            return [Found(Fits.NO, barred)] * len(wanted)
        one = _OneCar(self, vehicle, wanted)
        for support in SUPPORT_CLASSES:
            one.try_known(support)
        for number in range(len(wanted)):
            if number in one.left and not one.in_vain and not self.asking.stopped():
                one.search(number)
        return [one.found[number] for number in range(len(wanted))]


@define(eq=False)
class _OneCar:
    """One car and its cards: what was found, and which of them are `left`."""

    looking: _Looking
    vehicle: Vehicle
    wanted: Sequence[_Wanted]
    found: dict[int, Found] = field(factory=dict)
    left: set[int] = field(init=False)
    _boards: list[tuple[Board, list[int]]] = field(factory=list)

    def __attrs_post_init__(self) -> None:
        self.left = set(range(len(self.wanted)))
        self.found = {number: Found(Fits.UNDECIDED, (NO_WAY_FOUND,)) for number in self.left}

    @property
    def in_vain(self) -> bool:
        """Whether there is little hope to find a way for any card."""
        tried = [found for number, found in self.found.items() if number not in self.left]
        return len(tried) >= MOST_IN_VAIN and all(found.why == (NO_WAY_FOUND,) for found in tried)

    @property
    def grounds(self) -> Grounds:
        return self.looking.ways.grounds

    def try_known(self, support: SupportClass) -> None:
        """What is served on a support at places to which a way was found for a car before, if this car can take it."""
        numbers = [n for n in sorted(self.left) if support in self.wanted[n].supports]
        if not numbers:
            return
        cards = [self.wanted[n].card for n in numbers]
        self._boards.append((Board(self.grounds, self.vehicle, cards, (support,)), numbers))
        for gone in self.looking.ways.known():
            served = self._served(gone, self._boards[-1:])
            if served and self.looking.ways.takes(self.vehicle, gone):
                self._do(served)
            if self.left.isdisjoint(numbers):
                return

    def _served(self, gone: Gone, boards: Iterable[tuple[Board, list[int]]]) -> set[int]:
        """The cards left that are served at a place, on floor that is level enough for them."""
        place, served = gone.place, set[int]()
        for board, numbers in boards:
            seen = board.look((place.x_m, place.y_m, place.heading_rad))
            for option, margin in zip(board.options, seen.margins, strict=True):
                number = numbers[option.card]
                if margin >= FIT_M and number in self.left and self._holds(number, option.way, gone):
                    served.add(number)
        return served

    def _holds(self, number: int, way: Way, gone: Gone) -> bool:
        """Whether the lift is driven onto as the way leads, and the floor level enough."""
        if end_at(gone.place, way.carrier, self.grounds.site).carrier != gone.goal.carrier:
            return False
        form = _form(self.wanted[number].card, way.variants[0])
        return _is_level(self.looking.level.told(form, self.vehicle, gone.place, way.height_m))

    def _do(self, numbers: Iterable[int]) -> None:
        for number in numbers:
            self.found[number] = Found(Fits.YES)
            self.left.discard(number)

    def search(self, number: int) -> None:
        """Look for a place and a way to it, on one support after the other."""
        tried = []
        for support in self.wanted[number].supports:
            one = self._on(number, support)
            if one.fit is Fits.YES:
                self._do([number])
                return
            tried.append(one)
        fit = Fits.any_of([one.fit for one in tried])
        why = (reason for one in tried if one.fit is fit for reason in one.why)
        self.found[number] = Found(fit, tuple(dict.fromkeys(why)))
        self.left.discard(number)

    def _on(self, number: int, support: SupportClass) -> Found:
        card, ways, level = self.wanted[number].card, self.looking.ways, self.looking.level
        answer = best_stance(self.grounds, self.vehicle, [card], support)
        if answer.fits is not Fits.YES:
            return Found(answer.fits, (NOT_WITH_THAT,))
        settled = settle(level, answer).answer
        floor = tuple(self._floor(settled.stands.level))
        if any(one.fit is Fits.NO for one in floor):
            return floor[0]
        gone = ways.search(settled)
        if gone is None:
            return Found(Fits.UNDECIDED, (NO_WAY_FOUND,))
        stance, way = gone
        floor = tuple(self._floor(level.noted(stance).level))
        if not way.taken:
            self._do(self._served(way, self._boards) - {number})
        return floor[0] if floor else Found(Fits.YES)

    def _floor(self, told: LevelTold | None) -> Iterator[Found]:
        """What stands against a stance by its floor."""
        survey = self.looking.level.survey
        if _is_level(told):
            return
        assert told is not None
        if survey is None:
            yield Found(Fits.UNDECIDED, (self.looking.level.unused or NOT_SURVEYED,))
        elif told.level is IsLevel.NOT_MET:
            yield Found(Fits.NO, (because("no-level-place", survey=Ref("survey", survey.name)),))
        else:
            yield Found(Fits.UNDECIDED, (because("level-not-told", survey=Ref("survey", survey.name)),))


def _form(card: Procedure, variant: str | None) -> Procedure:
    return next((card.as_variant(v) for v in card.variants if v.name == variant), card)


def _is_level(told: LevelTold | None) -> bool:
    """Whether nothing is asked of the floor, or it is met."""
    return told is None or told.level is IsLevel.MET
