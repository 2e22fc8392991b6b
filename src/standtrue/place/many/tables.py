"""Cars, cards and grounds packed into tables for the compiled call."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import TypeVar

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from standtrue.model.anchors import frame_at
from standtrue.model.ground import Ground, Thing, Unfloor
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Ref
from standtrue.model.sensor_kinds import SENSOR_KINDS
from standtrue.model.site import Equipment, Gaps
from standtrue.model.vehicle import Vehicle
from standtrue.place.kernels.field import bounds_of, edges_of, half_plane
from standtrue.place.kernels.tables import (
    ARM,
    BARS,
    BAY_EDGE,
    BODY,
    CLEAR,
    DECK_EDGE,
    EXIT,
    METAL_FREE,
    MIRROR,
    PATCH,
    PERSON,
    PLATE,
    POINT,
    RAMP,
    SOLID,
    STAND,
    VOID_STAND,
    VOID_WHEEL,
    WALK,
    WHEEL,
    ZONE,
    Floors,
    Shapes,
    grow_all,
)
from standtrue.place.margin.arms import Reach
from standtrue.place.question.claims import WHEELS_OF, Claim, car_claims, form_claims, point_claim
from standtrue.plane.kernels import Array, lowest_of
from standtrue.plane.shapes import Convex, pieces_outside, polygon

ROLES = {
    "body": BODY,
    "mirror": MIRROR,
    "wheel": WHEEL,
    "person": PERSON,
    "exit": EXIT,
    "zone": ZONE,
    "equipment": ZONE,
    "point": POINT,
}
NEEDS = {"clear": CLEAR, "metal-free": METAL_FREE, "walk": WALK, "stand": STAND}
SPARED = {"none": 0, "decks": 1, "all": 2}


ANCHOR_SLOTS = ("rear axle", "front axle", "front", "rear", "left", "right")
WHEEL_SLOTS = ("wheel front left", "wheel front right", "wheel rear left", "wheel rear right")
SLOT: dict[str, int] = {name: i for i, name in enumerate((*ANCHOR_SLOTS, *WHEEL_SLOTS))}
_T = TypeVar("_T", Thing, Unfloor)

SIDES: dict[str | None, int] = {None: 0, "left": 1, "right": 2}


def pack_cars(cars: Sequence[tuple[Vehicle, Gaps]]) -> tuple[Shapes, Array]:
    """The cars' own claims, and their anchors: for each slot x, y, and the way that a sensor looks; nan if missing."""
    found = [_car_rows(vehicle, gaps) for vehicle, gaps in cars]
    return _joined(found), np.array([anchors_of(vehicle) for vehicle, _ in cars])


def pack_cards(cards: Sequence[tuple[Procedure, Sequence[Equipment]]]) -> Shapes:
    """The cards' claims, in the frames of their anchors. A card is one form: variants are cards of their own."""
    return _joined([_card_rows(card, equipment) for card, equipment in cards])


@frozen(eq=False)
class Claimed:
    """A claim's row, its pieces, and its band."""

    row: tuple[int, int, int, int, int, int]
    pieces: tuple[Convex, ...]
    band: tuple[float, float, float, float, float]


def _car_rows(vehicle: Vehicle, gaps: Gaps) -> list[Claimed]:
    def at(height: float, driven: float) -> list[Claim]:
        return list(car_claims(vehicle, gaps, height, True, driven))

    found = []
    for claim, raised, driven in zip(at(0.0, 0.0), at(1.0, 0.0), at(0.0, 1.0), strict=True):
        axle = (1 if claim.ref in WHEELS_OF["front"] else 2) if claim.role == "wheel" else 0
        found.append(_claimed(claim, raised, driven, axle, 0))
    points = (point_claim(Ref("lift point"), p) for p in vehicle.lift_points)
    return [*found, *(_claimed(c, c, c, i, 0) for i, c in enumerate(points))]


def _card_rows(card: Procedure, equipment: Sequence[Equipment]) -> list[Claimed]:
    found = []
    raised = form_claims(card, equipment, 1.0)
    for (anchor, turned, claim), (_, _, other) in zip(form_claims(card, equipment, 0.0), raised, strict=True):
        if claim.needs != "plain":
            slot = SLOT[anchor] if anchor in SLOT else sensor_slot(card.sensor, SIDES[card.side])
            found.append(_claimed(claim, other, claim, slot, int(turned and anchor not in SLOT)))
    return found


def _claimed(claim: Claim, raised: Claim, driven: Claim, number: int, turned: int) -> Claimed:
    bottom, top = claim.bottom_m, claim.top_m
    rises = (raised.bottom_m - bottom if math.isfinite(bottom) else 0.0, raised.top_m - top if top < math.inf else 0.0)
    return Claimed(
        (ROLES[claim.role], NEEDS[claim.needs], SIDES[claim.side], SPARED[claim.own_parts_spared], number, turned),
        claim.pieces,
        (bottom, rises[0], top, rises[1], driven.top_m - top if top < math.inf else 0.0),
    )


def sensor_slot(kind: str, side: int) -> int:
    """The slot of a sensor's anchor; `side` 0 for whichever comes first."""
    return len(SLOT) + 3 * SENSOR_KINDS.index(kind) + side


def anchors_of(vehicle: Vehicle) -> Array:
    """Every anchor's x, y and turn; nan where the car's document does not say."""
    found = np.full((len(SLOT) + 3 * len(SENSOR_KINDS), 3), math.nan)
    for name, i in SLOT.items():
        frame = frame_at(name, False, "", None, vehicle)
        if frame is not None:
            found[i] = (*frame[0], frame[1])
    sides: tuple[tuple[str | None, int], ...] = ((None, 0), ("left", 1), ("right", 2))
    for kind in {s.kind for s in vehicle.sensors}:
        for side, code in sides:
            frame = frame_at("sensor", True, kind, side, vehicle)
            if frame is not None:
                found[sensor_slot(kind, code)] = (*frame[0], frame[1])
    return found


def _joined(owners: Sequence[Sequence[Claimed]]) -> Shapes:
    claims = [c for rows in owners for c in rows]
    pieces = [p for c in claims for p in c.pieces]
    return Shapes(
        np.concatenate(pieces) if pieces else np.empty((0, 2)),
        _offsets(len(p) for p in pieces),
        _offsets(len(c.pieces) for c in claims),
        _offsets(len(rows) for rows in owners),
        np.array([c.row for c in claims], dtype=np.int64).reshape(-1, 6),
        np.array([c.band for c in claims], dtype=np.float64).reshape(-1, 5),
    )


@frozen(eq=False)
class Seen:
    """A ground as what carries the car sees it: `driven` is the ground that it was driven into.

    `lift` carries the car, on its decks or not; `reaches` are its arms', `plates` its plates for one axle each,
    where a card asks for them.
    """

    ground: Ground
    driven: Ground
    axis_rad: float
    lift: str | None = None
    on_decks: bool = False
    reaches: tuple[Reach, ...] = ()
    plates: tuple[tuple[int, tuple[Convex, ...]], ...] = ()


@frozen(eq=False)
class Row:
    """One thing: what it is, whether metal, own, a deck, when, a number; its pieces and band."""

    codes: tuple[int, int, int, int, int, int]
    pieces: tuple[Convex, ...]
    bottom_m: float = 0.0
    top_m: float = 0.0


def pack_floors(grounds: Sequence[Seen]) -> Floors:
    """Grounds packed. Their sites may differ, their gaps too."""
    rows = [[r for r in _thing_rows(seen) if r.pieces] for seen in grounds]
    planes, pieces, things = _laid_out(grounds, rows)
    every = [seen.ground.site.gaps for seen in grounds]
    gaps = [(0.0, g.body_m, g.wheel_m, g.zone_m, g.person_m) for g in every]
    solid_at = _offsets(len(p) for p, _ in pieces)
    solids = np.concatenate([p for p, _ in pieces]) if pieces else np.empty((0, 2))
    widths = np.array(gaps, dtype=np.float64).reshape(-1, 5)
    slots = np.array([_slots(g) for g in gaps], dtype=np.int64).reshape(-1, 5, 2)
    ground_of = np.array([n for _, n in pieces], dtype=np.int64)
    grown, grown_at, first_grown = grow_all(solids, solid_at, ground_of, widths, slots)
    return Floors(
        solids,
        solid_at,
        lowest_of(solids, solid_at),
        grown,
        grown_at,
        lowest_of(grown, grown_at),
        bounds_of(grown, grown_at),
        edges_of(grown, grown_at),
        np.array(planes, dtype=np.float64).reshape(-1, 3),
        _offsets(len(r) for r in rows),
        np.array(things, dtype=np.int64).reshape(-1, 10),
        np.array([(r.bottom_m, r.top_m) for mine in rows for r in mine], dtype=np.float64).reshape(-1, 2),
        widths,
        first_grown,
        slots,
    )


def _laid_out(
    grounds: Sequence[Seen], rows: Sequence[list[Row]]
) -> tuple[list[Array], list[tuple[Convex, int]], list[tuple[int, ...]]]:
    """Half-planes, pieces with the number of their ground, and a row for each thing. Sorts each ground's rows."""
    slab = np.empty(3)
    planes: list[Array] = []
    pieces: list[tuple[Convex, int]] = []
    things: list[tuple[int, ...]] = []
    areas: dict[int, float] = {}
    for number, (seen, mine) in enumerate(zip(grounds, rows, strict=True)):
        for row in mine:
            if id(row.pieces) not in areas:
                areas[id(row.pieces)] = _area(row.pieces)
        mine.sort(key=lambda r: (r.codes[0] < ARM, -areas[id(r.pieces)]))
        for row in mine:
            first = len(pieces), len(planes)
            for piece in row.pieces:
                turned = turned_to(piece, seen.axis_rad)
                if half_plane(turned, 0, len(turned), slab):
                    planes.append(slab.copy())
                else:
                    pieces.append((turned, number))
            things.append((*row.codes, first[0], len(pieces), first[1], len(planes)))
    return planes, pieces, things


def _thing_rows(seen: Seen) -> Iterator[Row]:
    ground, driven = seen.ground, seen.driven
    yield from _solid_rows(seen)
    for area in _with_times(ground.unfloor, driven.unfloor, lambda u: (u.ref, id(u.pieces))):
        when, u = area
        if u.kind == "void":
            yield Row((VOID_STAND, 0, 0, 0, when, 0), u.pieces)
            yield Row((VOID_WHEEL, 0, 0, 0, when, 0), u.wheel_pieces)
        else:
            own = int(u.kind == "ramp" and seen.lift is not None and u.ref == Ref("ramp", of=seen.lift))
            yield Row((RAMP if u.kind == "ramp" else PATCH, 0, own, 0, when, 0), u.pieces)
    if seen.on_decks and seen.lift is not None:
        yield Row((DECK_EDGE, 0, 1, 0, 3, 0), ground.deck_edge(seen.lift)[1])
    if ground.within is not None:
        yield Row((BAY_EDGE, 0, 0, 0, 3, 0), pieces_outside(polygon(ground.within)))
    for number, reach in enumerate(seen.reaches):
        yield Row((ARM, 0, 1, 0, 3, number), reach.pieces)
    for axle, pieces in seen.plates:
        yield Row((PLATE, 0, 1, 0, 3, axle), pieces)


def _solid_rows(seen: Seen) -> Iterator[Row]:
    def key(t: Thing) -> object:
        return (t.ref, id(t.pieces))

    for when, t in _with_times(seen.ground.things, seen.driven.things, key):
        own = int(t.lift is not None and t.lift == seen.lift)
        kind = BARS if t.bars_all else SOLID
        yield Row((kind, int(t.metal), own, int(t.kind == "deck"), when, 0), t.pieces, t.bottom_m, t.top_m)


def _with_times(here: Iterable[_T], driven: Iterable[_T], key: Callable[[_T], object]) -> Iterator[tuple[int, _T]]:
    """Each thing with when it is there: 1 in the one ground, 2 in the other, 3 in both."""
    there = {key(t): t for t in driven}
    for t in here:
        yield (3 if there.pop(key(t), None) is not None else 1), t
    yield from ((2, t) for t in there.values())


def turned_to(piece: Convex, axis_rad: float) -> Convex:
    """A piece of the site frame, in axes turned by `axis_rad`."""
    c, s = math.cos(axis_rad), math.sin(axis_rad)
    return np.ascontiguousarray(piece @ np.array([[c, -s], [s, c]])) if axis_rad else piece


def _area(pieces: Sequence[Convex]) -> float:
    total = 0.0
    for p in pieces:
        x, y = p[:, 0], p[:, 1]
        total += abs(float(x[:-1] @ y[1:] - y[:-1] @ x[1:] + x[-1] * y[0] - y[-1] * x[0])) / 2
    return total


def _slots(gaps: Sequence[float]) -> list[tuple[int, int]]:
    """For each gap the places of the piece grown coarsely and finely, equal ones shared."""
    places: dict[tuple[float, bool], int] = {}
    return [
        (
            places.setdefault((gap, False), len(places)),
            places.setdefault((gap, gap > 0.0), len(places)),
        )
        for gap in gaps
    ]


def _offsets(sizes: Iterable[int]) -> NDArray[np.int64]:
    return np.concatenate([[0], np.cumsum(list(sizes), dtype=np.int64)]).astype(np.int64)
