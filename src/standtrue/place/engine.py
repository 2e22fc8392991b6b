"""Where can the car stand for a card: the best stance with its bound, yes or no, the region at a heading.

Everything is over continuous positions and headings. Nothing here knows files or screens.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import combinations

from attrs import evolve, frozen

from standtrue.model.basics import Place, SupportClass
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds, Unfloor
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Reason, Ref, because
from standtrue.model.site import equipment_of
from standtrue.model.vehicle import Vehicle
from standtrue.place.fits.chosen import chosen_at
from standtrue.place.fits.decide import Best, Ready, freest, roomiest
from standtrue.place.fits.straight import Straight, freest_along, straightest
from standtrue.place.many import many
from standtrue.place.margin.stated import answer_at
from standtrue.place.margin.ways import Question, ways
from standtrue.place.question.answer import FIT_M, Answer, Chosen, Slice
from standtrue.place.region.slices import free_polygons

LIMIT_REACHED = because("search-limit-reached")
"""The bound holds, but a better stance may exist below it."""

NO_HOLD = because("lift-points-out-of-reach")
OFF_PLATES = because("wheels-off-plates")
"""What stops a way where no stance meets its conditions."""


@frozen(eq=False)
class _Outcome:
    """What the search of all ways came to: `bound` over all that are not blocked. `straight` is along some line."""

    best: Best | None = None
    bound: float = -math.inf
    complete: bool = True
    reasons: tuple[Reason, ...] = ()
    straight: Straight | None = None

    @property
    def fits(self) -> bool:
        return self.best is not None and self.best.found.margin_m >= FIT_M and not self.best.way.blocked

    def along(self, found: Straight | None) -> _Outcome:
        """With a stance along a line, if it is better than those known."""
        if found is None:
            return self
        if self.best is None or found.best.found.margin_m > self.best.found.margin_m:
            return evolve(self, best=found.best, straight=found)
        return evolve(self, straight=self.straight or found)


def best_stance(
    grounds: Grounds,
    vehicle: Vehicle,
    cards: Sequence[Procedure],
    support: SupportClass,
    *,
    uneven: Sequence[Unfloor] = (),
) -> Answer:
    """The stance of the largest margin for these cards at once, over every support of the class.

    Of the stances that fit, those with the fewest doors open win, then the margin. The margin is within
    0.5 mm of `bound_m` (1.5 mm on decks, where stances within 1 mm of the largest margin are ranked by
    `free_m`); with doors open, `bound_m` is the bound for as few doors. `cards` may be empty: the car
    alone. Anchors must be known (`claims.missing_anchors`). `uneven` is floor too uneven for these cards.
    """
    question = Question(grounds, vehicle, tuple(cards), support, tuple(uneven))
    return _conclude(question, _search_all(question))


def any_fit(
    grounds: Grounds,
    vehicle: Vehicle,
    cards: Sequence[Procedure],
    support: SupportClass,
    *,
    uneven: Sequence[Unfloor] = (),
) -> Fits:
    """Whether some stance fits: YES with a witness behind it, NO with a certificate, or undecided.

    Ask `many.AnyFits` where there are many questions.
    """
    question = Question(grounds, vehicle, tuple(cards), support, tuple(uneven))
    if any(area.over for area in question.uneven):
        return many.one_by_one(question)[0]
    return many.any_fit(question)


def region(answer: Answer, headings_rad: Sequence[float], *, uneven: Sequence[Unfloor] = ()) -> tuple[Slice, ...]:
    """The positions that fit at each heading, for the support, doors and variant that `answer` used.

    Where a lift with arms carries the car, for any choice of its arms. Raises KeyError if the answer used no support.
    """
    question = Question(answer.grounds, answer.vehicle, answer.cards, answer.support, tuple(uneven))
    same = [
        way
        for way in ways(question, answer.doors_open, [])
        if way.carrier == answer.carrier and way.variants == answer.variants
    ]
    if not same:
        raise KeyError(answer.carried_by)
    # Headings that the same ways allow are answered together.
    found: dict[float, Slice] = {}
    allowed: dict[tuple[int, ...], list[float]] = {}
    for heading in headings_rad:
        allowed.setdefault(tuple(i for i, w in enumerate(same) if w.allows(heading)), []).append(heading)
    for chosen, headings in allowed.items():
        cuts = free_polygons([(same[i].pairs, same[i].origins) for i in chosen], headings)
        found.update((h, Slice(h, cut)) for h, cut in zip(headings, cuts, strict=True))
    return tuple(found[h] for h in headings_rad)


def _search_all(question: Question) -> _Outcome:
    """Search with every door shut, then with one more open at a time, until something fits.

    Where doors may stand open, the sweep tells first with how many of them something fits; only where nothing does
    is every choice of doors searched.
    """
    openable, grounds = question.grounds.openable, question.grounds
    whole = _Outcome()
    passed: list[Ready] = []
    for count in range(len(openable) + 1):
        reasons: list[Reason] = []
        found = [way for doors in combinations(openable, count) for way in ways(question, doors, reasons)]
        candidates = [Ready(way) for way in sorted(found, key=lambda w: bool(w.blocked))]
        likely = [c for c in candidates if not openable or c.may_fit()]
        others = [c for c in candidates if c not in likely]
        passed.extend(others)
        reasons.extend(c.way.ruled_out(b) for c in others for b in c.way.blocked)
        whole = evolve(whole, reasons=tuple(dict.fromkeys((*whole.reasons, *reasons))))
        # A stance along a line is found soon, and spares the search all that has no more room.
        open_to = [c for c in likely if not c.way.blocked]
        whole = _search_ways(likely, whole.along(straightest(open_to or likely, grounds)))
        if whole.fits:
            return _ranked(whole, open_to, question)
    left = [c for c in passed if not c.way.blocked] or passed
    return _search_ways(passed, whole.along(straightest(left, grounds)))


def _ranked(whole: _Outcome, ready: Sequence[Ready], question: Question) -> _Outcome:
    """What fits, with the stance along a line that fits, or square to one; on decks both ranked by the free margin."""
    straight, best = whole.straight, whole.best
    if straight is None or not straight.fits:
        straight = straightest(ready, question.grounds, square=True)
        straight = None if straight is None or not straight.fits else straight
    if question.support != "floor":
        assert best is not None
        best = freest(best, [(c.packed, c.way) for c in ready])
        straight = None if straight is None else freest_along(straight, ready)
    return evolve(whole, best=best, straight=straight)


def _search_ways(candidates: Sequence[Ready], before: _Outcome) -> _Outcome:
    """Search ways that need as many doors open, those that are not blocked first."""
    best, bound, complete, reasons = before.best, before.bound, before.complete, list(before.reasons)
    for candidate in candidates:
        way = candidate.way
        reasons.extend(map(way.ruled_out, way.blocked))
        if way.blocked and best is not None:
            continue
        held = best if best is not None and not best.way.blocked else None
        found = roomiest(candidate.packed, held.found.margin_m if held else -math.inf)
        complete &= found.complete
        if not way.blocked:
            bound = max(bound, found.bound_m)
        if found.bound_m == -math.inf:
            reasons.append(way.ruled_out(NO_HOLD if way.on_arms else OFF_PLATES))
        if found.place is not None and (held is None or found.margin_m > held.found.margin_m):
            best = Best(found, way)
    return evolve(before, best=best, bound=bound, complete=complete, reasons=tuple(dict.fromkeys(reasons)))


def _conclude(question: Question, outcome: _Outcome) -> Answer:
    none = Answer(
        question.cards,
        question.vehicle,
        question.grounds,
        question.grounds.at_rest(),
        question.support,
        because=outcome.reasons,
        not_considered=tuple(not_considered(question)),
    )
    best, straight = outcome.best, outcome.straight
    if best is None or best.found.place is None:
        return _without_stance(none, outcome)
    if not outcome.complete:
        none = evolve(none, because=(*outcome.reasons, LIMIT_REACHED), limited=True)
    answer = answer_at(none, best.way, Place(*best.found.place))
    if answer.fits is Fits.YES and not best.way.blocked:
        answer = evolve(answer, bound_m=max(outcome.bound, answer.margin_m or 0.0))
        return evolve(answer, chosen=_chosen(none, answer, straight))
    undecided = not best.way.blocked and outcome.bound > FIT_M
    if straight is not None and straight.best.found.place is not None:
        answer = answer_at(none, straight.best.way, Place(*straight.best.found.place))
    return evolve(
        answer,
        fits=Fits.UNDECIDED if undecided else Fits.NO,
        margin_m=None,
        free_m=None,
        bound_m=None if best.way.blocked else outcome.bound,
        place=None,
        nearest_miss=answer.place,
    )


def _chosen(none: Answer, roomiest: Answer, straight: Straight | None) -> Chosen:
    """What a person would choose: the stance along a line or square to one, else the roomiest."""
    at = roomiest
    if straight is not None and straight.best.found.place is not None:
        found = answer_at(none, straight.best.way, Place(*straight.best.found.place))
        at = evolve(found, bound_m=roomiest.bound_m) if found.fits is Fits.YES else roomiest
    return chosen_at(at, roomiest)


def _without_stance(none: Answer, outcome: _Outcome) -> Answer:
    """The answer where not even a stance that meets the conditions was seen."""
    if outcome.bound <= FIT_M:
        return evolve(none, bound_m=None if outcome.bound == -math.inf else outcome.bound)
    return evolve(
        none, fits=Fits.UNDECIDED, bound_m=outcome.bound, limited=True, because=(*outcome.reasons, LIMIT_REACHED)
    )


def not_considered(question: Question) -> Iterator[Reason]:
    """What the answer could depend on and the documents leave open."""
    site = question.grounds.site
    if question.grounds.bay is None and any(b.closed_edges for b in site.bays):
        yield because("closed-bay-edges")
    named = {t.equipment for c in question.cards for t in c.targets if t.equipment is not None}
    for name in sorted(named):
        equipment = equipment_of(name, site.equipment)
        if equipment is None:
            yield because("equipment-not-listed", equipment=Ref("equipment", name))
        elif equipment.footprint is None:
            yield because("equipment-without-footprint", equipment=Ref("equipment", equipment.name))
