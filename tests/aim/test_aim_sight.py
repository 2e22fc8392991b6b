"""Whether hands can take a reading: against brute force in random rooms, and in cases that can be told by looking."""

from __future__ import annotations

import math
from collections.abc import Iterator

import aim_makers as make
import aim_rooms
import pytest
from attrs import evolve
from sight_oracle import Oracle

from standtrue.aim.bodies import Reading
from standtrue.aim.candidates import target_candidates, tie_candidates
from standtrue.aim.planning import plan_setup
from standtrue.aim.scene import Scene
from standtrue.aim.sight import Sight, View, wheel_of
from standtrue.demo import demo_files
from standtrue.documents import gather, load_text
from standtrue.model.anchors import anchor_frame
from standtrue.model.basics import Outline, Place
from standtrue.model.ground import Ground, Grounds
from standtrue.model.lift import Obstacle
from standtrue.model.reason import Ref
from standtrue.model.setup import LINES, CarPoint, Instrument
from standtrue.model.site import Door, Equipment, Mark, Void

TAPE = Instrument("distance", 0.001, plumbed=True)
STRAIGHT = Instrument("distance", 0.001)
LINE = Instrument("offset", 0.001, lines=("thrust line",))
STAFF = Instrument("height", 0.001)
LEVEL = Instrument("lean", math.radians(0.05))
BAG = (TAPE, STRAIGHT, LINE, STAFF, LEVEL)


def every_reading(scene: Scene) -> list[Reading]:
    """All that could be read, whether hands can or not."""
    found = [c for t in scene.targets for c in target_candidates(scene, t, BAG, None, tied=True)]
    found += tie_candidates(scene, BAG, None)
    return list(dict.fromkeys(c.reading for c in found))


def held_against_brute_force(seeds: range) -> tuple[int, int]:
    """How many readings are clear and how many are stopped, where both ways of looking agree."""
    clear = stopped = 0
    for seed in seeds:
        scene, ground = aim_rooms.random_scene(seed)
        oracle, readings = Oracle(scene, ground), every_reading(scene)
        for reading, view in zip(readings, Sight(scene, ground).views(readings), strict=True):
            if view.stopped_by:
                stopped += 1
                assert oracle.meets(reading, skin_m=-0.012), (seed, reading, view.stopped_by)
            else:
                clear += 1
                assert not oracle.meets(reading), (seed, reading)
    return clear, stopped


def planned_in_the_clear(seeds: range) -> int:
    """How many readings are asked for in random rooms: none of them meets a solid."""
    asked = 0
    for seed in seeds:
        scene, ground = aim_rooms.random_scene(seed)
        oracle = Oracle(scene, ground)
        plan = plan_setup(scene, (TAPE, LINE, STAFF, LEVEL), True, Sight(scene, ground))
        for one in plan.planned:
            view = one.candidate.view
            assert view is not None
            met = oracle.meets(one.reading, frames=not view.before_frames)
            assert not met, (seed, one.reading, met)
            asked += 1
    return asked


def test_no_way_that_is_called_clear_meets_a_solid_in_random_rooms() -> None:
    clear, stopped = held_against_brute_force(range(12))
    assert clear > 150
    assert stopped > 150


def test_no_reading_of_a_plan_meets_a_solid_in_40_random_rooms() -> None:
    assert planned_in_the_clear(range(100, 140)) > 200


def seen(reading: Reading, *things: Obstacle, pit: Outline | None = None) -> View:
    """How one reading runs in the makers' room with these things in it."""
    voids = () if pit is None else (Void("pit", pit),)
    site = evolve(make.SITE, obstacles=things, voids=voids)
    scene = evolve(make.scene(), site=site)
    return Sight(scene, Grounds(site).at_rest()).view(reading)


def on_floor(start: str, end: str) -> Reading:
    return Reading("distance", (start,), (end,), 0.0, 0.001, plumbed=True)


def box(x0: float, y0: float, x1: float, y1: float) -> Outline:
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


# In the makers' room the car stands at (3, 2) and looks up the room; the board is 6 m ahead, its ends at y = 8.
CLEAR = on_floor("hub front left", "board left")


def test_a_column_stops_a_tape_and_is_named() -> None:
    assert seen(CLEAR).stopped_by == ()
    assert seen(CLEAR, Obstacle("column", box(2.2, 6.0, 2.5, 6.3), 0.0, 4.0)).stopped_by == (Ref("obstacle", "column"),)


def test_a_door_that_stands_shut_is_named_and_the_wall_only_where_the_tape_meets_that() -> None:
    """Marks stand beyond the room's upper wall, 1 m behind its door and 1 m behind the wall beside it."""
    door = Door("gate", (5.5, 12.0), (3.5, 12.0), 3.0, may_stand_open=True, apron=box(0.0, 12.0, 6.0, 15.0))
    marks = (Mark("through the door", (4.5, 13.0)), Mark("through the wall", (0.5, 13.0)))
    site = evolve(make.SITE, doors=(door,), marks=(*make.SITE.marks, *marks))
    scene, grounds = evolve(make.scene(), site=site), Grounds(site)
    readings = [on_floor(mark.name, at) for mark, at in zip(marks, ("C", "D"), strict=True)]
    shut = Sight(scene, grounds.at_rest()).views(readings)
    assert [view.stopped_by for view in shut] == [(Ref("closed door", "gate"),), (Ref("wall"),)]


def test_what_hangs_stops_no_tape_on_the_floor_but_a_straight_one() -> None:
    beam = Obstacle("beam", box(2.0, 6.0, 2.6, 6.3), 0.6, 1.2)
    high = Reading("distance", ("hub front left",), ("board left",), 0.0, 0.001)
    assert seen(CLEAR, beam).stopped_by == ()
    assert Ref("obstacle", "beam") in seen(high, beam).stopped_by


def test_a_tape_over_a_pit_says_so_and_none_ends_in_it() -> None:
    crossed = seen(CLEAR, pit=box(1.5, 6.0, 4.5, 7.0))
    assert (crossed.stopped_by, crossed.over) == ((), (Ref("void", "pit"),))
    ended = seen(CLEAR, pit=box(1.5, 7.0, 4.5, 9.0))
    assert ended.stopped_by == (Ref("void", "pit"),)


def test_no_line_is_chalked_over_a_pit() -> None:
    offset = Reading("offset", LINES["thrust line"], ("board",), 0.0, 0.001)
    assert seen(offset).stopped_by == ()
    assert seen(offset, pit=box(1.5, 6.2, 4.5, 7.0)).stopped_by == (Ref("void", "pit"),)


def test_a_diagonal_from_a_hub_runs_through_its_own_tire() -> None:
    """With the hub's face inside the tire's width, a tape that leaves inward meets the patch of the same tire."""
    assert seen(on_floor("hub front left", "board right")).stopped_by == (Ref("wheel front left"),)
    assert seen(on_floor("hub rear left", "board left")).stopped_by == (Ref("wheel front left"),)


def test_a_wheel_center_lies_under_its_tire() -> None:
    assert Ref("wheel rear left") in seen(on_floor("wheel rear left", "board")).stopped_by


def test_a_string_along_the_side_passes_both_of_its_tires() -> None:
    view = seen(Reading("offset", LINES["left string"], ("board left",), 0.0, 0.001))
    assert view.stopped_by == ()
    assert not view.under_car


def test_a_tape_below_the_car_is_told() -> None:
    site = evolve(make.SITE, marks=(*make.SITE.marks, Mark("behind", (3.0, 0.3))))
    scene = evolve(make.scene(), site=site)
    view = Sight(scene, Grounds(site).at_rest()).view(on_floor("behind", "front of the car"))
    assert view.under_car


def test_the_wheel_of_a_point() -> None:
    assert wheel_of("hub front left") == wheel_of("left string front") == "wheel front left"
    assert wheel_of("board left") is None


def test_lines_of_the_demonstration_that_cross_tires_are_not_asked_for() -> None:
    """From the wheels' centers and the hubs to every target's center and ends: many meet a tire, none that is clear."""
    crossing = clear = 0
    for scene, ground in demonstrated():
        oracle, sight = Oracle(scene, ground), Sight(scene, ground)
        lines = [on_floor(h, p) for h in scene.at_car.reachable for t in scene.targets for p in (t.name, *t.sides)]
        for line, view in zip(lines, sight.views(lines), strict=True):
            tires = {name for name in oracle.meets(line) if name.startswith("tire")}
            crossing += bool(tires)
            clear += not view.stopped_by
            assert not (tires and not view.stopped_by)
    assert crossing >= 18
    assert clear >= 18


def demonstrated() -> Iterator[tuple[Scene, Ground]]:
    """Every card of the demonstration with targets, at the first car that has what it names, on a wide floor."""
    shop = gather(load_text(content, name) for name, content in demo_files().items())
    site = next(iter(shop.sites.values()))
    wide = evolve(make.SITE, outline=box(-30.0, -30.0, 30.0, 30.0), equipment=site.equipment, readings=site.readings)
    for card in shop.procedures:
        fit = (
            c for c in shop.vehicles.values() if all(anchor_frame(t.anchor, t.turned, card, c) for t in card.targets)
        )
        car = next(fit, None) if card.targets else None
        if car is not None:
            scene = Scene(card, car, wide, Place(0.0, 0.0, 0.0))
            yield scene, Grounds(wide).resolve({}, (), frozenset(e.name for e in site.equipment))


@pytest.mark.long
def test_no_reading_of_a_plan_meets_a_solid_in_500_random_rooms() -> None:
    assert planned_in_the_clear(range(1000, 1500)) > 2500


def test_what_was_read_is_not_questioned_for_a_frame_that_may_stand_farther_back() -> None:
    """Hubs 80 and 110 mm out make the string run askew, and the tape square to it 15 mm behind the far end's face."""
    stand = Equipment("frame", "target frame", footprint=box(-0.3, -0.7, 0.1, 0.7), height_m=2.0)
    site = evolve(make.SITE, equipment=(stand,))
    measured = (CarPoint("hub rear left", 0.110, 0.002), CarPoint("hub front left", 0.080, 0.002))
    card = make.card(evolve(make.BOARD, equipment="frame"))
    scene = evolve(make.scene(), card=card, site=site, measured=measured)
    across = Reading("offset", LINES["left string"], ("board right",), 0.0, 0.0005)
    ground = Grounds(site).at_rest()
    assert Sight(scene, ground).view(across).stopped_by == (Ref("target equipment", "frame", of="board"),)
    assert Sight(scene, ground, gives_m=0.1).view(across).stopped_by == ()
