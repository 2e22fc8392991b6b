"""The adviser's sheet of a study of the demonstration shop, its names made long, in all four versions."""

from __future__ import annotations

from pathlib import Path

import pytest
from attrs import evolve
from paper_makers import hold_together, read

from standtrue.demo import write_demo
from standtrue.documents import read_folder
from standtrue.draw.backends.pdf import PAPER_SIZES, PaperSize
from standtrue.model.reader_units import System
from standtrue.model.study import Study
from standtrue.show.sheets.room.make import make_room_sheet
from standtrue.show.sheets.room.sheet import AdviserSheet, adviser_pdf
from standtrue.show.words.reader import Reader
from standtrue.work.sheet.room import MOST_DRAWN, find_room_sheets
from standtrue.work.study.answer import StudyAnswer
from standtrue.work.study.studies import find_study

LONG = "of the long name that a careful owner gives to things Wm Wm"
RENAMED = ("Tavlin Corrow", "surround-view mats", "rolling bench", "flush lift", "rear collision", "Tanbark Row")
KEPT = ("rear collision", "wheel alignment")


@pytest.fixture(scope="module", params=["plain", "long"])
def answer(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> StudyAnswer:
    """Two cars of the mix and two kinds of order are enough to have something lost and something won back."""
    folder = tmp_path_factory.mktemp("shop")
    write_demo(folder)
    for file in folder.glob("*.toml"):
        text = file.read_text()
        for name in RENAMED if request.param == "long" else ():
            text = text.replace(f'"{name}"', f'"{name} {LONG}"')
        file.write_text(text)
    found = read_folder(folder)
    assert not found.faults
    (study,) = found.studies.values()
    (mix,) = found.mixes.values()
    cars = tuple(v for v in mix.vehicles if v.vehicle.startswith(("Tavlin Corrow", "Oskerra Nib")))
    found = evolve(found, mixes={mix.name: evolve(mix, vehicles=cars)})
    return find_study(found.shop(), _smaller(study), places=False)


def _smaller(study: Study) -> Study:
    return evolve(study, work=tuple(w for w in study.work if w.name.startswith(KEPT)))


def sheet_of(answer: StudyAnswer, units: System) -> AdviserSheet:
    (content,) = find_room_sheets(answer)
    return make_room_sheet(answer, content, Reader(units), "November 25, 2026")


@pytest.mark.parametrize("units", ["metric", "us"])
def test_its_pages_cut_nothing_and_the_same_every_time(answer: StudyAnswer, units: System, tmp_path: Path) -> None:
    sheet = sheet_of(answer, units)
    again = sheet_of(answer, units) if units == "us" else sheet
    for paper in PAPER_SIZES:
        pdf = adviser_pdf(sheet, paper)
        got = read(tmp_path, pdf)
        hold_together(got, sheet)
        assert len(got.sizes_pt()) <= (3 if LONG in sheet.title else 2)
        assert pdf == adviser_pdf(again, paper)


def test_today_and_the_changes_stand_beside_each_other(answer: StudyAnswer) -> None:
    sheet = sheet_of(answer, "us")
    (room,) = answer.rooms
    today, best, *others = sheet.scenarios
    assert today.share == room.tally.whole.share
    assert best.share == max(c.tally.whole.share for c in room.changes)
    assert all(today.share < s.share <= best.share for s in others)
    assert [s.picture is not None for s in sheet.scenarios] == [i < MOST_DRAWN for i in range(len(sheet.scenarios))]
    assert today.picture is not None
    assert best.picture is not None
    assert "NEAREST MISS" in today.picture.caption
    assert "NEAREST MISS" not in best.picture.caption
    drawn = today.picture.caption.split(";")[0]
    assert best.picture.caption.startswith(drawn), "the same car at the same card, before and after"
    assert all(s.stances for s in sheet.scenarios)


def test_every_figure_of_the_sheet_is_the_answers(answer: StudyAnswer) -> None:
    sheet = sheet_of(answer, "metric")
    (room,) = answer.rooms
    assert [(r.name, r.shares[0]) for r in sheet.by_order] == [(s.name, s.share) for s in room.tally.by_order]
    assert [(r.name, r.shares[0]) for r in sheet.by_card] == [(c.card, c.any_support.share) for c in room.tally.by_card]
    assert [(s.what, s.orders_lost, s.orders_won) for s in sheet.stops] == [
        (s.stop.what.name, s.stop.lost, s.won) for s in room.stops
    ]
    assert any("pit is open" in c for c in sheet.cautions), "the room has one"
    assert {s.card for s in sheet.sources} == {c.key for c in answer.cards}
    assert sheet.demonstration


def test_a_partial_answer_says_so_on_paper(answer: StudyAnswer, tmp_path: Path) -> None:
    sheet = sheet_of(evolve(answer, partial=True), "metric")
    paper: PaperSize = "letter"
    got = read(tmp_path, adviser_pdf(sheet, paper))
    assert "stopped before its end" in " ".join(got.run("pdftotext", "-raw").split())
