"""The claims of one row of the batch put together: the car's, then its cards', with the hulls that walls ask for."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from standtrue.place.kernels.bounds import Ints
from standtrue.place.kernels.field import convex_hull
from standtrue.place.kernels.tables import (
    BODY,
    BODY_GAP,
    EXIT,
    MIRROR,
    NO_GAP,
    PERSON,
    PERSON_GAP,
    POINT,
    WHEEL,
    WHEEL_GAP,
    ZONE,
    ZONE_GAP,
    Shapes,
)
from standtrue.plane.compiled import compiled, compiled_bare
from standtrue.plane.kernels import Array, circles_about

WALLS, RAISED, WHEELS_TOO, ON_DECK, IN_BAY, ON_PLATE, ON_ARM = range(7)
"""What a hull is for: to keep from walls, always, while raised, or while the car stands on its wheels; and so on."""


class Parts(NamedTuple):
    """One car with its cards: convex pieces about a reference point, their claims, and hulls.

    Claim c has the pieces `piece_at[c]:piece_at[c + 1]`; rows of `claims` and `bands` as in `tables.Shapes`. Rows of
    `groups`: what a hull is for, the number of its gap, its side, and the number of its axle or lift point.
    """

    zones: Array
    zone_at: Ints
    circles: Array
    arms: Array
    piece_at: Ints
    claims: Ints
    bands: Array
    hulls: Array
    hull_at: Ints
    groups: Ints
    reference: Array


@compiled
def put_together(cars: Shapes, car: int, anchors: Array, cards: Shapes, chosen: Ints) -> Parts:
    """One car and its cards, each zone at its anchor. The reference point is the middle of all of it."""
    own0, own1 = cars.claim_at[car], cars.claim_at[car + 1]
    claims = own1 - own0
    pieces = cars.piece_at[own1] - cars.piece_at[own0]
    corners = cars.corner_at[cars.piece_at[own1]] - cars.corner_at[cars.piece_at[own0]]
    for card in chosen:
        c0, c1 = cards.claim_at[card], cards.claim_at[card + 1]
        claims += c1 - c0
        pieces += cards.piece_at[c1] - cards.piece_at[c0]
        corners += cards.corner_at[cards.piece_at[c1]] - cards.corner_at[cards.piece_at[c0]]
    zones, zone_at = np.empty((corners, 2)), np.zeros(pieces + 1, np.int64)
    rows, bands, piece_at = np.empty((claims, 6), np.int64), np.empty((claims, 5)), np.zeros(claims + 1, np.int64)
    n = np.zeros(3, np.int64)
    here = np.zeros(3)
    for c in range(own0, own1):
        _put(cars, c, here, zones, zone_at, rows, bands, piece_at, n)
    for card in chosen:
        for c in range(cards.claim_at[card], cards.claim_at[card + 1]):
            slot, turned = cards.claims[c, 4], cards.claims[c, 5]
            here[0], here[1] = anchors[car, slot, 0], anchors[car, slot, 1]
            here[2] = anchors[car, slot, 2] if turned != 0 else 0.0
            _put(cards, c, here, zones, zone_at, rows, bands, piece_at, n)
    reference = np.empty(2)
    for axis in range(2):
        low, high = np.inf, -np.inf
        for i in range(corners):
            low, high = min(low, zones[i, axis]), max(high, zones[i, axis])
        reference[axis] = (low + high) / 2
        for i in range(corners):
            zones[i, axis] -= reference[axis]
    circles, arms = circles_about(zones, zone_at)
    hulls, hull_at, groups = _hulls(zones, zone_at, rows, piece_at)
    return Parts(zones, zone_at, circles, arms, piece_at, rows, bands, hulls, hull_at, groups, reference)


@compiled_bare
def _put(
    source: Shapes,
    claim: int,
    at: Array,
    zones: Array,
    zone_at: Ints,
    rows: Ints,
    bands: Array,
    piece_at: Ints,
    n: Ints,
) -> None:
    """Put one claim's pieces after the others, moved to x, y and turned; `n` counts claims, pieces and corners."""
    cosine, sine = math.cos(at[2]), math.sin(at[2])
    for p in range(source.piece_at[claim], source.piece_at[claim + 1]):
        for i in range(source.corner_at[p], source.corner_at[p + 1]):
            x, y = source.corners[i, 0], source.corners[i, 1]
            zones[n[2], 0] = at[0] + cosine * x - sine * y
            zones[n[2], 1] = at[1] + sine * x + cosine * y
            n[2] += 1
        n[1] += 1
        zone_at[n[1]] = n[2]
    for i in range(6):
        rows[n[0], i] = source.claims[claim, i]
    for i in range(5):
        bands[n[0], i] = source.bands[claim, i]
    n[0] += 1
    piece_at[n[0]] = n[1]


@compiled
def _hulls(zones: Array, zone_at: Ints, rows: Ints, piece_at: Ints) -> tuple[Array, Ints, Ints]:
    """The hulls that keep from half-planes, and what each is for."""
    points = 0
    for c in range(rows.shape[0]):
        points += rows[c, 0] == POINT
    groups = np.empty((10 + points, 4), np.int64)
    hulls, hull_at = np.empty((8 * zones.shape[0] + 64, 3)), np.zeros(11 + points, np.int64)
    some = np.empty((zones.shape[0] + 1, 2))
    n = 0
    kinds = (WALLS, WALLS, WALLS, WALLS, RAISED, WHEELS_TOO, ON_DECK, IN_BAY, ON_PLATE, ON_PLATE)
    gaps = (BODY_GAP, ZONE_GAP, NO_GAP, NO_GAP, PERSON_GAP, NO_GAP, WHEEL_GAP, NO_GAP, NO_GAP, NO_GAP)
    for g in range(10 + points):
        kind = kinds[g] if g < 10 else ON_ARM
        gap = gaps[g] if g < 10 else NO_GAP
        side = g - 1 if g in (2, 3) else 0
        number = g - 7 if g in (8, 9) else g - 10 if g >= 10 else 0
        count = 0
        for c in range(rows.shape[0]):
            if _belongs(kind, gap, side, number, rows[c, 0], rows[c, 2], rows[c, 4]):
                for i in range(zone_at[piece_at[c]], zone_at[piece_at[c + 1]]):
                    some[count, 0], some[count, 1] = zones[i, 0], zones[i, 1]
                    count += 1
        if count == 0:
            continue
        if hull_at[n] + count + 2 > hulls.shape[0]:
            longer = np.empty((2 * hulls.shape[0] + count, 3))
            longer[: hulls.shape[0]] = hulls
            hulls = longer
        hull_at[n + 1] = hull_at[n] + convex_hull(some, count, hulls[hull_at[n] :])
        groups[n, 0], groups[n, 1], groups[n, 2], groups[n, 3] = kind, gap, side, number
        n += 1
    return hulls[: hull_at[n]], hull_at[: n + 1], groups[:n]


@compiled_bare
def _belongs(kind: int, gap: int, side: int, number: int, role: int, own_side: int, own_number: int) -> bool:
    """Whether a claim is part of a hull."""
    if kind == WALLS:
        if gap == BODY_GAP:
            return role in (BODY, MIRROR)
        if gap == ZONE_GAP:
            return role == ZONE
        return role == EXIT and own_side == side
    if kind == RAISED:
        return role == PERSON
    if kind == IN_BAY:
        return role == BODY
    if kind == ON_ARM:
        return role == POINT and own_number == number
    return role == WHEEL and (kind != ON_PLATE or own_number == number)
