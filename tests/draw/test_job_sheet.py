"""The job sheet as PDF, read back with poppler: whole, legible, tagged, the same every time."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from attrs import evolve
from hypothesis import given, settings
from hypothesis import strategies as st
from job_sheet_makers import job_sheet, longer
from paper_makers import Read, in_order, read, squeezed

from standtrue.draw.job_sheet import JobSheet, job_pdf
from standtrue.draw.job_sheet_plan import stance_picture
from standtrue.draw.paper import PAPER_SIZES, PaperSize
from standtrue.draw.targets_plan import NOT_HERE, targets_plan
from standtrue.model.reader_units import System, format_length

VERSIONS = [(paper, units) for paper in PAPER_SIZES for units in ("metric", "us")]


@pytest.mark.parametrize(("paper", "units"), VERSIONS)
@pytest.mark.parametrize("long", [False, True])
def test_every_version_is_whole(tmp_path: Path, paper: PaperSize, units: System, long: bool) -> None:
    sheet = job_sheet(units, name=longer if long else str)
    pdf = job_pdf(sheet, paper)
    assert pdf == job_pdf(job_sheet(units, name=longer if long else str), paper)
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
    units = sheet.units
    texts = [sheet.job.order_number, sheet.vehicle.name, sheet.job.vin, sheet.job.plate, sheet.job.odometer]
    texts += ["INVENTED DEMONSTRATION DATA", "when printed at 100 %", "Name", "Signature", "Not calibrated, and why"]
    texts += [need.title for need in sheet.needs.needs] + [b for need in sheet.needs.needs for b in need.because]
    texts += [step.what for step in sheet.order] + [limit.reading for limit in sheet.limits]
    texts += [*sheet.cautions, *sheet.warnings, *(c for u in sheet.elsewhere for c in u.cautions)]
    texts += [t for s in sheet.sections for t in (s.title, *s.sentences, *s.head, *(c for row in s.rows for c in row))]
    texts += [b for n in sheet.nowhere for b in n.because]
    for stance in sheet.stances:
        texts += [*stance.cautions, "Rear axle center"]
        for part in stance.cards:
            texts += [part.card.key, *part.cautions, *part.notes, *(c.what for c in part.card.conditions)]
            for layout in part.targets:
                texts += [layout.place.name, *(format_length(m.plan_m, units) for m in layout.hubs + layout.diagonals)]
                texts += [format_length(m.straight_m, units) for m in layout.hubs]
                texts.append(format_length(layout.place.center[2], units))
        texts += [format_length(o.plan_m, units) for _, seen in stance.wheels for o in seen if o.mark == "datum"]
    return texts


def test_a_stance_that_does_not_fit_says_so_first(tmp_path: Path) -> None:
    sheet = job_sheet(fits=False)
    text = read(tmp_path, job_pdf(sheet, "letter")).text()
    assert squeezed("The car does not fit here. Choose another place before you go on.") in text
    assert squeezed("the deck is too short") in text
    answer = sheet.stances[0].answer
    places = [layout.place for part in sheet.stances[0].cards for layout in part.targets]
    picture = stance_picture(targets_plan(answer, places, "metric", "Stance"), "metric")
    assert NOT_HERE in picture.caption


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
    pdf = job_pdf(job_sheet(), "letter")
    got = read(tmp_path, pdf)
    info = got.info()
    assert info["Tagged"] == "yes"
    assert info["Title"] == "Job sheet: TR-7, Marlow estate"
    assert "CreationDate" not in info
    assert b"<pdfuaid:part>1</pdfuaid:part>" in pdf
    fonts = [line.split() for line in got.run("pdffonts").splitlines()[2:]]
    assert {f[0].partition("+")[2] for f in fonts} == {"NotoSans-Regular", "NotoSans-Bold"}
    structure = got.run("pdfinfo", "-struct")
    assert structure.count("Figure") == 1
    assert re.findall(r"\b(?:H1|H2|H3|H4|Table|L|P)\b", structure)


@pytest.mark.parametrize("text", ['*b* _i_ $x^2$ #strong[y] <l> @r `raw` // /* d */ "q" [b] {c} ~', "#panic()", "= H"])
def test_no_name_breaks_out(tmp_path: Path, text: str) -> None:
    got: Read = read(tmp_path, job_pdf(job_sheet(name=lambda said: f"{said} {text}"), "letter"))
    assert got.text().count(squeezed(text)) > 60


@settings(derandomize=True, deadline=None, max_examples=8)
@given(st.text(max_size=40))
def test_any_text_can_be_printed(text: str) -> None:
    assert job_pdf(job_sheet(name=lambda said: said + text), "a4").startswith(b"%PDF")


def test_a_sheet_without_stances_has_no_plan(tmp_path: Path) -> None:
    sheet = evolve(job_sheet(), stances=(), nowhere=(), elsewhere=(), sections=(), limits=(), order=())
    text = read(tmp_path, job_pdf(sheet, "letter")).text()
    assert squeezed("Stance 1") not in text
    assert squeezed("How to lay out") not in text
    with pytest.raises(ValueError, match="60 characters"):
        evolve(sheet, program="x" * 61)
