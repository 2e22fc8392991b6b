"""What was understood of each document: its few sizes and counts, for whoever typed it to see that they are meant."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from typing import Any

from attrs import frozen

from standtrue.model.basics import DocumentMark, Outline
from standtrue.model.job import Job, Mix
from standtrue.model.lift import Lift
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Length, Mass, Number, Reason, Ref, Share, Term, because
from standtrue.model.rules import Rules
from standtrue.model.setup import Setup
from standtrue.model.shop import Shop
from standtrue.model.site import Site
from standtrue.model.study import Study
from standtrue.model.survey import Survey
from standtrue.model.vehicle import Vehicle


@frozen
class Understood:
    """One document and what was understood of it, in the order in which one says it."""

    mark: DocumentMark
    parts: tuple[Reason, ...]


def understood(shop: Shop) -> tuple[Understood, ...]:
    """Each document of a shop, in the order of the documents; nothing of a kind that is not read."""
    cards: dict[str, list[Procedure]] = {}
    for card in shop.procedures:
        cards.setdefault(card.name, []).append(card)
    written = shop.written
    kinds: Mapping[str, tuple[Mapping[str, Any], Callable[[Any], Iterator[Reason]]]] = {
        "site": (written.sites, _site),
        "lift": (written.lifts, _lift),
        "vehicle": (written.vehicles, _vehicle),
        "procedure": (cards, _card),
        "rules": (written.rules, _rules),
        "job": (written.jobs, _job),
        "mix": (written.mixes, _mix),
        "study": (written.studies, _study),
        "survey": (written.surveys, _survey),
        "setup": (written.setups, _setup),
    }
    found = []
    for mark in written.marks:
        known, say = kinds.get(mark.kind, ({}, _nothing))
        parts = tuple(say(known[mark.name])) if mark.name in known else ()
        found.append(Understood(mark, parts))
    return tuple(found)


def _nothing(_document: object) -> Iterator[Reason]:
    return iter(())


def _counted(**counts: int) -> Iterator[Reason]:
    """How many there are of each thing, but for those of which there are none."""
    yield from (because(f"counted-{name.replace('_', '-')}", count=count) for name, count in counts.items() if count)


def _site(site: Site) -> Iterator[Reason]:
    long, wide = _extent(site.outline)
    yield because("measures", long=Length(long), wide=Length(wide))
    yield because("floor-area", area=Number(_area(site.outline), 2))
    if site.clear_height_m is not None:
        yield because("clear-height-of", height=Length(site.clear_height_m))
    yield from _counted(
        lifts=len(site.lifts),
        doors=len(site.doors),
        bays=len(site.bays),
        pits=len(site.voids),
        obstacles=len(site.obstacles),
        equipment=len(site.equipment),
        people=len(site.people),
    )


def _lift(lift: Lift) -> Iterator[Reason]:
    yield because("lift-for-wheels" if lift.carries == "wheels" else "lift-for-bodies")
    highest = max((state.deck_height_m[1] for state in lift.states), default=0.0)
    if highest > 0.0:
        yield because("lifts-to", height=Length(highest))
    if lift.capacity_kg is not None:
        yield because("carries-mass", mass=Mass(lift.capacity_kg))
    yield from _counted(states=len(lift.states), locks=len(lift.locks_m))


def _vehicle(car: Vehicle) -> Iterator[Reason]:
    yield because("car-long", length=Length(car.length_m))
    yield because("car-wide", width=Length(car.width_over_mirrors_m))
    yield because("car-wheelbase", wheelbase=Length(car.wheelbase_m))
    if car.mass_kg is not None:
        yield because("car-mass", mass=Mass(car.mass_kg))
    yield from _counted(sensors=len(car.sensors), estimated=len(car.estimated))


def _card(cards: list[Procedure]) -> Iterator[Reason]:
    card = cards[0]
    yield because("card-for", sensor=Ref("sensor", card.sensor), sides=len(cards) if len(cards) > 1 else None)
    yield because("card-method", method=Term(card.method))
    if card.targets:
        nearest = min(card.targets, key=lambda target: math.hypot(*target.at[:2]))
        far = Length(math.hypot(*nearest.at[:2]))
        yield because("card-targets", count=len(card.targets), distance=far, anchor=Term(nearest.anchor))
    yield from _counted(zones=len(card.zones), variants=len(card.variants))
    if card.needs_space:
        yield because("card-supports", supports=tuple(Term(one) for one in card.all_supports))


def _rules(rules: Rules) -> Iterator[Reason]:
    yield from _counted(rules=len(rules.rules), events=len({rule.event for rule in rules.rules}))


def _job(job: Job) -> Iterator[Reason]:
    yield because("job-car", vehicle=job.vehicle)
    if job.events:
        yield because("job-events", events=tuple(Term(event.event) for event in job.events))
    yield from _counted(works=len(job.work), done=len(job.done), decisions=len(job.decisions))
    if job.arrives:
        yield because("job-arrives", when=job.arrives)
    if job.promised:
        yield because("job-promised", when=job.promised)


def _mix(mix: Mix) -> Iterator[Reason]:
    yield from _counted(cars=len(mix.vehicles))
    total = math.fsum(entry.share for entry in mix.vehicles)
    most = max(mix.vehicles, key=lambda entry: entry.share)
    yield because("mix-most", vehicle=most.vehicle, share=Share(most.share / total))


def _study(study: Study) -> Iterator[Reason]:
    yield because("study-sites", sites=study.bays or study.sites)
    yield because("study-mix", mix=study.mix)
    yield from _counted(kinds_of_work=len(study.work))
    yield because("study-orders", orders=Number(math.fsum(order.per_year for order in study.work)))


def _survey(survey: Survey) -> Iterator[Reason]:
    yield because("survey-site", site=survey.site)
    points = survey.points
    yield from _counted(points=len(points) + len(survey.leveled), lines=len(survey.lines), loops=len(survey.loops))
    if points:
        low, high = min(points, key=lambda one: one.height_m), max(points, key=lambda one: one.height_m)
        fall, over = Length(high.height_m - low.height_m), Length(math.dist(high.at, low.at))
        yield because("survey-fall", fall=fall, over=over)
    if survey.on:
        yield because("survey-on", date=survey.on)


def _setup(setup: Setup) -> Iterator[Reason]:
    yield because("setup-of", procedure=setup.procedure)
    yield because("setup-job", job=setup.job)
    yield from _counted(readings=len(setup.readings), alignment=len(setup.alignment), conditions=len(setup.conditions))


def _extent(outline: Outline) -> tuple[float, float]:
    """How long it is along x, and wide along y, metres."""
    xs, ys = zip(*outline, strict=True)
    return max(xs) - min(xs), max(ys) - min(ys)


def _area(outline: Outline) -> float:
    """By the surveyor's formula, square metres."""
    return abs(math.fsum(x * outline[i - 1][1] - outline[i - 1][0] * y for i, (x, y) in enumerate(outline))) / 2.0
