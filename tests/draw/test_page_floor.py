"""The picture of a page that plays a plan: what lies over what, what is near, what each step names."""

from __future__ import annotations

import math
import re

from draw_makers import CAR, SITE, answer, box

from standtrue.draw.shapes import Drawing, Shape, area
from standtrue.draw.styles import STYLES
from standtrue.model.basics import Place
from standtrue.model.ground import Grounds
from standtrue.show.pictures.car import at_place, stance_shapes
from standtrue.show.pictures.floor import floor_shapes
from standtrue.show.pictures.page_floor import MOST_MM, MOST_POSES, READ_PX, SIZES_PX, UNDRAWN, draw_floor, swatch_svg
from standtrue.show.pictures.place import in_order
from standtrue.show.words.reader import ENGLISH

FLOOR = in_order(floor_shapes(Grounds(SITE).at_rest()))
AT = Place(4.0, 2.44, 0.0)


def plan(*own: Shape) -> Drawing:
    return Drawing("", (), "", SITE.datum, in_order([*FLOOR, *own]))


def titles(svg: str, scene: int) -> str:
    """What a step adds to the picture, in words."""
    groups = re.findall(rf'<g data-scene="{scene}" class="[^"]*off">(.*?)</g>\n', svg + "\n", re.DOTALL)
    return " ".join(t for g in groups for t in re.findall(r"<title>([^<]*)</title>", g))


def written(svg: str, scene: int) -> set[str]:
    """What a step names on the picture, at any size."""
    groups = re.findall(rf'<g data-scene="{scene}" class="off">(<g class="names".*?)</g>\n', svg + "\n", re.DOTALL)
    return {t for g in groups for t in re.findall(r">([^<]+)</text>", g)}


def test_uneven_floor_lies_under_what_stands_on_it_and_equipment_over_it() -> None:
    uneven = Shape("uneven", "uneven here", area(box(0.0, 0.0, 9.0, 4.0)), label="uneven here")
    frame = Shape("equipment", "target frame", area(box(8.6, 0.1, 9.2, 0.7)))
    svg = draw_floor(CAR, plan(), [(plan(uneven, frame), (AT,))], "the floor", ENGLISH).svg
    order = [svg.index(f"<title>{words}") for words in ("uneven here", "bench, ", "target frame")]
    assert order == sorted(order)


def test_a_step_hides_what_is_not_there_with_its_name_and_names_what_is_set_up() -> None:
    chest = next(s for s in FLOOR if s.label == "tool chest")
    moved = plan(Shape("equipment", "target frame", area(box(8.0, 2.0, 8.4, 3.0))))
    there = Drawing("", (), "", SITE.datum, tuple(s for s in moved.shapes if s != chest))
    floor = draw_floor(CAR, plan(), [(plan(), (AT,)), (there, (AT,))], "the floor", ENGLISH)
    drawn = [s for s in FLOOR if s.role not in UNDRAWN]
    assert floor.scenes[0].hidden == ()
    assert floor.scenes[1].hidden == (drawn.index(chest),)
    assert "target frame" in titles(floor.svg, 1)
    assert "tool chest" not in titles(floor.svg, 1)
    assert "target frame" in written(floor.svg, 1)
    assert "target frame" not in written(floor.svg, 0)
    assert floor.key == ("equipment",)


def test_names_are_placed_for_every_width_at_reading_size_and_pits_are_named_in_all() -> None:
    floor = draw_floor(CAR, plan(), [(plan(), (Place(6.0, 1.0, 0.0),)), (None, ())], "the floor", ENGLISH)
    sets = re.findall(r'<g class="names" data-mm="([0-9.]+)">(.*?)</g></g></g>', floor.svg)
    sizes = [float(mm) for mm, _ in sets]
    assert len(sizes) == 2 * len(SIZES_PX)
    for mm, px in zip(sizes, SIZES_PX * 2, strict=True):
        assert math.isclose(mm * px / floor.size[0], READ_PX, rel_tol=0.01)
    assert all("old pit: open pit" in " ".join(re.findall(r">([^<]+)<", told)) for _, told in sets)


def test_the_near_view_holds_the_car_and_what_is_set_up() -> None:
    shapes = tuple(stance_shapes(answer(), AT, ENGLISH))
    meter = (Place(1.0, 1.0, 0.0), Place(2.0, 1.0, 0.0))
    floor = draw_floor(CAR, plan(), [(plan(*shapes), (AT,)), (plan(), meter), (None, ())], "the floor", ENGLISH)
    wide, high = floor.size
    assert wide <= MOST_MM[0] + 1e-6
    assert high <= MOST_MM[1] + 1e-6
    x, y, w, h = floor.scenes[0].near
    assert 0 <= x <= x + w <= wide + 0.02
    assert 0 <= y <= y + h <= high + 0.02
    assert math.isclose(w / h, wide / high, rel_tol=1e-2), "the picture keeps its shape from step to step"
    k = floor.scenes[1].path[1][0] - floor.scenes[1].path[0][0]
    (at,) = floor.scenes[0].path
    targets = [p for s in shapes if s.role == "target" for p in s.spots]
    for px, py in [*at_place(CAR.body, AT), *targets]:
        assert x < at[0] + k * (px - AT.x_m) < x + w
        assert y < at[1] - k * (py - AT.y_m) < y + h
    assert floor.scenes[2].near == (0.0, 0.0, round(wide, 2), round(high, 2))
    assert "windshield" not in titles(floor.svg, 0), "the car is drawn once, and moves whole"


def test_a_long_way_is_told_in_few_poses_with_both_its_ends() -> None:
    way = tuple(Place(1.0 + 0.01 * i, 2.0, 0.002 * i) for i in range(501))
    floor = draw_floor(CAR, plan(), [(plan(), way), (plan(), way[:1]), (plan(), way[-1:])], "the floor", ENGLISH)
    path = floor.scenes[0].path
    assert len(path) <= MOST_POSES + 1
    assert (path[0], path[-1]) == (floor.scenes[1].path[0], floor.scenes[2].path[0])


def test_every_role_has_a_swatch() -> None:
    assert all("<path" in svg or "<circle" in svg for svg in map(swatch_svg, STYLES))
