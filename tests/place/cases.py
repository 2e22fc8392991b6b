"""Seeded random cases for `place`: rooms, lifts, cars and cards that are near the limit of fitting.

Tight cases are built round a planted stance, with walls and obstacles pushed to within millimetres
of it; loose ones are thrown together. All shops, cars and cards are invented.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np
import oracle
import shapely
from attrs import evolve, field, frozen

from standtrue.model.basics import Layer, Outline, SupportClass
from standtrue.model.lift import Lift, LiftState, Obstacle, PlacedLift
from standtrue.model.procedure import ANCHORS, Procedure, Source, Zone
from standtrue.model.reason import Text
from standtrue.model.site import Bay, Cover, Datum, Gaps, Patch, Site, Void
from standtrue.model.vehicle import Sensor, Vehicle

Random = np.random.Generator
Geometry = Any
NEEDS: tuple[Layer, ...] = ("stand", "walk", "clear", "metal-free", "plain")
BANDS = ((0.0, 0.08), (0.0, 0.3), (0.0, 1.0), (0.0, 2.5), (0.5, 1.2), (1.45, 2.2), (2.2, 2.6))


@frozen(eq=False)
class Case:
    """One question, and the stance it was built round (whose margin the oracle knows), if any."""

    seed: int
    site: Site
    vehicle: Vehicle
    cards: tuple[Procedure, ...]
    support: SupportClass
    planted: tuple[oracle.Stance, ...] = field(default=())
    bay: Bay | None = None


def box(x0: float, y0: float, x1: float, y1: float) -> Outline:
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


def turned(outline: Sequence[tuple[float, float]], stance: oracle.Stance) -> Outline:
    return tuple((float(x), float(y)) for x, y in oracle.moved(np.array(outline), stance))


def outline_of(shape: Geometry) -> Outline:
    ring = shapely.get_coordinates(shapely.geometry.polygon.orient(shape).exterior)[:-1]
    return tuple((float(x), float(y)) for x, y in ring)


def random_vehicle(rng: Random) -> Vehicle:
    length, width = rng.uniform(3.6, 6.0), rng.uniform(1.6, 2.1)
    base = length * rng.uniform(0.55, 0.64)
    front = (length - base) * rng.uniform(0.4, 0.55)
    track = width - rng.uniform(0.24, 0.34)
    half, x0, x1 = width / 2, base + front - length, base + front
    body: Outline | None = None
    kind = rng.random()
    if kind < 0.2:
        cut = rng.uniform(0.1, 0.5)
        body = ((x0, -half), (x1 - cut, -half), (x1, -half + cut), (x1, half - cut), (x1 - cut, half), (x0, half))
    elif kind < 0.35:
        w, a, b = half - rng.uniform(0.05, 0.15), 0.35 * base, 0.7 * base
        body = ((x0, -half), (a, -half), (a, -w), (b, -w), (b, -half), (x1, -half))
        body = (*body, *((x, -y) for x, y in reversed(body)))
    mirrors = width if rng.random() < 0.15 else width + rng.uniform(0.1, 0.3)
    sensors = (
        Sensor("front corner radar", "left", (x1 - 0.2, half - 0.1, 0.6), rng.uniform(0.3, 0.9)),
        Sensor("forward camera", None, (base - 0.4, 0.0, 1.3), 0.0),
    )
    return Vehicle(
        "car",
        length,
        width,
        mirrors,
        rng.uniform(1.4, 2.1),
        base,
        front,
        track,
        track + rng.uniform(-0.03, 0.03),
        rng.uniform(0.17, 0.28),
        rng.uniform(0.58, 0.78),
        rng.uniform(0.13, 0.24),
        outline=body,
        sensors=sensors,
    )


def random_outline(rng: Random, size: float) -> Outline:
    """A rectangle, an L or a sector about an anchor, up to about `size` long."""
    kind = rng.random()
    if kind < 0.5:
        x, y = rng.uniform(-size, size), rng.uniform(-size / 2, size / 2)
        w, h = rng.uniform(0.15, size), rng.uniform(0.15, size)
        if rng.random() < 0.4:
            x = 0.0
        return turned(box(x, y - h / 2, x + w, y + h / 2), (0.0, 0.0, rng.choice([0.0, rng.uniform(-1, 1)])))
    if kind < 0.75:
        r0, r1 = (0.0, size) if rng.random() < 0.5 else (size * 0.5, size)
        start, span = rng.uniform(-math.pi, math.pi), rng.uniform(0.3, 2.6)
        angles = np.linspace(start, start + span, 2 + int(span / 0.3))
        out = [(r1 * math.cos(a), r1 * math.sin(a)) for a in angles]
        back = [(r0 * math.cos(a), r0 * math.sin(a)) for a in angles[::-1]] if r0 else [(0.0, 0.0)]
        return tuple(out + back)
    a, b, t = rng.uniform(0.4, size + 0.1), rng.uniform(0.4, size + 0.1), rng.uniform(0.15, 0.4)
    ell = ((0.0, 0.0), (a, 0.0), (a, t), (t, t), (t, b), (0.0, b))
    return turned(ell, (rng.uniform(-size / 2, size / 2), rng.uniform(-size / 2, size / 2), rng.uniform(-3, 3)))


def random_card(rng: Random, index: int) -> Procedure:
    zones = []
    kind = "forward camera" if rng.random() < 0.5 else "front corner radar"
    for z in range(int(rng.integers(1, 4))):
        bottom = float(rng.choice([0.0, 0.0, 0.2, 0.6, 1.2]))
        anchor = str(rng.choice(ANCHORS))
        zones.append(
            Zone(
                f"zone {index}.{z}",
                NEEDS[int(rng.integers(5))],
                anchor,
                random_outline(rng, rng.uniform(0.4, 3.0)),
                bottom,
                bottom + rng.uniform(0.1, 2.0),
                turned=anchor == "sensor" and rng.random() < 0.6,
                from_floor=rng.random() < 0.3,
            )
        )
    height = (0.8, 1.5) if rng.random() < 0.3 else None
    side: Any = "left" if kind == "front corner radar" else None
    return Procedure(
        f"card {index}", kind, "static", Source("invented"), side, zones=tuple(zones), lift_height_m=height
    )


def random_lift(rng: Random, vehicle: Vehicle, tight: bool) -> Lift:
    """Two tracks under the car's wheels: flush in slots, or on the floor with ramps."""
    half = vehicle.track_rear_m / 2
    wide = vehicle.tire_width_m / 2 + (rng.uniform(0.035, 0.09) if tight else rng.uniform(0.06, 0.3))
    run = vehicle.wheelbase_m + 0.2 + (rng.uniform(0.09, 0.15) if tight else rng.uniform(0.1, 1.6))
    y0, y1 = half - wide, half + wide
    decks: tuple[Outline, ...] = (box(0, y0, run, y1), box(0, -y1, run, -y0))
    if rng.random() < 0.2:
        decks = (*(d for b in (0.0, 0.5) for s in (1, -1) for d in [_track(run, b, y0, y1, s)]),)
    elif rng.random() < 0.15:
        decks = (box(0, -y1, run, y1),)
    flush = rng.random() < 0.55
    slot = float(rng.choice([0.03, 0.06]))
    voids = tuple(box(-slot, y - slot, run + slot, z + slot) for y, z in ((y0, y1), (-y1, -y0))) if flush else ()
    rest = 0.0 if flush else 0.12
    ramps = () if flush else tuple(box(-0.9, y, 0.0, z) for y, z in ((y0, y1), (-y1, -y0)))
    beam = Obstacle("beam", box(run * 0.4, -y0 + 0.02, run * 0.4 + 0.15, y0 - 0.02), 0.0, 0.1, rises=flush)
    up = LiftState("up", (0.3, 1.8), decks, 0.15, voids, obstacles=(beam,) if rng.random() < 0.3 else ())
    fixed = LiftState("half", (1.0, 1.0), decks, 0.15, voids)
    down = LiftState("down", (rest, rest), decks, 0.15, voids, ramps=ramps, drive_on=True)
    posts: tuple[Obstacle, ...] = ()
    if rng.random() < 0.3:
        y = y1 + rng.uniform(0.3, 0.8)
        posts = (Obstacle("post", box(run / 2, y, run / 2 + 0.2, y + 0.2), 0.0, 2.4),)
    spread = (vehicle.wheelbase_m - rng.uniform(-0.05, 0.5), vehicle.wheelbase_m + 0.4)
    return Lift(
        "lift",
        (down, up) if rng.random() < 0.7 else (down, up, fixed),
        posts=posts,
        locks_m=(0.6, 1.2, 1.7) if rng.random() < 0.5 else (),
        facing="one" if rng.random() < 0.4 else "either",
        wheelbase_m=spread if rng.random() < 0.2 else None,
    )


def _track(run: float, part: float, y0: float, y1: float, sign: int) -> Outline:
    return box(part * run, min(sign * y0, sign * y1), (part + 0.5) * run, max(sign * y0, sign * y1))


def place_lift(rng: Random, vehicle: Vehicle, lift: Lift, stance: oracle.Stance) -> PlacedLift:
    """The lift so that the car's wheels at `stance` stand about the middle of its decks."""
    run = max(x for d in lift.states[0].decks for x, _ in d)
    back = lift.facing == "either" and rng.random() < 0.5
    rear = (run - vehicle.wheelbase_m) / 2
    x, y, heading = stance
    c, s = math.cos(heading), math.sin(heading)
    if not back:
        return PlacedLift("L", (x - c * rear, y - s * rear), heading, lift)
    ahead = vehicle.wheelbase_m + rear
    return PlacedLift("L", (x + c * ahead, y + s * ahead), heading + math.pi, lift)


def kept_free(way: oracle.Way, stance: oracle.Stance, side: str, band: tuple[float, float], layers: set[str]) -> Any:
    """What the planted stance needs free of a thing in this band, gaps included."""
    thing = oracle.Thing("", None, *band)
    parts = []
    for claim in way.claims:
        if claim.side in (None, side) and claim.needs in layers and oracle.meets(claim.bottom_m, claim.top_m, thing):
            shape = shapely.Polygon(oracle.moved(claim.outline, stance))
            parts.append(shape.buffer(claim.gap_m) if claim.gap_m and claim.role != "wheel" else shape)
    return shapely.union_all(parts)


def room(rng: Random, free: Geometry, heading: float) -> Geometry:
    """A room that just holds `free`: a box turned some way, some sides tight, some corners cut."""
    turn = float(heading + rng.choice([0.0, 0.0, rng.uniform(-0.8, 0.8)]))
    flat = shapely.affinity.rotate(free, -turn, origin=(0, 0), use_radians=True)
    x0, y0, x1, y1 = flat.bounds
    slack = np.where(rng.random(4) < 0.55, rng.uniform(0.0, 0.01, 4), rng.uniform(0.1, 1.6, 4))
    x0, y0, x1, y1 = x0 - slack[0], y0 - slack[1], x1 + slack[2], y1 + slack[3]
    room = shapely.box(x0, y0, x1, y1)
    for _ in range(int(rng.integers(0, 4))):
        w, h = rng.uniform(0.3, 0.7, 2) * (x1 - x0, y1 - y0)
        cx, cy = (x0, x1 - w)[int(rng.integers(2))], (y0, y1 - h)[int(rng.integers(2))]
        bite = shapely.box(cx - 0.1, cy - 0.1, cx + w + 0.1, cy + h + 0.1)
        less = room.difference(bite)
        if less.geom_type == "Polygon" and not bite.intersects(flat) and not less.interiors:
            room = less
    return shapely.affinity.rotate(room, turn, origin=(0, 0), use_radians=True)


def blob(rng: Random, size: float) -> Outline:
    kind = rng.random()
    if kind < 0.6:
        w, h = rng.uniform(0.1, max(size, 0.2), 2)
        return box(-w / 2, -h / 2, w / 2, h / 2)
    if kind < 0.8:
        t = size * 0.3
        return ((0.0, 0.0), (size, 0.0), (size, t), (t, t), (t, size), (0.0, size))
    angles = np.sort(rng.uniform(0, 2 * math.pi, 7))
    hull = shapely.MultiPoint([(size * math.cos(a), size * 0.6 * math.sin(a)) for a in angles]).convex_hull
    return outline_of(hull) if hull.area > 0.01 else box(0, 0, 0.3, 0.3)


def pushed(rng: Random, room: Geometry, free: Geometry, size: float, near: float) -> Outline | None:
    """A shape in the room, moved to within `near` of what must stay free; None where it does not go."""
    x0, y0, x1, y1 = room.bounds
    at = (rng.uniform(x0, x1), rng.uniform(y0, y1), float(rng.choice([0.0, rng.uniform(-3, 3)])))
    shape = shapely.Polygon(turned(blob(rng, size), at))
    if free.is_empty:
        return outline_of(shape)
    if shape.intersects(free):
        return None
    if rng.random() < 0.6:
        ends = shapely.get_coordinates(shapely.shortest_line(shape, free))
        apart = math.dist(*ends)
        by = (ends[1] - ends[0]) * max(apart - near, 0.0) / max(apart, 1e-9)
        shape = shapely.affinity.translate(shape, *by)
    return outline_of(shape) if shape.distance(free) > 0.0 else None


def furnish(rng: Random, site: Site, way: oracle.Way, stance: oracle.Stance, side: str) -> Site:
    room = shapely.Polygon(site.outline)
    obstacles, voids, patches, holes = list(site.obstacles), list(site.voids), [], []
    every = {"clear", "stand", "walk", "metal-free"}
    for i in range(int(rng.integers(0, 8))):
        kind, near = rng.random(), rng.uniform(0.0, 0.008)
        if kind < 0.6:
            band, metal = BANDS[int(rng.integers(len(BANDS)))], rng.random() < 0.7
            layers = every if metal else every - {"metal-free"}
            shape = pushed(rng, room, kept_free(way, stance, side, band, layers), rng.uniform(0.2, 1.2), near)
            if shape:
                obstacles.append(Obstacle(f"o{i}", shape, *band, metal))
            continue
        if kind < 0.7:
            shape = pushed(rng, room, kept_free(way, stance, side, (-9, 9), every), rng.uniform(0.2, 1.0), near)
            if shape:
                holes.append(shape)
            continue
        floor = kept_free(way, stance, side, (-9, 9), {"stand", "walk"}).buffer(site.gaps.wheel_m)
        shape = pushed(rng, room, floor, rng.uniform(0.2, 2.0), near)
        if shape and kind < 0.8:
            patches.append(Patch(f"p{i}", shape, Text("drain")))
        elif shape:
            voids.append(Void(f"v{i}", shape))
    return evolve(site, obstacles=tuple(obstacles), voids=tuple(voids), patches=tuple(patches), holes=tuple(holes))


def pit_under(rng: Random, stance: oracle.Stance) -> Void:
    """A long pit under the middle of the car, parts of it covered."""
    half = rng.uniform(0.2, 0.5)
    shape = turned(box(-1.0, -half, 3.5, half), stance)
    covers = tuple(
        Cover(f"c{i}", turned(box(x, -half - 0.01, x + 1.5, half + 0.01), stance)) for i, x in enumerate((-1.0, 0.5, 2))
    )
    return Void("pit", shape, covers, tuple(c.name for c in covers if rng.random() < 0.5))


def spoiled(rng: Random, site: Site) -> Site:
    """The room a little smaller, or a thing in it a little larger."""
    if site.obstacles and rng.random() < 0.4:
        i = int(rng.integers(len(site.obstacles)))
        grown = shapely.Polygon(site.obstacles[i].outline).buffer(10 ** rng.uniform(-2.3, -0.3), join_style="mitre")
        things = (*site.obstacles[:i], evolve(site.obstacles[i], outline=outline_of(grown)), *site.obstacles[i + 1 :])
        return evolve(site, obstacles=things)
    less = shapely.Polygon(site.outline).buffer(-(10 ** rng.uniform(-2.5, -0.7)), join_style="mitre")
    return evolve(site, outline=outline_of(less)) if less.geom_type == "Polygon" else site


def make(seed: int) -> Case:
    """The case of one seed."""
    rng = np.random.default_rng([7, seed])
    vehicle = random_vehicle(rng)
    support: SupportClass = ("floor", "floor", "lift down", "lift up")[int(rng.integers(4))]
    cards = tuple(random_card(rng, i) for i in range(int(rng.choice([0, 1, 1, 2]))))
    heading = float(rng.choice([0.0, math.pi / 2, rng.uniform(-math.pi, math.pi)]))
    stance = (*rng.uniform(-2, 2, 2).tolist(), heading)
    gaps = Gaps() if rng.random() < 0.7 else Gaps(0.08, 0.03, 0.02, 0.3, 0.04, float(rng.choice([0.0, 0.5])))
    far = box(-60, -60, 60, 60)
    site = Site("room", far, Datum((0.0, 0.0)), gaps)
    if rng.random() < 0.25:
        site = evolve(site, clear_height_m=rng.uniform(2.0, 4.5))
    tight = rng.random() < 0.4
    if support != "floor":
        lift = random_lift(rng, vehicle, tight)
        site = evolve(site, lifts=(place_lift(rng, vehicle, lift, stance),))
    elif rng.random() < 0.25:
        site = evolve(site, voids=(pit_under(rng, stance),))
    if rng.random() < (0.15 if support != "floor" else 0.25):
        away = (stance[0] + rng.uniform(-5, 5), stance[1] + rng.uniform(-5, 5), rng.uniform(-3, 3))
        other = evolve(place_lift(rng, vehicle, random_lift(rng, vehicle, False), away), name="M")
        site = evolve(site, lifts=(*site.lifts, other))
    for _ in range(12 if rng.random() < 0.85 else 0):
        found = oracle.ways(site, vehicle, cards, support)
        if found and oracle.margins(found[0], np.array([stance]))[0][0] >= 0.0:
            break
        cards = tuple(random_card(rng, i) for i in range(len(cards)))
    found = oracle.ways(site, vehicle, cards, support)
    if not found:
        return Case(seed, evolve(site, outline=box(-4, -4, 4, 4)), vehicle, cards, support)
    way, side = found[0], str(rng.choice(["left", "right"]))
    everything = kept_free(way, stance, side, (-9, 9), {"clear", "stand", "walk", "metal-free"})
    site = evolve(site, outline=outline_of(room(rng, everything, heading)))
    site = furnish(rng, site, way, stance, side)
    if rng.random() < (0.95 if support == "floor" else 0.65):
        site = spoiled(rng, site)
    return Case(seed, site, vehicle, cards, support, (stance,))
