"""The plan of a move: well formed, the same again, its turns numbered, and every leg told in words."""

from __future__ import annotations

import math
from xml.etree import ElementTree

import pytest
import shapely
from attrs import evolve

from standtrue.draw.scaled import bounds_of
from standtrue.drive.engine import drive
from standtrue.drive.path.found import Outcome
from standtrue.drive.path.swept import swept_area
from standtrue.drive.question.answer import Answer, End, Leg
from standtrue.model.basics import Place
from standtrue.model.lift import Obstacle
from standtrue.model.reader_units import System
from standtrue.model.site import Datum, Site
from standtrue.model.vehicle import Vehicle
from standtrue.show.pictures.drawn import svg_of
from standtrue.show.pictures.drive import move_drawing
from standtrue.show.words.blocks import Lines
from standtrue.show.words.drawing import told as told_of
from standtrue.show.words.drive import leg_words, move_blocks, move_verdict, searched_words
from standtrue.show.words.reader import ENGLISH, Reader
from standtrue.work.drive.drives import Driven

CAR = Vehicle("car", 4.7, 1.85, 2.05, 1.5, 2.75, 0.975, 1.55, 1.55, 0.2, 0.65, 0.15, turning_circle_m=12.8)
CABINET = Obstacle("cabinet", ((5.2, 0.0), (5.4, 0.0), (5.4, 4.88), (5.2, 4.88)), 0.0, 2.0)


def bay(*obstacles: Obstacle) -> Site:
    outline = ((0.0, 0.0), (9.0, 0.0), (9.0, 4.88), (0.0, 4.88))
    return Site("bay", outline, Datum((0.0, 0.0)), obstacles=obstacles)


def at(x_m: float, y_m: float) -> End:
    return End(Place(x_m, y_m, 0.0))


def move(site: Site, one: End, two: End) -> Driven:
    return Driven(site, CAR, one, two, drive(site, CAR, one, two))


@pytest.fixture(scope="module")
def shift() -> Driven:
    return move(bay(), at(2.0, 1.9), at(2.0, 2.9))


@pytest.fixture(scope="module")
def barred() -> Driven:
    return move(bay(CABINET), at(1.1, 1.6), at(1.1, 3.2))


@pytest.mark.parametrize("units", ["metric", "us"])
def test_well_formed_and_the_same_again(shift: Driven, barred: Driven, units: System) -> None:
    for one in (shift, barred):
        svg, again = (
            svg_of(move_drawing(one, Reader(units), cautions=("Clear people.",), demonstration=True), Reader(units))
            for _ in range(2)
        )
        assert svg == again
        root = ElementTree.fromstring(svg)
        assert root.attrib["role"] == "img"
        assert "http" not in svg.replace("http://www.w3.org/2000/svg", "")


def test_every_turn_is_numbered_measured_and_told(shift: Driven) -> None:
    plan = move_drawing(shift)
    count = shift.way.shunts
    assert count >= 1
    tags = [s.tag for s in plan.shapes if s.role == "turn"]
    assert tags == [f"C{n}" for n in range(1, count + 1)]
    steers = [s.tag for s in plan.shapes if s.role == "steer"]
    assert steers == [f"S{n}" for n in range(1, len(shift.way.steers) + 1)]
    assert steers
    assert [m.tag for m in plan.measures] == ["A", "B", *tags, *steers]
    told = told_of(plan, ENGLISH)
    for leg in shift.way.legs:
        assert leg_words(leg) in told
    for tag in tags:
        assert f"Change of direction {tag}." in told
    for tag in steers:
        assert f"Turn the wheel at {tag}." in told
    drawn = svg_of(plan, ENGLISH)
    assert all(f">{tag}</text>" in drawn for tag in (*tags, *steers)), "what a leg names is found on the floor"
    assert "Least separation" in told


def test_the_way_is_drawn_from_start_to_goal_gear_by_gear(shift: Driven) -> None:
    ways = [s for s in move_drawing(shift).shapes if s.role in ("forward", "reverse")]
    assert len(ways) == shift.way.shunts + 1
    ends = {line[k] for s in ways for line in s.lines[:1] for k in (0, -1)}
    start, goal = shift.ends
    assert min(math.dist(p, (start.x_m, start.y_m)) for p in ends) < 1e-9
    assert min(math.dist(p, (goal.x_m, goal.y_m)) for p in ends) < 1e-9


def test_the_nearest_point_is_where_the_figure_says(shift: Driven) -> None:
    nearest = shift.way.nearest
    assert nearest is not None
    assert nearest.between is not None
    # Looked for at every 5 mm of the way; the figure is proven along all of it.
    assert math.dist(*nearest.between) == pytest.approx(nearest.separation_m, abs=1e-3)
    wall = shapely.Polygon(bay().outline).exterior
    assert wall.distance(shapely.Point(nearest.between[1])) < 1e-6


def test_the_swept_area_holds_the_car_and_its_wheels_everywhere(shift: Driven) -> None:
    swept = swept_area(CAR, shift.way.poses)
    wheels = dict(swept.wheels)
    for pose in shift.way.poses[::7]:
        c, s = math.cos(pose.heading_rad), math.sin(pose.heading_rad)
        for strip, outline in [(swept.body, CAR.body), *((wheels[n], o) for n, o in CAR.wheel_patches)]:
            placed = [(pose.x_m + c * x - s * y, pose.y_m + s * x + c * y) for x, y in outline]
            assert strip.buffer(5e-3).covers(shapely.Polygon(placed))


def test_a_move_that_was_not_found_shows_what_bars_it(barred: Driven) -> None:
    plan = move_drawing(barred)
    assert plan.caption == "NO WAY FOUND"
    assert [s.label for s in plan.shapes if s.role == "barrier"] == ["cabinet"]
    assert not plan.measures
    assert "cabinet" in told_of(plan, ENGLISH)


def test_how_a_search_ended_is_not_told_for_more_than_it_is_worth(barred: Driven) -> None:
    answer = barred.way
    assert searched_words(evolve(answer, proven=True)) == "It is proven that there is none."
    tried = searched_words(evolve(answer, proven=False, outcome=Outcome.EXHAUSTED, cell_m=0.1))
    assert "at a resolution of 100 mm" in tried
    assert "might still find a way" in tried
    gave_up = searched_words(evolve(answer, proven=False, outcome=Outcome.GAVE_UP, cell_m=0.1, nodes=150_000))
    assert "gave up after 150,000 poses" in gave_up


def test_words_of_skates(shift: Driven) -> None:
    slide, turn = Leg("slide", 1.0, direction_rad=math.pi / 2), Leg("turn", 2.0, turn_rad=-0.5)
    assert "toward 90.0° from straight ahead" in leg_words(slide)
    assert "Turn 28.6° clockwise" in leg_words(turn)
    skated: Answer = evolve(shift.way, mode="skates", shunts=0)
    assert "without a change of direction" in move_verdict(skated)
    first = move_blocks(skated)[0]
    assert isinstance(first, Lines)
    assert first.lines[0] == move_verdict(skated)


def test_a_turn_as_tight_as_can_be_is_told_as_full_lock(shift: Driven) -> None:
    radius = CAR.least_radius_m
    assert radius is not None
    for leg in shift.way.legs:
        tightest = abs(abs(leg.curvature_per_m) * radius - 1.0) < 1e-3
        assert leg.full_lock == tightest
        assert ("full lock" in leg_words(leg)) == tightest
    assert any(leg.full_lock for leg in shift.way.legs)


def test_a_small_move_is_drawn_near_by_and_said_to_be() -> None:
    outline = ((0.0, 0.0), (60.0, 0.0), (60.0, 40.0), (0.0, 40.0))
    far = Obstacle("press", ((57.0, 37.0), (58.0, 37.0), (58.0, 38.0), (57.0, 38.0)), 0.0, 2.0)
    site = Site("hall", outline, Datum((0.0, 0.0), 0.3), obstacles=(far,))
    plan = move_drawing(move(site, at(12.0, 8.0), at(12.0, 9.0)))
    x0, y0, x1, y1 = bounds_of(plan)
    assert (x1 - x0) * (y1 - y0) < 0.15 * 60.0 * 40.0
    swept = [p for s in plan.shapes if s.role == "swept" for outer, _ in s.areas for p in outer]
    assert min(p[0] for p in swept) < 12.0 < max(p[0] for p in swept)
    assert "press" not in " ".join(s.meaning for s in plan.shapes)
    assert "Only the floor about the move is drawn" in " ".join(plan.notes)
    assert "Only the floor about the move is drawn" in told_of(plan, ENGLISH)


def test_from_eight_changes_of_direction_on_skates_are_proposed(shift: Driven) -> None:
    tight = Site("tight", ((0.0, 0.0), (6.5, 0.0), (6.5, 4.88), (0.0, 4.88)), Datum((0.0, 0.0)))
    ends = at(6.5 / 2 - 1.375, 1.94), at(6.5 / 2 - 1.375, 2.94)
    moved = move(tight, *ends)
    proposed = [one for one in moved.way.warnings if one.code == "skates-proposed"]
    assert moved.way.shunts >= 8
    assert [one["asked"] for one in proposed] == [8]
    seldom = evolve(tight, pace=evolve(tight.pace, skates_from=moved.way.shunts + 1))
    assert all(one.code != "skates-proposed" for one in move(seldom, *ends).way.warnings)
    assert all(one.code != "skates-proposed" for one in shift.way.warnings)


def test_how_long_any_way_is_at_least(shift: Driven) -> None:
    # Sideways by d with one heading at the least radius R, in the open: no way is shorter than the straight line, and
    # Reeds and Shepp's shortest is at most the S forward and back, two arcs of angle acos(1 - d / 4R) each way.
    radius = CAR.least_radius_m
    assert radius is not None
    at_most = 4.0 * radius * math.acos(1.0 - 1.0 / (4.0 * radius))
    assert 1.0 <= shift.way.length_at_least_m <= min(at_most + 1e-9, shift.way.length_m + 1e-9)
