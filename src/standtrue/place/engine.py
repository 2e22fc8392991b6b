"""Where can the car stand for a card: the best stance with its bound, yes or no, the region at a heading.

Everything is over continuous positions and headings. Nothing here knows files or screens.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import cached_property
from itertools import combinations

import numpy as np
from attrs import evolve, frozen

from standtrue.model.basics import Place, Side, SupportClass
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds, Unfloor
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Reason, Ref, because
from standtrue.model.site import equipment_of
from standtrue.model.vehicle import Vehicle
from standtrue.place.fits.decide import roomiest
from standtrue.place.kernels.sweep import NO, sweep
from standtrue.place.many import many
from standtrue.place.margin.measure import better_side, in_view, measure
from standtrue.place.margin.search import FEW_BOXES, TOLERANCE_M, Found, Packed, search
from standtrue.place.margin.ways import Question, Way, ways
from standtrue.place.question.answer import FIT_M, Answer, Slice
from standtrue.place.question.claims import Claim
from standtrue.place.region.slices import free_polygons

RANK_M = 1e-3
"""On decks, stances this near the largest margin are ranked by the margin without the lift's own pairs."""

LIMIT_REACHED = because("search-limit-reached")
"""The bound holds, but a better stance may exist below it."""

NO_HOLD = because("lift-points-out-of-reach")
OFF_PLATES = because("wheels-off-plates")
"""What stops a way where no stance meets its conditions."""

FEW_NODES = 100
"""Where the sweep leaves it to the search whether something fits with as many doors open: that costs about as much."""


@frozen(eq=False)
class _Best:
    found: Found
    way: Way


@frozen(eq=False)
class _Ready:
    """A way, packed once for whatever is asked of it."""

    way: Way

    @cached_property
    def packed(self) -> Packed:
        return self.way.packed()

    def may_fit(self) -> bool:
        """Whether the sweep does not rule out that something fits."""
        return not self.way.blocked and sweep(self.packed.problem, np.array(self.packed.domain), FEW_NODES)[0] != NO


@frozen(eq=False)
class _Outcome:
    """What the search of all ways came to: `bound` over all that are not blocked."""

    best: _Best | None
    bound: float
    complete: bool
    reasons: tuple[Reason, ...]


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
    openable = question.grounds.openable
    whole = _Outcome(None, -math.inf, True, ())
    passed: list[_Ready] = []
    for count in range(len(openable) + 1):
        reasons: list[Reason] = []
        found = [way for doors in combinations(openable, count) for way in ways(question, doors, reasons)]
        candidates = [_Ready(way) for way in sorted(found, key=lambda w: bool(w.blocked))]
        likely = [c for c in candidates if not openable or c.may_fit()]
        others = [c for c in candidates if c not in likely]
        passed.extend(others)
        reasons.extend(c.way.ruled_out(b) for c in others for b in c.way.blocked)
        whole = _search_ways(likely, evolve(whole, reasons=tuple(dict.fromkeys((*whole.reasons, *reasons)))))
        best = whole.best
        if best is not None and best.found.margin_m >= FIT_M and not best.way.blocked:
            if question.support != "floor":
                best = _freest(best, [c for c in likely if not c.way.blocked])
            return evolve(whole, best=best)
    return _search_ways(passed, whole)


def _search_ways(candidates: Sequence[_Ready], before: _Outcome) -> _Outcome:
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
            best = _Best(found, way)
    return _Outcome(best, bound, complete, tuple(dict.fromkeys(reasons)))


def _conclude(question: Question, outcome: _Outcome) -> Answer:
    none = Answer(
        question.cards,
        question.vehicle,
        question.grounds,
        question.grounds.at_rest(),
        question.support,
        because=outcome.reasons,
        not_considered=tuple(_not_considered(question)),
    )
    best = outcome.best
    if best is None or best.found.place is None:
        return _without_stance(none, outcome)
    way = best.way
    place = Place(*best.found.place)
    side = better_side(way.pairs, way.origins, place)
    margin, touches, free = measure(way.pairs, way.origins, side, place)
    fits = Fits.of(margin >= FIT_M and not way.blocked)
    if fits is Fits.NO and not way.blocked and outcome.bound > FIT_M:
        fits = Fits.UNDECIDED
    answer = evolve(
        none,
        ground=way.ground,
        carrier=way.carrier,
        doors_open=way.ground.doors_open,
        variants=way.variants,
        fits=fits,
        touches=touches,
        claims=_kept_claims(way.claims, side),
        in_view=tuple(in_view(way.claims, way.ground, place)),
    )
    if not outcome.complete:
        answer = evolve(answer, because=(*outcome.reasons, LIMIT_REACHED), limited=True)
    if fits is Fits.YES:
        return evolve(answer, margin_m=margin, bound_m=max(outcome.bound, margin), free_m=free, place=place)
    return evolve(answer, bound_m=None if way.blocked else outcome.bound, nearest_miss=place)


def _without_stance(none: Answer, outcome: _Outcome) -> Answer:
    """The answer where not even a stance that meets the conditions was seen."""
    if outcome.bound <= FIT_M:
        return evolve(none, bound_m=None if outcome.bound == -math.inf else outcome.bound)
    return evolve(
        none, fits=Fits.UNDECIDED, bound_m=outcome.bound, limited=True, because=(*outcome.reasons, LIMIT_REACHED)
    )


def _kept_claims(claims: Sequence[Claim], side: Side | None) -> tuple[Claim, ...]:
    return tuple(c for c in claims if c.role != "exit" or c.side == side)


def _freest(best: _Best, candidates: Sequence[_Ready]) -> _Best:
    """Of the stances within 1 mm of the largest margin, the one with the most room from all but the carrying lift."""
    least = max(best.found.margin_m - RANK_M, 0.0)
    freest: _Best | None = None
    # A strip beside the lift's own posts must hold on its own side only, so each side is a search of its own.
    for candidate in sorted(candidates, key=lambda c: c.way is not best.way):
        packed = candidate.packed
        own = np.array([p.own for p in candidate.way.pairs])[packed.sources]
        floors = np.where(np.isnan(packed.problem.floors) & own, least, packed.problem.floors)
        for side in sorted(set(packed.problem.sides.tolist()) - {0}) or [0]:
            known = least if freest is None else freest.found.margin_m
            found = search(packed.keeping(floors, side), known_m=known, tolerance_m=TOLERANCE_M, most=FEW_BOXES)
            if found.place is not None and found.margin_m >= known:
                freest = _Best(found, candidate.way)
    return freest or best


def _not_considered(question: Question) -> Iterator[Reason]:
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
