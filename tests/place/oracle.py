"""A second, slow reading of the documents reference: margins of many stances by shapely alone.

Written from the reference pages without reading the engine, and it shares only the model's nouns
with it. Overlaps count as -(shared area / the claim's diameter): only their sign is meant.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from itertools import permutations, product
from typing import cast

import numpy as np
import shapely
from attrs import evolve, field, frozen
from numpy.typing import NDArray
from oracle_claims import Claim, car_claims, card_claims, used_by, within_reach
from oracle_ground import MEET_M, Array, Floor, Geometry, in_site, joined, settle
from oracle_ground import Stance as Stance
from oracle_ground import Thing as Thing
from oracle_ground import meets as meets
from oracle_ground import moved as moved

from standtrue.model.basics import Point, SupportClass
from standtrue.model.lift import Arm, LiftState, PlacedLift
from standtrue.model.procedure import Procedure
from standtrue.model.site import Bay, Site
from standtrue.model.vehicle import Vehicle

THIN_M = 1e-7
BROKEN_M = 1e3
"""How far below zero a broken condition puts the margin: conditions are no part of it."""

REMEMBERED = 300
"""So many separations are remembered at once."""


@frozen(eq=False)
class Demand:
    """One claim against things that demand one gap; `inside` asks for the distance inside a shape instead.

    `own` marks the carrying lift's own parts, `thin` things without area, `condition` what is no part of the margin.
    """

    claim: Claim
    gap_m: float
    parts: tuple[tuple[str, Geometry], ...]
    inside: bool = False
    own: bool = False
    thin: bool = False
    condition: bool = False
    shape: Geometry = field(init=False)

    @shape.default
    def _joined(self) -> Geometry:
        return shapely.union_all([g for _, g in self.parts])


@frozen(eq=False)
class Way:
    """One way to carry the car: the demands, the lift's arms, and the headings allowed (middle, half-width)."""

    carried_by: str
    height_m: float
    claims: tuple[Claim, ...]
    demands: tuple[Demand, ...]
    bounds: tuple[float, float, float, float]
    headings: tuple[float, float] = (0.0, math.pi)
    blocked: bool = False
    doors: tuple[str, ...] = ()
    variants: tuple[str | None, ...] = ()
    arms: tuple[PlacedLift, tuple[Point, ...]] | None = None


Part = tuple[str, Geometry]


def forbidden(claim: Claim, floor: Floor, carrier: str | None) -> list[tuple[float, bool, Part]]:
    """Everything that one claim must keep from: the gap, whether it is the carrying lift's own, the part."""
    pairs: list[tuple[float, bool, Part]] = []
    for thing in floor.things:
        own = thing.lift is not None and thing.lift == carrier
        if own and ((thing.deck and claim.role != "zone") or claim.role == "person"):
            continue
        if claim.needs == "metal-free" and not (thing.metal or thing.shell):
            continue
        if meets(claim.bottom_m, claim.top_m, thing):
            pairs.append((0.0 if claim.role == "wheel" else claim.gap_m, own, (thing.name, thing.shape)))
    if claim.needs in ("stand", "walk") and not (claim.role == "wheel" and carrier):
        hollow = floor.voids if claim.role == "zone" and claim.needs == "stand" else floor.bridged
        gap = 0.0 if claim.role == "wheel" else claim.gap_m
        pairs.append((claim.gap_m, False, ("void", hollow)))
        pairs += [(gap, r[0] == carrier, r) for r in floor.ramps]
        pairs += [(gap, False, p) for p in floor.patches if claim.needs == "stand"]
    return [p for p in pairs if not p[2][1].is_empty]


def demands_of(claims: Sequence[Claim], floor: Floor, driven: Floor, carrier: str | None) -> list[Demand]:
    """The claims' pairs, grouped by claim and gap."""
    demands = []
    for claim in claims:
        groups: dict[tuple[float, bool, bool], list[Part]] = {}
        for gap, own, part in forbidden(claim, driven if claim.role == "exit" else floor, carrier):
            groups.setdefault((gap, own, part[1].area == 0.0), []).append(part)
        demands += [Demand(claim, gap, tuple(p), own=own, thin=thin) for (gap, own, thin), p in groups.items()]
        if claim.role == "wheel" and carrier:
            edge = (("deck edge", floor.decks[carrier]),)
            demands.append(Demand(claim, claim.gap_m, edge, inside=True, own=True))
    return demands


def deck_height(
    placed: PlacedLift, state: LiftState, cards: Sequence[Procedure], support: SupportClass
) -> float | None:
    """The lowest lock (without locks, the lowest height) in the state's range and the cards'."""
    ranges = [c.lift_height_m for c in cards if c.lift_height_m is not None and support == "lift up"]
    low = max([state.deck_height_m[0], *(r[0] for r in ranges)])
    high = min([state.deck_height_m[1], *(r[1] for r in ranges)])
    if low > high + MEET_M:
        return None
    if not placed.lift.locks_m or state.deck_height_m[0] == state.deck_height_m[1]:
        return low
    return min((h for h in placed.lift.locks_m if low - MEET_M <= h <= high + MEET_M), default=None)


def swept_by(arm: Arm, placed: PlacedLift, points: Array) -> Array:
    """How far each point of the site lies from the ring sector that an arm's end can reach."""
    start, end = arm.swing_rad
    span = end - start if end >= start else end - start + 2 * math.pi
    turn = placed.heading_rad
    pivot = moved(np.array([arm.pivot]), (*placed.at, turn))[0]
    away = points - pivot
    radius = np.hypot(away[..., 0], away[..., 1])
    angle = (np.arctan2(away[..., 1], away[..., 0]) - turn - start) % (2 * math.pi)
    nearest = np.clip(radius, *arm.reach_m)
    off = np.abs(radius - nearest)
    if span < 2 * math.pi:
        rims = [start + turn, start + turn + span]
        ends = []
        for rim in rims:
            along = np.array([math.cos(rim), math.sin(rim)])
            run = np.clip(away @ along, *arm.reach_m)
            ends.append(np.hypot(*np.moveaxis(away - run[..., None] * along, -1, 0)))
        off = np.where(angle <= span, off, np.minimum(*ends))
    return np.asarray(off)


def unreached(way: Way, stances: Array) -> Array:
    """How far the worst lift point is from its arm, the arms dealt out one to one as well as can be."""
    if way.arms is None:
        return np.zeros(len(stances))
    placed, points = way.arms
    c, s = np.cos(stances[:, 2]), np.sin(stances[:, 2])
    spots = [np.stack([stances[:, 0] + c * x - s * y, stances[:, 1] + s * x + c * y], axis=-1) for x, y in points]
    off = np.array([[swept_by(arm, placed, spot) for arm in placed.lift.arms] for spot in spots])
    deals = permutations(range(len(placed.lift.arms)), len(points))
    worst = [np.max([off[i, arm] for i, arm in enumerate(deal)], axis=0) for deal in deals]
    return np.asarray(np.min(worst, axis=0))


@frozen(eq=False)
class Asked:
    """The question: where, which doors stand open, and what for."""

    site: Site
    vehicle: Vehicle
    cards: tuple[Procedure, ...]
    support: SupportClass
    bay: Bay | None = None
    doors: tuple[str, ...] = ()

    @property
    def on_plates(self) -> bool:
        return any(c.wheels_on == "plates" for c in self.cards)


Carried = tuple[PlacedLift, LiftState, float]


def _way(asked: Asked, on: Carried | None, plates_of: PlacedLift | None = None) -> Way:
    site, vehicle = asked.site, asked.vehicle
    carrier = on[0].name if on else None
    by_body = on is not None and on[0].lift.carries == "body"
    height = on[2] if on else 0.0
    settings = {on[0].name: (on[1], on[2])} if on else {}
    demands: dict[int, Demand] = {}
    claims: list[Claim] = []
    ceiling = math.inf
    # The cards run one after another: each finds the equipment of the others in its store.
    for number, card in enumerate(asked.cards or (None,)):
        used = used_by(card, site) if card else frozenset()
        floor = settle(site, settings, asked.doors, asked.bay, used)
        driven = settle(site, {}, asked.doors, asked.bay, used) if asked.support == "lift up" else floor
        own = car_claims(vehicle, site, height, asked.support, driven.heights[carrier] if carrier else 0.0)
        own = [c for c in own if not (by_body and c.role == "wheel")]
        own += card_claims(card, vehicle, site, height) if card else []
        claims += own if number == 0 else [c for c in own if c.role == "zone"]
        demands.update({len(demands) + i: d for i, d in enumerate(demands_of(own, floor, driven, carrier))})
        ceiling = floor.ceiling_m
    car = [c for c in claims if c.role in ("body", "wheel")]
    kept = [*demands.values(), *_bay_demands(car, asked.bay), *_plate_demands(car, plates_of)]
    outlines = [site.outline, *(d.apron for d in site.doors if d.name in asked.doors and d.apron)]
    bounds = shapely.union_all([shapely.Polygon(o) for o in outlines]).bounds
    if plates_of:
        bounds = joined([in_site(plates_of, p.outline) for p in plates_of.lift.plates]).buffer(4.0).bounds
    elif on:
        bounds = shapely.Point(on[0].at).buffer(4.0).bounds if by_body else floor.decks[on[0].name].bounds
    headings = (on[0].heading_rad, math.pi / 2) if on and on[0].lift.facing == "one" else (0.0, math.pi)
    return Way(
        f"{carrier}/{on[1].name}" if on else "floor",
        height,
        tuple(claims),
        tuple(kept),
        bounds,
        headings,
        any(c.top_m - ceiling > MEET_M for c in claims)
        or not all(within_reach(c, vehicle, site, height) for c in asked.cards),
        asked.doors,
        arms=(on[0], vehicle.lift_points) if on and by_body else None,
    )


def _bay_demands(car: Sequence[Claim], bay: Bay | None) -> Iterator[Demand]:
    """Body and wheels inside the bay; mirrors may stick out."""
    for claim in car:
        if bay is not None and not claim.name.startswith("mirror"):
            yield Demand(claim, 0.0, (("bay", shapely.Polygon(bay.outline)),), inside=True)


def _plate_demands(car: Sequence[Claim], plates_of: PlacedLift | None) -> Iterator[Demand]:
    """Each wheel of an axle that has plates wholly on them."""
    for claim in (c for c in car if c.role == "wheel" and plates_of):
        assert plates_of is not None
        shapes = [in_site(plates_of, p.outline) for p in plates_of.lift.plates if p.axle in claim.name]
        if shapes:
            yield Demand(claim, 0.0, (("plates", joined(shapes)),), inside=True, condition=True)


def _carriers(asked: Asked) -> Iterator[Carried]:
    """Every lift, state and height that carries the car in the class asked for."""
    hang = {c.wheels_hanging for c in asked.cards}
    for placed in asked.site.lifts:
        lift = placed.lift
        by_body = lift.carries == "body"
        least, most = lift.wheelbase_m or (0.0, math.inf)
        if not least - MEET_M <= asked.vehicle.wheelbase_m <= most + MEET_M:
            continue
        if (True in hang and not (by_body or lift.jacks)) or (False in hang and by_body):
            continue
        points = len(asked.vehicle.lift_points)
        if by_body and not 0 < points <= len(lift.arms):
            continue
        if asked.on_plates and (by_body or not lift.plates):
            continue
        for state in lift.states:
            height = deck_height(placed, state, asked.cards, asked.support)
            if height is None:
                continue
            if by_body:
                serves = asked.support == "lift up" and state != lift.rest and height > 0.0
            else:
                serves = bool(state.decks) and state.drive_on == (asked.support == "lift down")
            if serves:
                yield placed, state, height


def _ways(asked: Asked) -> Iterator[Way]:
    if asked.support == "floor":
        if any(c.wheels_hanging for c in asked.cards):
            return
        flush = [p for p in asked.site.lifts if p.lift.plates and p.lift.rest.deck_height_m[0] == 0.0]
        yield from (_way(asked, None, p) for p in (flush if asked.on_plates else [None]))
        return
    for on in _carriers(asked):
        yield _way(asked, on, on[0] if asked.on_plates else None)


def _versions(card: Procedure, support: SupportClass) -> list[tuple[str | None, Procedure]]:
    """The card's own zones, or a variant's, as far as they allow the support asked for."""
    every = [(None, card), *((v.name, card.as_variant(v)) for v in card.variants)]
    return [(n, c) for n, c in every if support in c.supports] or every


def ways(
    site: Site,
    vehicle: Vehicle,
    cards: Sequence[Procedure],
    support: SupportClass,
    bay: Bay | None = None,
    doors: tuple[str, ...] = (),
) -> list[Way]:
    """Every way to carry the car in a support class, with these doors open."""
    found = []
    for chosen in product(*(_versions(c, support) for c in cards)):
        asked = Asked(site, vehicle, tuple(c for _, c in chosen), support, bay, doors)
        found += [evolve(w, variants=tuple(n for n, _ in chosen)) for w in _ways(asked)]
    return found


def polygons(outline: Array, stances: Array) -> Geometry:
    """One polygon for each stance (rows x, y, heading)."""
    c, s = np.cos(stances[:, 2])[:, None], np.sin(stances[:, 2])[:, None]
    x, y = outline[:, 0], outline[:, 1]
    points = np.stack([stances[:, :1] + c * x - s * y, stances[:, 1:2] + s * x + c * y], axis=-1)
    return shapely.polygons(points)


def separations(outline: Array, shape: Geometry, stances: Array, inside: bool = False, thin: bool = False) -> Array:
    """Distance where apart (or inside, to the edge), else below zero; one for each stance.

    A `thin` shape is overlapped where it runs through the inside of the claim.
    """
    shapely.prepare(shape)
    placed = polygons(outline, stances)
    if thin:
        placed = shapely.buffer(placed, -THIN_M, join_style="mitre")
    wrong = ~shapely.covers(shape, placed) if inside else shapely.intersects(shape, placed)
    result = cast(Array, shapely.distance(shapely.boundary(shape) if inside else shape, placed))
    if wrong.any():
        shared = shapely.difference(placed[wrong], shape) if inside else shapely.intersection(placed[wrong], shape)
        reach = float(np.hypot(*np.ptp(outline, axis=0)))
        result[wrong] = -(shapely.length(shared) if thin else shapely.area(shared)) / reach
    return np.where(wrong, result, np.maximum(result - THIN_M, 0.0)) if thin else result


Separate = Callable[[Array, Geometry, Array, bool, bool], Array]


def remembering() -> Separate:
    """`separations` that says again what it said of the same outlines, shapes and stances: ways have much in common."""
    told: dict[tuple[object, ...], Array] = {}

    def separate(outline: Array, shape: Geometry, stances: Array, inside: bool, thin: bool) -> Array:
        asked = (outline.tobytes(), shapely.to_wkb(shape), stances.tobytes(), inside, thin)
        if asked not in told:
            if len(told) >= REMEMBERED:
                told.clear()
            told[asked] = separations(outline, shape, stances, inside, thin)
        return told[asked].copy()

    return separate


def margins(
    way: Way, stances: Array, *, free: bool = False, slack_m: float = 0.0, separate: Separate = separations
) -> tuple[Array, NDArray[np.bool_]]:
    """The margin of each stance, and whether nothing overlaps there (only then is a negative one exact).

    `free` leaves out the carrying lift's own parts; conditions may be missed by `slack_m`.
    """
    if way.blocked:
        return np.full(len(stances), -np.inf), np.zeros(len(stances), dtype=bool)
    least = {side: np.full(len(stances), np.inf) for side in (None, "left", "right")}
    clean = {side: np.ones(len(stances), dtype=bool) for side in least}
    broken = unreached(way, stances)
    middle, half = way.headings
    off = np.abs((stances[:, 2] - middle + math.pi) % (2 * math.pi) - math.pi) > half + 1e-12
    demands = [d for d in way.demands if not (free and d.own)]
    for demand in (d for d in demands if d.condition):
        apart = separate(demand.claim.outline, demand.shape, stances, demand.inside, demand.thin)
        broken = np.maximum(broken, -apart)
    # How far all else is apart matters only where the car may stand at all.
    asked = np.flatnonzero(~off & (broken <= slack_m))
    for demand in (d for d in demands if asked.size and not d.condition):
        apart = separate(demand.claim.outline, demand.shape, stances[asked], demand.inside, demand.thin)
        side = demand.claim.side
        least[side][asked] = np.minimum(least[side][asked], apart - demand.gap_m)
        clean[side][asked] &= apart > 0.0
    margin = np.minimum(least[None], np.maximum(least["left"], least["right"]))
    better = np.where(least["left"] >= least["right"], clean["left"], clean["right"])
    margin = np.where(broken > slack_m, -BROKEN_M - broken, margin)
    return np.where(off, -np.inf, margin), clean[None] & better & ~off & (broken <= slack_m)


def pairs_at(way: Way, stance: Stance) -> list[tuple[str, str, float, float]]:
    """Every pair at one stance: claim, thing, separation, gap."""
    row = np.array([stance])
    return [
        (d.claim.name, name, float(separations(d.claim.outline, shape, row, d.inside, d.thin)[0]), d.gap_m)
        for d in way.demands
        for name, shape in d.parts
    ]


@frozen(eq=False)
class Searched:
    """All stances tried, with their margins; the best of them first."""

    stances: Array
    margins: Array
    clean: NDArray[np.bool_]


def random_search(
    way: Way, count: int, rng: np.random.Generator, planted: Sequence[Stance] = (), climbers: int = 8, rounds: int = 12
) -> Searched:
    """Dense random stances, sifted by the body alone, the best of them then climbing by shrinking random steps."""
    x0, y0, x1, y1 = way.bounds
    stances = rng.uniform((x0, y0, way.headings[0] - math.pi), (x1, y1, way.headings[0] + math.pi), (4 * count, 3))
    square = rng.random(4 * count) < 0.4
    turns = way.headings[0] + np.array([0.0, math.pi, math.pi / 2, -math.pi / 2])
    stances[square, 2] = rng.choice(turns, int(square.sum())) + rng.normal(0.0, 0.03, int(square.sum()))
    body = separations(way.demands[0].claim.outline, way.demands[0].shape, stances)
    stances = stances[np.argsort(-np.minimum(body, 0.3), kind="stable")[:count]]
    stances = np.vstack([np.reshape(np.array(planted), (-1, 3)), stances])
    found, clean = margins(way, stances)
    kept = [(stances, found, clean)]
    best = np.argsort(-found)[:climbers]
    top, score = stances[best], found[best]
    for step in range(rounds):
        scale = 0.4 * 0.55**step
        spread = np.array([scale, scale, scale * 0.4])
        tries = np.repeat(top, 6, axis=0)
        tries = tries + rng.normal(size=tries.shape) * spread * rng.choice([0.0, 1.0, 1.0], tries.shape)
        found, clean = margins(way, tries)
        kept.append((tries, found, clean))
        grouped = found.reshape(-1, 6)
        pick = grouped.argmax(axis=1)
        better = grouped.max(axis=1) > score
        top = np.where(better[:, None], tries.reshape(-1, 6, 3)[np.arange(len(top)), pick], top)
        score = np.where(better, grouped.max(axis=1), score)
    return Searched(
        np.vstack([k[0] for k in kept]), np.concatenate([k[1] for k in kept]), np.concatenate([k[2] for k in kept])
    )
