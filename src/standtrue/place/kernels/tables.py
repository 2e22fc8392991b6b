"""The tables that a compiled call reads, and at what gap a claim must keep from a thing.

The rules are those of `pairs.pairs_of`, which says them with names for people; a test holds both together.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from standtrue.place.kernels.bounds import Ints
from standtrue.place.kernels.field import COARSE_M, SAGITTA_M, grow_piece, grown_room
from standtrue.plane.compiled import compiled, compiled_bare
from standtrue.plane.kernels import Array

BODY, MIRROR, WHEEL, PERSON, EXIT, ZONE, POINT = range(7)


CLEAR, METAL_FREE, WALK, STAND = range(4)


BARS, SOLID, VOID_STAND, VOID_WHEEL, PATCH, RAMP, DECK_EDGE, BAY_EDGE, ARM, PLATE = range(10)
"""What a thing is: a wall or hole, anything else solid, a void for stands or for wheels and people, and so on."""


NONE, NO_GAP, BODY_GAP, WHEEL_GAP, ZONE_GAP, PERSON_GAP = range(-1, 5)


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


@compiled_bare
def gap_between(
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


@compiled
def grow_all(solids: Array, solid_at: Ints, ground_of: Ints, widths: Array, slots: Ints) -> tuple[Array, Ints, Ints]:
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
