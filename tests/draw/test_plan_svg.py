"""A whole view as SVG: well formed, the same bytes again, its figures right, few names, printable on real paper."""

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
from picture_laws import faults, read_picture

from standtrue.draw.lettering import TEXT_MM, clean
from standtrue.draw.shapes import Drawing
from standtrue.draw.whole import MOST_NAMES, Floor, lay_floor
from standtrue.model.basics import Place
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.model.lift import Obstacle
from standtrue.model.procedure import Target
from standtrue.model.reader_units import Language, System
from standtrue.model.reason import Ref, because
from standtrue.model.site import Datum, Mark, Site
from standtrue.place.engine import best_stance, region
from standtrue.place.question.answer import Answer, Slice, Touch
from standtrue.show.pictures.drawn import svg_of
from standtrue.show.pictures.place import drawing_of, site_drawing
from standtrue.show.words.place import verdict
from standtrue.show.words.quantities import length
from standtrue.show.words.reader import ENGLISH, Reader

SVG = "{http://www.w3.org/2000/svg}"

CAUTIONS = ("A pit is open: guard its edge.", "The vehicle maker's current service information governs.")
NO_LIFT = because("no-lift-for-support", support="lift up")
OVERLAP = Touch(Ref("zone", "view"), Ref("wall"), "wall", -0.3, 0.0, (9.75, 2.0), (9.75, 2.0))
IN_THE_WAY = Touch(Ref("body"), Ref("obstacle", "bench"), "obstacle", 0.02, 0.05, (8.5, 0.8), (8.48, 0.8))


def laid_out(drawing: Drawing) -> Floor:
    return lay_floor(drawing, (0.0, 0.0, 240.0, 150.0), TEXT_MM)


def text_of(svg: str) -> str:
    root = ElementTree.fromstring(svg)
    return " ".join("".join(e.itertext()) for e in root.iter() if e.tag in (f"{SVG}text", f"{SVG}title", f"{SVG}desc"))


def written(svg: str) -> list[str]:
    return ["".join(e.itertext()) for e in ElementTree.fromstring(svg).iter(f"{SVG}text")]


def plan_svg(made: Answer, reader: Reader = ENGLISH, **said: Any) -> str:
    """The whole drawing of an answer."""
    return svg_of(drawing_of(made, reader, **said), reader)


def all_kinds(units: System = "metric", language: Language = "en") -> list[str]:
    reader = Reader(units, language)
    nofit = answer(fits=Fits.NO, touches=(OVERLAP,))
    nowhere = answer(place=None, fits=Fits.NO, because=(NO_LIFT,))
    tinted = (Slice(0.0, ((SITE.outline, ()),)),)
    return [
        plan_svg(answer(), reader, cautions=CAUTIONS),
        plan_svg(answer(cards=(CAMERA, RADAR)), reader, slices=tinted),
        plan_svg(nofit, reader, demonstration=True),
        plan_svg(answer(fits=Fits.NO, touches=(IN_THE_WAY,)), reader),
        plan_svg(evolve(nofit, fits=Fits.UNDECIDED), reader),
        plan_svg(nowhere, reader),
        svg_of(site_drawing(Grounds(SITE).at_rest(), reader), reader),
    ]


@pytest.mark.parametrize(("units", "language"), [("metric", "en"), ("us", "es")])
def test_every_kind_of_answer_is_well_formed_self_contained_and_the_same_again(
    units: System, language: Language
) -> None:
    for one, again in zip(all_kinds(units, language), all_kinds(units, language), strict=True):
        assert one == again
        root = ElementTree.fromstring(one)
        assert root.get("role") == "img"
        ids = {e.get("id") for e in root.iter() if e.get("id")}
        assert set((root.get("aria-labelledby") or "").split()) <= ids
        assert not [e for e in root.iter() if e.tag in (f"{SVG}script", f"{SVG}image")]
        assert not re.search(r"href|url\((?!#)|@import|<!", one)
        assert faults(read_picture(one)) == []


def test_whatever_is_there_is_drawn_and_told_and_little_of_it_is_named() -> None:
    for svg in (all_kinds()[0], svg_of(site_drawing(Grounds(SITE).at_rest()), ENGLISH)):
        said = text_of(svg)
        for name in SITE_NAMES:
            assert name in said, name
        assert not {*SITE_NAMES, "FRONT", "Legend"} & {*written(svg)} - {"bay east", "north shop"}
        assert "open pit" in written(svg)
    said, names = text_of(all_kinds()[0]), written(all_kinds()[0])
    for told in ("view", "stand for the board", "backdrop", "Marlow estate", "windshield camera", *CAUTIONS):
        assert told in said, told
    assert {"Marlow estate", "pattern board", "bench, 86 mm", "datum"} <= set(names)


@pytest.mark.parametrize("units", ["metric", "us"])
@pytest.mark.parametrize("turn_deg", [0.0, 30.0, 180.0])
def test_the_dimensions_are_those_of_the_stance(units: System, turn_deg: float) -> None:
    turn, place = math.radians(turn_deg), Place(4.0, 2.5, math.radians(90.0 + turn_deg))
    site = evolve(SITE, datum=Datum((0.25, 0.1), turn))
    names = written(plan_svg(answer(site, place=place), Reader(units)))
    # Worked by hand with complex numbers: the car looks along +up of the datum's frame, its board 2.8 m ahead of it.
    rear = complex(4.0 - 0.25, 2.5 - 0.1) * complex(math.cos(-turn), math.sin(-turn))
    for value in (abs(rear.real), abs(rear.imag), 2.8):
        assert length(value, units) in names


def test_a_car_that_stands_askew_has_both_its_axles_dimensioned() -> None:
    place = Place(4.0, 2.5, 0.2)
    chains = drawing_of(answer(place=place)).chains
    assert [c.way for c in chains] == ["right", "up", "up", "between"]
    beside = 2.5 - 0.1 + CAR.wheelbase_m * math.sin(0.2)
    assert chains[2].text == length(beside, "metric")


def test_positions_on_paper_are_to_scale_and_names_lie_where_they_may() -> None:
    made = answer()
    floor = laid_out(drawing_of(made))
    one, other = floor.paper.at((0.0, 0.0)), floor.paper.at((3.0, 4.0))
    assert math.dist(one, other) == pytest.approx(5000.0 / floor.denominator)
    assert other[1] < one[1]
    assert re.search(r"1 : \d+ at full size", " ".join(written(plan_svg(made))))


def test_names_on_the_plan_are_few_neither_overlap_nor_leave_the_sheet() -> None:
    many = tuple(
        Obstacle(f"shelf {i} with a name that goes on for quite a while", _square(x, y), 0, 2)
        for i, (x, y) in enumerate((x, y) for x in (0.4, 3.0, 6.0, 9.0, 11.0) for y in (0.5, 4.0, 8.0, 11.0))
    )
    site = Site("wide", ((0, 0), (14, 0), (14, 12), (0, 12)), Datum((0, 0)), obstacles=many)
    drawing = drawing_of(answer(site, place=Place(5.0, 6.3, 0.3)), Reader("us"))
    names = laid_out(drawing).names
    assert 3 <= len(names) <= MOST_NAMES
    assert "shelf" not in " ".join(name.text for name in names)
    assert faults(read_picture(svg_of(drawing, Reader("us")))) == []


def _square(x: float, y: float) -> tuple[tuple[float, float], ...]:
    return ((x, y), (x + 0.6, y), (x + 0.6, y + 0.5), (x, y + 0.5))


def test_what_does_not_fit_says_so_and_what_is_in_the_way() -> None:
    svg = plan_svg(answer(fits=Fits.NO, touches=(OVERLAP,)))
    names = " ".join(written(svg))
    assert "NEAREST MISS – DOES NOT FIT" in names
    assert "wall" in written(svg)
    assert "in the way: view" in text_of(svg)
    assert "300 mm" not in names, "the depth of an overlap is no figure to tell"
    assert 'class="dimension"' not in svg, "nothing is laid out by a nearest miss"
    near = plan_svg(answer(fits=Fits.NO, touches=(IN_THE_WAY,)))
    assert "bench, 20 mm; 50 mm needed" in " ".join(written(near))
    nowhere = " ".join(written(plan_svg(answer(place=None, fits=Fits.NO, because=(NO_LIFT,)))))
    assert "the site has no lift" in nowhere
    assert "NEAREST MISS" not in nowhere


def test_the_first_touch_is_marked_with_what_and_how_near() -> None:
    assert "first touch: mirror left – bench, 86 mm (50 mm needed)" in text_of(plan_svg(answer()))


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
    said = text_of(plan_svg(up, slices=cuts))
    assert "on lift lift one (up, decks at 600 mm)" in said
    assert "room for a person" in said
    assert "lift one pit: open pit" in said
    assert "decks at 600 mm" in said


def test_target_positions_follow_each_other() -> None:
    measures = drawing_of(answer(cards=(CAMERA, RADAR))).measures
    assert [(m.tag, m.name) for m in measures[2:]] == [
        ("T1", "pattern board"),
        ("T2", "reflector (position 1)"),
        ("T3", "reflector (position 2)"),
    ]
    assert measures[2].height_m == 1.2


def test_columns_are_solid_and_only_they() -> None:
    column, rack = Obstacle("column", _square(3.0, 4.0), 0.0, 4.0), Obstacle("rack", _square(6.0, 4.0), 0.0, 2.0)
    site = evolve(SITE, obstacles=(column, rack), clear_height_m=4.0)
    roles = {s.label: s.role for s in site_drawing(Grounds(site).at_rest()).shapes if s.label}
    assert (roles["column"], roles["rack"]) == ("post", "obstacle")


def test_however_much_is_told_nothing_is_cut_and_the_paper_is_real() -> None:
    notes = [f"note {i}: " + "words that take room on the sheet " * 4 for i in range(60)]
    drawing = drawing_of(answer(), notes=notes, cautions=CAUTIONS)
    svg = svg_of(evolve(drawing, notes=tuple(notes[:30])), ENGLISH)
    said = " ".join(written(svg))
    assert all(f"note {i}: " in said for i in range(30))
    assert all(f"note {i}: " in text_of(svg) for i in range(60))
    assert faults(read_picture(svg)) == []


def test_more_targets_than_there_is_room_for_stay_in_the_words() -> None:
    many = tuple(Target(f"board {i}", "front", (2.0 + 0.031 * i, -1.5 + 0.037 * i, 1.0), math.pi) for i in range(70))
    svg = plan_svg(answer(cards=(evolve(CAMERA, targets=many),)))
    assert "board 69" in text_of(svg)
    assert faults(read_picture(svg)) == []


UGLY = st.text(st.characters(), max_size=200) | st.text("<>&\"'\u202eش漢🚗e\u0301 \x00\x0b\ufffe", max_size=60)


@settings(derandomize=True, deadline=None, max_examples=15)
@given(UGLY, UGLY, UGLY)
def test_ugly_names_are_neither_cut_nor_break_the_drawing(one: str, two: str, three: str) -> None:
    site = evolve(
        SITE, name=one, obstacles=(Obstacle(two, SITE.obstacles[0].outline, 0, 1),), marks=(Mark(three, (9.0, 4.5)),)
    )
    svg = plan_svg(answer(site), title=three, notes=(two,), cautions=(one,))
    said = text_of(svg)
    for name in (one, two, three):
        assert clean(name) in said
    assert faults(read_picture(svg)) == []


def test_a_plan_prints_on_one_page_of_its_paper(tmp_path: Path) -> None:
    drawings = [evolve(drawing_of(answer(), demonstration=True), paper=paper) for paper in ("letter", "a4")]
    sheets = "".join(
        f"<style>@page {name} {{ size: {size}; margin: 0 }} .{name} {{ page: {name}; break-after: page }} "
        f"svg {{ display: block }} body {{ margin: 0 }}</style><div class={name}>{svg_of(drawing, ENGLISH)}</div>"
        for drawing, (name, size) in zip(drawings, (("letter", "11in 8.5in"), ("a4", "297mm 210mm")), strict=True)
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
    assert [(round(float(w)), round(float(h))) for w, h in pages] == [(792, 612), (842, 595)]
