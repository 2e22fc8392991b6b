"""What a move takes at least is never more than what it takes; where no door leads is found out once."""

from __future__ import annotations

import math

import pytest
from attrs import evolve

from standtrue.drive.engine import no_way_out
from standtrue.drive.question.answer import Answer, End, Mode
from standtrue.model.basics import Place
from standtrue.model.lift import Obstacle
from standtrue.model.order import OUTSIDE
from standtrue.model.site import Datum, Door, Pace, Site
from standtrue.model.vehicle import Vehicle
from standtrue.sequence.moves import NO_WAY
from standtrue.work.plan import moves as plan_moves
from standtrue.work.plan.moves import Maneuvers, Paths
from standtrue.work.plan.stances import Candidate

CAR = Vehicle("car", 4.7, 1.85, 1.85, 1.5, 2.75, 0.975, 1.55, 1.55, 0.2, 0.65, 0.15, turning_circle_m=11.0)
DOORS = (Door("left", (0.0, 4.0), (0.0, 8.0), 3.0), Door("right", (20.0, 4.0), (20.0, 8.0), 3.0))
HALL = Site(
    "hall",
    ((0.0, 0.0), (20.0, 0.0), (20.0, 12.0), (0.0, 12.0)),
    Datum((0.0, 0.0)),
    doors=DOORS,
    pace=Pace(skates_mps=(0.2, 0.4)),
)
PLACES = tuple(
    Candidate(Place(x, y, math.radians(h)), ())
    for x, y, h in ((8.0, 6.0, 0.0), (8.5, 6.6, 0.0), (12.0, 5.0, 180.0), (9.0, 6.0, 100.0))
)


@pytest.mark.parametrize("rolling", [False, True])
@pytest.mark.parametrize("driven", [False, True])
def test_no_move_is_quicker_than_its_bound(rolling: bool, driven: bool) -> None:
    moves = Maneuvers(Paths(HALL, CAR), PLACES, rolling=rolling)
    apart = []
    for start, goal in ((1, 2), (2, 3), (1, 3), (4, 1), (OUTSIDE, 3), (4, OUTSIDE)):
        low, high = moves.bound(start, goal, driven)
        found = moves.find(start, goal, driven).seconds
        assert found < NO_WAY
        assert low <= found[0]
        assert high <= found[1]
        apart.append(found[0] - low)
    if rolling:
        # With nothing in the way a car on skates goes as the bound has it: straight on, turning once.
        assert min(apart) <= 1e-4


@pytest.mark.parametrize("push", [(0.4, 0.4), (0.2, 3.0)])
def test_pushing_is_never_quicker_than_driving(push: tuple[float, float]) -> None:
    """Not even twelve metres, nor with people who could run: somebody gets in to steer and brake, too."""
    moves = Maneuvers(Paths(evolve(HALL, pace=Pace(push_mps=push)), CAR), PLACES)
    for start, goal in ((1, 2), (2, 3), (OUTSIDE, 3), (4, OUTSIDE)):
        for ask in (moves.bound, lambda s, g, d: moves.find(s, g, d).seconds):
            pushed, driven = ask(start, goal, False), ask(start, goal, True)
            # The door is chosen, and plans are compared, by the midpoint.
            assert sum(pushed) >= sum(driven) - 1e-6
    assert moves.bound(OUTSIDE, 3, False)[0] >= 50.0 + 8.0


def test_where_no_door_leads_one_search_from_all_doors_tells_for_each(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[End] = []

    def counted(site: Site, vehicle: Vehicle, place: End, mode: Mode) -> Answer | None:
        asked.append(place)
        return no_way_out(site, vehicle, place, mode)

    monkeypatch.setattr(plan_moves, "no_way_out", counted)
    fences = [
        Obstacle(f"fence at {x}", ((x, 0.0), (x + 0.1, 0.0), (x + 0.1, 12.0), (x, 12.0)), 0.0, 3.0) for x in (4.0, 15.0)
    ]
    moves = Maneuvers(Paths(evolve(HALL, obstacles=tuple(fences)), CAR), PLACES[:1])
    for driven in (True, False):
        assert moves.find(OUTSIDE, 1, driven).seconds == NO_WAY
        assert moves.find(1, OUTSIDE, driven).seconds == NO_WAY
    assert len(asked) == 1
