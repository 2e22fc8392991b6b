"""A slip in any reading that ties the car is told from a slip in most others, not only found."""

from __future__ import annotations

import aim_makers as make
import numpy as np
from attrs import evolve

from standtrue.aim.blunders import ALIKE, correlations
from standtrue.aim.network import Adjustment, adjust
from standtrue.aim.planning import plan_setup
from standtrue.aim.setup import check_setup
from standtrue.aim.telling_apart import MOST, PAIR, on_floor
from standtrue.model.setup import Instrument

TAPE = Instrument("distance", 0.001, plumbed=True)


def test_what_ties_the_car_is_told_apart_and_a_slip_of_60_mm_is_named_with_at_most_one_other() -> None:
    scene = make.scene()
    plan = plan_setup(scene, (TAPE,), marks=True)
    tie = dict(plan.parts)[""]
    assert on_floor(tie) <= MOST
    network = scene.network(tie.readings)
    readings = make.read(network, tie.readings, network.start, None)
    found = adjust(network, readings)
    assert isinstance(found, Adjustment)
    alike = np.abs(np.nan_to_num(correlations(found)))[: len(readings), : len(readings)]
    assert np.sum(alike > ALIKE, axis=1).max() <= PAIR
    network = scene.network(plan.readings)
    sound = make.read(network, plan.readings, network.start, None)
    for wrong in range(len(tie.readings)):
        read = [evolve(r, value=r.value + 0.060) if i == wrong else r for i, r in enumerate(sound)]
        doubt = check_setup(scene, read).doubt
        assert doubt is not None
        told = [set(suspect.readings) for suspect in doubt.suspects]
        assert len(told) <= 2
        assert any(wrong in one for one in told)
