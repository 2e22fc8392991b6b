"""Cars, cards and grounds packed into tables, and compiled: which claim and thing make a pair, and at what gap.

The rules are those of `pairs.pairs_of`, which says them with names for people; a test holds both together.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import NamedTuple, TypeVar

import numpy as np
from attrs import frozen
from numba import njit
from numpy.typing import NDArray

from standtrue.model.anchors import frame_at
from standtrue.model.ground import Ground, Thing, Unfloor
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Ref
from standtrue.model.sensor_kinds import SENSOR_KINDS
from standtrue.model.site import Equipment, Gaps
from standtrue.model.vehicle import Vehicle
from standtrue.place.kernels.bounds import Ints
from standtrue.place.kernels.field import COARSE_M, SAGITTA_M, bounds_of, edges_of, grow_piece, grown_room, half_plane
from standtrue.place.margin.arms import Reach
from standtrue.place.question.claims import WHEELS_OF, Claim, car_claims, form_claims, point_claim
from standtrue.plane.borrow import borrowing
from standtrue.plane.kernels import Array, lowest_of
from standtrue.plane.shapes import Convex, pieces_outside, polygon

BODY, MIRROR, WHEEL, PERSON, EXIT, ZONE, POINT = range(7)
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
CLEAR, METAL_FREE, WALK, STAND = range(4)
NEEDS = {"clear": CLEAR, "metal-free": METAL_FREE, "walk": WALK, "stand": STAND}
SPARED = {"none": 0, "decks": 1, "all": 2}

BARS, SOLID, VOID_STAND, VOID_WHEEL, PATCH, RAMP, DECK_EDGE, BAY_EDGE, ARM, PLATE = range(10)
"""What a thing is: a wall or hole, anything else solid, a void for stands or for wheels and people, and so on."""

NONE, NO_GAP, BODY_GAP, WHEEL_GAP, ZONE_GAP, PERSON_GAP = range(-1, 5)

ANCHOR_SLOTS = ("rear axle", "front axle", "front", "rear", "left", "right")
WHEEL_SLOTS = ("wheel front left", "wheel front right", "wheel rear left", "wheel rear right")
SLOT: dict[str, int] = {name: i for i, name in enumerate((*ANCHOR_SLOTS, *WHEEL_SLOTS))}
_T = TypeVar("_T", Thing, Unfloor)

SIDES: dict[str | None, int] = {None: 0, "left": 1, "right": 2}


class Shapes(NamedTuple):
    """Claims of cars, or of cards, one after another.

    Owner o has the claims `claim_at[o]:claim_at[o + 1]`, claim c the pieces `piece_at[c]:piece_at[c + 1]`, piece p the
    corners `corner_at[p]:corner_at[p + 1]`. Rows of `claims`: role, needs, side, what of its own lift it is spared,
    a number (of a lift point, or of the anchor's slot that a card's claim is about), whether it turns with the anchor.
    Rows of `bands`: bottom and what the ground's height adds; top, and what the ground's and the driven height add.
    """

    corners: Array
    corner_at: Ints
    piece_at: Ints
    claim_at: Ints
    claims: Ints
    bands: Array


class Floors(NamedTuple):
    """Grounds, each as one lift, or the floor, sees it, one after another; axes turned along its walls or decks.

    Ground g has the things `thing_at[g]:thing_at[g + 1]`. Rows of `things`: what it is, whether metal, whether the
    carrying lift's own, whether a deck, when it is there (1 as asked, 2 as driven in, 3 both), a number (of an arm,
    or the axle of a plate), first and past-last piece, first and past-last plane. Piece p is `solids`' piece p;
    grown by gap number n on ground g, with coarse corners or fine, it is piece `first_grown[p] + slots[g, n, fine]`
    of `grown`: gaps of the same width share one.
    """

    solids: Array
    solid_at: Ints
    solid_lows: Ints
    grown: Array
    grown_at: Ints
    grown_lows: Ints
    boxes: Array
    edges: Array
    planes: Array
    thing_at: Ints
    things: Ints
    bands: Array
    gaps: Array
    first_grown: Ints
    slots: Ints


@borrowing
def gap_asked(
    role: int,
    needs: int,
    spared: int,
    number: int,
    on_decks: bool,
    kind: int,
    metal: int,
    own: int,
    deck: int,
    tag: int,
    apart: bool,
) -> int:
    """The number of the gap that a claim must keep from a thing, NONE for no pair. `apart`: the bands do not meet."""
    if role == POINT or kind == ARM:
        return NO_GAP if role == POINT and kind == ARM and number == tag else NONE
    if kind == PLATE:
        return NO_GAP if role == WHEEL and number == tag else NONE
    if kind == BAY_EDGE:
        return NO_GAP if role in (BODY, WHEEL) else NONE
    if kind == DECK_EDGE:
        return WHEEL_GAP if role == WHEEL else NONE
    if kind in (BARS, SOLID):
        if own != 0 and (spared == 2 or (spared == 1 and deck != 0)):
            return NONE
        if kind == SOLID and (apart or (needs == METAL_FREE and metal == 0)):
            return NONE
        if role in (BODY, MIRROR):
            return BODY_GAP
        return PERSON_GAP if role == PERSON else ZONE_GAP if role == ZONE else NO_GAP
    if needs < WALK or role == PERSON or (role == WHEEL and on_decks):
        return NONE
    if kind == PATCH and needs == WALK:
        return NONE
    if kind == RAMP and role == EXIT and own != 0:
        return NONE
    stands = role == ZONE and needs == STAND
    if (kind == VOID_STAND and not stands) or (kind == VOID_WHEEL and stands):
        return NONE
    if role == WHEEL and kind == VOID_WHEEL:
        return WHEEL_GAP
    return ZONE_GAP if role == ZONE else NO_GAP


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
    slab = np.empty(3)
    planes: list[Array] = []
    pieces: list[tuple[Convex, int]] = []
    things: list[tuple[int, ...]] = []
    gaps: list[tuple[float, ...]] = []
    areas: dict[int, float] = {}
    for number, (seen, mine) in enumerate(zip(grounds, rows, strict=True)):
        for row in mine:
            if id(row.pieces) not in areas:
                areas[id(row.pieces)] = _area(row.pieces)
        mine.sort(key=lambda r: (r.codes[0] < ARM, -areas[id(r.pieces)]))
        g = seen.ground.site.gaps
        gaps.append((0.0, g.body_m, g.wheel_m, g.zone_m, g.person_m))
        for row in mine:
            first = len(pieces), len(planes)
            for piece in row.pieces:
                turned = turned_to(piece, seen.axis_rad)
                if half_plane(turned, 0, len(turned), slab):
                    planes.append(slab.copy())
                else:
                    pieces.append((turned, number))
            things.append((*row.codes, first[0], len(pieces), first[1], len(planes)))
    solid_at = _offsets(len(p) for p, _ in pieces)
    solids = np.concatenate([p for p, _ in pieces]) if pieces else np.empty((0, 2))
    widths = np.array(gaps, dtype=np.float64).reshape(-1, 5)
    slots = np.array([_slots(g) for g in gaps], dtype=np.int64).reshape(-1, 5, 2)
    ground_of = np.array([n for _, n in pieces], dtype=np.int64)
    grown, grown_at, first_grown = _grown(solids, solid_at, ground_of, widths, slots)
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


@njit(cache=True, nogil=True, error_model="numpy")
def _grown(solids: Array, solid_at: Ints, ground_of: Ints, widths: Array, slots: Ints) -> tuple[Array, Ints, Ints]:
    """Every piece grown by each gap of its ground, with coarse corners and with fine ones; where each piece's begin."""
    count = solid_at.shape[0] - 1
    room = 64
    first = np.zeros(count + 1, np.int64)
    for p in range(count):
        first[p + 1] = first[p] + slots[ground_of[p]].max() + 1
    found, at = np.empty((room, 2)), np.zeros(first[-1] + 1, np.int64)
    done = 0
    for p in range(count):
        g = ground_of[p]
        for gap in range(5):
            for fine in range(2):
                if first[p] + slots[g, gap, fine] < done:
                    continue
                width, sagitta = widths[g, gap], SAGITTA_M if fine else COARSE_M
                most = grown_room(solid_at[p + 1] - solid_at[p], width, sagitta)
                while at[done] + most > room:
                    longer = np.empty((2 * room, 2))
                    longer[:room] = found
                    found, room = longer, 2 * room
                piece = solids[solid_at[p] : solid_at[p + 1]]
                at[done + 1] = at[done] + grow_piece(piece, width, sagitta, found[at[done] :])
                done += 1
    return found[: at[-1]].copy(), at, first[:-1]


def _offsets(sizes: Iterable[int]) -> NDArray[np.int64]:
    return np.concatenate([[0], np.cumsum(list(sizes), dtype=np.int64)]).astype(np.int64)
