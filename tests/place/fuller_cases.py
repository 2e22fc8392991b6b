"""Seeded random cases with doors, plates, arms, bays, equipment and variants, near the limit of fitting.

Each is built round a planted stance, as in `cases`. All shops, cars and cards are invented.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import cases
import numpy as np
import oracle
import shapely
from attrs import evolve
from cases import Case, Random, box, outline_of, turned

from standtrue.model.basics import Outline, SupportClass
from standtrue.model.lift import Arm, Lift, LiftState, Obstacle, PlacedLift, Plate
from standtrue.model.procedure import Procedure, Target, TargetPosition, Variant
from standtrue.model.site import Bay, Datum, Door, Equipment, Gaps, Site
from standtrue.model.vehicle import Vehicle

PARTS = ("doors", "plates", "arms", "bay", "equipment", "variants")
EVERY = {"clear", "stand", "walk", "metal-free"}


def _car(rng: Random) -> Vehicle:
    car = cases.random_vehicle(rng)
    y = car.width_m / 2 - rng.uniform(0.05, 0.2)
    ends = (rng.uniform(0.2, 0.5), car.wheelbase_m - rng.uniform(0.2, 0.5))
    points = tuple((x, side * y) for x in ends for side in (1, -1))
    return evolve(car, lift_points=points)


def _post_lift(rng: Random, car: Vehicle, stance: oracle.Stance) -> PlacedLift:
    """Two posts beside the car at its stance, and arms that just reach its lift points, each with some slack."""
    heading = stance[2] + float(rng.choice([0.0, math.pi, rng.uniform(-0.1, 0.1)]))
    middle = (car.wheelbase_m * rng.uniform(0.4, 0.55), 0.0)
    at = cases.turned([middle], stance)[0]
    placed = PlacedLift("P", at, heading, Lift("posts", ()))
    spots = _in_frame(placed, cases.turned(car.lift_points, stance))
    half = car.width_m / 2 + rng.uniform(0.3, 0.6)
    arms = [_arm_to(rng, spot, half) for spot in spots]
    if rng.random() < 0.4:
        arms.append(_arm_to(rng, spots[int(rng.integers(4))], half))
    order = rng.permutation(len(arms))
    posts = tuple(Obstacle(f"post {s}", _between(box(-0.2, s * half, 0.2, s * half + s * 0.3)), 0, 3) for s in (1, -1))
    up = LiftState("up", (0.3, 1.8))
    kind = Lift(
        "posts",
        (LiftState("down", (0.0, 0.0), drive_on=True), up),
        carries="body",
        posts=posts,
        locks_m=(0.6, 1.2, 1.7) if rng.random() < 0.5 else (),
        facing="one" if rng.random() < 0.3 else "either",
        arms=tuple(arms[i] for i in order),
    )
    return evolve(placed, lift=kind)


def _arm_to(rng: Random, spot: tuple[float, float], half: float) -> Arm:
    pivot = (rng.uniform(-0.15, 0.15), math.copysign(half, spot[1]))
    away = (spot[0] - pivot[0], spot[1] - pivot[1])
    reach, angle = math.hypot(*away), math.atan2(away[1], away[0])
    slack = rng.uniform(0.05, 0.4, 4) if rng.random() < 0.7 else rng.uniform(0.02, 0.1, 4)
    swing = (angle - slack[2], angle + slack[3])
    return Arm(pivot, (max(reach - float(slack[0]), 0.05), reach + float(slack[1])), swing)


def _between(outline: Outline) -> Outline:
    return outline_of(shapely.Polygon(outline))


def _in_frame(placed: PlacedLift, points: Sequence[tuple[float, float]]) -> Outline:
    """Site points in the lift's own frame."""
    back = [(x - placed.at[0], y - placed.at[1]) for x, y in points]
    return turned(back, (0.0, 0.0, -placed.heading_rad))


def _with_plates(rng: Random, placed: PlacedLift, car: Vehicle, stance: oracle.Stance) -> PlacedLift:
    """The lift with plates a little larger than the wheels at the stance; some in two halves."""
    plates = []
    axles = ("front", "rear") if rng.random() < 0.6 else (("front",) if rng.random() < 0.6 else ("rear",))
    for name, patch in car.wheel_patches:
        axle = next((a for a in axles if a in name), None)
        if axle is None:
            continue
        x0, y0, x1, y1 = shapely.Polygon(_in_frame(placed, turned(patch, stance))).bounds
        a, b, c, d = rng.uniform(0.0, 0.2, 4) * rng.choice([0.02, 1.0], 4)
        x0, y0, x1, y1, cut = x0 - a, y0 - b, x1 + c, y1 + d, (x0 + x1) / 2
        halves = [box(x0, y0, cut, y1), box(cut, y0, x1, y1)] if rng.random() < 0.3 else [box(x0, y0, x1, y1)]
        plates += [Plate("front" if axle == "front" else "rear", h) for h in halves]
    return evolve(placed, lift=evolve(placed.lift, plates=tuple(plates)))


def _lifts(
    rng: Random, car: Vehicle, support: SupportClass, parts: set[str], stance: oracle.Stance
) -> list[PlacedLift]:
    found = []
    if "arms" in parts:
        found.append(_post_lift(rng, car, stance))
    elif support != "floor" or "plates" in parts:
        lift = cases.random_lift(rng, car, rng.random() < 0.4)
        found.append(cases.place_lift(rng, car, lift, stance))
    if "plates" in parts:
        found = [_with_plates(rng, p, car, stance) for p in found]
        if rng.random() < 0.3:
            away = (stance[0] + rng.uniform(-3, 3), stance[1] + rng.uniform(2.5, 4), stance[2])
            other = cases.place_lift(rng, car, cases.random_lift(rng, car, False), away)
            found.append(evolve(_with_plates(rng, other, car, away), name="M"))
    return found


def _kits(rng: Random) -> tuple[Equipment, ...]:
    kits = []
    for i in range(int(rng.integers(1, 4))):
        w, d = rng.uniform(0.3, 1.6), rng.uniform(0.2, 0.8)
        shape = box(-d / 2, -w / 2, d / 2, w / 2) if rng.random() < 0.7 else ((0, 0), (d, -w / 2), (d, w / 2))
        height = None if rng.random() < 0.15 else rng.uniform(0.6, 2.2)
        reach = (0.4, rng.uniform(1.2, 3.0)) if rng.random() < 0.4 else None
        fixed = (rng.uniform(-4, 4), rng.uniform(-4, 4)) if rng.random() < 0.15 else None
        kits.append(Equipment(f"kit {i}", f"sort {i % 2}", 1, shape, height, reach, used_at=fixed))
    return tuple(kits)


def _targets(rng: Random, kits: Sequence[Equipment]) -> tuple[Target, ...]:
    targets = []
    for i in range(int(rng.integers(1, 3))):
        kit = kits[int(rng.integers(len(kits)))]
        anchor = str(rng.choice(["front", "rear", "rear axle", "sensor", "front axle"]))
        away = -1.0 if anchor == "rear" else 1.0
        at = (away * rng.uniform(0.8, 3.5), rng.uniform(-1.5, 1.5), rng.uniform(0.5, 1.6))
        if anchor in ("rear axle", "front axle"):
            at = (rng.uniform(-1, 1), float(rng.choice([-1, 1])) * rng.uniform(1.5, 3.0), at[2])
        spots: tuple[TargetPosition, ...] = ()
        if rng.random() < 0.25:
            spots = (TargetPosition(at), TargetPosition((at[0], -at[1], at[2]), rng.uniform(-3, 3)))
        targets.append(
            Target(
                f"target {i}",
                anchor,
                at,
                rng.uniform(-math.pi, math.pi),
                kit.kind if rng.random() < 0.3 else kit.name,
                positions=spots,
                turned=anchor == "sensor" and rng.random() < 0.5,
                from_floor=rng.random() < 0.3,
            )
        )
    return tuple(targets)


def _cards(rng: Random, parts: set[str], kits: Sequence[Equipment], support: SupportClass) -> tuple[Procedure, ...]:
    count = int(rng.choice([1, 1, 1, 2]))
    cards = [evolve(cases.random_card(rng, i), supports=(support,)) for i in range(count)]
    if "plates" in parts:
        cards[0] = evolve(cards[0], wheels_on="plates")
    if "arms" in parts and rng.random() < 0.3:
        cards[0] = evolve(cards[0], wheels_hanging=True)
    if kits:
        cards[0] = evolve(cards[0], targets=_targets(rng, kits))
        if rng.random() < 0.4:
            cards[-1] = evolve(cards[-1], equipment=(kits[-1].name,))
    return tuple(cards)


def _door(name: str, edge: tuple[float, float, float], deep: float, rng: Random, wider: float = 0.0) -> Door:
    """A door in the wall x = edge[0] from y = edge[1] to edge[2] of a frame in which the room lies left of it."""
    x, low, high = edge
    track = None
    if rng.random() < 0.5:
        bottom = rng.uniform(1.9, 3.0)
        track = Obstacle(f"{name} track", box(x - rng.uniform(0.3, 2.5), low, x - 0.02, high), bottom, bottom + 0.2)
    apron = box(x - (0.1 if rng.random() < 0.2 else 0.0), low - wider, x + deep, high + wider)
    height = float(rng.choice([rng.uniform(0.6, 2.0), rng.uniform(2.0, 4.0)]))
    return Door(name, (x, low), (x, high), height, may_stand_open=rng.random() < 0.95, apron=apron, track=track)


def _placed_door(door: Door, by: oracle.Stance) -> Door:
    ends = turned([door.start, door.end], by)
    track = door.track and evolve(door.track, outline=turned(door.track.outline, by))
    apron = None if door.apron is None else turned(door.apron, by)
    return evolve(door, start=ends[0], end=ends[1], apron=apron, track=track)


def _room_with_doors(rng: Random, free: cases.Geometry, heading: float) -> tuple[Outline, tuple[Door, ...]]:
    """A box too short for `free`, which goes on through a door; now and then more doors."""
    turn = heading + float(rng.choice([0.0, math.pi, math.pi / 2, rng.uniform(-3, 3)]))
    flat = shapely.affinity.rotate(free, -turn, origin=(0, 0), use_radians=True)
    x0, y0, x1, y1 = flat.bounds
    slack = np.where(rng.random(4) < 0.5, rng.uniform(0.0, 0.01, 4), rng.uniform(0.1, 1.2, 4))
    cut = x1 - rng.uniform(0.05, 0.35) * (x1 - x0)
    beyond = shapely.box(cut, y0 - 1, x1 + 1, y1 + 1).intersection(flat)
    room = box(x0 - slack[0], y0 - slack[1], cut, y1 + slack[2])
    span = [beyond.bounds[1], beyond.bounds[3]] if not beyond.is_empty else [y0, y1]
    more = rng.uniform(-0.005, 0.02) if rng.random() < 0.6 else rng.uniform(0.0, 0.8)
    low, high = max(span[0] - more, room[0][1]), min(span[1] + more, room[2][1])
    by = (0.0, 0.0, turn)
    wider = float(rng.choice([0.0, rng.uniform(0.0, 0.6)]))
    doors = [_placed_door(_door("d0", (cut, low, high), x1 - cut + slack[3], rng, wider), by)]
    if rng.random() < 0.45:
        high_edge = (room[2][1], -room[1][0] + 0.2, -room[0][0] - 0.2)
        side = _placed_door(_door("d1", high_edge, rng.uniform(0.2, 1.5), rng), (0.0, 0.0, math.pi / 2))
        doors.append(_placed_door(side, by))
    if rng.random() < 0.15:
        back = _door("d2", (-room[0][0], -room[2][1] + 0.1, -room[0][1] - 0.1), rng.uniform(0.2, 1.5), rng)
        doors.append(_placed_door(_placed_door(back, (0.0, 0.0, math.pi)), by))
    rng.shuffle(doors)
    return turned(room, by), tuple(doors)


def _bay(rng: Random, way: oracle.Way, stance: oracle.Stance) -> Bay:
    """A bay that the car at its stance just stands in, some edges closed."""
    bodies = [c.outline for c in way.claims if c.role in ("body", "wheel") and not c.name.startswith("mirror")]
    car = shapely.union_all([shapely.Polygon(oracle.moved(o, stance)) for o in bodies])
    turn = stance[2] + float(rng.choice([0.0, 0.0, rng.uniform(-0.3, 0.3)]))
    x0, y0, x1, y1 = shapely.affinity.rotate(car, -turn, origin=(0, 0), use_radians=True).bounds
    slack = np.where(rng.random(4) < 0.6, rng.uniform(0.0, 0.06, 4), rng.uniform(0.1, 1.0, 4))
    closed = rng.random(4) < 0.35
    slack += closed * rng.uniform(0.04, 0.4, 4)
    outline = turned(box(x0 - slack[3], y0 - slack[0], x1 + slack[1], y1 + slack[2]), (0.0, 0.0, turn))
    return Bay("bay", outline, tuple(int(i) for i in np.flatnonzero(closed)))


def _stored(rng: Random, site: Site, way: oracle.Way, stance: oracle.Stance, side: str) -> Site:
    """The equipment put away: some of it close by, some of it where only its own use makes room."""
    kits = []
    for kit in site.equipment:
        band = (0.0, math.inf if kit.height_m is None else kit.height_m)
        room = shapely.Polygon(site.outline)
        free = cases.kept_free(way, stance, side, band, EVERY) if rng.random() < 0.6 else shapely.Polygon()
        shape = cases.pushed(rng, room, free, rng.uniform(0.3, 1.0), rng.uniform(0.0, 0.008))
        kits.append(evolve(kit, store=shape))
    return evolve(site, equipment=tuple(kits))


def _with_variants(rng: Random, card: Procedure, support: SupportClass) -> Procedure:
    """The card's own zones and others that serve as well; either may be the ones that were planted."""
    other = cases.random_card(rng, 7).zones
    others: list[Variant] = [Variant("other", other, supports=None if rng.random() < 0.7 else ("floor",))]
    if rng.random() < 0.6:
        own = Variant("planted", card.zones, card.targets, supports=(support,), lift_height_m=card.lift_height_m)
        others.insert(int(rng.integers(2)), own)
        supports: tuple[SupportClass, ...] = (support,) if rng.random() < 0.6 else ("floor",)
        card = evolve(card, zones=cases.random_card(rng, 8).zones, targets=(), supports=supports)
    return evolve(card, variants=tuple(others))


def _spoiled(rng: Random, site: Site) -> Site:
    if not site.doors:
        return cases.spoiled(rng, site)
    if site.obstacles and rng.random() < 0.4:
        first = site.obstacles[0]
        grown = shapely.Polygon(first.outline).buffer(10 ** rng.uniform(-2.3, -0.3), join_style="mitre")
        return evolve(site, obstacles=(evolve(first, outline=outline_of(grown)), *site.obstacles[1:]))
    doors = []
    for door in site.doors:
        by = 10 ** rng.uniform(-3, -0.5) / math.dist(door.start, door.end)
        (a, b), (c, d) = door.start, door.end
        doors.append(evolve(door, start=(a + by * (c - a), b + by * (d - b))))
    return evolve(site, doors=tuple(doors))


def make(seed: int) -> Case:
    """The case of one seed: one part surely in it, the others now and then."""
    rng = np.random.default_rng([13, seed])
    parts = {PARTS[seed % len(PARTS)], *(p for p in PARTS if rng.random() < 0.12)}
    parts -= {"plates"} if "arms" in parts else set()
    car = _car(rng)
    support: SupportClass = ("floor", "floor", "lift down", "lift up")[int(rng.integers(4))]
    support = "lift up" if "arms" in parts else support
    stance = (*rng.uniform(-2, 2, 2).tolist(), float(rng.choice([0.0, math.pi / 2, rng.uniform(-3, 3)])))
    gaps = Gaps() if rng.random() < 0.7 else Gaps(0.08, 0.03, 0.02, 0.3, 0.04, float(rng.choice([0.0, 0.5])))
    kits = _kits(rng) if "equipment" in parts else ()
    site = Site("room", box(-60, -60, 60, 60), Datum((0.0, 0.0)), gaps, equipment=kits)
    if rng.random() < 0.2:
        site = evolve(site, clear_height_m=rng.uniform(2.2, 4.5))
    site = evolve(site, lifts=tuple(_lifts(rng, car, support, parts, stance)))
    cards: tuple[Procedure, ...] = ()
    planted: list[oracle.Way] = []
    for _ in range(12):
        cards = _cards(rng, parts, kits, support)
        planted = oracle.ways(site, car, cards, support)
        if planted and oracle.margins(planted[0], np.array([stance]))[0][0] >= 0.0:
            break
    if not planted:
        return Case(seed, evolve(site, outline=box(-4, -4, 4, 4)), car, cards, support)
    way, side = planted[0], str(rng.choice(["left", "right"]))
    everything = cases.kept_free(way, stance, side, (-9, 9), EVERY)
    if "doors" in parts:
        outline, doors = _room_with_doors(rng, everything, stance[2])
        site = evolve(site, outline=outline, doors=doors)
    else:
        site = evolve(site, outline=outline_of(cases.room(rng, everything, stance[2])))
    site = _stored(rng, cases.furnish(rng, site, way, stance, side), way, stance, side)
    bay = _bay(rng, way, stance) if "bay" in parts else None
    if bay is not None:
        site = evolve(site, bays=(bay,))
    if rng.random() < 0.6:
        site = _spoiled(rng, site)
    if "variants" in parts:
        cards = (_with_variants(rng, cards[0], support), *cards[1:])
    return Case(seed, site, car, cards, support, (stance,), bay)
