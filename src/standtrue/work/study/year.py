"""The tasks of a year: every kind of repair order on every car of the mix, with the cards that it calls for."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from attrs import evolve, frozen

from standtrue.model.basics import Fault
from standtrue.model.job import Job
from standtrue.model.procedure import Procedure
from standtrue.model.rules import Rules
from standtrue.model.shop import Shop
from standtrue.model.study import RepairOrder, Study
from standtrue.model.vehicle import Vehicle
from standtrue.needs import default_rules, find_needs
from standtrue.needs.words import vehicle_rank
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
    notes: tuple[str, ...] = ()


def year_of(folder: Shop, study: Study) -> Year:
    """The tasks: every kind of order on every car of the mix, with what it calls for."""
    mix = folder.mixes[study.mix]
    whole = sum(entry.share for entry in mix.vehicles)
    tasks: list[Task] = []
    cards: dict[str, Procedure] = {}
    vehicles = {e.vehicle: folder.vehicles[e.vehicle] for e in mix.vehicles if e.share > 0.0}
    rules = tuple(folder.rules.values()) or (default_rules(),)
    notes = list(_estimates(vehicles.values()))
    nothing = 0.0
    for entry in mix.vehicles:
        if entry.share <= 0.0:
            continue
        vehicle = vehicles[entry.vehicle]
        for order in study.work:
            per_year = order.per_year * entry.share / whole
            kept = [n for n in _needs(folder, study, order, vehicle, rules) if n.options != ((),)]
            if kept:
                tasks.append(Task(order.name, vehicle.name, per_year, tuple(kept)))
            else:
                nothing += per_year
    by_key = {c.key: c for c in folder.procedures}
    cleared = [_placed(task, vehicles[task.car], by_key, notes) for task in tasks]
    for task in cleared:
        cards.update({k: by_key[k] for k in task.cards})
    if nothing > 0.0:
        notes.append(f"{nothing:.0f} orders a year call for no calibration that needs a place: they are not counted")
    return Year(tuple(cleared), vehicles, cards, tuple(dict.fromkeys(notes)))


def _estimates(vehicles: Iterable[Vehicle]) -> Iterator[str]:
    """What was estimated, once for all cars of which the same was."""
    cars: dict[tuple[str, ...], list[str]] = {}
    for vehicle in vehicles:
        if vehicle.estimated:
            cars.setdefault(vehicle.estimated, []).append(vehicle.name)
    for estimated, names in cars.items():
        first = ", ".join(names[:MOST_NAMED])
        more = f" and {len(names) - MOST_NAMED} more cars" if len(names) > MOST_NAMED else ""
        yield f"estimated, not measured: {', '.join(estimated)} of {first}{more}"


def _needs(
    folder: Shop, study: Study, order: RepairOrder, vehicle: Vehicle, rules: Sequence[Rules]
) -> Iterator[TaskNeed]:
    """What an order calls for on a car."""
    if order.procedures:
        yield from _listed(folder, order, vehicle)
        return
    by_key = {c.key: c for c in folder.procedures}
    job = Job("study", study.sites[0], vehicle.name, events=order.events)
    for need in find_needs(job, vehicle, folder.procedures, rules).needs:
        if need.how == "conditional" and not study.conditional:
            continue
        if not need.card:
            yield TaskNeed(need.sensor if need.side is None else f"{need.sensor} {need.side}", ())
            continue
        chain = [by_key[k] for k in need.chain]
        options = [tuple(c.key for c in chain if c.needs_space)]
        options.extend((k,) if by_key[k].needs_space else () for k in need.alternatives)
        if chain[-1].method == "static or drive":
            options.append(())
        yield TaskNeed(chain[-1].key, _told_once(options))


def _told_once(options: Iterable[tuple[str, ...]]) -> tuple[tuple[str, ...], ...]:
    """Each option once. What needs no place at all can always be done: no other option matters then."""
    found = tuple(dict.fromkeys(options))
    return ((),) if () in found else found


def _listed(folder: Shop, order: RepairOrder, vehicle: Vehicle) -> Iterator[TaskNeed]:
    kinds = {s.kind for s in vehicle.sensors}
    for name in order.procedures:
        cards = [c for c in folder.procedures if name in (c.name, c.key)]
        if not cards:
            raise UnansweredError(_no_card(order, name))
        for card in cards:
            if vehicle_rank(card.vehicles, vehicle) is not None and (not kinds or card.sensor in kinds):
                yield TaskNeed(card.key, ((card.key,),) if card.needs_space else ((),))


def _no_card(order: RepairOrder, name: str) -> Iterator[Fault]:
    yield Fault(
        "unknown-name",
        f"the folder holds no procedure named {name}",
        "",
        f"work {order.name}: procedures",
        name,
        "name a card of this folder",
    )


def _placed(task: Task, vehicle: Vehicle, cards: Mapping[str, Procedure], notes: list[str]) -> Task:
    """The task with only such cards as the car's document places."""
    needs = []
    for need in task.needs:
        kept = []
        for option in need.options:
            faults = [f for k in option for f in missing_anchors(cards[k], vehicle)]
            notes.extend(f"{f.what}: it counts as not done" for f in faults)
            kept.extend([] if faults else [option])
        needs.append(evolve(need, options=tuple(kept)) if kept or not need.options else TaskNeed(need.stopper, ()))
    return evolve(task, needs=tuple(needs))
