"""The tasks of a year: every kind of repair order on every car of the mix, with the cards that it calls for."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from attrs import evolve, frozen

from standtrue.documents import default_rules
from standtrue.model.basics import Fault
from standtrue.model.job import Job, Mix
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Number, Reason, Ref, Term, because
from standtrue.model.rules import Rules
from standtrue.model.shop import Shop
from standtrue.model.study import RepairOrder, Study
from standtrue.model.vehicle import Vehicle
from standtrue.needs import find_needs
from standtrue.needs.words import same, vehicle_rank
from standtrue.place.question.claims import missing_anchors
from standtrue.study.tally import Task, TaskNeed
from standtrue.work.ask import UnansweredError

MOST_NAMED = 8
"""So many cars are named in one note."""


@frozen(eq=False)
class Year:
    """The tasks of a year, and the cars and cards that they name."""

    tasks: tuple[Task, ...]
    vehicles: Mapping[str, Vehicle]
    cards: Mapping[str, Procedure]
    notes: tuple[Reason, ...] = ()


def year_of(shop: Shop, study: Study) -> Year:
    """The tasks: every kind of order on every car of the mix, with what it calls for.

    Raises UnansweredError for a card that is not in the shop.
    """
    mix = shop.mixes[study.mix]
    vehicles = {e.vehicle: shop.vehicles[e.vehicle] for e in mix.vehicles if e.share > 0.0}
    tasks, nothing = _tasks(shop, study, mix, vehicles)
    by_key = {c.key: c for c in shop.procedures}
    nowhere: dict[str, list[str]] = {}
    placed = tuple(_placed(task, vehicles[task.car], by_key, nowhere) for task in tasks)
    notes = [*_estimates(vehicles.values()), *_unknown_events(study, _rules_of(shop))]
    notes.extend(
        because("sensor-place-unknown-not-done", card=Ref("card", key), **some_cars(names))
        for key, names in nowhere.items()
    )
    if nothing > 0.0:
        notes.append(because("orders-call-for-no-place", orders=Number(nothing)))
    return Year(placed, vehicles, {k: by_key[k] for task in placed for k in task.cards}, tuple(notes))


def some_cars(names: Iterable[str], most: int = MOST_NAMED) -> dict[str, tuple[Ref, ...] | int]:
    """Cars as a reason names them: the first few, and how many `more` there are."""
    found = tuple(dict.fromkeys(names))
    return {"cars": tuple(Ref("vehicle", name) for name in found[:most]), "more": max(0, len(found) - most)}


def _estimates(vehicles: Iterable[Vehicle]) -> Iterator[Reason]:
    """What was estimated, once for all cars of which the same was."""
    cars: dict[tuple[Term, ...], list[str]] = {}
    for vehicle in vehicles:
        if vehicle.estimated:
            cars.setdefault(vehicle.estimated_words, []).append(vehicle.name)
    for fields, names in cars.items():
        yield because("dimensions-estimated", fields=fields, **some_cars(names))


def _rules_of(shop: Shop) -> tuple[Rules, ...]:
    """The shop's rules, or the default rules if it has none."""
    return tuple(shop.rules.values()) or (default_rules(),)


def _unknown_events(study: Study, rules: Sequence[Rules]) -> Iterator[Reason]:
    """The events that no rule knows: each makes every sensor near it one to look at first."""
    events = dict.fromkeys(event.event for order in study.work for event in order.events)
    for event in events:
        if not any(same(rule.event, event) for document in rules for rule in document.rules):
            yield because("order-event-unknown", event=event)


def _tasks(shop: Shop, study: Study, mix: Mix, vehicles: Mapping[str, Vehicle]) -> tuple[list[Task], float]:
    """Every kind of order on every car; and how many orders a year call for nothing that needs a place."""
    whole = sum(entry.share for entry in mix.vehicles)
    rules = _rules_of(shop)
    tasks: list[Task] = []
    nothing = 0.0
    for entry in mix.vehicles:
        if entry.share <= 0.0:
            continue
        vehicle = vehicles[entry.vehicle]
        for order in study.work:
            per_year = order.per_year * entry.share / whole
            kept = [n for n in _needs(shop, study, order, vehicle, rules) if n.options != ((),)]
            if kept:
                tasks.append(Task(order.name, vehicle.name, per_year, tuple(kept)))
            else:
                nothing += per_year
    return tasks, nothing


def _needs(
    shop: Shop, study: Study, order: RepairOrder, vehicle: Vehicle, rules: Sequence[Rules]
) -> Iterator[TaskNeed]:
    """What an order calls for on a car."""
    if order.procedures:
        yield from _listed(shop, order, vehicle)
        return
    by_key = {c.key: c for c in shop.procedures}
    job = Job("study", study.sites[0], vehicle.name, events=order.events)
    for need in find_needs(job, vehicle, shop.procedures, rules).needs:
        if need.how == "conditional" and not study.conditional:
            continue
        if not need.card:
            yield TaskNeed(Ref("sensor", need.sensor, state=need.side or ""), ())
            continue
        chain = [by_key[k] for k in need.chain]
        options = [tuple(c.key for c in chain if c.needs_space)]
        options.extend((k,) if by_key[k].needs_space else () for k in need.alternatives)
        if chain[-1].method == "static or drive":
            options.append(())
        yield TaskNeed(Ref("card", chain[-1].key), _told_once(options))


def _told_once(options: Iterable[tuple[str, ...]]) -> tuple[tuple[str, ...], ...]:
    """Each option once. What needs no place at all can always be done: no other option matters then."""
    found = tuple(dict.fromkeys(options))
    return ((),) if () in found else found


def _listed(shop: Shop, order: RepairOrder, vehicle: Vehicle) -> Iterator[TaskNeed]:
    kinds = {s.kind for s in vehicle.sensors}
    for name in order.procedures:
        cards = [c for c in shop.procedures if name in (c.name, c.key)]
        if not cards:
            raise UnansweredError(_no_card(order, name))
        for card in cards:
            if vehicle_rank(card.vehicles, vehicle) is not None and (not kinds or card.sensor in kinds):
                yield TaskNeed(Ref("card", card.key), ((card.key,),) if card.needs_space else ((),))


def _no_card(order: RepairOrder, name: str) -> Iterator[Fault]:
    yield Fault(
        "unknown-name",
        because("order-names-no-card", card=name),
        "",
        f"work {order.name}: procedures",
        name,
        because("name-card-of-folder"),
    )


def _placed(task: Task, vehicle: Vehicle, cards: Mapping[str, Procedure], nowhere: dict[str, list[str]]) -> Task:
    """The task with only such cards as the car's document places; of the others `nowhere` takes the cars, by card."""
    needs = []
    for need in task.needs:
        kept = []
        for option in need.options:
            unplaced = [k for k in option if missing_anchors(cards[k], vehicle)]
            for key in unplaced:
                nowhere.setdefault(key, []).append(vehicle.name)
            kept.extend([] if unplaced else [option])
        needs.append(evolve(need, options=tuple(kept)) if kept or not need.options else TaskNeed(need.stopper, ()))
    return evolve(task, needs=tuple(needs))
