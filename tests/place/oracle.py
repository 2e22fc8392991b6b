"""A second, slow reading of the documents reference: margins of many stances by shapely alone.

Written from the reference pages without reading the engine, and it shares only the model's nouns
with it. Overlaps count as -(shared area / the claim's diameter): only their sign is meant.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any, cast

import numpy as np
import shapely
from attrs import field, frozen
from numpy.typing import NDArray

from standtrue.model.basics import Layer, Outline, Point, SupportClass
from standtrue.model.lift import LiftState, PlacedLift
from standtrue.model.procedure import Procedure, Zone
from standtrue.model.site import Site
from standtrue.model.vehicle import Vehicle

Array = NDArray[np.float64]
Geometry = Any
Stance = tuple[float, float, float]
MEET_M = 1e-9
CRACK_M = 1e-9
MITRE: dict[str, Any] = {"join_style": "mitre", "mitre_limit": 20.0}
EXIT_TOP_M, PERSON_TOP_M = 1.8, 2.0


@frozen(eq=False)
class Thing:
    """What stands in space: walls, holes, obstacles, lift parts. `lift` names the lift it is part of."""

    name: str
    shape: Geometry
    bottom_m: float
    top_m: float
    metal: bool = True
    lift: str | None = None
    deck: bool = False
    shell: bool = False


@frozen(eq=False)
class Floor:
    """A site with every lift in a stated state: things, and where the floor is no floor."""

    things: tuple[Thing, ...]
    voids: Geometry
    bridged: Geometry
    patches: tuple[tuple[str, Geometry], ...]
    ramps: tuple[tuple[str, Geometry], ...]
    decks: Mapping[str, Geometry]
    heights: Mapping[str, float]
    ceiling_m: float


@frozen(eq=False)
class Claim:
    """A part of space that the stance asks for, in the vehicle frame."""

    name: str
    outline: Array
    bottom_m: float
    top_m: float
    needs: Layer
    gap_m: float
    side: str | None = None
    role: str = "zone"


@frozen(eq=False)
class Demand:
    """One claim against things that demand one gap; `inside` asks for the distance inside a shape instead.

    `own` marks the carrying lift's own parts.
    """

    claim: Claim
    gap_m: float
    parts: tuple[tuple[str, Geometry], ...]
    inside: bool = False
    own: bool = False
    shape: Geometry = field(init=False)

    @shape.default
    def _joined(self) -> Geometry:
        return shapely.union_all([g for _, g in self.parts])


@frozen(eq=False)
class Way:
    """One way to carry the car: the demands, and the headings allowed (middle, half-width)."""

    carried_by: str
    height_m: float
    claims: tuple[Claim, ...]
    demands: tuple[Demand, ...]
    bounds: tuple[float, float, float, float]
    headings: tuple[float, float] = (0.0, math.pi)
    blocked: bool = False


def meets(bottom: float, top: float, thing: Thing) -> bool:
    """Whether two height bands overlap by more than 1e-9 m."""
    return min(top, thing.top_m) - max(bottom, thing.bottom_m) > MEET_M


def in_site(placed: PlacedLift, outline: Outline) -> Geometry:
    """An outline of a lift's own frame, in the site frame."""
    return shapely.Polygon(moved(np.array(outline), (*placed.at, placed.heading_rad)))


def joined(shapes: Sequence[Geometry]) -> Geometry:
    """The union, without the cracks that rounding leaves between edges meant to be one."""
    return shapely.union_all([s.buffer(CRACK_M, **MITRE) for s in shapes])


def moved(points: Array, stance: Stance) -> Array:
    """Points turned by the stance's heading, then shifted to it."""
    c, s = math.cos(stance[2]), math.sin(stance[2])
    return np.asarray(points @ np.array([[c, s], [-s, c]]) + np.array(stance[:2]))


def settle(site: Site, settings: Mapping[str, tuple[LiftState, float]]) -> Floor:
    """The site with the lifts of `settings` in those states at those heights, all others at rest."""
    outline = shapely.Polygon(site.outline)
    outside = shapely.box(*outline.bounds).buffer(20.0, **MITRE).difference(outline)
    things = [Thing("walls", outside, -math.inf, math.inf, shell=True)]
    things += [Thing("hole", shapely.Polygon(h), -math.inf, math.inf, shell=True) for h in site.holes]
    things += [Thing(o.name, shapely.Polygon(o.outline), o.bottom_m, o.top_m, o.metal) for o in site.obstacles]
    voids: list[Geometry] = []
    closed: list[Geometry] = []
    for void in site.voids:
        voids.append(shapely.Polygon(void.outline))
        closed += [shapely.Polygon(c.outline) for c in void.covers if c.name in void.closed]
    ramps: list[tuple[str, Geometry]] = []
    decks: dict[str, Geometry] = {}
    heights: dict[str, float] = {}
    for placed in site.lifts:
        state, height = settings.get(placed.name, (placed.lift.rest, placed.lift.rest.deck_height_m[0]))
        shapes = [in_site(placed, d) for d in state.decks]
        decks[placed.name], heights[placed.name] = joined(shapes), height
        for part in (*placed.lift.posts, *state.obstacles):
            shape = in_site(placed, part.outline)
            things.append(Thing(part.name, shape, part.bottom_m, part.top_m, part.metal, placed.name))
        voids += [in_site(placed, v) for v in state.voids]
        closed += [in_site(placed, f) for f in state.fills]
        ramps += [(placed.name, in_site(placed, r)) for r in state.ramps]
        if height > 0.0:
            low = height - state.deck_thickness_m
            things += [Thing(f"{placed.name} deck", d, low, height, True, placed.name, deck=True) for d in shapes]
        else:
            closed += shapes
    hollow = shapely.union_all(voids).difference(joined(closed))
    half = site.gaps.bridge_m / 2
    wide = hollow.buffer(-half, **MITRE).buffer(half, **MITRE).intersection(hollow) if half > 0.0 else hollow
    patches = tuple((p.name, shapely.Polygon(p.outline)) for p in site.patches)
    ceiling = math.inf if site.clear_height_m is None else site.clear_height_m
    return Floor(tuple(things), hollow, wide, patches, tuple(ramps), decks, heights, ceiling)


def car_claims(vehicle: Vehicle, site: Site, height: float, support: SupportClass, driven: float) -> list[Claim]:
    """What the car itself asks for, standing `height` above the floor."""
    gaps, body = site.gaps, np.array(vehicle.body)
    bottom, top = vehicle.ground_clearance_m + height, vehicle.height_m + height
    claims = [Claim("body", body, bottom, top, "clear", gaps.body_m, role="body")]
    for side, box in vehicle.mirrors:
        claims.append(
            Claim(f"mirror {side}", np.array(box), 0.9 + height, 1.3 + height, "clear", gaps.body_m, role="body")
        )
    for name, patch in vehicle.wheel_patches:
        claims.append(
            Claim(name, np.array(patch), height, height + vehicle.tire_diameter_m, "stand", gaps.wheel_m, role="wheel")
        )
    if support == "lift up":
        claims.append(Claim("person", body, 0.0, PERSON_TOP_M, "clear", gaps.person_m, role="person"))
    if gaps.exit_m > 0.0:
        x0, x1, y = vehicle.wheelbase_m - 1.5, vehicle.wheelbase_m - 0.4, vehicle.width_m / 2
        left = np.array([(x0, y), (x1, y), (x1, y + gaps.exit_m), (x0, y + gaps.exit_m)])
        for side, strip in (("left", left), ("right", (left * [1.0, -1.0])[::-1])):
            claims.append(Claim(f"exit {side}", strip, 0.0, driven + EXIT_TOP_M, "walk", 0.0, side, "exit"))
    return claims


def anchor_of(zone: Zone, vehicle: Vehicle, card: Procedure) -> Stance:
    """The anchor's frame in the vehicle frame."""
    half = vehicle.width_m / 2
    spots: dict[str, Point] = {
        "rear axle": (0.0, 0.0),
        "front axle": (vehicle.wheelbase_m, 0.0),
        "front": (vehicle.front_x_m, 0.0),
        "rear": (vehicle.rear_x_m, 0.0),
        "left": (0.0, half),
        "right": (0.0, -half),
    }
    if zone.anchor in spots:
        return (*spots[zone.anchor], 0.0)
    if zone.anchor == "sensor":
        sensor = next(s for s in vehicle.sensors if s.kind == card.sensor and s.side == card.side)
        assert sensor.at is not None
        return (sensor.at[0], sensor.at[1], sensor.facing_rad if zone.turned else 0.0)
    return (*vehicle.wheel_center(zone.anchor), 0.0)


def card_claims(card: Procedure, vehicle: Vehicle, site: Site, height: float) -> list[Claim]:
    """The zones of a card: heights over the floor, outlines in the vehicle frame."""
    claims = []
    for zone in card.zones:
        rise = 0.0 if zone.from_floor else height
        bottom, top = zone.bottom_m + rise, zone.top_m + rise
        if zone.needs in ("stand", "walk"):
            bottom, top = 0.0, height + zone.top_m
        outline = moved(np.array(zone.outline), anchor_of(zone, vehicle, card))
        claims.append(Claim(zone.name, outline, bottom, top, zone.needs, site.gaps.zone_m))
    return [c for c in claims if c.needs != "plain"]


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
        groups: dict[tuple[float, bool], list[Part]] = {}
        for gap, own, part in forbidden(claim, driven if claim.role == "exit" else floor, carrier):
            groups.setdefault((gap, own), []).append(part)
        demands += [Demand(claim, gap, tuple(parts), own=own) for (gap, own), parts in groups.items()]
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


def _way(
    site: Site,
    vehicle: Vehicle,
    cards: Sequence[Procedure],
    support: SupportClass,
    on: tuple[PlacedLift, LiftState, float] | None,
) -> Way:
    carrier = on[0].name if on else None
    floor = settle(site, {on[0].name: (on[1], on[2])} if on else {})
    driven = settle(site, {}) if support == "lift up" else floor
    height = on[2] if on else 0.0
    claims = car_claims(vehicle, site, height, support, driven.heights[carrier] if carrier else 0.0)
    claims += [c for card in cards for c in card_claims(card, vehicle, site, height)]
    demands = demands_of(claims, floor, driven, carrier)
    blocked = any(c.top_m - floor.ceiling_m > MEET_M for c in claims)
    bounds = floor.decks[carrier].bounds if carrier else shapely.Polygon(site.outline).bounds
    headings = (on[0].heading_rad, math.pi / 2) if on and on[0].lift.facing == "one" else (0.0, math.pi)
    name = f"{carrier}/{on[1].name}" if on else "floor"
    return Way(name, height, tuple(claims), tuple(demands), bounds, headings, blocked)


def ways(site: Site, vehicle: Vehicle, cards: Sequence[Procedure], support: SupportClass) -> list[Way]:
    """Every way to carry the car in a support class."""
    if support == "floor":
        return [_way(site, vehicle, cards, support, None)]
    found = []
    for placed in site.lifts:
        lift = placed.lift
        least, most = lift.wheelbase_m or (0.0, math.inf)
        if lift.carries != "wheels" or not least - MEET_M <= vehicle.wheelbase_m <= most + MEET_M:
            continue
        for state in lift.states:
            height = deck_height(placed, state, cards, support)
            if state.decks and height is not None and state.drive_on == (support == "lift down"):
                found.append(_way(site, vehicle, cards, support, (placed, state, height)))
    return found


def polygons(outline: Array, stances: Array) -> Geometry:
    """One polygon for each stance (rows x, y, heading)."""
    c, s = np.cos(stances[:, 2])[:, None], np.sin(stances[:, 2])[:, None]
    x, y = outline[:, 0], outline[:, 1]
    points = np.stack([stances[:, :1] + c * x - s * y, stances[:, 1:2] + s * x + c * y], axis=-1)
    return shapely.polygons(points)


def separations(outline: Array, shape: Geometry, stances: Array, inside: bool = False) -> Array:
    """Distance where apart (or inside, to the edge), else below zero; one for each stance."""
    shapely.prepare(shape)
    placed = polygons(outline, stances)
    wrong = ~shapely.covers(shape, placed) if inside else shapely.intersects(shape, placed)
    result = cast(Array, shapely.distance(shapely.boundary(shape) if inside else shape, placed))
    if wrong.any():
        shared = shapely.difference(placed[wrong], shape) if inside else shapely.intersection(placed[wrong], shape)
        reach = float(np.hypot(*np.ptp(outline, axis=0)))
        result[wrong] = -shapely.area(shared) / reach
    return result


def margins(way: Way, stances: Array, *, free: bool = False) -> tuple[Array, NDArray[np.bool_]]:
    """The margin of each stance, and whether nothing overlaps there (only then is a negative one exact).

    `free` leaves out the carrying lift's own parts.
    """
    if way.blocked:
        return np.full(len(stances), -np.inf), np.zeros(len(stances), dtype=bool)
    least = {side: np.full(len(stances), np.inf) for side in (None, "left", "right")}
    clean = {side: np.ones(len(stances), dtype=bool) for side in least}
    for demand in (d for d in way.demands if not (free and d.own)):
        apart = separations(demand.claim.outline, demand.shape, stances, demand.inside)
        side = demand.claim.side
        least[side] = np.minimum(least[side], apart - demand.gap_m)
        clean[side] &= apart > 0.0
    margin = np.minimum(least[None], np.maximum(least["left"], least["right"]))
    middle, half = way.headings
    off = np.abs((stances[:, 2] - middle + math.pi) % (2 * math.pi) - math.pi) > half + 1e-12
    better = np.where(least["left"] >= least["right"], clean["left"], clean["right"])
    return np.where(off, -np.inf, margin), clean[None] & better & ~off


def pairs_at(way: Way, stance: Stance) -> list[tuple[str, str, float, float]]:
    """Every pair at one stance: claim, thing, separation, gap."""
    row = np.array([stance])
    return [
        (d.claim.name, name, float(separations(d.claim.outline, shape, row, d.inside)[0]), d.gap_m)
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
