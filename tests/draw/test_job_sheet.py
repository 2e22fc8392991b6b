"""The job sheet as PDF, read back with poppler: whole, legible, tagged, the same every time."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from pathlib import Path

import pytest
from attrs import evolve
from hypothesis import given, settings
from hypothesis import strategies as st
from job_sheet_makers import job_sheet, longer, order_of_work, planned_sheet
from paper_makers import Read, in_order, read, squeezed

from standtrue.draw.backends.pdf import PAPER_SIZES, PaperSize
from standtrue.model.cautions import Caution
from standtrue.model.reader_units import System
from standtrue.show.pictures.targets import targets_drawing
from standtrue.show.sheets.job.order import OrderOfWork
from standtrue.show.sheets.job.page import stance_picture
from standtrue.show.sheets.job.sheet import JobSheet, job_pdf
from standtrue.show.words import labels_aim
from standtrue.show.words.quantities import length
from standtrue.show.words.reader import ENGLISH

VERSIONS = [(paper, units) for paper in PAPER_SIZES for units in ("metric", "us")]


@pytest.mark.parametrize(("paper", "units"), VERSIONS)
@pytest.mark.parametrize("long", [False, True])
@pytest.mark.parametrize("made", [job_sheet, planned_sheet])
def test_every_version_is_whole(
    tmp_path: Path, paper: PaperSize, units: System, long: bool, made: Callable[..., JobSheet]
) -> None:
    sheet = made(units, name=longer if long else str)
    pdf = job_pdf(sheet, paper)
    assert pdf == job_pdf(made(units, name=longer if long else str), paper)
    got = read(tmp_path, pdf)
    in_order(got)
    size = (612.0, 792.0) if paper == "letter" else (595.276, 841.89)
    pages = got.sizes_pt()
    assert pages == [pytest.approx(size, abs=0.01)] * len(pages)
    text = got.text()
    foot = rf"Standtrue9\.9,from1document,digest[0-9a-f]{{16}}page(\d+)of{len(pages)}The.{{,160}}?safe\."
    assert re.findall(foot, text) == [str(i + 1) for i in range(len(pages))]
    text = re.sub(foot, "", text)
    for said in every_text(sheet):
        assert squeezed(said) in text, said


def every_text(sheet: JobSheet) -> list[str]:
    """What must be read on the sheet."""
    units = sheet.reader.units
    texts = [sheet.job.order_number, sheet.vehicle.name, sheet.job.vin, sheet.job.plate, sheet.job.odometer]
    texts += ["INVENTED DEMONSTRATION DATA", "when printed at 100 %", "Name", "Signature", "Not calibrated, and why"]
    texts += [need.title for need in sheet.needs.needs] + [
        ENGLISH.reason(b) for need in sheet.needs.needs for b in need.because
    ]
    texts += [ENGLISH.reason(step.what) for step in sheet.order] + [limit.reading for limit in sheet.limits]
    texts += [*sheet.cautions, *sheet.warnings, *(t for u in sheet.elsewhere for t in said(u.cautions))]
    texts += [t for s in sheet.sections for t in (s.title, *s.sentences, *s.head, *(c for row in s.rows for c in row))]
    texts += [b for n in sheet.nowhere for b in n.because]
    texts += [] if sheet.planned is None else order_texts(sheet.planned)
    for stance in sheet.stances:
        texts += [*said(stance.cautions), "Rear axle center"]
        for part in stance.cards:
            texts += [
                part.card.key,
                *said(part.cautions),
                *ENGLISH.reasons(part.notes),
                *(c.what for c in part.card.conditions),
            ]
            for layout in part.targets:
                texts += [layout.place.name, *(length(m.plan_m, units) for m in layout.hubs + layout.diagonals)]
                texts += [length(m.straight_m, units) for m in layout.hubs]
                texts.append(length(layout.place.center[2], units))
        texts += [length(o.plan_m, units) for _, seen in stance.wheels for o in seen if o.mark == "datum"]
    return texts


def said(cautions: Iterable[Caution]) -> list[str]:
    return ENGLISH.reasons(c.reason for c in cautions)


def order_texts(order: OrderOfWork) -> list[str]:
    texts = [*order.sentences, *order.cautions, *order.places, *(cell for row in order.otherwise for cell in row)]
    for step in order.steps:
        texts += [step.what, step.where, *step.people, step.starts, step.takes, *(f"with: {e}" for e in step.equipment)]
    for left in order.left_out:
        texts += [left.what, *left.because]
    return [*texts, *(t for p in order.pictures for s in p.scenes for t in (s.title, *s.lines))]


def test_steps_stand_in_order_before_all_else_and_say_where_they_are_shown(tmp_path: Path) -> None:
    sheet = planned_sheet()
    assert sheet.planned is not None
    got = read(tmp_path, job_pdf(sheet, "letter"))
    pages = [squeezed(page) for page in got.run("pdftotext", "-raw").split("\f")]
    text = "".join(pages)
    rows = [f"{s.number}{s.what}" for s in sheet.planned.steps]
    places = [text.index(squeezed(row)) for row in rows]
    assert places == sorted(places)
    assert text.index("Clearpeoplefromthecar") < places[0] < places[-1] < text.index("Whatmustbecalibrated,andwhy")
    assert "Whatcomesfirst:theorderofwork" not in text
    stance = 1 + next(i for i, page in enumerate(pages) if "Stance1:place3,onthefloorFor:" in page)
    floor = 1 + next(i for i, page in enumerate(pages) if "Thefloor,stepbystep" in page)
    assert squeezed(f"5:00–5:30 5–10 min p. {stance}") in text
    assert squeezed(f"3:00–3:30 5–10 min p. {floor}") in text
    assert squeezed("windshield camera (step 5)") in pages[stance - 1]
    assert squeezed("road cycle (steps 8, 9)") in text


def test_steps_that_look_alike_share_a_picture() -> None:
    (shown,) = order_of_work().pictures
    assert [s.numbers for s in shown.scenes] == ["2", "3"]


def test_much_that_looks_alike_and_a_whole_crowd_still_find_room(tmp_path: Path) -> None:
    order = order_of_work()
    (shown,) = order.pictures
    crowd = tuple(evolve(order.bars[0], number=n, people=(f"person {n}",)) for n in range(1, 60))
    many = evolve(shown, scenes=tuple(evolve(shown.scenes[0], numbers=f"{n}") for n in range(60)))
    got = read(tmp_path, job_pdf(evolve(planned_sheet(), planned=evolve(order, pictures=(many,), bars=crowd)), "a4"))
    in_order(got)
    text = got.text()
    assert "58work2when" in text
    assert "Wheneachstepruns" not in text


def test_nothing_to_do_still_prints_why(tmp_path: Path) -> None:
    order = evolve(order_of_work(), steps=(), pictures=(), bars=(), places=(), otherwise=())
    sheet = evolve(planned_sheet(), planned=order, stances=(), elsewhere=())
    text = read(tmp_path, job_pdf(sheet, "a4")).text()
    assert squeezed("Not done here, and why") in text
    for absent in ("The floor, step by step", "When each step runs", "What else could be done", "How to lay out"):
        assert squeezed(absent) not in text


def test_a_stance_that_does_not_fit_says_so_first(tmp_path: Path) -> None:
    sheet = job_sheet(fits=False)
    text = read(tmp_path, job_pdf(sheet, "letter")).text()
    assert squeezed("The car does not fit here. Choose another place before you go on.") in text
    assert squeezed("the deck is too short") in text
    answer = sheet.stances[0].answer
    places = [layout.place for part in sheet.stances[0].cards for layout in part.targets]
    picture = stance_picture(targets_drawing(answer, places, ENGLISH, "Stance"), ENGLISH)
    assert labels_aim.misfit(ENGLISH) in picture.caption


def test_cautions_stand_where_they_belong(tmp_path: Path) -> None:
    text = read(tmp_path, job_pdf(job_sheet(), "letter")).text()
    places = [
        text.index(squeezed(words))
        for words in (
            "The vehicle maker's current service information and local codes govern. This program",
            "Stance 1:",
            "Keep everyone out from under the car",
            "To lay out",
            "The radar transmits while it is on",
            "Without a place in the shop",
            "Drive only with a licensed driver",
            "Sign-off",
        )
    ]
    first_page, stance, lift, layout, radar, elsewhere, road, sign = places
    assert first_page < stance < lift < min(layout, radar)
    assert elsewhere < road < sign


def test_tagged_titled_and_in_our_font_alone(tmp_path: Path) -> None:
    pdf = job_pdf(planned_sheet(), "letter")
    got = read(tmp_path, pdf)
    info = got.info()
    assert info["Tagged"] == "yes"
    assert info["Title"] == "Job sheet: TR-7, Marlow estate"
    assert "CreationDate" not in info
    assert b"<pdfuaid:part>1</pdfuaid:part>" in pdf
    fonts = [line.split() for line in got.run("pdffonts").splitlines()[2:]]
    assert {f[0].partition("+")[2] for f in fonts} == {"NotoSans-Regular", "NotoSans-Bold"}
    structure = got.run("pdfinfo", "-struct")
    assert structure.count("Figure") == 3, "the floor, the chart, the stance"
    assert re.findall(r"\b(?:H1|H2|H3|H4|Table|L|P)\b", structure)


@pytest.mark.parametrize("text", ['*b* _i_ $x^2$ #strong[y] <l> @r `raw` // /* d */ "q" [b] {c} ~', "#panic()", "= H"])
def test_no_name_breaks_out(tmp_path: Path, text: str) -> None:
    got: Read = read(tmp_path, job_pdf(job_sheet(name=lambda said: f"{said} {text}"), "letter"))
    assert got.text().count(squeezed(text)) > 60


@settings(derandomize=True, deadline=None, max_examples=8)
@given(st.text(max_size=40))
def test_any_text_can_be_printed(text: str) -> None:
    assert job_pdf(planned_sheet(name=lambda said: said + text), "a4").startswith(b"%PDF")


def test_a_sheet_without_stances_has_no_plan(tmp_path: Path) -> None:
    sheet = evolve(job_sheet(), stances=(), nowhere=(), elsewhere=(), sections=(), limits=(), order=())
    text = read(tmp_path, job_pdf(sheet, "letter")).text()
    assert squeezed("Stance 1") not in text
    assert squeezed("How to lay out") not in text
    with pytest.raises(ValueError, match="60 characters"):
        evolve(sheet, program="x" * 61)
