"""The laws of pictures: that they see what breaks them, and that near views and charts keep them for every reader."""

from __future__ import annotations

import datetime
from functools import cache

import pytest
from attrs import evolve
from picture_laws import PAGES_MM, faults, read_picture
from sheet_cases import plan, shop

from standtrue.draw.backends.svg import SVG, ViewKind, document
from standtrue.draw.canvas import Pen
from standtrue.draw.lettering import TEXT_MM
from standtrue.draw.page import PAPERS_MM, Drawn, Page, page_svg
from standtrue.model.reader_units import Language, Paper, System
from standtrue.show.pictures.aim import measured_svg, targets_svg
from standtrue.show.pictures.plan_chart import plan_chart
from standtrue.show.words.reader import Reader
from standtrue.work.aim.aiming import MeasuredAnswer, judge_measured
from standtrue.work.aim.laying import TargetsAnswer, lay_targets_out

READERS: tuple[tuple[System, Language], ...] = (("metric", "en"), ("us", "en"), ("metric", "es"), ("us", "es"))


@cache
def laid_out() -> TargetsAnswer:
    return lay_targets_out(shop().shop(), shop().setups["corrow camera"])


@cache
def judged() -> tuple[MeasuredAnswer, ...]:
    return tuple(judge_measured(shop().shop(), s, datetime.date(2026, 3, 4)) for s in shop().setups.values())


@pytest.mark.parametrize(("units", "language"), READERS)
def test_near_views_and_charts_keep_the_laws_for_every_reader(units: System, language: Language) -> None:
    reader = Reader(units, language)
    drawn = [targets_svg(laid_out(), reader), *(measured_svg(one, reader) for one in judged())]
    drawn += [plan_chart(plan(job), reader) for job in ("corrow front", "nib windshield")]
    for svg in drawn:
        assert faults(read_picture(svg)) == []


@pytest.mark.parametrize(
    "name", ["Wm" * 30, "a board with a name of very many words that nobody would want to say aloud"]
)
def test_a_long_name_breaks_no_law(name: str) -> None:
    answer = laid_out()
    named = tuple(evolve(one, place=evolve(one.place, target=name)) for one in answer.targets)
    card = evolve(answer.scene.card, name=name)
    made = evolve(answer, targets=named, scene=evolve(answer.scene, card=card))
    assert faults(read_picture(targets_svg(made, Reader("us", "es")))) == []


def test_every_paper_of_a_picture_is_one_that_printers_have() -> None:
    known = {tuple(sorted(size)) for size in PAGES_MM.values()}
    for sizes in PAPERS_MM.values():
        assert [size for size in sizes[:3] if size not in known] == []


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_what_finds_no_room_takes_larger_paper_and_loses_no_word(paper: Paper) -> None:
    said = tuple(f"note {i} that must be said" for i in range(50))
    page = Page("chart", paper, "en", "T", "", (("sheet", "T"), ("scale", "")), below=said, cautions=("Take care",))
    svg = page_svg(page, lambda wide, room: Drawn((), 80.0) if wide > 0.0 and room >= 80.0 else None)
    picture = read_picture(svg)
    assert faults(picture) == []
    assert picture.size == PAPERS_MM[paper][1]
    words = {t.words for t in picture.texts}
    assert words >= {*said, "Take care"}


def test_words_that_no_paper_holds_are_refused() -> None:
    page = Page("chart", "a4", "en", "T", "", (("sheet", "T"),))
    with pytest.raises(ValueError, match="any paper"):
        page_svg(page, lambda *_: None)


def broken(*marks: str, kind: ViewKind = "near", size: tuple[float, float] = (210.0, 297.0)) -> list[str]:
    return faults(read_picture(document(size, marks, title="t", mark="m", kind=kind)))


def name(words: str, at: tuple[float, float]) -> str:
    return SVG.group([SVG.text(words, at)], kind="name")


def leader(*points: tuple[float, float]) -> str:
    return SVG.path([points], Pen(), kind="leader")


@pytest.mark.parametrize(
    ("marks", "fault"),
    [
        ((SVG.text("here", (20.0, 20.0)), SVG.text("there", (22.0, 21.0))), "over each other"),
        ((SVG.text("x" * 200, (20.0, 20.0)),), "off the page"),
        ((SVG.group([SVG.text("x" * 60, (20.0, 100.0))], turned=(-90.0, (20.0, 100.0))),), "off the page"),
        ((SVG.text("small", (20.0, 20.0), TEXT_MM - 0.3),), "too small"),
        (tuple(name(f"n{i}", (20.0, 20.0 + 6 * i)) for i in range(13)), "13 names"),
        ((leader((10.0, 10.0), (30.0, 10.0)), leader((20.0, 5.0), (20.0, 15.0))), "leaders cross"),
        ((leader((10.0, 20.0), (60.0, 20.0)), name("in the way", (20.0, 21.0))), "runs through"),
        ((leader((10.0, 10.0), (30.0, 17.0)),), "neither level"),
    ],
)
def test_a_broken_law_is_seen(marks: tuple[str, ...], fault: str) -> None:
    assert any(fault in one for one in broken(*marks)), broken(*marks)


def test_a_page_that_no_printer_has_and_a_picture_that_says_nothing_are_seen() -> None:
    assert any("no printer" in one for one in broken(size=(190.0, 246.0)))
    assert any("does not say" in one for one in broken(kind=""))


def test_what_keeps_the_laws_is_left_alone() -> None:
    kept = (leader((10.0, 10.0), (30.0, 10.0), (40.0, 20.0)), name("near it", (45.0, 30.0)))
    assert broken(*kept) == []
    moved = SVG.shifted([SVG.text("x" * 20, (-30.0, 0.0))], (50.0, 50.0))
    assert broken(moved) == []


def test_a_line_without_points_is_not_drawn() -> None:
    assert SVG.path([], Pen()) == ""
