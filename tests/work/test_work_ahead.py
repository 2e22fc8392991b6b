"""How far ahead, in plain rooms: by hand, and held to `place` on both sides of the limit."""

from __future__ import annotations

import pytest
from attrs import evolve
from work_makers import BODY_M, box, car, folder, site

from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.model.site import Door, Equipment, Gaps, Site, Void
from standtrue.place.engine import best_stance
from standtrue.work.study.ahead import WAYS, Ahead, AheadRow, card, find_ahead, target_of


def farthest(found: Ahead, support: str = "floor") -> dict[str, int | None]:
    (row,) = (r for r in found.rows if r.support == support)
    return {way: distance.most_mm for way, distance in row.distances}


def test_an_empty_hall_by_hand() -> None:
    """In a hall narrower than a car is long nothing turns: what is left of its length, less half a target and a gap.

    To the sides the same of its width. The target itself asks for no gap.
    """
    where, vehicle = site(wide=3.5, long=9.0), car(length=4.7, width=1.8)
    found = farthest(find_ahead(folder(where, (vehicle,), ()).shop(), where, [vehicle]))
    along = round((9.0 - 4.7 - BODY_M - 0.3) * 1000)
    across = round((3.5 - 1.8 - BODY_M - 0.3) * 1000)
    for way, wanted in (("ahead", along), ("behind", along), ("left", across), ("right", across)):
        # A hair more where the car stands slanted; the wheels and their gap decide nothing here.
        assert found[way] == pytest.approx(wanted, abs=60)
        assert (found[way] or 0) >= wanted


def test_a_target_stands_beyond_a_pit_but_not_in_it() -> None:
    where, vehicle = site(wide=2.2, long=12.0), car(length=4.7, width=1.8)
    pit = Void("pit", box(8.0, 0.0, 10.0, 2.2))
    found = farthest(find_ahead(folder(where, (vehicle,), ()).shop(), evolve(where, voids=(pit,)), [vehicle]))
    free = farthest(find_ahead(folder(where, (vehicle,), ()).shop(), where, [vehicle]))
    assert found["ahead"] == free["ahead"]
    wider = evolve(pit, outline=box(8.0, 0.0, 11.5, 2.2))
    barred = farthest(find_ahead(folder(where, (vehicle,), ()).shop(), evolve(where, voids=(wider,)), [vehicle]))
    # It backs up to the pit: its tail hangs over it, but for half a wheel patch and the wheel's gap.
    assert barred["ahead"] == 8000 + (1175 - 100 - 50) - 4700 - 300


@pytest.mark.parametrize("lift_x", [None, 2.0])
def test_place_agrees_on_both_sides_of_the_limit(lift_x: float | None) -> None:
    frame = Equipment("frame", "stand", footprint=box(-0.4, -0.7, 0.2, 0.7), height_m=1.9, store=box(8, 0, 9, 1))
    where = evolve(site(wide=5.0, long=9.0, lift_x=lift_x, gaps=Gaps(exit_m=0.6)), equipment=(frame,))
    vehicle = car()
    found = find_ahead(folder(where, (vehicle,), ()).shop(), where, [vehicle], equipment=frame)
    assert [r.support for r in found.rows] == (["floor"] if lift_x is None else ["floor", "lift down", "lift up"])
    for row in found.rows:
        for way, distance in row.distances:
            assert distance.most_mm is not None
            grounds, target = Grounds(where), target_of(frame)
            inside = card(target, vehicle, way, (distance.most_mm - 2) / 1000)
            outside = card(target, vehicle, way, (distance.most_mm + 3) / 1000)
            assert best_stance(grounds, vehicle, [inside], row.support).fits is Fits.YES
            assert best_stance(grounds, vehicle, [outside], row.support).fits is not Fits.YES


def test_mirrored_rooms_give_the_same_on_the_other_side() -> None:
    corner = Void("pit", box(6.0, 0.0, 9.0, 1.2))
    other = Void("pit", box(6.0, 3.8, 9.0, 5.0))
    vehicle = car()
    one, two = (
        farthest(find_ahead(folder(w, (vehicle,), ()).shop(), w, [vehicle]))
        for w in (evolve(site(wide=5.0), voids=(corner,)), evolve(site(wide=5.0), voids=(other,)))
    )
    for way, mirrored in zip(WAYS, ("ahead", "behind", "right", "left"), strict=True):
        assert abs((one[way] or 0) - (two[mirrored] or 0)) <= 1


def test_where_no_car_stands_no_target_does() -> None:
    where, vehicle = site(wide=1.7, long=9.0), car()
    found = find_ahead(folder(where, (vehicle,), ()).shop(), where, [vehicle])
    assert set(farthest(found).values()) == {None}
    assert not found.partial


def test_what_goes_through_an_open_door_is_told_with_the_doors_shut_too() -> None:
    """A hall with a door at its end: the floor outside counts, and is told apart from the hall without that door."""
    hall, vehicle = site(wide=3.5, long=9.0), car(length=4.7, width=1.8)
    door = Door("street door", (9.0, 0.5), (9.0, 3.0), 2.5, may_stand_open=True, apron=box(9, 0.5, 14, 3.0))

    def row(where: Site) -> AheadRow:
        return find_ahead(folder(where, (vehicle,), ()).shop(), where, [vehicle], supports=("floor",)).rows[0]

    alone, opened = row(hall), row(evolve(hall, doors=(door,)))
    assert alone.shut == ()
    assert dict(opened.distances)["ahead"].most_mm == pytest.approx(alone_mm(alone) + 5000, abs=60)
    assert opened.shut == alone.distances
    shut = row(evolve(hall, doors=(evolve(door, may_stand_open=False),)))
    assert (shut.distances, shut.shut) == (alone.distances, ())


def alone_mm(row: AheadRow) -> int:
    return dict(row.distances)["ahead"].most_mm or 0
