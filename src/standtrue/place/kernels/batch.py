"""Thousands of questions of yes or no in one compiled call.

Sites, cars and cards are packed once (`tables`); a question is a row of numbers that names them. Claims are put
together, pairs built and swept inside the compiled code, which holds no lock and knows nothing of other calls:
threads may each take a share of the rows.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from standtrue.place.kernels.bench import FIT_M, Bench, bench_for, margin_at, widest
from standtrue.place.kernels.bounds import Ints
from standtrue.place.kernels.field import Field
from standtrue.place.kernels.parts import (
    IN_BAY,
    ON_ARM,
    ON_DECK,
    ON_PLATE,
    RAISED,
    WALLS,
    WHEELS_TOO,
    Parts,
    put_together,
)
from standtrue.place.kernels.sweep import MOST_NODES, UNDECIDED, YES, sweep_field
from standtrue.place.kernels.tables import (
    ARM,
    BARS,
    BAY_EDGE,
    DECK_EDGE,
    EXIT,
    METAL_FREE,
    NONE,
    PERSON,
    PLATE,
    POINT,
    WHEEL,
    Floors,
    Shapes,
    gap_between,
)
from standtrue.plane.compiled import compiled, compiled_bare
from standtrue.plane.kernels import Array

BAND_M = 1e-9


class Asks(NamedTuple):
    """Questions, a row for each way in which one might be answered; rows of one question follow each other.

    Rows of `codes`: question; car; card set; floor; whether on decks, raised, hanging from arms; whether walls and
    ceiling are metal; where in `dealt` its lift points' arms are, or -1. Rows of `sizes`: the height that the car
    stands at, the one it was driven in at, the ceiling's; where its origin can be (x0, y0, x1, y1), and its headings,
    center and half-width: in the floor's axes. Card set s has the cards `cards[card_at[s]:card_at[s + 1]]`.
    """

    codes: Ints
    sizes: Array
    dealt: Ints
    card_at: Ints
    cards: Ints


class Sheet(NamedTuple):
    """Room for one question's pairs and walls."""

    pairs: Ints
    gaps: Array
    sides: Ints
    slacks: Array
    walls: Ints
    wall_gaps: Array
    wall_sides: Ints


@compiled
def sheet_for(pairs: int, walls: int) -> Sheet:
    """Room for so many pairs and walls."""
    return Sheet(
        np.empty((pairs, 4), np.int64),
        np.empty(pairs),
        np.empty(pairs, np.int64),
        np.zeros(pairs),
        np.empty((walls, 2), np.int64),
        np.empty(walls),
        np.empty(walls, np.int64),
    )


@compiled
def lay_out(p: Parts, f: Floors, codes: Ints, sizes: Array, dealt: Ints, halves: Array, sheet: Sheet) -> Field:
    """Every pair of one row."""
    floor, on_decks, raised, hanging, at = codes[3], codes[4] != 0, codes[5] != 0, codes[6] != 0, codes[8]
    first, past = f.thing_at[floor], f.thing_at[floor + 1]
    claims, bands, piece_at, groups = p.claims, p.bands, p.piece_at, p.groups
    things, thing_bands, gap_of, first_grown, slots = f.things, f.bands, f.gaps, f.first_grown, f.slots
    height, driven = sizes[0], sizes[1]
    pairs, gaps, sides = sheet.pairs, sheet.gaps, sheet.sides
    walls, wall_gaps, wall_sides = sheet.walls, sheet.wall_gaps, sheet.wall_sides
    plane0 = things[first, 8] if past > first else 0
    n = m = 0
    for t in range(first, past):
        kind, when = things[t, 0], things[t, 4]
        if things[t, 9] > things[t, 8]:
            for g in range(groups.shape[0]):
                side, number = groups[g, 2], groups[g, 3]
                arm = dealt[at + number] if groups[g, 0] == ON_ARM and at >= 0 else number
                gap = _wall_gap(groups[g, 0], groups[g, 1], arm, kind, things[t, 5], raised, hanging)
                if gap == NONE or when & (2 if side != 0 else 1) == 0:
                    continue
                for plane in range(things[t, 8], things[t, 9]):
                    walls[m, 0], walls[m, 1] = plane - plane0, g
                    wall_gaps[m], wall_sides[m] = gap_of[floor, gap], side
                    m += 1
        if things[t, 7] == things[t, 6]:
            continue
        for c in range(claims.shape[0]):
            role = claims[c, 0]
            if when & (2 if role == EXIT else 1) == 0 or (hanging and role == WHEEL) or (role == PERSON and not raised):
                continue
            bottom, top = bands[c, 0] + height * bands[c, 1], bands[c, 2] + height * bands[c, 3] + driven * bands[c, 4]
            apart = min(top, thing_bands[t, 1]) - max(bottom, thing_bands[t, 0]) <= BAND_M
            number = claims[c, 4]
            if role == POINT and at >= 0:
                number = dealt[at + number]
            gap = gap_between(
                role,
                claims[c, 1],
                claims[c, 3],
                number,
                on_decks,
                kind,
                things[t, 1],
                things[t, 2],
                things[t, 3],
                things[t, 5],
                apart,
            )
            if gap == NONE:
                continue
            side = claims[c, 2] if role == EXIT else 0
            for z in range(piece_at[c], piece_at[c + 1]):
                for s in range(things[t, 6], things[t, 7]):
                    pairs[n, 0], pairs[n, 3] = z, s
                    pairs[n, 1] = first_grown[s] + slots[floor, gap, 0]
                    pairs[n, 2] = first_grown[s] + slots[floor, gap, 1]
                    gaps[n], sides[n] = gap_of[floor, gap], side
                    n += 1
    plane1 = things[past - 1, 9] if past > first else 0
    return Field(
        p.zones,
        p.zone_at,
        p.circles,
        p.arms,
        halves,
        f.grown,
        f.grown_at,
        f.grown_lows,
        f.boxes,
        f.edges,
        f.solids,
        f.solid_at,
        f.solid_lows,
        pairs[:n],
        gaps[:n],
        sides[:n],
        sheet.slacks[:n],
        f.planes[plane0:plane1],
        walls[:m],
        wall_gaps[:m],
        wall_sides[:m],
        p.hulls,
        p.hull_at,
    )


@compiled_bare
def _wall_gap(purpose: int, gap: int, number: int, kind: int, tag: int, raised: bool, hanging: bool) -> int:
    """The number of the gap that a hull must keep from the half-planes of a thing, NONE for none."""
    if kind == BARS:
        asked = purpose == WALLS or (purpose == RAISED and raised) or (purpose == WHEELS_TOO and not hanging)
    elif kind == DECK_EDGE:
        asked = purpose == ON_DECK
    elif kind == BAY_EDGE:
        asked = purpose == IN_BAY or (purpose == WHEELS_TOO and not hanging)
    elif kind == PLATE:
        asked = purpose == ON_PLATE and number == tag
    else:
        asked = kind == ARM and purpose == ON_ARM and number == tag
    return gap if asked else NONE


@compiled_bare
def _under_ceiling(p: Parts, sizes: Array, metal: bool, raised: bool, hanging: bool) -> bool:
    """Whether nothing that is claimed reaches through the ceiling."""
    for c in range(p.claims.shape[0]):
        role, needs = p.claims[c, 0], p.claims[c, 1]
        if role == POINT or (needs == METAL_FREE and not metal):
            continue
        if (role == PERSON and not raised) or (role == WHEEL and hanging):
            continue
        if p.bands[c, 2] + sizes[0] * p.bands[c, 3] + sizes[1] * p.bands[c, 4] > sizes[2] + BAND_M:
            return False
    return True


@compiled
def _room_for(cars: Shapes, cards: Shapes, floors: Floors, asks: Asks) -> tuple[Bench, Sheet]:
    """Room for the largest of the rows, by bounds."""
    corners = pieces = 0
    for o in range(cars.claim_at.shape[0] - 1):
        first, past = cars.piece_at[cars.claim_at[o]], cars.piece_at[cars.claim_at[o + 1]]
        pieces = max(pieces, past - first)
        corners = max(corners, cars.corner_at[past] - cars.corner_at[first])
    more_pieces = more_corners = 0
    for s in range(asks.card_at.shape[0] - 1):
        p = c = 0
        for i in range(asks.card_at[s], asks.card_at[s + 1]):
            card = asks.cards[i]
            first, past = cards.piece_at[cards.claim_at[card]], cards.piece_at[cards.claim_at[card + 1]]
            p += past - first
            c += cards.corner_at[past] - cards.corner_at[first]
        more_pieces, more_corners = max(more_pieces, p), max(more_corners, c)
    solids = planes = 0
    for g in range(floors.thing_at.shape[0] - 1):
        first, past = floors.thing_at[g], floors.thing_at[g + 1]
        if past > first:
            solids = max(solids, floors.things[past - 1, 7] - floors.things[first, 6])
            planes = max(planes, floors.things[past - 1, 9] - floors.things[first, 8])
    zones, every = pieces + more_pieces, corners + more_corners
    broad = max(widest(cars.corner_at), widest(cards.corner_at))
    pairs = max(1, zones * solids)
    bench = bench_for(broad, max(widest(floors.grown_at), widest(floors.solid_at)), every, zones, pairs, planes)
    return bench, sheet_for(pairs, (zones + 10) * planes)


@compiled
def answer_rows(
    cars: Shapes,
    anchors: Array,
    cards: Shapes,
    floors: Floors,
    asks: Asks,
    halves: Array,
    first: int,
    past: int,
    verdicts: NDArray[np.int8],
    stances: Array,
) -> None:
    """Answer the questions of rows `first:past`, in `verdicts` and `stances` (the origin's x, y, heading; the row).

    A stance that fitted the row before is tried first where only the car differs.
    """
    bench, sheet = _room_for(cars, cards, floors, asks)
    domain = np.empty(6)
    together_car = together_set = -1
    last = -1
    parts = put_together(cars, 0, anchors, cards, asks.cards[:0])
    for r in range(first, past):
        codes, sizes = asks.codes[r], asks.sizes[r]
        question = codes[0]
        if verdicts[question] == YES:
            continue
        if codes[1] != together_car or codes[2] != together_set:
            together_car, together_set = codes[1], codes[2]
            chosen = asks.cards[asks.card_at[together_set] : asks.card_at[together_set + 1]]
            parts = put_together(cars, together_car, anchors, cards, chosen)
            bench.tops[2] += 1
        if not _under_ceiling(parts, sizes, codes[7] != 0, codes[5] != 0, codes[6] != 0):
            continue
        field = lay_out(parts, floors, codes, sizes, asks.dealt, halves, sheet)
        if last >= 0 and asks.codes[last, 3] == codes[3] and asks.codes[last, 2] == codes[2]:
            x, y, turn = (
                stances[asks.codes[last, 0], 0],
                stances[asks.codes[last, 0], 1],
                stances[asks.codes[last, 0], 2],
            )
            c, s = math.cos(turn), math.sin(turn)
            rx, ry = parts.reference
            off = (turn - sizes[7] + math.pi) % (2.0 * math.pi) - math.pi
            allowed = abs(off) <= sizes[8] + 1e-12
            if allowed and margin_at(field, bench, x + c * rx - s * ry, y + s * rx + c * ry, turn) >= FIT_M:
                verdicts[question] = YES
                stances[question, 0], stances[question, 1] = x, y
                stances[question, 2], stances[question, 3] = turn, r
                continue
        arm = math.hypot(parts.reference[0], parts.reference[1])
        domain[0], domain[1], domain[2], domain[3] = sizes[3] - arm, sizes[4] - arm, sizes[5] + arm, sizes[6] + arm
        domain[4], domain[5] = sizes[7], sizes[8]
        found, pose, _ = sweep_field(field, bench, domain, MOST_NODES)
        if found == YES:
            c, s = math.cos(pose[2]), math.sin(pose[2])
            rx, ry = parts.reference
            verdicts[question] = YES
            stances[question, 0] = pose[0] - c * rx + s * ry
            stances[question, 1] = pose[1] - s * rx - c * ry
            stances[question, 2], stances[question, 3] = pose[2], r
            last = r
        elif found == UNDECIDED:
            verdicts[question] = UNDECIDED
