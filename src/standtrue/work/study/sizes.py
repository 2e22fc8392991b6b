"""The bay-size chart: which share of the work a room of each size could do, and the least rooms that cover a share.

The work is weighed by a study's repair orders, or by a car mix alone: each car's share spread evenly over its cards.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from attrs import frozen

from standtrue.model.basics import SUPPORT_CLASSES, DocumentMark, Fault, SupportClass
from standtrue.model.cautions import Caution
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Note
from standtrue.model.shop import Shop
from standtrue.model.site import Site
from standtrue.model.study import Study
from standtrue.model.vehicle import Vehicle
from standtrue.place.question.claims import missing_anchors
from standtrue.study.coverage import Coverage, Options, coverage_of_orders
from standtrue.study.sizes import Frontier, Progress, Size, SizeRange
from standtrue.work.ask import UnansweredError
from standtrue.work.place.places import cards_for
from standtrue.work.study.sized_rooms import Rooms, Standing, own_size, rooms_frontiers
from standtrue.work.study.year import year_of
from standtrue.work.used import card_facts, cautions, marks_of

SHARES = (0.5, 0.8, 0.95, 0.99)
"""The shares of the work whose contours are drawn; least bays are told for all but the first."""

UNDECIDED = "at some sizes within 2 mm of a frontier it is not decided whether the car fits: told as not fitting"
STOPPED = "stopped before its end: sizes told as large enough are, but smaller ones may be too"


@frozen(eq=False)
class Work:
    """What is to be covered. Order i, a list of needs with options of `pairs`, has weight `weights[i]`.

    A pair is the numbers of a car and a card. `words` says by what the work is weighed, `named` which documents do.
    """

    cars: tuple[Vehicle, ...]
    cards: tuple[Procedure, ...]
    pairs: tuple[tuple[int, int], ...]
    orders: tuple[tuple[Options, ...], ...]
    weights: tuple[float, ...]
    words: str
    named: tuple[tuple[str, str], ...] = ()
    notes: tuple[str, ...] = ()


@frozen(eq=False)
class Sizes:
    """The bay-size chart of one folder: what was asked, by which rule, and the coverage of every size.

    Frontier i is of `cars[frontier.car]` for `cards[frontier.card]`. `today` is the asked site's own size, where it is
    a rectangle. `partial` where it was stopped before its end.
    """

    site: Site
    rooms: Rooms
    supports: tuple[SupportClass, ...]
    work: Work
    frontiers: tuple[Frontier, ...]
    coverage: Coverage
    marks: tuple[DocumentMark, ...]
    warnings: tuple[Note, ...]
    cautions: tuple[Caution, ...]
    today: Size | None = None
    partial: bool = False

    @property
    def demonstration(self) -> bool:
        return any(mark.demonstration for mark in self.marks)


def find_sizes(
    folder: Shop,
    site: Site,
    work: Work,
    *,
    lift: Standing | None = None,
    supports: Sequence[SupportClass] = SUPPORT_CLASSES,
    sizes: SizeRange | None = None,
    progress: Progress | None = None,
) -> Sizes:
    """The chart of some work. Without a lift, only cards that allow the floor can fit.

    Ctrl-C stops it with what is known by then, said to be partial. Raises UnansweredError if there is nothing to ask.
    """
    if not sum(work.weights) > 0.0 or not work.pairs:
        what = "no car of these has a card that needs a place"
        raise UnansweredError([Fault("nothing-to-ask", what, "", "", "", "add cards for them, or name other cars")])
    sizes, rooms = sizes or SizeRange(), Rooms(site, lift)
    frontiers = rooms_frontiers(rooms, work.cars, work.cards, work.pairs, supports, sizes, progress)
    partial = not all(f.whole for f in frontiers)
    used = [work.cards[card] for card in sorted({card for _, card in work.pairs})]
    notes = [*folder.warnings, *work.notes]
    if partial:
        notes.append(STOPPED)
    if any(f.undecided for f in frontiers):
        notes.append(UNDECIDED)
    if not any(s in supports for c in used for s in c.all_supports if lift is not None or s == "floor"):
        notes.append("no card allows the supports asked for")
    marks = marks_of(
        folder, sites=[site], vehicles=work.cars, cards=used, rules=[r.name for r in folder.rules.values()]
    )
    marks = tuple(m for m in folder.written.marks if m in marks or (m.kind, m.name) in work.named)
    return Sizes(
        site,
        rooms,
        tuple(supports),
        work,
        frontiers,
        coverage_of_orders(frontiers, work.orders, work.weights, sizes),
        marks,
        tuple(dict.fromkeys(notes)),
        cautions([card_facts(used)], marks),
        own_size(site),
        partial,
    )


def work_of_study(folder: Shop, study: Study) -> Work:
    """A study's repair orders, weighed by how many come a year and by the cars' shares in its mix."""
    year = year_of(folder, study)
    cars, cards = tuple(year.vehicles.values()), tuple(year.cards.values())
    car_of, card_of = {c.name: i for i, c in enumerate(cars)}, {c.key: i for i, c in enumerate(cards)}
    asked = dict.fromkeys((car_of[t.car], card_of[k]) for t in year.tasks for k in t.cards)
    number = {pair: i for i, pair in enumerate(asked)}
    orders = tuple(
        tuple(
            tuple(tuple(number[car_of[t.car], card_of[k]] for k in option) for option in need.options)
            for need in t.needs
        )
        for t in year.tasks
    )
    return Work(
        cars,
        cards,
        tuple(asked),
        orders,
        tuple(t.per_year for t in year.tasks),
        f"Work: the repair orders of the study “{study.name}”, car mix “{study.mix}”; a size covers an order if every "
        "calibration that it calls for has a place.",
        (("study", study.name), ("mix", study.mix)),
        year.notes,
    )


def work_of_cars(
    folder: Shop, shares: Mapping[str, float], cards: Sequence[Procedure] | None = None, mix: str = ""
) -> Work:
    """Cars by name with their shares of the work, a car's spread evenly over its cards (of `cards`, if given)."""
    cars = tuple(folder.vehicles[name] for name in shares)
    known = folder.procedures if cards is None else tuple(cards)
    pairs, weights = list[tuple[int, int]](), list[float]()
    left_out: dict[str, list[str]] = {}
    bare: list[str] = []
    number = {card.key: i for i, card in enumerate(known)}
    for at, car in enumerate(cars):
        wanted = [card for card in cards_for(folder, car) if card.key in number]
        mine = [card for card in wanted if not missing_anchors(card, car)]
        if not wanted:
            bare.append(car.name)
        for card in wanted:
            if card not in mine:
                left_out.setdefault(card.key, []).append(car.name)
        pairs.extend((at, number[card.key]) for card in mine)
        weights.extend(shares[car.name] / len(mine) for _ in mine)
    why = "whose document does not say where the sensor is"
    notes = [f"{key}: left out for {_cars_words(names)} {why}" for key, names in left_out.items()]
    if bare:
        notes.append(f"left out, for no card that needs a place is theirs: {_cars_words(bare)}")
    said = f"the car mix “{mix}”" if mix else "the cars"
    return Work(
        cars,
        known,
        tuple(pairs),
        tuple((((i,),),) for i in range(len(pairs))),
        tuple(weights),
        f"Work: {said}, the share of each car spread evenly over its cards.",
        (("mix", mix),) if mix else (),
        tuple(notes),
    )


def _cars_words(names: Sequence[str]) -> str:
    count = "1 car" if len(names) == 1 else f"{len(names)} cars"
    return f"{count} ({', '.join(names[:3])}{' …' if len(names) > 3 else ''})"


def equal_shares(names: Iterable[str]) -> dict[str, float]:
    """The same share of the work for every car."""
    found = list(names)
    return {name: 1 / len(found) for name in found}
