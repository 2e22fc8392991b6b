"""The plan as SVG: well formed, the same bytes again, every name and figure there, printable and readable."""

from __future__ import annotations

import math
import re
import subprocess
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from attrs import evolve
from draw_makers import CAMERA, CAR, RADAR, SITE, SITE_NAMES, answer
from hypothesis import given, settings
from hypothesis import strategies as st

from standtrue.draw.lettering import clean
from standtrue.draw.shapes import Drawing
from standtrue.draw.sheet import Sheet, lay_out
from standtrue.model.basics import Place
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.model.lift import Obstacle
from standtrue.model.procedure import Target
from standtrue.model.reader_units import System
from standtrue.model.reason import Ref, because
from standtrue.model.site import Datum, Mark, Site
from standtrue.place.engine import best_stance, region
from standtrue.place.question.answer import Answer, Slice, Touch
from standtrue.show.pictures.drawn import svg_of
from standtrue.show.pictures.place import drawing_of, site_drawing
from standtrue.show.words.drawing import wording_of
from standtrue.show.words.place import verdict
from standtrue.show.words.quantities import length
from standtrue.show.words.reader import ENGLISH, Reader

SVG = "{http://www.w3.org/2000/svg}"
EIGHT_POINT_MM = 8 * 25.4 / 72
"""Eight points: a point is 1/72 inch (CSS Values and Units 4)."""

CAUTIONS = ("A pit is open: guard its edge.", "The vehicle maker's current service information governs.")
NO_LIFT = because("no-lift-for-support", support="lift up")
OVERLAP = Touch(Ref("zone", "view"), Ref("wall"), "wall", -0.3, 0.0, (9.75, 2.0), (9.75, 2.0))


def _laid_out(drawing: Drawing, reader: Reader) -> Sheet:
    return lay_out(drawing, wording_of(drawing, reader))


def _text_of(svg: str) -> str:
    root = ElementTree.fromstring(svg)
    return " ".join("".join(e.itertext()) for e in root.iter() if e.tag in (f"{SVG}text", f"{SVG}title", f"{SVG}desc"))


def _written(svg: str) -> list[str]:
    return ["".join(e.itertext()) for e in ElementTree.fromstring(svg).iter(f"{SVG}text")]


def plan_svg(made: Answer, reader: Reader = ENGLISH, **said: Any) -> str:
    """The whole drawing of an answer."""
    return svg_of(drawing_of(made, reader, **said), reader)


def _all_kinds(units: System = "metric") -> list[str]:
    reader = Reader(units)
    nofit = answer(fits=Fits.NO, touches=(OVERLAP,))
    nowhere = answer(place=None, fits=Fits.NO, because=(NO_LIFT,))
    return [
        plan_svg(answer(), reader, cautions=CAUTIONS),
        plan_svg(nofit, reader, demonstration=True),
        plan_svg(evolve(nofit, fits=Fits.UNDECIDED), reader),
        plan_svg(nowhere, reader),
        svg_of(site_drawing(Grounds(SITE).at_rest(), reader), reader),
    ]


@pytest.mark.parametrize("units", ["metric", "us"])
def test_every_kind_of_answer_is_well_formed_self_contained_and_the_same_again(units: System) -> None:
    for one, again in zip(_all_kinds(units), _all_kinds(units), strict=True):
        assert one == again
        root = ElementTree.fromstring(one)
        assert root.get("role") == "img"
        ids = {e.get("id") for e in root.iter() if e.get("id")}
        assert set((root.get("aria-labelledby") or "").split()) <= ids
        assert not [e for e in root.iter() if e.tag in (f"{SVG}script", f"{SVG}image", f"{SVG}style")]
        assert not re.search(r"href|url\((?!#)|@import|<!", one)


@pytest.mark.parametrize("units", ["metric", "us"])
def test_no_type_is_smaller_than_eight_point(units: System) -> None:
    for svg in _all_kinds(units):
        root = ElementTree.fromstring(svg)
        width, _, shown = (root.get("width") or "").partition("mm")
        assert shown == ""
        assert float((root.get("viewBox") or "").split()[2]) == float(width)
        sizes = [float(e.get("font-size") or 0) for e in root.iter() if e.get("font-size")]
        assert min(sizes) >= EIGHT_POINT_MM
        assert "scale(" not in svg


def test_a_sheet_fits_letter_and_a4() -> None:
    # Letter 215.9 x 279.4 mm (ANSI Y14.1), A4 210 x 297 mm (ISO 216), 10 mm margins.
    for svg in _all_kinds():
        root = ElementTree.fromstring(svg)
        sides = [float((root.get(side) or "").removesuffix("mm")) for side in ("width", "height")]
        assert min(sides) <= 190
        assert max(sides) <= 259
        assert sides in [sides, sides[::-1]]


def test_every_name_of_the_site_and_the_answer_is_written() -> None:
    for svg in (_all_kinds()[0], svg_of(site_drawing(Grounds(SITE).at_rest()), ENGLISH)):
        said = _text_of(svg)
        for name in SITE_NAMES:
            assert name in said, name
    said = _text_of(_all_kinds()[0])
    for name in (
        "view",
        "stand for the board",
        "backdrop",
        "pattern board",
        "Marlow estate",
        "windshield camera",
        *CAUTIONS,
    ):
        assert name in said, name


@pytest.mark.parametrize("units", ["metric", "us"])
@pytest.mark.parametrize("turn_deg", [0.0, 30.0, 180.0])
def test_the_dimensions_are_those_of_the_stance(units: System, turn_deg: float) -> None:
    turn, place = math.radians(turn_deg), Place(4.0, 2.5, math.radians(90.0 + turn_deg))
    site = evolve(SITE, datum=Datum((0.25, 0.1), turn))
    written = _written(plan_svg(answer(site, place=place), Reader(units)))
    # Worked by hand with complex numbers: the car looks along +up of the datum's frame.
    rear = complex(4.0 - 0.25, 2.5 - 0.1) * complex(math.cos(-turn), math.sin(-turn))
    front = rear + 2.75j
    board = rear + (3.7 + 2.8 + 0.1j) * 1j
    for tag, point in (("A", rear), ("B", front), ("T1", board)):
        for value in (point.real, point.imag):
            figure = length(value, units)
            assert any(re.fullmatch(rf"[A-Z0-9– ]*\b{tag}\b[A-Z0-9– ]*: {re.escape(figure)}", w) for w in written), (
                tag,
                figure,
            )
    assert any("90.0°" in w for w in written)


def test_positions_on_paper_are_to_scale() -> None:
    made = answer()
    sheet = _laid_out(drawing_of(made), ENGLISH)
    assert (sheet.width, sheet.denominator in (20, 25, 40, 50, 75, 100)) == (190.0, True)
    one, other = sheet.paper.at((0.0, 0.0)), sheet.paper.at((3.0, 4.0))
    assert math.dist(one, other) == pytest.approx(5000.0 / sheet.denominator)
    assert other[1] < one[1]
    assert f"1 : {sheet.denominator} when printed at 100 %" in _written(plan_svg(made))


def test_names_on_the_plan_neither_overlap_nor_leave_the_sheet() -> None:
    many = tuple(
        Obstacle(f"shelf {i} with a name that goes on for quite a while", _square(x, y), 0, 2)
        for i, (x, y) in enumerate((x, y) for x in (0.4, 3.0, 6.0, 9.0, 11.0) for y in (0.5, 4.0, 8.0, 11.0))
    )
    site = Site("wide", ((0, 0), (14, 0), (14, 12), (0, 12)), Datum((0, 0)), obstacles=many)
    sheet = _laid_out(drawing_of(answer(site, place=Place(5.0, 6.3, 0.3))), Reader("us"))
    boxes = [w.box for w in sheet.names]
    for i, one in enumerate(boxes):
        assert one[0] >= 0
        assert one[2] <= sheet.width
        for other in boxes[:i]:
            apart = one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]
            assert apart, (one, other)
    numbers = [w.number for w in sheet.names if w.number is not None]
    assert sorted(numbers) == list(range(1, len(numbers) + 1))


def _square(x: float, y: float) -> tuple[tuple[float, float], ...]:
    return ((x, y), (x + 0.6, y), (x + 0.6, y + 0.5), (x, y + 0.5))


def test_what_does_not_fit_says_so_and_what_is_in_the_way() -> None:
    svg = plan_svg(answer(fits=Fits.NO, touches=(OVERLAP,)))
    written = " ".join(_written(svg))
    assert "NEAREST MISS – DOES NOT FIT" in written
    assert "do not lay out" in written
    assert "in the way: view" in _text_of(svg)
    assert "300 mm" not in written, "the depth of an overlap is no figure to tell"
    nowhere = " ".join(_written(plan_svg(answer(place=None, fits=Fits.NO, because=(NO_LIFT,)))))
    assert "the site has no lift" in nowhere
    assert "NEAREST MISS" not in nowhere


def test_the_first_touch_is_marked_with_what_and_how_near() -> None:
    assert "first touch: mirror left – bench, 86 mm (50 mm needed)" in _text_of(plan_svg(answer()))


def test_the_verdict_is_one_sentence_with_its_figures() -> None:
    assert verdict(answer(), ENGLISH) == (
        "Fits on the floor: rear axle center 1.750 m along the datum's line and 2.653 m left of it, facing 0.0°; "
        "least margin 36 mm: mirror left – bench, 86 mm (50 mm needed)."
    )
    assert verdict(answer(), Reader("us")).startswith(
        "Fits on the floor: rear axle center 5 ft 8 7/8 in along the datum's line and 8 ft 8 7/16 in left of it"
    )
    assert verdict(answer(fits=Fits.NO, touches=(OVERLAP,)), ENGLISH).startswith("Does not fit on the floor: ")
    nowhere = answer(place=None, fits=Fits.NO, because=(NO_LIFT,))
    assert verdict(nowhere, ENGLISH) == f"Does not fit on the floor: {ENGLISH.reason(NO_LIFT)}."
    assert verdict(answer(fits=Fits.UNDECIDED), ENGLISH).startswith("Cannot tell on the floor")


def test_a_lift_that_is_up_shows_decks_pits_and_room_for_a_person() -> None:
    grounds = Grounds(SITE)
    up = best_stance(grounds, CAR, [CAMERA], "lift up")
    cuts = region(up, [up.shown.heading_rad]) if up.shown else ()
    said = _text_of(plan_svg(up, slices=cuts))
    assert "on lift lift one (up, decks at 600 mm)" in said
    assert "room for a person" in said
    assert "lift one pit: open pit" in said
    assert "raised lift deck" in said


def test_the_legend_lists_what_is_drawn_and_nothing_else() -> None:
    plain = _written(plan_svg(answer(evolve(SITE, patches=(), obstacles=()), cards=())))
    assert not [w for w in plain if w.startswith(("zone", "obstacle", "nothing may stand"))]
    tinted = plan_svg(answer(), slices=(Slice(0.0, ((SITE.outline, ()),)),))
    assert "rear axle center may be here" in _written(tinted)


def test_target_positions_follow_each_other() -> None:
    measures = drawing_of(answer(cards=(CAMERA, RADAR))).measures
    assert [(m.tag, m.name) for m in measures[2:]] == [
        ("T1", "pattern board"),
        ("T2", "reflector (position 1)"),
        ("T3", "reflector (position 2)"),
    ]
    assert measures[2].height_m == 1.2


def test_too_many_words_go_to_a_second_sheet_and_none_is_lost() -> None:
    notes = [f"note {i}: " + "words that take room on the sheet " * 4 for i in range(60)]
    svg = plan_svg(answer(), notes=notes, cautions=CAUTIONS)
    said = " ".join(_written(svg))
    for i in range(60):
        assert f"note {i}: " in said
    root = ElementTree.fromstring(svg)
    width, height = (float((root.get(side) or "").removesuffix("mm")) for side in ("width", "height"))
    # Where a page of either paper ends at 10 mm margins, in the direction that the sheet takes.
    breaks = (259.4, 277.0) if width == 190.0 else (190.0, 195.9)
    assert height > breaks[1]
    lines = [float(e.get("y") or 0) for e in root.iter(f"{SVG}text")]
    assert not [y for y in lines for at in breaks if y - 3.0 < at < y + 1.0]


def test_more_targets_than_the_edges_have_room_for_stay_in_the_words() -> None:
    many = tuple(Target(f"board {i}", "front", (2.0 + 0.031 * i, -1.5 + 0.037 * i, 1.0), math.pi) for i in range(70))
    written = _written(plan_svg(answer(cards=(evolve(CAMERA, targets=many),))))
    assert any(w.startswith("board 69: ") for w in written)
    assert any(w.startswith(("A: ", "A B: ")) for w in written)


UGLY = st.text(st.characters(), max_size=200) | st.text("<>&\"'\u202eش漢🚗e\u0301 \x00\x0b\ufffe", max_size=60)


@settings(derandomize=True, deadline=None, max_examples=15)
@given(UGLY, UGLY, UGLY)
def test_ugly_names_are_neither_cut_nor_break_the_drawing(one: str, two: str, three: str) -> None:
    site = evolve(
        SITE, name=one, obstacles=(Obstacle(two, SITE.obstacles[0].outline, 0, 1),), marks=(Mark(three, (9.0, 4.5)),)
    )
    said = _text_of(plan_svg(answer(site), title=three, notes=(two,), cautions=(one,)))
    for name in (one, two, three):
        assert clean(name) in said


def test_a_plan_prints_on_one_page_of_letter_and_of_a4(tmp_path: Path) -> None:
    svg = plan_svg(answer(), cautions=CAUTIONS, demonstration=True)
    sheets = "".join(
        f"<style>@page {name} {{ size: {size}; margin: 10mm }} .{name} {{ page: {name}; break-after: page }} "
        f"svg {{ display: block }} body {{ margin: 0 }}</style><div class={name}>{svg}</div>"
        for name, size in (("letter", "8.5in 11in"), ("a4", "210mm 297mm"))
    )
    page, pdf = tmp_path / "page.html", tmp_path / "page.pdf"
    page.write_text(f"<!doctype html><meta charset=utf-8>{sheets}", encoding="utf-8")
    chromium = ["chromium", "--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-sync",
                "--disable-background-networking", "--disable-component-update", "--no-pdf-header-footer"]  # fmt: skip
    subprocess.run(
        [*chromium, f"--user-data-dir={tmp_path / 'profile'}", f"--print-to-pdf={pdf}", page.as_uri()],
        check=True,
        capture_output=True,
        timeout=60,
    )
    pages = re.findall(rb"/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)", pdf.read_bytes())
    assert [(round(float(w)), round(float(h))) for w, h in pages] == [(612, 792), (595, 842)]
