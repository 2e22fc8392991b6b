"""Floor in a notch of what was surveyed: the heights round it say little of it, and that is told."""

from __future__ import annotations

import math

import pytest
from attrs import evolve
from work_makers import ahead, box, car, card, site

from standtrue.model.basics import Place
from standtrue.model.level import IsLevel
from standtrue.model.procedure import FloorLevel
from standtrue.model.survey import Survey, SurveyPoint
from standtrue.work.place.level import LevelFloors

ROOM = evolve(site(), outline=box(0.0, 0.0, 20.0, 20.0))
CARD = evolve(card(ahead(1.0, needs="stand")), floor_level=FloorLevel(0.010, None, ("wheel rear left",)))
L_SHAPE = [(x, y) for x in range(21) for y in range(21) if x <= 5 or y <= 5]
FLAT = Survey("laser", ROOM.name, tuple(SurveyPoint((float(x), float(y)), 0.0, 0.0005) for x, y in L_SHAPE))


@pytest.mark.parametrize(("at", "told"), [((2.5, 12.0), False), ((8.0, 8.0), True)])
def test_a_place_in_the_notch_of_an_l_is_told_to_be_taken_as_straight(at: tuple[float, float], told: bool) -> None:
    """An L of heights read every meter. Its hull holds the notch, across which no height is nearer than 3 m."""
    found = LevelFloors(FLAT, ROOM).told(CARD, car(), Place(*at, math.pi / 2))
    assert found is not None
    assert found.level is IsLevel.MET
    assert ("level-taken-straight" in [why.code for why in found.because]) is told
