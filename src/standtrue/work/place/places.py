"""Where a car can stand for its cards: every card and support class, on as many workers as asked."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor

from attrs import evolve, field, frozen

from standtrue.model.asking import Asking, Progress
from standtrue.model.basics import SupportClass
from standtrue.model.basis import Basis, basis_of
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds, Unfloor
from standtrue.model.level import IsLevel
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Reason, Term, because
from standtrue.model.shop import Shop
from standtrue.model.site import Bay, Site
from standtrue.model.vehicle import Vehicle
from standtrue.needs.words import vehicle_rank
from standtrue.place.change.remedies import NOT_ASKED, Remedies, find_remedies
from standtrue.place.engine import best_stance, region
from standtrue.place.many.shared import Shared, shared_places
from standtrue.place.margin.stated import stated_stance
from standtrue.place.question.answer import Answer, Chosen, Slice
from standtrue.place.question.claims import missing_anchors
from standtrue.work.ask import UnansweredError
from standtrue.work.card_notes import card_notes
from standtrue.work.caution_facts import answer_facts, shared_facts
from standtrue.work.place.covers import cover_notes
from standtrue.work.place.level import LevelFloors, level_floors
from standtrue.work.place.settle import Settled, Uneven, rough_for, settle

Answered = Answer
"""What is told and drawn of one stance."""

NONE_SHARED = Shared((), False, ())
SHARED_LEFT_OUT = because("shared-left-out")
UNPROVEN = because("shared-not-proven")
REMEDIES_LIMITED = because("remedies-limited")
REMEDIES_LEFT_OUT = because("remedies-left-out")

REMEDIES_S = 1.0
"""How long what would make room is looked for, for one answer, in seconds of one processor's work."""


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
    left_out: tuple[Reason, ...] = ()
    """What an early stop left unanswered."""
    uneven: Uneven = field(factory=dict)
    """Floor that the shared places keep clear of, by card and class of support."""

    @property
    def gave_up(self) -> bool:
        """Whether every search ended early, at its limit or stopped, before an answer was proven."""
        asked = bool(self.answers or self.left_out)
        return asked and all(a.limited and a.fits is Fits.UNDECIDED for a in self.answers)

    @property
    def by_card(self) -> Mapping[str, Fits]:
        """Whether each card fits on some support, on floor as level as it asks; nothing of one that a stop left out."""
        names = dict.fromkeys(answer.name for answer in self.answers)
        return {name: Fits.any_of([_serves(a) for a in self.answers if a.name == name]) for name in names}

    def recommended(self, card: Procedure) -> Answer | None:
        """A card where the shared places have it, in the state that their table names; None where it has no place."""
        grounds = Grounds(self.site)
        for shared in self.shared.places:
            for use in shared.uses:
                if use.card == card:
                    at = stated_stance(
                        grounds,
                        self.vehicle,
                        [card],
                        shared.place,
                        use.carrier,
                        doors_open=use.doors_open,
                        variants=(use.variant,),
                        uneven=self.uneven.get((card.key, use.support), ()),
                    )
                    at = evolve(at, level=use.level)
                    told = shared.aligned
                    chosen = Chosen(at, told.off_parallel_rad, told.parallel_to, told.lacks_m, told.because)
                    return evolve(at, chosen=chosen)
        return None

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


def _serves(answer: Answer) -> Fits:
    """Whether an answer fits and is level; undecided where its level cannot be told."""
    level = answer.stands.level
    if answer.fits is not Fits.YES or level is None:
        return answer.fits
    return {IsLevel.MET: Fits.YES, IsLevel.NOT_MET: Fits.NO}.get(level.level, Fits.UNDECIDED)


def find_places(
    shop: Shop,
    site: Site,
    vehicle: Vehicle,
    cards: Sequence[Procedure],
    supports: Sequence[SupportClass],
    *,
    bay: Bay | None = None,
    headings_rad: Sequence[float] = (),
    amounts: bool = True,
    remedies: bool = True,
    asking: Asking = Asking(),
) -> Places:
    """One answer for each card and each support class that it allows and that was asked for, in the site or one bay.

    `amounts`: as for `find_remedies`; without `remedies` what would make room is not asked at all. Stopped early, it
    has the answers that are done, and says which are left out.
    Raises UnansweredError if a card measures from something that the car's document does not place.
    """
    if faults := [f for card in cards for f in missing_anchors(card, vehicle)]:
        raise UnansweredError(dict.fromkeys(faults))
    grounds, placed = Grounds(site, bay), tuple(c for c in cards if c.needs_space)
    grounds.at_rest()
    level = level_floors(shop, site, placed)
    question = _Question(grounds, vehicle, placed, tuple(supports), level, tuple(headings_rad), amounts, remedies)
    found, shared, uneven = _worked(question, asking)
    shop.take(cards)
    answers, changes = tuple(f.settled.answer for f in found.values()), tuple(f.remedies for f in found.values())
    notes = [*(n for f in found.values() for n in f.settled.notes), *([level.unused] if level.unused else [])]
    notes.extend(cover_notes(site, vehicle, answers))
    warnings = [*shop.warnings, *card_notes(cards), *_warnings(vehicle, cards, supports, answers), *notes]
    facts = {*shared_facts(shared or NONE_SHARED), *(fact for a in answers for fact in answer_facts(a))}
    left = tuple(_named(c, s) for c, s in question.pairs if (c.key, s) not in found)
    basis = basis_of(shop.touched, facts, warnings, _limits(left, answers, changes, shared))
    slices = tuple(f.slices for f in found.values())
    return Places(site, vehicle, answers, slices, changes, shared or NONE_SHARED, basis, left, uneven)


@frozen(eq=False)
class _Question:
    """What is asked: each card on each class of support that it allows, and the fewest places for all of them."""

    grounds: Grounds
    vehicle: Vehicle
    cards: tuple[Procedure, ...]
    supports: tuple[SupportClass, ...]
    level: LevelFloors
    headings_rad: tuple[float, ...]
    amounts: bool
    remedies: bool

    @property
    def pairs(self) -> tuple[tuple[Procedure, SupportClass], ...]:
        return tuple((c, s) for c in self.cards for s in self.supports if s in c.all_supports)

    def answer(self, card: Procedure, support: SupportClass, stopped: Callable[[], bool]) -> _Found:
        """An answer on floor as level as its card asks, with its region at the headings and what would make room."""
        answer = best_stance(self.grounds, self.vehicle, [card], support)
        settled = settle(self.level, answer)
        answer, rough = settled.answer, settled.uneven
        cut = region(answer, self.headings_rad, uneven=rough) if answer.carried_by and self.headings_rad else ()
        return _Found(settled, cut, self._remedies(answer, rough, stopped))

    def _remedies(self, answer: Answer, rough: Sequence[Unfloor], stopped: Callable[[], bool]) -> Remedies:
        if answer.fits is Fits.NO and not self.remedies:
            return NOT_ASKED
        until = time.thread_time() + REMEDIES_S
        return find_remedies(
            answer, uneven=rough, amounts=self.amounts, stopped=lambda: stopped() or time.thread_time() > until
        )

    def shared(self, uneven: Uneven | None = None) -> Shared:
        found = shared_places(self.grounds, self.vehicle, self.cards, self.supports, uneven=uneven)
        return self.level.noted_shared(found, self.vehicle)


_Answers = Mapping[tuple[str, SupportClass], "_Found"]
"""The answers that are done, in the order of the question, by card key and class of support."""


def _worked(question: _Question, asking: Asking) -> tuple[_Answers, Shared | None, Uneven]:
    """All answers and the shared places; once stopped, those that are done or were begun by then.

    With the floor that the shared places keep clear of.
    """
    pairs, found = question.pairs, dict[tuple[str, SupportClass], _Found]()
    with ThreadPoolExecutor(max_workers=asking.workers) as pool:
        # Where level floor is asked for, what shared places must keep clear of is known only once all else is. One
        # worker has the answers first, so that an early stop has some of them.
        early = pool.submit(question.shared) if question.level.floor is None and asking.workers > 1 else None
        begun = [pool.submit(question.answer, *pair, asking.stopped) for pair in pairs]
        for (card, support), future in zip(pairs, begun, strict=True):
            if asking.stopped():
                if early is not None:
                    early.cancel()
                for other in begun:
                    other.cancel()
            if not future.cancelled():
                found[card.key, support] = future.result()
                fitting = sum(one.settled.answer.fits is Fits.YES for one in found.values())
                best = because("fitting-so-far", count=fitting, of=len(found))
                asking.tell(Progress(_named(card, support), len(found), len(pairs), best))
    if early is not None:
        return found, None if early.cancelled() else early.result(), {}
    if asking.stopped():
        return found, None, {}
    uneven = {key: rough_for(question.level, f.settled) for key, f in found.items()}
    return found, question.shared(uneven), uneven


@frozen(eq=False)
class _Found:
    """One answer with its region and remedies."""

    settled: Settled
    slices: tuple[Slice, ...]
    remedies: Remedies


def _named(card: Procedure, support: SupportClass) -> Reason:
    return because("place-of-card", card=card.key, support=Term(support))


def _warnings(
    vehicle: Vehicle, cards: Sequence[Procedure], supports: Sequence[SupportClass], answers: Sequence[Answer]
) -> Iterator[Reason]:
    yield from vehicle.notes
    for card in cards:
        if not card.needs_space:
            yield because("card-needs-no-place", card=card.key, method=Term(card.method))
        elif not set(card.all_supports) & set(supports):
            yield because("card-allows-only", card=card.key, supports=tuple(map(Term, card.all_supports)))
    for answer in answers:
        for note in answer.not_considered:
            yield because("not-considered", what=note)
        for seen in answer.stands.in_view:
            yield because("seen-at-stance", card=answer.name, support=Term(answer.support), seen=seen)


def _limits(
    left: tuple[Reason, ...], answers: Sequence[Answer], remedies: Sequence[Remedies], shared: Shared | None
) -> Iterator[Reason]:
    if left:
        yield because("places-left-out", places=left)
    if not all(r.asked for r in remedies):
        yield REMEDIES_LEFT_OUT
    for answer, found in zip(answers, remedies, strict=True):
        if found.cut:
            card, support = answer.name, Term(answer.support)
            if found.missing:
                yield because("remedies-cut-short", card=card, support=support, things=found.missing)
            else:
                yield because("remedies-cut", card=card, support=support)
    if not all(r.complete or r.cut or not r.asked for r in remedies):
        yield REMEDIES_LIMITED
    if shared is None:
        yield SHARED_LEFT_OUT
    elif not shared.proven:
        yield UNPROVEN
