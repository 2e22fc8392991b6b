"""One search from all doors at once, for places that no door leads to."""

from __future__ import annotations

from attrs import evolve
from drive_makers import CAR, at, bay, box, centered

from standtrue.drive.engine import drive, no_way_out
from standtrue.drive.question.answer import End
from standtrue.model.lift import Obstacle
from standtrue.model.site import Door, Site

LONG_M, WIDE_M = 20.0, 8.0
ENDS = (Door("left door", (0.0, 2.0), (0.0, 6.0), 3.0), Door("right door", (LONG_M, 2.0), (LONG_M, 6.0), 3.0))


def hall(*obstacles: Obstacle) -> Site:
    """A hall with a door at either end."""
    return evolve(bay(LONG_M, WIDE_M), doors=ENDS, obstacles=obstacles)


def fence(x_m: float, bottom_m: float = 0.0) -> Obstacle:
    return Obstacle(f"fence {x_m}", box(x_m, 0.0, x_m + 0.1, WIDE_M), bottom_m, 3.0)


def test_a_place_behind_two_fences_has_no_way_out_and_one_behind_a_single_fence_has() -> None:
    place = centered(10.0, WIDE_M / 2)
    assert no_way_out(hall(), CAR, place, "drive") is None
    assert no_way_out(hall(fence(6.0)), CAR, place, "drive") is None
    told = no_way_out(hall(fence(6.0), fence(14.0)), CAR, place, "drive")
    assert told is not None
    assert not told.found
    for door in ENDS:
        assert not drive(hall(fence(6.0), fence(14.0)), CAR, End(door=door.name), place, quick=True).found


def test_nothing_is_told_where_an_open_door_hangs_in_the_way_or_where_the_place_is_not_free() -> None:
    place = centered(10.0, WIDE_M / 2)
    low = Obstacle("", box(0.0, 2.0, 3.0, 6.0), 1.0, 1.2)
    site = evolve(hall(fence(6.0), fence(14.0)), doors=(evolve(ENDS[0], track=low), ENDS[1]))
    assert no_way_out(site, CAR, place, "drive") is None
    assert no_way_out(hall(), CAR, at(0.5, 0.5), "drive") is None


def test_whoever_asks_is_asked_only_where_a_search_fails_and_ends_it_by_saying_so() -> None:
    place, door = centered(10.0, WIDE_M / 2), End(door="left door")

    def asked(site: Site, gives_up: bool) -> int:
        answers: list[bool] = []

        def hopeless() -> bool:
            answers.append(gives_up)
            return gives_up

        drive(site, CAR, door, place, quick=True, hopeless=hopeless)
        return len(answers)

    assert asked(hall(), True) == 0
    assert 0 < asked(hall(fence(6.0)), True) < asked(hall(fence(6.0)), False)
