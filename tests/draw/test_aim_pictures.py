"""Pictures of aiming: heights of a floor, and what to shift. All invented."""

from __future__ import annotations

import math
from xml.etree import ElementTree

import pytest
from draw_makers import CAMERA, CAR, SITE, STANCE

from standtrue.aim.floor import SurveyedFloor
from standtrue.aim.floor_bands import level_floor
from standtrue.aim.layout import target_places
from standtrue.draw.shapes import Drawing, Shape
from standtrue.model.basics import DocumentMark
from standtrue.model.basis import Basis
from standtrue.model.cautions import CAUTIONS
from standtrue.model.ground import Grounds
from standtrue.model.reader_units import System
from standtrue.model.survey import SurveyPoint
from standtrue.show.pictures.heights import MOST_LINES, CarThere, FloorPicture, contour_step, floor_drawing, floor_svg
from standtrue.show.pictures.shifts import EXAGGERATED, Shift, arrow_shape
from standtrue.show.words.reader import ENGLISH, Reader

PLACES = target_places(CAMERA, CAR, STANCE, 0.002)


def surveyed(rise_m: float = 0.009) -> SurveyedFloor:
    """A plane that rises along x over 8 m of the site, from a level of its own."""
    points = [(0.5 + 2.0 * i, y) for i in range(5) for y in (0.5, 2.5, 4.5)]
    return SurveyedFloor([SurveyPoint((x, y), 1.5 + rise_m * (x - 0.5) / 8.0, 0.0005) for x, y in points])


def picture(floor: SurveyedFloor) -> FloorPicture:
    shims = (("wheel rear left", 0.003), ("wheel front left", 0.0))
    return FloorPicture(
        "Heights", floor, Grounds(SITE).at_rest(), level_floor(floor, 0.004, SITE.outline),
        CarThere(CAR, STANCE, shims), (("Site", "north shop"),), "It rises.", ("a note",),
        Basis((DocumentMark("survey", "s", "0" * 64, True),), cautions=CAUTIONS),
    )  # fmt: skip


def of_role(plan: Drawing, role: str) -> list[Shape]:
    return [s for s in plan.shapes if s.role == role]


@pytest.mark.parametrize("units", ["metric", "us"])
def test_the_floor_is_drawn_whole_and_the_same_again(units: System) -> None:
    drawn = floor_svg(picture(surveyed()), Reader(units))
    assert drawn == floor_svg(picture(surveyed()), Reader(units))
    text = "".join(ElementTree.fromstring(drawn).itertext())
    told = (
        "INVENTED DEMONSTRATION DATA",
        "Heights",
        "It rises.",
        "a note",
        "line of equal height",
        "lowest",
        "highest",
        "floor that was not surveyed",
        "uneven floor",
        "1 document",
        ENGLISH.reason(CAUTIONS[0].reason),
    )
    for said in told:
        assert said in text


def test_lines_of_equal_height_lie_where_the_plane_has_that_height() -> None:
    """9 mm over 8 m: the line of 3 mm lies at x = 0.5 + 8 / 3 m, from end to end of the survey."""
    plan = floor_drawing(picture(surveyed()))
    lines = {s.label: s.lines for s in of_role(plan, "contour")}
    assert list(lines)[:8] == [f"{mm} mm" for mm in range(1, 9)]
    (line,) = lines["3 mm"]
    assert [p[0] for p in line] == pytest.approx([0.5 + 8.0 / 3.0] * len(line))
    assert sorted({round(p[1], 6) for p in (line[0], line[-1])}) == [0.5, 4.5]
    ends = [s.label for s in of_role(plan, "survey point") if s.label]
    assert {"lowest", "highest, 9 mm"} == set(ends)
    assert [s.label for s in of_role(plan, "wheel")].count("shim 3 mm") == 1


@pytest.mark.parametrize(("rise_m", "units", "step"), [(0.009, "metric", 0.001), (0.030, "metric", 0.005),
                                                       (0.009, "us", 0.0254 / 16), (0.9, "us", 0.1016)])  # fmt: skip
def test_a_neat_step_and_not_too_many_lines(rise_m: float, units: System, step: float) -> None:
    floor = surveyed(rise_m)
    assert contour_step(floor, units) == pytest.approx(step)
    assert len(of_role(floor_drawing(picture(floor), Reader(units)), "contour")) <= MOST_LINES + 1


def test_an_arrow_for_what_to_shift() -> None:
    arrow = arrow_shape(Shift(PLACES[0], math.pi / 2, 0.012, "12 mm to the car's left"), ENGLISH)
    (x0, y0), (x1, y1) = arrow.lines[0]
    assert (x0, y0) == PLACES[0].center[:2]
    assert (x1 - x0, y1 - y0) == pytest.approx((0.0, EXAGGERATED * 0.012))
    assert arrow.label == "pattern board: 12 mm to the car's left"
    ring = arrow_shape(Shift(PLACES[0], 0.0, 0.0, "3 mm up"), Reader("us"))
    assert ring.spots == (PLACES[0].center[:2],)
