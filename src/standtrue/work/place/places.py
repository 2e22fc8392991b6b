"""Where a car can stand for its cards: every card and support class, on all cores."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor

from attrs import frozen

from standtrue.model.asking import Asking
from standtrue.model.asking import Progress as Step
from standtrue.model.basics import SupportClass
from standtrue.model.basis import Basis, basis_of
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds, Unfloor
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Note, Ref, Term, because
from standtrue.model.shop import Shop
from standtrue.model.site import Bay, Site
from standtrue.model.vehicle import Vehicle
from standtrue.needs.words import vehicle_rank
from standtrue.place.change.remedies import Remedies, find_remedies
from standtrue.place.engine import best_stance, region
from standtrue.place.many.shared import Shared, shared_places
from standtrue.place.question.answer import Answer, Slice
from standtrue.place.question.claims import missing_anchors
from standtrue.work.ask import UnansweredError
from standtrue.work.place.level import LevelFloors, Settled, Uneven, asks_level, survey_of
from standtrue.work.used import answer_facts, shared_facts

Progress = Callable[[str, int, int], None]
"""Told of each answer as it comes: what, how many are done, how many there are."""

UNPROVEN = because("shared-not-proven")
REMEDIES_LIMITED = because("remedies-limited")


@frozen(eq=False)
class Places:
    """Every answer for one car in one site, with what it rests on."""

    site: Site
    vehicle: Vehicle
    answers: tuple[Answer, ...]
    slices: tuple[tuple[Slice, ...], ...]
    remedies: tuple[Remedies, ...]
    shared: Shared
    basis: Basis

    @property
    def gave_up(self) -> bool:
        """Whether every search stopped at its limit before an answer was proven."""
        return bool(self.answers) and all(a.limited and a.fits is Fits.UNDECIDED for a in self.answers)

    def remedies_for(self, answer: Answer) -> Remedies:
        """What would make room where this answer does not fit."""
        return next(r for a, r in zip(self.answers, self.remedies, strict=True) if a is answer)

    def of(self, card: Procedure) -> tuple[Answer, ...]:
        return tuple(a for a in self.answers if a.cards == (card,))


def cards_for(shop: Shop, vehicle: Vehicle) -> tuple[Procedure, ...]:
    """The cards of the shop that name this car, are for a sensor that it has, and need a place to stand.

    A car whose document lists no sensors may have any.
    """
    kinds = {s.kind for s in vehicle.sensors}
    return tuple(
        c
        for c in shop.procedures
        if c.needs_space and vehicle_rank(c.vehicles, vehicle) is not None and (not kinds or c.sensor in kinds)
    )


def find_places(  # long: one parameter for each thing that a question leaves open
    shop: Shop,
    site: Site,
    vehicle: Vehicle,
    cards: Sequence[Procedure],
    supports: Sequence[SupportClass],
    *,
    bay: Bay | None = None,
    headings_rad: Sequence[float] = (),
    amounts: bool = True,
    asking: Asking = Asking(),
) -> Places:
    """One answer for each card and each support class that it allows and that was asked for, in the site or one bay.

    `amounts`: as for `find_remedies`.
    Raises UnansweredError if a card measures from something that the car's document does not place.
    """
    faults = [f for card in cards for f in missing_anchors(card, vehicle)]
    if faults:
        raise UnansweredError(dict.fromkeys(faults))
    grounds = Grounds(site, bay)
    grounds.at_rest()
    placed = [c for c in cards if c.needs_space]
    asked = [(c, s) for c in placed for s in supports if s in c.all_supports]
    survey, unused = survey_of(shop, site) if asks_level(placed) else (None, None)
    level = None if survey is None else LevelFloors(survey, site)

    def one(card: Procedure, support: SupportClass) -> _Found:
        return _found(best_stance(grounds, vehicle, [card], support), level, headings_rad, amounts)

    def sharing(uneven: Uneven | None = None) -> Shared:
        return shared_places(grounds, vehicle, placed, supports, uneven=uneven)

    found: list[_Found] = []
    with ThreadPoolExecutor(max_workers=os.cpu_count() or 1) as pool:
        # Where level floor is asked for, what shared places must keep clear of is known only once all else is.
        early = pool.submit(sharing) if level is None else None
        for (card, support), future in [(q, pool.submit(one, *q)) for q in asked]:
            found.append(future.result())
            what = because("place-of-card", card=card.key, support=Term(support))
            asking.tell(Step(what, len(found), len(asked)))
        rough = {(c.key, s): f.rough(level) for (c, s), f in zip(asked, found, strict=True)}
        shared = early.result() if early is not None else sharing(rough)
    shop.take(cards)
    answers, remedies = tuple(f.settled.answer for f in found), tuple(f.remedies for f in found)
    level_notes = [*(n for f in found for n in f.settled.notes), *([unused] if unused else [])]
    facts = {*shared_facts(shared), *(fact for a in answers for fact in answer_facts(a))}
    warnings = [*shop.warnings, *_warnings(vehicle, cards, supports, answers), *level_notes]
    basis = basis_of(shop.touched, facts, warnings, _limits(shared, remedies))
    return Places(site, vehicle, answers, tuple(f.slices for f in found), remedies, shared, basis)


@frozen(eq=False)
class _Found:
    """One answer with its region and remedies."""

    settled: Settled
    slices: tuple[Slice, ...]
    remedies: Remedies

    def rough(self, level: LevelFloors | None) -> tuple[Unfloor, ...]:
        """The floor that its card must keep clear of at other places, too."""
        return () if level is None else level.rough_for(self.settled)


def _found(answer: Answer, level: LevelFloors | None, headings_rad: Sequence[float], amounts: bool) -> _Found:
    """An answer on floor as level as its card asks, with its region at these headings and what would make room."""
    settled = Settled(answer) if level is None else level.settle(answer)
    answer, rough = settled.answer, settled.uneven
    cut = region(answer, headings_rad, uneven=rough) if answer.carried_by and headings_rad else ()
    return _Found(settled, cut, find_remedies(answer, uneven=rough, amounts=amounts))


def _warnings(
    vehicle: Vehicle, cards: Sequence[Procedure], supports: Sequence[SupportClass], answers: Sequence[Answer]
) -> Iterator[Note]:
    if vehicle.estimated:
        yield because("vehicle-estimated", vehicle=Ref("vehicle", vehicle.name), fields=vehicle.estimated)
    for card in cards:
        if not card.needs_space:
            yield because("card-needs-no-place", card=card.key, method=Term(card.method))
        elif not set(card.all_supports) & set(supports):
            yield because("card-allows-only", card=card.key, supports=tuple(map(Term, card.all_supports)))
    for answer in answers:
        for note in answer.not_considered:
            yield because("not-considered", what=note)
        for seen in answer.in_view:
            yield because("seen-at-stance", card=answer.name, support=Term(answer.support), seen=seen)


def _limits(shared: Shared, remedies: Sequence[Remedies]) -> Iterator[Note]:
    if not all(r.complete for r in remedies):
        yield REMEDIES_LIMITED
    if not shared.proven:
        yield UNPROVEN
