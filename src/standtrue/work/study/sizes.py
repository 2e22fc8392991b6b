"""The bay-size chart: which share of the work a room of each size could do, and the least rooms that cover a share.

The work is weighed by a study's repair orders, or by a car mix alone: each car's share spread evenly over its cards.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from attrs import frozen

from standtrue.documents.faults import RefusedError
from standtrue.documents.quantities import parse_length
from standtrue.model.asking import Asking
from standtrue.model.basics import SUPPORT_CLASSES, Fault, Range, SupportClass
from standtrue.model.basis import Basis, basis_of
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Length, Reason, Ref, Term, because
from standtrue.model.shop import Shop
from standtrue.model.site import Site
from standtrue.model.study import Study
from standtrue.model.vehicle import Vehicle
from standtrue.place.question.claims import missing_anchors
from standtrue.study.coverage import Coverage, Options, coverage_of_orders
from standtrue.study.sizes import Frontier, Size, SizeRange
from standtrue.work.ask import UnansweredError, pick
from standtrue.work.caution_facts import card_facts
from standtrue.work.place.places import cards_for
from standtrue.work.study.answer import UNDECIDED_WITHIN_M
from standtrue.work.study.sized_rooms import Rooms, Standing, own_size, rooms_frontiers
from standtrue.work.study.year import some_cars, year_of

SHARES = (0.5, 0.8, 0.95, 0.99)
"""The shares of the work whose contours are drawn; least bays are told for all but the first."""

MOST_STEPS = 8000
"""So many sizes are looked at each way: 40 m."""

MOST_NAMED = 3
"""So many cars are named in one note."""


@frozen(eq=False)
class Work:
    """What is to be covered. Order i, a list of needs with options of `pairs`, has weight `weights[i]`.

    A pair is the numbers of a car and a card. `rule` says by what the work is weighed.
    """

    cars: tuple[Vehicle, ...]
    cards: tuple[Procedure, ...]
    pairs: tuple[tuple[int, int], ...]
    orders: tuple[tuple[Options, ...], ...]
    weights: tuple[float, ...]
    rule: Reason
    notes: tuple[Reason, ...] = ()


@frozen(eq=False)
class Sizes:
    """The bay-size chart of one shop: what was asked, by which rule, and the coverage of every size.

    Frontier i is of `cars[frontier.car]` for `cards[frontier.card]`. `today` is the asked site's own size, where it is
    a rectangle. `partial` where it was stopped before its end.
    """

    site: Site
    rooms: Rooms
    supports: tuple[SupportClass, ...]
    work: Work
    frontiers: tuple[Frontier, ...]
    coverage: Coverage
    basis: Basis
    today: Size | None = None

    @property
    def partial(self) -> bool:
        return not all(frontier.whole for frontier in self.frontiers)


def find_sizes(
    shop: Shop,
    site: Site,
    work: Work,
    *,
    lift: Standing | None = None,
    supports: Sequence[SupportClass] = SUPPORT_CLASSES,
    sizes: SizeRange | None = None,
    asking: Asking | None = None,
) -> Sizes:
    """The chart of some work. Without a lift, only cards that allow the floor can fit.

    Stopped early, it tells what is known by then, said to be partial. Raises UnansweredError if there is nothing to
    ask.
    """
    if not sum(work.weights) > 0.0 or not work.pairs:
        what, remedy = because("no-card-to-weigh"), because("add-cards-or-other-cars")
        raise UnansweredError([Fault("nothing-to-ask", what, "", "", "", remedy)])
    sizes, rooms = sizes or SizeRange(), Rooms(site, lift)
    frontiers = rooms_frontiers(rooms, work.cars, work.cards, work.pairs, supports, sizes, asking)
    used = shop.take(work.cards[card] for card in sorted({card for _, card in work.pairs}))
    notes: list[Reason] = [*shop.warnings, *work.notes]
    if any(f.undecided for f in frontiers):
        notes.append(because("sizes-undecided", within=Length(UNDECIDED_WITHIN_M)))
    if not any(s in supports for c in used for s in c.all_supports if lift is not None or s == "floor"):
        notes.append(because("no-card-allows-supports", supports=tuple(map(Term, supports))))
    else:
        notes.extend(_impossible(used, supports, lift is not None))
    stopped = () if all(f.whole for f in frontiers) else (because("sizes-stopped"),)
    return Sizes(
        site,
        rooms,
        tuple(supports),
        work,
        frontiers,
        coverage_of_orders(frontiers, work.orders, work.weights, sizes),
        basis_of(shop.touched, card_facts(used), notes, stopped),
        own_size(site),
    )


def _impossible(cards: Sequence[Procedure], supports: Sequence[SupportClass], lift: bool) -> Iterator[Reason]:
    """Cards that fit in no room of the chart, whatever its size: they ask for a lift, and none stands in it."""
    asking = [c for c in cards if not lift and "floor" not in c.all_supports and set(c.all_supports) & set(supports)]
    if asking:
        yield because("cards-ask-for-lift", cards=tuple(Ref("card", card.key) for card in asking), option="--lift")


def sizes_up_to(widest: str, longest: str) -> SizeRange:
    """The sizes up to these lengths, as people write them. Raises UnansweredError for what is no such length."""
    least = SizeRange()
    return SizeRange(_up_to(least.width_m[0], widest, "--widest"), _up_to(least.length_m[0], longest, "--longest"))


def _up_to(low_m: float, text: str, option: str) -> Range:
    """From the least size to this one, in whole steps."""
    try:
        value = parse_length(text)
    except RefusedError as refused:
        raise UnansweredError([Fault(refused.code, refused.what, "", option, text, refused.remedy)]) from None
    step = SizeRange().step_m
    steps = math.floor((value - low_m) / step + 1e-6)
    if not 0 < steps <= MOST_STEPS:
        remedy = because("name-length-between", above=Length(low_m), most=Length(low_m + MOST_STEPS * step))
        raise UnansweredError([Fault("value-impossible", because("no-such-size"), "", option, text, remedy)])
    return (low_m, round(low_m + steps * step, 6))


def work_asked(shop: Shop, study: str | None, mix: str | None) -> Work:
    """A study's orders, or, if asked for or if there is no study, the cars of a mix. Raises UnansweredError."""
    if mix is None and (study is not None or shop.studies):
        return work_of_study(shop, pick("study", study, shop.studies, "--study"))
    chosen = pick("mix", mix, shop.mixes, "--mix")
    return work_of_cars(shop, {e.vehicle: e.share for e in chosen.vehicles if e.share > 0.0}, mix=chosen.name)


def work_of_study(shop: Shop, study: Study) -> Work:
    """A study's repair orders, weighed by how many come a year and by the cars' shares in its mix."""
    year = year_of(shop, study)
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
        because("work-of-study", study=Ref("study", study.name), mix=Ref("mix", study.mix)),
        year.notes,
    )


def work_of_cars(
    shop: Shop, shares: Mapping[str, float], cards: Sequence[Procedure] | None = None, mix: str = ""
) -> Work:
    """Cars by name with their shares of the work, a car's spread evenly over its cards (of `cards`, if given)."""
    cars = tuple(shop.vehicles[name] for name in shares)
    known = shop.procedures if cards is None else tuple(cards)
    pairs, weights = list[tuple[int, int]](), list[float]()
    left_out: dict[str, list[str]] = {}
    bare: list[str] = []
    number = {card.key: i for i, card in enumerate(known)}
    for at, car in enumerate(cars):
        wanted = [card for card in cards_for(shop, car) if card.key in number]
        mine = [card for card in wanted if not missing_anchors(card, car)]
        if not wanted:
            bare.append(car.name)
        for card in wanted:
            if card not in mine:
                left_out.setdefault(card.key, []).append(car.name)
        pairs.extend((at, number[card.key]) for card in mine)
        weights.extend(shares[car.name] / len(mine) for _ in mine)
    notes = [
        because("sensor-place-unknown-left-out", card=Ref("card", key), **some_cars(names, MOST_NAMED))
        for key, names in left_out.items()
    ]
    if bare:
        notes.append(because("cars-without-cards", **some_cars(bare, MOST_NAMED)))
    return Work(
        cars,
        known,
        tuple(pairs),
        tuple((((i,),),) for i in range(len(pairs))),
        tuple(weights),
        because("work-of-mix", mix=Ref("mix", mix)) if mix else because("work-of-cars"),
        tuple(notes),
    )
