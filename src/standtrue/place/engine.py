"""Where can the car stand for a card: the best stance with its bound, yes or no, the region at a heading.

Everything is over continuous positions and headings. Nothing here knows files or screens.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import cast

import numpy as np
import shapely
from attrs import evolve, frozen

from standtrue.model.basics import Place, Point, Side, SupportClass
from standtrue.model.ground import Ground, Grounds, LiftSetting, Unfloor
from standtrue.model.lift import LiftState, PlacedLift
from standtrue.model.procedure import Procedure
from standtrue.model.vehicle import Vehicle
from standtrue.place.answer import FIT_M, Answer, Fits, Slice, Touch
from standtrue.place.claims import Claim, car_claims, card_claims
from standtrue.place.pairs import Carried, Pair, blocked_by_ceiling, pack, pairs_of
from standtrue.place.search import Found, search, values_at
from standtrue.place.slices import free_polygons

TOLERANCE_M = 5e-4
RANK_M = 1e-3
"""On decks, stances this near the largest margin are ranked by the margin without the lift's own pairs."""

RANK_BOXES = 40_000
"""Where to stop ranking: a preference, not a proof, and the rim of the deck margin takes boxes without end."""

UNDECIDED_M = 2e-3
HEADING_RAD = 1e-12
TOUCH_M = 2e-3
"""What lies within this of the smallest margin is touched first."""


@frozen(eq=False)
class Candidate:
    """One way to carry the car: a support, its ground, and the pairs that must hold."""

    carried_by: str
    height_m: float
    ground: Ground
    claims: tuple[Claim, ...]
    pairs: tuple[Pair, ...]
    origins: tuple[float, float, float, float]
    headings: tuple[float, float] | None
    blocked: tuple[str, ...]

    def allows(self, heading_rad: float) -> bool:
        """Whether a car may stand at this heading: under the ceiling, and the way round that the lift takes it."""
        if self.headings is None or self.blocked:
            return not self.blocked
        center, half = self.headings
        return abs(math.remainder(heading_rad - center, math.tau)) <= half + HEADING_RAD


@frozen(eq=False)
class _Best:
    found: Found
    candidate: Candidate
    side: Side | None


def best_stance(
    grounds: Grounds,
    vehicle: Vehicle,
    cards: Sequence[Procedure],
    support: SupportClass,
    *,
    uneven: Sequence[Unfloor] = (),
) -> Answer:
    """The stance of the largest margin for these cards at once, over every support of the class.

    The margin is within 0.5 mm of `bound_m` (1 mm on decks, where stances within 1 mm of the
    largest margin are ranked by `free_m`). `cards` may be empty: the car alone. Anchors must be
    known (`claims.missing_anchors`). `uneven` is floor too uneven for these cards.
    """
    return _answer(grounds, vehicle, cards, support, uneven, any_fit=False)


def any_fit(
    grounds: Grounds,
    vehicle: Vehicle,
    cards: Sequence[Procedure],
    support: SupportClass,
    *,
    uneven: Sequence[Unfloor] = (),
) -> Fits:
    """Whether some stance fits: True with a witness behind it, False with a bound below 0, or undecided."""
    return _answer(grounds, vehicle, cards, support, uneven, any_fit=True).fits


def region(
    grounds: Grounds,
    vehicle: Vehicle,
    cards: Sequence[Procedure],
    answer: Answer,
    headings_rad: Sequence[float],
    *,
    uneven: Sequence[Unfloor] = (),
) -> tuple[Slice, ...]:
    """The positions that fit at each heading, for the support that `answer` used. Raises KeyError if it used none."""
    for candidate in _candidates(grounds, vehicle, cards, answer.support, uneven, []):
        if candidate.carried_by == answer.carried_by:
            return tuple(
                Slice(h, free_polygons(candidate.pairs, candidate.origins, h) if candidate.allows(h) else ())
                for h in headings_rad
            )
    raise KeyError(answer.carried_by)


def _answer(
    grounds: Grounds,
    vehicle: Vehicle,
    cards: Sequence[Procedure],
    support: SupportClass,
    uneven: Sequence[Unfloor],
    any_fit: bool,
) -> Answer:
    because: list[str] = []
    best: _Best | None = None
    candidates = list(_candidates(grounds, vehicle, cards, support, uneven, because))
    bound = -math.inf
    complete = True
    sides: tuple[Side | None, ...] = ("left", "right") if grounds.site.gaps.exit_m > 0.0 else (None,)
    for candidate in sorted(candidates, key=lambda c: bool(c.blocked)):
        because.extend(f"{candidate.carried_by}: {b}" for b in candidate.blocked)
        if candidate.blocked and best is not None:
            continue
        for side in sides:
            known = best.found.margin_m if best is not None and not candidate.blocked else -math.inf
            packed = pack(candidate.pairs, candidate.origins, side, headings=candidate.headings)
            found = search(packed, known_m=known, tolerance_m=TOLERANCE_M, any_fit=any_fit)
            complete &= found.complete
            if not candidate.blocked:
                bound = max(bound, found.bound_m)
            if found.place is not None and (best is None or found.margin_m > best.found.margin_m):
                best = _Best(found, candidate, side)
            if any_fit and best is not None and best.found.margin_m >= 0.0 and not candidate.blocked:
                break
    if best is not None and best.found.margin_m >= 0.0 and support != "floor" and not any_fit:
        best = _freest(best, [c for c in candidates if not c.blocked], sides)
    return _conclude(grounds, vehicle, cards, support, best, bound, complete, tuple(because))


def _conclude(
    grounds: Grounds,
    vehicle: Vehicle,
    cards: Sequence[Procedure],
    support: SupportClass,
    best: _Best | None,
    bound: float,
    complete: bool,
    because: tuple[str, ...],
) -> Answer:
    none = Answer(
        tuple(cards),
        vehicle,
        grounds.at_rest(),
        support,
        "",
        0.0,
        False,
        None,
        None,
        None,
        None,
        None,
        (),
        because,
        _not_considered(grounds, cards),
        (),
        (),
    )
    if best is None:
        return none
    candidate = best.candidate
    assert best.found.place is not None
    place = Place(*best.found.place)
    margin, touches, free = _measure(candidate, best.side, place)
    fits: Fits
    if candidate.blocked:
        fits = False
    elif margin >= FIT_M:
        fits = True
    elif bound < 0.0:
        fits = False
    else:
        fits = "undecided"
    told = evolve(
        none,
        ground=candidate.ground,
        carried_by=candidate.carried_by,
        height_m=candidate.height_m,
        fits=fits,
        touches=touches,
        claims=_kept_claims(candidate.claims, best.side),
        in_view=tuple(_in_view(candidate, place)),
    )
    if fits is True:
        return evolve(told, margin_m=margin, bound_m=max(bound, margin), free_m=free, place=place)
    if not complete and fits == "undecided":
        told = evolve(
            told, because=(*because, "the search reached its limit before the answer was proven"), limited=True
        )
    return evolve(told, bound_m=None if candidate.blocked else bound, nearest_miss=place)


def _kept_claims(claims: Sequence[Claim], side: Side | None) -> tuple[Claim, ...]:
    return tuple(c for c in claims if c.role != "exit" or c.side == side)


def _freest(best: _Best, candidates: Sequence[Candidate], sides: Sequence[Side | None]) -> _Best:
    """Of the stances within 1 mm of the largest margin, the one with the most room from all but the carrying lift."""
    if best.candidate.blocked:
        return best
    least = max(best.found.margin_m - RANK_M, 0.0)
    freest: _Best | None = None
    ways = [(c, side) for c in candidates for side in sides]
    for candidate, side in sorted(ways, key=lambda w: w != (best.candidate, best.side)):
        floors = [least if p.own else math.nan for p in candidate.pairs]
        packed = pack(candidate.pairs, candidate.origins, side, floors, candidate.headings)
        known = least if freest is None else freest.found.margin_m
        found = search(packed, known_m=known, tolerance_m=TOLERANCE_M, most=RANK_BOXES)
        if found.place is not None and found.margin_m >= known:
            freest = _Best(found, candidate, side)
    return freest or best


def _measure(candidate: Candidate, side: Side | None, place: Place) -> tuple[float, tuple[Touch, ...], float]:
    """Margin, touches and the margin without the lift's own pairs at one stance, by general geometry.

    The kernels say which pairs are near the smallest; only those are measured.
    """
    pairs = candidate.pairs
    packed = pack(pairs, candidate.origins, side)
    values = values_at(packed, place.x_m, place.y_m, place.heading_rad)
    foreign = np.array([not pairs[i].own for i in packed.sources])
    limits = np.maximum(np.where(foreign, values[foreign].min(), values.min()), FIT_M) + 2 * TOUCH_M
    near = dict.fromkeys(int(i) for i in packed.sources[values <= limits])
    measured = sorted(((_touch(pairs[i], place), pairs[i].own) for i in near), key=lambda t: t[0].margin_m)
    margin = measured[0][0].margin_m
    free = min(t.margin_m for t, own in measured if not own)
    return margin, tuple(t for t, _ in measured if t.margin_m <= max(margin, FIT_M) + TOUCH_M), free


def _touch(pair: Pair, place: Place) -> Touch:
    shape = shapely.Polygon(at_place(pair.claim.outline, place))
    apart = shape.distance(pair.shape)
    if apart > 0.0:
        line = shapely.shortest_line(pair.shape, shape)
        x, y = shapely.get_coordinates(line)[0]
    else:
        common = shape.intersection(pair.shape)
        apart = -_overlap_depth(common)
        x, y = shapely.get_coordinates(common.centroid if not common.is_empty else shape.centroid)[0]
    return Touch(pair.claim.name, pair.thing, pair.kind, float(apart), pair.gap_m, (float(x), float(y)))


def _overlap_depth(common: shapely.Geometry) -> float:
    """How deep two shapes overlap, told by the narrower way across what they share. A figure for ranking only."""
    box = shapely.minimum_rotated_rectangle(common)
    corners = shapely.get_coordinates(box)
    if len(corners) < 4:
        return 0.0
    return min(math.dist(corners[0], corners[1]), math.dist(corners[1], corners[2]))


def at_place(outline: Sequence[Point], place: Place) -> tuple[Point, ...]:
    """An outline of the vehicle frame, in the site frame."""
    c, s = math.cos(place.heading_rad), math.sin(place.heading_rad)
    return tuple((place.x_m + c * x - s * y, place.y_m + s * x + c * y) for x, y in outline)


def _in_view(candidate: Candidate, place: Place) -> Iterator[str]:
    """What stands in zones that should be plain: a caution, never a reason against a stance."""
    for claim in candidate.claims:
        if claim.needs != "plain":
            continue
        shape = shapely.Polygon(at_place(claim.outline, place))
        for thing in candidate.ground.things:
            meets = min(claim.top_m, thing.top_m) > max(claim.bottom_m, thing.bottom_m)
            if meets and shape.intersection(thing.shape).area > 1e-9:
                yield f"{thing.name} stands in {claim.name}, which should be plain"


def _candidates(
    grounds: Grounds,
    vehicle: Vehicle,
    cards: Sequence[Procedure],
    support: SupportClass,
    uneven: Sequence[Unfloor],
    because: list[str],
) -> Iterator[Candidate]:
    """Every way to carry the car in this class. Reasons why a way is none go to `because`."""
    if any(c.wheels_hanging for c in cards) and support == "floor":
        because.append("floor: the card asks for hanging wheels")
        return
    if support == "floor":
        ground = grounds.at_rest()
        ground = evolve(ground, unfloor=(*ground.unfloor, *uneven))
        x0, y0, x1, y1 = shapely.Polygon(grounds.site.outline).bounds
        yield _candidate("floor", 0.0, 0.0, ground, ground, vehicle, cards, None, False, (x0, y0, x1, y1), None)
        return
    used = False
    for placed in grounds.site.lifts:
        for state in placed.lift.states:
            if placed.lift.carries != "wheels" or not state.decks or state.drive_on != (support == "lift down"):
                continue
            used = True
            why = _lift_refuses(placed, vehicle, cards)
            height = _height(placed, state, cards, support)
            if height is None:
                why = why or "no height of its decks, or no lock, lies within what the card asks"
            if why:
                because.append(f"{placed.name}/{state.name}: {why}")
                continue
            yield _on_lift(grounds, placed, state, cast(float, height), vehicle, cards, support, uneven)
    if not used:
        because.append(f'the site has no lift with decks that can carry the car as "{support}"')


def _on_lift(
    grounds: Grounds,
    placed: PlacedLift,
    state: LiftState,
    height: float,
    vehicle: Vehicle,
    cards: Sequence[Procedure],
    support: SupportClass,
    uneven: Sequence[Unfloor],
) -> Candidate:
    ground = grounds.resolve({placed.name: LiftSetting(state.name, height)})
    ground = evolve(ground, unfloor=(*ground.unfloor, *uneven))
    raised = support == "lift up"
    driven = grounds.at_rest() if raised else ground
    driven_height = driven.setting(placed.name).height_m
    decks = shapely.MultiPolygon([shapely.Polygon(d) for d in dict(ground.decks)[placed.name]])
    headings = (placed.heading_rad, math.pi / 2) if placed.lift.facing == "one" else None
    name = f"{placed.name}/{state.name}"
    return _candidate(
        name, height, driven_height, ground, driven, vehicle, cards, placed.name, raised, decks.bounds, headings
    )


def _candidate(
    carried_by: str,
    height: float,
    driven_height: float,
    ground: Ground,
    driven: Ground,
    vehicle: Vehicle,
    cards: Sequence[Procedure],
    lift: str | None,
    raised: bool,
    origins: tuple[float, float, float, float],
    headings: tuple[float, float] | None,
) -> Candidate:
    claims = (
        *car_claims(vehicle, ground.site.gaps, height, raised, driven_height),
        *(z for card in cards for z in card_claims(card, vehicle, height)),
    )
    return Candidate(
        carried_by,
        height,
        ground,
        claims,
        tuple(pairs_of(claims, ground, driven, Carried(lift, lift is not None))),
        origins,
        headings,
        tuple(blocked_by_ceiling(claims, ground)),
    )


def _lift_refuses(placed: PlacedLift, vehicle: Vehicle, cards: Sequence[Procedure]) -> str | None:
    if placed.lift.wheelbase_m is not None:
        least, most = placed.lift.wheelbase_m
        if not least - 1e-9 <= vehicle.wheelbase_m <= most + 1e-9:
            return f"the wheelbase of {vehicle.wheelbase_m:.3f} m is outside its {least:.3f} to {most:.3f} m"
    if any(c.wheels_hanging for c in cards) and not placed.lift.jacks:
        return "the card asks for hanging wheels, and it has no jacks"
    return None


def _height(placed: PlacedLift, state: LiftState, cards: Sequence[Procedure], support: SupportClass) -> float | None:
    """The lowest lock (without locks, the lowest height) in the state's range and every card's, if any."""
    low, high = state.deck_height_m
    for card in cards:
        if card.lift_height_m is not None and support == "lift up":
            low, high = max(low, card.lift_height_m[0]), min(high, card.lift_height_m[1])
    if low > high + 1e-9:
        return None
    if not placed.lift.locks_m or state.deck_height_m[0] == state.deck_height_m[1]:
        return low
    return min((h for h in placed.lift.locks_m if low - 1e-9 <= h <= high + 1e-9), default=None)


def _not_considered(grounds: Grounds, cards: Sequence[Procedure]) -> tuple[str, ...]:
    """What this version reads but does not yet count, where the answer could depend on it."""
    site = grounds.site
    notes = []
    if any(d.may_stand_open for d in site.doors):
        notes.append("doors that may stand open: every door was taken as shut")
    if any(p.lift.carries == "body" for p in site.lifts) and any("lift up" in c.supports for c in cards):
        notes.append("lifts that carry the body: the card was not tried on their arms")
    if any(c.wheels_on for c in cards):
        notes.append("wheels on plates: the wheels were only held to the decks")
    if any(c.variants for c in cards):
        notes.append("variants of the card: only its own zones were tried")
    bodies = {e.name for e in site.equipment if e.footprint is not None}
    if any(t.equipment in bodies for c in cards for t in c.targets):
        notes.append("the equipment's own body and reach: only the card's zones were asked")
    if any(e.store is not None for e in site.equipment):
        notes.append("equipment where it is stored: it was taken as out of the way")
    if any(b.closed_edges for b in site.bays):
        notes.append("closed bay edges: the car was allowed anywhere on the floor")
    return tuple(notes)
