"""Where a car can stand for its cards: every card and support class, on all cores."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor

from attrs import frozen

from standtrue.model.basics import DocumentMark, SupportClass
from standtrue.model.cautions import Caution
from standtrue.model.ground import Grounds, Unfloor
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Note, Term, because
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
from standtrue.work.used import answer_facts, cautions, marks_of, shared_facts

Progress = Callable[[str, int, int], None]
"""Told of each answer as it comes: what, how many are done, how many there are."""

UNPROVEN_NOTE = "shared places: it is not proven that no fewer places serve all procedures"
REMEDY_NOTE = "a search for remedies reached its limit: a least amount may not be the least, or a pair be missing"


@frozen(eq=False)
class Places:
    """Every answer for one car in one site, with what it rests on."""

    site: Site
    vehicle: Vehicle
    answers: tuple[Answer, ...]
    slices: tuple[tuple[Slice, ...], ...]
    remedies: tuple[Remedies, ...]
    shared: Shared
    marks: tuple[DocumentMark, ...]
    warnings: tuple[Note, ...]
    cautions: tuple[Caution, ...]

    @property
    def demonstration(self) -> bool:
        return any(mark.demonstration for mark in self.marks)

    def remedies_for(self, answer: Answer) -> Remedies:
        """What would make room where this answer does not fit."""
        return next(r for a, r in zip(self.answers, self.remedies, strict=True) if a is answer)

    def of(self, card: Procedure) -> tuple[Answer, ...]:
        return tuple(a for a in self.answers if a.cards == (card,))


def cards_for(folder: Shop, vehicle: Vehicle) -> tuple[Procedure, ...]:
    """The cards of the folder that name this car, are for a sensor that it has, and need a place to stand.

    A car whose document lists no sensors may have any.
    """
    kinds = {s.kind for s in vehicle.sensors}
    return tuple(
        c
        for c in folder.procedures
        if c.needs_space and vehicle_rank(c.vehicles, vehicle) is not None and (not kinds or c.sensor in kinds)
    )


def find_places(
    folder: Shop,
    site: Site,
    vehicle: Vehicle,
    cards: Sequence[Procedure],
    supports: Sequence[SupportClass],
    *,
    bay: Bay | None = None,
    headings_rad: Sequence[float] = (),
    amounts: bool = True,
    progress: Progress | None = None,
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
    survey, unused = survey_of(folder.surveys, site) if asks_level(placed) else (None, None)
    level = None if survey is None else LevelFloors(survey, site)

    def one(card: Procedure, support: SupportClass) -> _Found:
        answer = best_stance(grounds, vehicle, [card], support)
        settled = Settled(answer) if level is None else level.settle(answer)
        answer, rough = settled.answer, settled.uneven
        known = answer.carried_by and headings_rad
        cut = region(answer, headings_rad, uneven=rough) if known else ()
        return _Found(settled, cut, find_remedies(answer, uneven=rough, amounts=amounts))

    def sharing(uneven: Uneven | None = None) -> Shared:
        return shared_places(grounds, vehicle, placed, supports, uneven=uneven)

    found: list[_Found] = []
    with ThreadPoolExecutor(max_workers=os.cpu_count() or 1) as pool:
        # Where level floor is asked for, what shared places must keep clear of is known only once all else is.
        early = pool.submit(sharing) if level is None else None
        for (card, support), future in [(q, pool.submit(one, *q)) for q in asked]:
            found.append(future.result())
            if progress is not None:
                progress(f"{card.key} on {support}", len(found), len(asked))
        rough = {(c.key, s): f.rough(level) for (c, s), f in zip(asked, found, strict=True)}
        shared = early.result() if early is not None else sharing(rough)
    answers = tuple(f.settled.answer for f in found)
    remedies = tuple(f.remedies for f in found)
    surveys = [] if survey is None else [survey.name]
    marks = marks_of(folder, sites=[site], vehicles=[vehicle], cards=cards, surveys=surveys)
    notes = _warnings(folder, vehicle, cards, supports, answers, shared, remedies)
    level_notes = [*(n for f in found for n in f.settled.notes), *([unused] if unused else [])]
    return Places(
        site,
        vehicle,
        answers,
        tuple(f.slices for f in found),
        remedies,
        shared,
        marks,
        tuple(dict.fromkeys([*notes, *level_notes])),
        cautions([*(answer_facts(a) for a in answers), shared_facts(shared)], marks),
    )


@frozen(eq=False)
class _Found:
    """One answer with its region and remedies."""

    settled: Settled
    slices: tuple[Slice, ...]
    remedies: Remedies

    def rough(self, level: LevelFloors | None) -> tuple[Unfloor, ...]:
        """The floor that its card must keep clear of at other places, too."""
        return () if level is None else level.rough_for(self.settled)


def _warnings(
    folder: Shop,
    vehicle: Vehicle,
    cards: Sequence[Procedure],
    supports: Sequence[SupportClass],
    answers: Sequence[Answer],
    shared: Shared,
    remedies: Sequence[Remedies],
) -> tuple[Note, ...]:
    notes: list[Note] = list(folder.warnings)
    if vehicle.estimated:
        notes.append(f"vehicle {vehicle.name}: estimated, not measured: {', '.join(vehicle.estimated)}")
    for card in cards:
        if not card.needs_space:
            notes.append(f"{card.key}: {card.method}: it needs no place in the shop")
        elif not set(card.all_supports) & set(supports):
            notes.append(f"{card.key}: the card allows only {', '.join(card.all_supports)}")
    for answer in answers:
        notes.extend(because("not-considered", what=note) for note in answer.not_considered)
        support = Term(answer.support)
        notes.extend(because("seen-at-stance", card=answer.name, support=support, seen=s) for s in answer.in_view)
    if not all(r.complete for r in remedies):
        notes.append(REMEDY_NOTE)
    if not shared.proven:
        notes.append(UNPROVEN_NOTE)
    return tuple(dict.fromkeys(notes))
