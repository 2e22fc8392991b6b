"""Many rooms at once: each answer is the one that it gets alone, and arrays have the axes of what was given."""

from __future__ import annotations

import numpy as np
import pytest
from door_shops import CARD, LONG, LOW, ROOM
from picture_laws import faults, read_picture

import standtrue
from standtrue.model.asking import Asking
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.place.engine import any_fit as one_alone
from standtrue.plane.shapes import polygon
from standtrue.show.words.reader import Reader
from standtrue.work.place.many import fit_many

SIZES = np.random.default_rng(16).uniform((2.2, 5.5), (4.5, 10.5), (60, 2))
"""Rooms so narrow, and so short, that some take the cars and some do not."""


def test_many_are_what_each_is_alone() -> None:
    fitting = standtrue.any_fit(SIZES, [LOW, LONG], CARD)
    assert fitting.yes.shape == (60, 2)
    for number, (wide, long) in enumerate(SIZES.tolist()):
        site = standtrue.Site("room", box=[0, 0, wide, long]).value
        for k, car in enumerate((LOW, LONG)):
            alone = one_alone(Grounds(site), car.value, list(CARD.value), "floor")
            told = [fits for fits, where in _told(fitting).items() if where[number, k]]
            assert told == [alone]
    assert 10 < fitting.yes.sum() < 110


def test_the_least_room_is_as_long_as_car_and_zone_and_gap() -> None:
    """In a room this narrow the car stands lengthways: it needs its length, the zone ahead, and the gap behind."""
    least = 4.2 + 2.5 + 0.05
    fitting = standtrue.any_fit([[3.2, least - 0.003], [3.2, least + 0.003]], LOW, CARD)
    assert fitting.yes.tolist() == [False, True]
    assert fitting.no.tolist() == [True, False]


def test_a_stance_is_in_its_room() -> None:
    fitting = standtrue.any_fit([ROOM, ROOM.but(box=[0, 0, 2, 2], doors=[], obstacles=[])], LOW, CARD)
    assert fitting.stances.shape == (2, 3)
    assert np.isnan(fitting.stances[1]).all()
    x, y, heading = fitting.stances[0]
    body = [(x + _turned(heading, p)[0], y + _turned(heading, p)[1]) for p in LOW.value.body]
    assert polygon(ROOM.value.outline).buffer(1e-6).contains(polygon(tuple(body)))


def test_rooms_by_their_corners_and_arrays_by_what_was_given() -> None:
    corners = np.array([[(0, 0), (4, 0), (4, 9), (0, 9)], [(0, 0), (3, 0), (3, 3), (0, 3)]], dtype=float)
    assert standtrue.any_fit(corners, LOW, CARD).yes.tolist() == [True, False]
    assert standtrue.any_fit(ROOM, LOW, CARD).yes.shape == ()
    assert standtrue.any_fit([ROOM], [LOW], [CARD]).yes.shape == (1, 1, 1)
    each = CARD.but(sensor={"kind": "front corner radar", "side": "each"})
    assert standtrue.any_fit(ROOM, LOW, each).yes.shape == (2,)


def test_the_data_and_the_words_say_the_same() -> None:
    fitting = standtrue.any_fit(SIZES, LOW, CARD)
    yes = int(fitting.yes.sum())
    assert [one.fits is True for one in fitting.data.answers] == fitting.yes.tolist()
    assert f"{yes} of 60" in str(fitting)
    assert f"{yes} of 60" in fitting.svg()
    for who in (Reader("metric", "en"), Reader("us", "es")):
        picture = fitting.svg(reader=who)
        assert faults(read_picture(picture)) == []
        assert len(picture) < 60_000
    assert fitting.data.demonstration


def test_what_was_not_looked_at_is_told() -> None:
    asked = CARD.but(
        floor_level="3 mm",
        targets=[{"name": "t", "equipment": "frame", "anchor": "front", "at": [2, 0, 1], "facing": 180}],
    )
    told = str(standtrue.any_fit(ROOM, LOW, asked))
    assert "how level the floor is was not looked at" in told
    assert "estimated, not measured" in told
    assert "frame" in told


def test_the_same_bytes_on_any_number_of_cores() -> None:
    sizes = np.concatenate([SIZES] * 5)
    one, three = (standtrue.any_fit(sizes, LOW, CARD, workers=workers) for workers in (1, 3))
    assert one.json() == three.json()
    assert one.svg() == three.svg()


def test_a_stop_leaves_the_last_ones_out_and_says_so() -> None:
    sites = [standtrue.Site("room", box=[0, 0, 4, 9]).value] * 300
    told = list[int]()
    asking = Asking(tell=lambda progress: told.append(progress.done), stopped=lambda: bool(told))
    many = fit_many(sites, [LOW.value], CARD.value, asking=asking)
    assert len(many.found) == 300
    assert 0 < told[-1] < 300
    assert [one.fits for one in many.found[told[-1] :]] == [Fits.UNDECIDED] * (300 - told[-1])
    assert any(limit.code == "many-left-out" for limit in many.basis.limits)


def test_a_card_that_needs_no_place_is_refused() -> None:
    with pytest.raises(standtrue.Refused, match="nothing-to-ask"):
        standtrue.any_fit(ROOM, LOW, CARD.but(method="electronic", zones=None))


def _told(fitting: standtrue.Fitting) -> dict[Fits, np.ndarray]:
    return {Fits.YES: fitting.yes, Fits.NO: fitting.no, Fits.UNDECIDED: fitting.undecided}


def _turned(heading_deg: float, point: tuple[float, float]) -> tuple[float, float]:
    c, s = np.cos(np.radians(heading_deg)), np.sin(np.radians(heading_deg))
    return c * point[0] - s * point[1], s * point[0] + c * point[1]
