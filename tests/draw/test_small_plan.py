"""The plan for one column of a sheet on paper: its size, its type, its few names, and what it says in words."""

from __future__ import annotations

import math
import re
from xml.etree import ElementTree

import pytest
from attrs import evolve
from draw_makers import SITE, answer

from standtrue.draw.backends.pdf import COLUMN_MM
from standtrue.draw.paper_styles import SMALL_STYLES
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.model.reason import Ref
from standtrue.model.site import Datum, Site
from standtrue.place.question.answer import Touch
from standtrue.show.pictures.drawn import svg_of
from standtrue.show.pictures.place import drawing_of, site_drawing
from standtrue.show.pictures.small_plan import HEIGHT_MM, small_plan
from standtrue.show.words.reader import ENGLISH, Reader

POINT_MM = 25.4 / 72
TALL = evolve(SITE, datum=Datum((0.25, 0.1), math.pi / 2))


@pytest.mark.parametrize("site", [SITE, TALL], ids=["lying", "upright"])
@pytest.mark.parametrize(("width", "height"), [(COLUMN_MM, HEIGHT_MM), (180.0, 110.0), (60.0, 40.0)])
def test_fits_its_room_in_type_of_nine_points(site: Site, width: float, height: float) -> None:

    plan = drawing_of(answer(site))
    picture = small_plan(plan, ENGLISH, width_mm=width, height_mm=height)
    wide, high = picture.size_mm
    assert wide == width
    assert high <= height
    root = ElementTree.fromstring(picture.svg)
    sizes = [float(e.attrib["font-size"]) for e in root.iter() if "font-size" in e.attrib]
    assert min(sizes) >= 9 * POINT_MM
    for text in root.iter("{http://www.w3.org/2000/svg}text"):
        assert 0 <= float(text.attrib["x"]) <= wide
        assert 0 <= float(text.attrib["y"]) <= high


def test_on_a_sheet_it_is_black_on_white_alone() -> None:
    """A sheet is copied and faxed: nothing on it is told by color."""
    for drawing in (drawing_of(answer()), site_drawing(Grounds(SITE).at_rest())):
        svg = small_plan(drawing, ENGLISH, styles=SMALL_STYLES).svg
        assert set(re.findall(r"#[0-9a-fA-F]{6}", svg)) <= {"#000000", "#ffffff"}
        assert "opacity" not in svg


def test_an_open_pit_is_named_and_what_only_stands_there_is_not() -> None:
    picture = small_plan(drawing_of(answer()), ENGLISH)
    written = re.findall(r">([^<]+)</text>", picture.svg)
    assert {"open pit", "pattern board"} <= set(written)
    assert "bench" not in written
    assert "bench" in picture.alternative


def test_says_in_words_what_it_shows() -> None:
    plan = drawing_of(answer(), Reader("us"))
    picture = small_plan(plan, Reader("us"))
    for said in (plan.title, plan.verdict, "bench", "old pit", "Scale 1 : 150"):
        assert said in picture.alternative
    assert re.search(r">\d+ ft, scale 1 : 150<", picture.svg)


def test_a_misfit_is_said_under_the_picture() -> None:
    touch = Touch(Ref("mirror left"), Ref("obstacle", "bench"), "obstacle", 0.02, 0.05, (8.5, 0.8), (8.48, 0.8))
    picture = small_plan(drawing_of(answer(fits=Fits.NO, touches=(touch,))), ENGLISH)
    assert picture.caption.startswith("NEAREST MISS – DOES NOT FIT (what is in the way is dashed)")
    assert "NEAREST MISS" not in small_plan(drawing_of(answer()), ENGLISH).caption


def test_a_floor_alone_can_be_shown() -> None:
    ground = Grounds(SITE).at_rest()
    picture = small_plan(site_drawing(ground), ENGLISH)
    assert "bench" in picture.svg + picture.caption
    assert picture.svg == small_plan(site_drawing(ground), ENGLISH).svg
    assert svg_of(site_drawing(ground), ENGLISH), "the same plan serves the full drawing"


def test_a_room_beyond_every_scale_is_refused() -> None:
    with pytest.raises(ValueError, match="larger than any scale"):
        small_plan(drawing_of(answer()), ENGLISH, width_mm=7.0)
