"""How long proof readings take, and that they stand in the plan beside the card's own minutes."""

from __future__ import annotations

import math

from attrs import evolve

from standtrue.model.procedure import Procedure, Source, Target, TargetPosition, Tolerance, Zone
from standtrue.model.setup import Instrument
from standtrue.model.site import Datum, Readings, Site, SiteInstrument
from standtrue.work.aim.reading_minutes import MINUTES_NOTE, READING_S, proof_notes, proof_s, reading_s

SITE = Site("shop", ((0.0, 0.0), (6.0, 0.0), (6.0, 9.0), (0.0, 9.0)), Datum((0.0, 0.0)))
BOARD = Target("board", "front", (3.0, 0.0, 1.2), math.pi, tolerance=Tolerance(0.02, 0.01, 0.01, 0.01, None))
CARD = Procedure("card", "forward camera", "static", Source("invented"), targets=(BOARD,))
ZONE = Zone("view", "clear", "front", ((0.0, -1.0), (3.0, -1.0), (3.0, 1.0), (0.0, 1.0)), 0.0, 2.0)


def test_each_reading_takes_what_its_instrument_takes() -> None:
    site = evolve(SITE, instruments=(SiteInstrument("long tape", "distance", 0.001, minutes=2.5),))
    assert reading_s(site, Instrument("distance", 0.001, name="long tape")) == 150.0
    assert reading_s(site, Instrument("distance", 0.001)) == READING_S


def test_three_on_the_floor_and_their_check_and_two_heights_at_least_and_at_most_six() -> None:
    assert proof_s(SITE, CARD) == (6 * READING_S, 6 * READING_S)
    least = evolve(SITE, readings=Readings(checked="least"))
    assert proof_s(least, CARD) == (4 * READING_S, 6 * READING_S)


def test_a_tie_to_the_floor_counts_at_most_once_more_and_each_position_for_itself() -> None:
    tied = evolve(CARD, zones=(ZONE,))
    assert proof_s(SITE, tied) == (6 * READING_S, 12 * READING_S)
    moved = evolve(
        CARD, targets=(evolve(BOARD, positions=(TargetPosition(BOARD.at), TargetPosition((4.0, 0.0, 1.2)))),)
    )
    assert proof_s(SITE, moved) == (12 * READING_S, 12 * READING_S)


def test_nothing_is_counted_without_tolerances_and_an_assumption_is_told() -> None:
    free = evolve(CARD, targets=(evolve(BOARD, tolerance=Tolerance()),))
    assert proof_s(SITE, free) == (0.0, 0.0)
    assert proof_notes(SITE, free) == ()
    assert proof_notes(SITE, CARD) == (MINUTES_NOTE,)
    timed = evolve(SITE, instruments=(SiteInstrument("tape", "distance", 0.001, minutes=2.0),))
    assert proof_notes(timed, CARD) == ()
    assert proof_s(timed, CARD) == (720.0, 720.0)
