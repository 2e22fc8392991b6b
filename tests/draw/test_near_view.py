"""Near views: nose up, names in columns whose leaders do not cross, nothing over anything else or off the page."""

from __future__ import annotations

import itertools
import math
import re
from xml.etree import ElementTree

import pytest
import shapely
from sheet_cases import content, parts

from standtrue.draw.backends.svg import SVG, document
from standtrue.draw.lettering import TEXT_MM, width_mm
from standtrue.draw.near import Near
from standtrue.draw.near_ink import NearInk
from standtrue.draw.near_layout import RING_MM, Laid, lay_near
from standtrue.model.reader_units import Language, System
from standtrue.show.pictures.near import MOST_NAMES, AtTheCar, near_view
from standtrue.show.words.reader import Reader
from standtrue.work.sheet.content import CardPart

SIZES = ((94.0, 100.0), (121.0, 150.0))
READERS: tuple[tuple[System, Language], ...] = (("metric", "en"), ("us", "en"), ("us", "es"))


def at(part: CardPart) -> AtTheCar:
    return AtTheCar(part.answer, tuple(layout.place for layout in part.targets), part.readings, part.chalk)


def views() -> list[tuple[str, Near]]:
    return [
        (f"{part.card.key} {units} {language}", near_view(at(part), Reader(units, language), "To lay out"))
        for part in parts(content(planned=False))
        for units, language in READERS
    ]


@pytest.fixture(scope="module")
def laid() -> list[tuple[str, Laid]]:
    return [(f"{name} {size}", lay_near(near, *size)) for name, near in views() for size in SIZES]


def test_no_two_leaders_cross_and_none_runs_through_a_name(laid: list[tuple[str, Laid]]) -> None:
    for told, one in laid:
        for a, b in itertools.combinations(one.names, 2):
            assert not shapely.LineString(a.leader).intersects(shapely.LineString(b.leader)), (told, a.name, b.name)
            for line, box in ((a, b), (b, a)):
                assert not shapely.LineString(line.leader).intersects(shapely.box(*box.box)), (told, a.name, b.name)


def test_leaders_end_level_and_slant_at_45_degrees(laid: list[tuple[str, Laid]]) -> None:
    seen = 0
    for told, one in laid:
        for name in one.names:
            edge, turn, spot = name.leader
            assert edge[1] == turn[1], told
            assert abs(abs(spot[0] - turn[0]) - abs(spot[1] - turn[1])) < 1e-6, told
            assert (turn[0] - edge[0]) * (spot[0] - edge[0]) >= 0.0, "it does not turn back"
            seen += 1
    assert seen > 20


def test_names_tags_figures_and_numbers_do_not_overlap(laid: list[tuple[str, Laid]]) -> None:
    for told, one in laid:
        boxes = [n.box for n in one.names]
        for a, b in itertools.combinations(boxes, 2):
            assert not _meet(a, b), told
        for a, b in itertools.combinations([r.box for r in one.rings], 2):
            assert math.dist(a[:2], b[:2]) > RING_MM, (told, "a tape's number can be read beside every other")
        for name in boxes:
            assert all(not _meet(name, r.box) for r in one.rings), told


def test_figures_of_dimensions_are_clear_of_dots_and_of_each_other(laid: list[tuple[str, Laid]]) -> None:
    figures = 0
    for told, one in laid:
        boxes = [d.box for d in one.dimensions]
        for a, b in itertools.combinations(boxes, 2):
            assert not _meet(a, b), told
        for box in boxes:
            figures += 1
            for name in one.names:
                assert not shapely.Point(name.leader[-1]).intersects(shapely.box(*box)), (told, name.name.text)
    assert figures > 50


def test_nothing_runs_off_the_page_with_the_widest_font(laid: list[tuple[str, Laid]]) -> None:
    for told, one in laid:
        drawing = ElementTree.fromstring(document((one.width, one.height), NearInk(SVG, one).everything()))
        for text in drawing.iter("{http://www.w3.org/2000/svg}text"):
            words, x = "".join(text.itertext()), float(text.attrib["x"])
            size = float(text.attrib.get("font-size", TEXT_MM))
            assert size >= TEXT_MM * 0.999 >= 9 / 72 * 25.4, (told, words)
            wide = width_mm(words, size, text.attrib.get("font-weight") == "bold")
            left = x - wide * {"start": 0.0, "middle": 0.5, "end": 1.0}[text.attrib.get("text-anchor", "start")]
            assert left > -0.6, (told, words)
            assert left + wide < one.width + 0.6, (told, words)


def test_the_nose_points_up_and_left_is_the_cars_left() -> None:
    for part in parts(content(planned=False)):
        near = near_view(at(part), Reader(), "t")
        one = lay_near(near, *SIZES[0])
        place, car = part.answer.place, part.answer.vehicle
        assert place is not None
        ahead = (place.x_m + math.cos(place.heading_rad), place.y_m + math.sin(place.heading_rad))
        left = (place.x_m - math.sin(place.heading_rad), place.y_m + math.cos(place.heading_rad))
        here = one.paper.at((place.x_m, place.y_m))
        k = 1000.0 / one.denominator
        assert one.paper.at(ahead) == pytest.approx((here[0], here[1] - k), abs=1e-6)
        assert one.paper.at(left) == pytest.approx((here[0] - k, here[1]), abs=1e-6)
        assert car.length_m * k < one.height, "the whole car is on it"


def test_every_tape_has_its_number_and_runs_between_its_points() -> None:
    for part in parts(content(planned=False)):
        near = near_view(at(part), Reader("us"), "t")
        by_number = {str(r.number): r for r in part.readings}
        assert {n for n, r in by_number.items() if r.reading.what == "distance"} <= {t.number for t in near.tapes}
        for tape in near.tapes:
            planned = by_number[tape.number]
            if planned.reading.what == "offset" or planned.reading.plumbed:
                # A bob hangs along gravity and the view is drawn square to the floor, which falls by less than 1 in
                # 1,000 here: a point 0.5 m up lands less than half a millimeter beside where it is drawn.
                assert math.dist(tape.start, tape.end) == pytest.approx(abs(planned.value), abs=5e-4)
        one = lay_near(near, *SIZES[0])
        assert {r.tape.number for r in one.rings} == {t.number for t in near.tapes}, "far ones, too, end at its edge"
        for ring in one.rings:
            x0, y0, x1, y1 = one.plan
            assert x0 <= ring.at[0] <= x1
            assert y0 <= ring.at[1] <= y1


def test_it_names_a_dozen_at_most_its_targets_first_and_dimensions_are_four_at_most() -> None:
    for told, near in views():
        assert len(near.names) <= MOST_NAMES, told
        assert len(near.dimensions) <= 4, told
        assert near.names[0].bold
        one = lay_near(near, *SIZES[0])
        assert near.names[0] not in one.dropped, "the target keeps its name"


def test_dimensions_are_the_answers_own() -> None:
    part = next(p for p in parts(content(planned=False)) if p.setup)
    near = near_view(at(part), Reader(), "t")
    (ahead,) = (d for d in near.dimensions if d.along)
    assert ahead.text == "2.700 m"
    assert math.dist(ahead.start, part.targets[0].place.center[:2]) == pytest.approx(2.7, abs=0.01)


def test_black_on_white_alone() -> None:
    for _, near in views()[:6]:
        one = lay_near(near, *SIZES[0])
        drawn = document((one.width, one.height), NearInk(SVG, one).everything())
        assert set(re.findall(r"#[0-9a-fA-F]{6}", drawn)) <= {"#000000", "#ffffff"}
        assert "fill-opacity" not in drawn


def _meet(a: tuple[float, float, float, float], b: tuple[float, float, float, float]) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
