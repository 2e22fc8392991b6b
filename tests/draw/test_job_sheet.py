"""The job's sheet as PDF, read back with poppler: what a technician must find on it, and can read and write on."""

from __future__ import annotations

import re
import subprocess
from collections import defaultdict
from itertools import pairwise
from pathlib import Path

import pytest
from attrs import evolve
from paper_makers import Read, overlapping, squeezed
from sheet_cases import MM, READERS, content, parts, printed, shop, with_names

from standtrue.demo import MAIN_JOB
from standtrue.draw.backends.pdf import PaperSize, Picture
from standtrue.model.fits import Fits
from standtrue.model.job import Job
from standtrue.model.procedure import Condition
from standtrue.model.reader_units import Language, System
from standtrue.model.reason import because
from standtrue.show.sheets.job.sheet import job_pdf
from standtrue.show.sheets.report.page import report_page
from standtrue.show.words import near, sheet, sheet_card, sheet_limits
from standtrue.show.words.clock import step_moments
from standtrue.show.words.days import moment_words, of_day
from standtrue.show.words.plan import step_words
from standtrue.show.words.reader import ENGLISH, Reader

MANY = 12
"""A card with more readings than this may take a second page: six tie the car, six place a target."""

LEFT, WIDE, TOP, HIGH = 16.0, 184.0, 11.0, 256.0
"""The sheet in both papers, millimetres."""


def on_the_sheet(got: Read, grown: float = 0.0) -> None:
    """Nothing beyond the sheet of 184 by 256 mm, no words over each other, nothing below 9 pt.

    `grown`: how far the head and the title block may reach beyond it for very long names, millimetres.
    """
    words, pages = got.words(), got.sizes_pt()
    for word in words:
        assert word.x0 > (LEFT - 0.1) * MM, word
        assert word.x1 < (LEFT + WIDE + 0.3) * MM, word
        assert word.y0 > (TOP - 3.0) * MM, word
        assert word.y1 < (TOP + HIGH + grown) * MM, word
        assert word.size_pt > 8.99 or word.x1 - word.x0 < word.y1 - word.y0, word
        assert word.page < len(pages)
    assert overlapping(words) == []


def as_svg(got: Read, page: int) -> str:
    """One page as poppler draws it."""
    svg = got.file.with_suffix(".svg")
    options = ("-svg", "-f", str(page), "-l", str(page), str(got.file), str(svg))
    subprocess.run(["pdftocairo", *options], check=True, capture_output=True)
    return svg.read_text(encoding="utf-8")


def pages_of(got: Read) -> list[str]:
    return [squeezed(page) for page in got.run("pdftotext", "-raw").split("\f")[:-1]]


@pytest.mark.parametrize(("paper", "units", "language"), READERS)
def test_every_version_stands_on_the_sheet_of_both_papers(
    tmp_path: Path, paper: PaperSize, units: System, language: Language
) -> None:
    made = content()
    got = printed(tmp_path, made, paper, units, language)
    assert job_pdf(made, paper, Reader(units, language)) == got.file.read_bytes()
    on_the_sheet(got)
    size = (612.0, 792.0) if paper == "letter" else (595.276, 841.89)
    pages = pages_of(got)
    assert got.sizes_pt() == [pytest.approx(size, abs=0.01)] * len(pages)
    banner = Reader(units, language).say("DEMONSTRATION: invented data, not for a real car")
    numbered = Reader(units, language).say("{page} of {pages}", page="{page}", pages=str(len(pages)))
    for number, page in enumerate(pages, start=1):
        assert squeezed(banner) in page
        assert squeezed(numbered.replace("{page}", str(number))) in page


def test_two_calibrations_need_three_pages_and_a_measured_set_up_one_more(tmp_path: Path) -> None:
    one = content("nib windshield")
    assert len(parts(one)) == 1
    assert len(pages_of(printed(tmp_path, one, "letter", "us"))) == 2, "one first, one for its card"
    whole = content()
    (stance, *_) = (s for s in whole.stances if len(s.cards) >= 2)
    two = evolve(one, stances=(evolve(stance, cards=stance.cards[:2]),))
    assert len(pages_of(printed(tmp_path, two, "letter", "us"))) == 3
    assert len(whole.measured) == 2
    pages = pages_of(printed(tmp_path, whole, "a4", "metric"))
    many = [part for part in parts(whole) if len(part.readings) > MANY]
    assert len(pages) <= 2 + len(parts(whole)) + len(many) + 2 * len(whole.measured), "36 steps take a second page"


def test_each_card_has_one_page_with_its_readings_its_fold_and_its_limits(tmp_path: Path) -> None:
    made = content()
    pages = pages_of(printed(tmp_path, made, "letter", "us"))
    reader = Reader("us")
    for part in parts(made):
        asked = squeezed(sheet_card.question(part, reader))
        step = squeezed(f"TR-4107, step {part.step}")
        own_pages = [p for p in pages if step in p]
        assert asked in own_pages[0]
        assert len(own_pages) == 1 or (len(part.readings) > MANY and len(own_pages) == 2)
        page = "".join(own_pages)
        own = [r for r in part.readings if r.part]
        for planned in own:
            assert squeezed(near.planned_figure(planned.reading, planned.value, reader)) in page
            assert re.search(rf"(?<!\d){planned.number}[A-Za-z]", page)
        assert f"to{part.readings[-1].number}arewritten" in page
        for row in sheet_limits.limit_rows(part, reader):
            assert page.index("Howfaroffmayitbe?") < page.index(squeezed(row[-1]), page.index("Howfaroffmayitbe?"))
        assert part.chalk
        assert squeezed(sheet_card.chalk_angle(part.chalk[0], reader)) in page


def test_figures_on_paper_are_the_answers_in_fractions_of_the_tape(tmp_path: Path) -> None:
    made = content()
    text = "".join(pages_of(printed(tmp_path, made, "letter", "us")))
    finer = re.findall(r"\d/(?:32|64|128)in|\d\.\d+in", text)
    assert not finer, finer
    told = "".join(pages_of(printed(tmp_path, made, "letter", "metric")))
    for part in parts(made):
        figures = [near.planned_figure(r.reading, r.value, ENGLISH) for r in part.readings]
        figures += [row[-1] for row in sheet_limits.limit_rows(part, ENGLISH)]
        assert not [f for f in figures if re.search(r"\d\.\d+ mm", f)], "no tenths of a millimeter"
    camera = next(p for p in parts(made) if p.setup)
    tape = next(r for r in camera.readings if r.reading.what == "distance")
    assert squeezed(f"{tape.value:.3f} m") in told


@pytest.mark.parametrize(("limit", "metric", "us"), [
    (0.005, "5 mm", "3/16 in"), (0.0059, "5 mm", "3/16 in"), (0.010, "10 mm", "3/8 in"),
    (0.0008, "less than 1 mm", "less than 1/16 in"), (0.0254 / 16, "1 mm", "1/16 in"),
])  # fmt: skip
def test_a_limit_is_rounded_down_and_never_to_nothing(limit: float, metric: str, us: str) -> None:
    assert sheet_limits.limit_words(limit, Reader("metric")) == metric
    assert sheet_limits.limit_words(limit, Reader("us")) == us


def test_blanks_are_large_enough_for_a_pencil(tmp_path: Path) -> None:
    """The rules below the blanks, and the line before them: each blank is 22 by 6 mm at least."""
    got = printed(tmp_path, content("nib windshield"), "letter", "us")
    number = r"([-\d.]+)"
    straight = rf'd="M {number} {number} L {number} {number} " transform="matrix\(1,0,0,1,{number},{number}\)'
    found = re.findall(straight, as_svg(got, 2))
    moved = [tuple(map(float, one)) for one in found]
    lines = [(x0 + x, y0 + y, x1 + x, y1 + y) for x0, y0, x1, y1, x, y in moved]
    upright = max((one for one in lines if abs(one[0] - one[2]) < 0.1 and 480 < one[0] < 520), key=lambda one: one[1])
    below = sorted(y for x0, y, x1, y1 in lines if abs(x0 - upright[0]) < 1.0 and abs(y - y1) < 0.1 and y > upright[1])
    readings = [r for r in parts(content("nib windshield"))[0].readings if r.part]
    assert len(below) == len(readings)
    assert (LEFT + WIDE) * MM - upright[0] >= 22 * MM
    assert all(two - one >= 6 * MM for one, two in pairwise([upright[1], *below]))


def test_the_first_page_has_every_step_in_order_with_the_page_of_its_card(tmp_path: Path) -> None:
    made = content()
    pages = pages_of(printed(tmp_path, made, "letter", "us"))
    first = "".join(pages[:2])
    assert made.plan is not None
    assert made.plan.plan is not None
    told = step_words(made.plan.ordered, made.plan.plan, made.plan.site, Reader("us"))
    at = 0
    for step in told:
        if step.step.kind in ("work", "scan"):
            found = first.find(squeezed(f"{step.what[:1].upper()}{step.what[1:]}"), at)
            assert found >= at, step.what
            at = found
    for place in {s.step.stand.place for s in told} - {0}:
        assert f"Place{place}" in first
    for part in parts(made):
        number = next(i for i, p in enumerate(pages, start=1) if squeezed(f"TR-4107, step {part.step}") in p)
        assert f"Page{number}." in first
    for said in ("takethetoolcabinetaway", "Itcanbesentout", "Nobodyhaslooked", "guarditsedge"):
        assert said in first
    assert "1mm" not in first


def test_steps_begin_by_the_clock_and_people_are_letters(tmp_path: Path) -> None:
    """A day that the earliest and the latest share is named once; times follow the language."""
    made = content()
    assert made.plan is not None
    (first, last), _ = step_moments(made.plan, 2) or pytest.fail("the demonstration shop has hours")
    assert first.date() == last.date()
    page = pages_of(printed(tmp_path, made, "letter", "us"))[0]
    assert squeezed(f"{moment_words(first, Reader('us'))} to {of_day(last, Reader('us'))}") in page
    assert "A,B,C" in page
    assert "technicianA,technicianB" not in page
    assert squeezed(f"{first:%H:%M}") in pages_of(printed(tmp_path, made, "letter", "metric", "es"))[0]


def test_what_was_measured_is_drawn_large_enough_to_be_seen() -> None:
    for setup, answer in content().measured:
        svg = report_page(setup, answer, ENGLISH)["picture"]
        assert isinstance(svg, Picture)
        found = re.search(r">1 : (\d+) at full size<", svg.svg)
        assert found is not None
        assert int(found[1]) <= 150


def test_cautions_stand_at_the_head_of_the_place_or_above_the_step(tmp_path: Path) -> None:
    first = "".join(pages_of(printed(tmp_path, content(), "letter", "us"))[:2])
    order = [first.index(squeezed(said)) for said in (
        "keep a person at the brake", "Place 1", "A pit is open", "Place 2", "The cautions as for: Place 1.",
        "The radar transmits while it is on", "front corner radar. Page", "Outside",
        "Drive only with a licensed driver",
    )]  # fmt: skip
    assert order == sorted(order)


def test_left_and_right_say_whose_they_are_and_nothing_is_up_on_a_plan(tmp_path: Path) -> None:
    text = "".join(pages_of(printed(tmp_path, content(), "letter", "us")))
    assert "Noseup:lefthereisthecar'sleft." in text
    assert "L,Ratatarget:itsleftandrightasyoulookatitsprintedside." in text
    assert "Thecardtellsnosize:LandRendaline,1ft711/16infromitsmiddle." in text, "500 mm"
    assert not re.search(r"in(right|left)and\d+", text)


def test_a_car_has_one_thrust_line_on_all_cards() -> None:
    found: dict[str, set[float]] = defaultdict(set)
    for part in parts(content()):
        assert part.chalk
        found[part.chalk[0].name].add(round(part.chalk[0].heading_rad, 9))
    assert len(found["thrust line"]) == 1
    assert found["centerline"] <= {0.0}


def test_a_stance_that_does_not_fit_says_so_first(tmp_path: Path) -> None:
    made = content("nib windshield")
    (stance,) = made.stances
    bad = evolve(stance.cards[0].answer, fits=Fits.NO, because=(because("own-work", name="the deck is too short"),))
    cards = (evolve(stance.cards[0], answer=bad), *stance.cards[1:])
    page = pages_of(printed(tmp_path, evolve(made, stances=(evolve(stance, cards=cards),)), "letter", "us"))[1]
    assert page.index("Thecardoesnotfithere.") < page.index("Readtheboard")


def test_without_an_order_the_stances_and_their_cards_are_told(tmp_path: Path) -> None:
    made = content(MAIN_JOB, planned=False)
    got = printed(tmp_path, made, "a4", "metric")
    on_the_sheet(got)
    pages = pages_of(got)
    for part in parts(made):
        assert squeezed(f"{part.card.key[:1].upper()}{part.card.key[1:]}") in "".join(pages[:2])
    assert squeezed("Not done here: surround-view camera.") in pages[0]
    assert squeezed("Without a place in the shop") in "".join(pages[:2])


def test_nothing_to_do_still_prints_why(tmp_path: Path) -> None:
    made = evolve(content(), stances=(), elsewhere=(), measured=())
    assert "Notdonehere:" in pages_of(printed(tmp_path, made, "letter", "us"))[0]


@pytest.mark.parametrize(
    "added", [' *b* _i_ $x^2$ #strong[y] <l> @r `raw` // /* d */ "q" [b] {c} ~', " " + "Wm" * 22, " = H"]
)
def test_no_name_breaks_out_or_runs_off_the_sheet(tmp_path: Path, added: str) -> None:
    got = printed(tmp_path, with_names(content("nib windshield"), added), "letter", "us")
    on_the_sheet(got, 6.0)
    assert "".join(pages_of(got)).count(squeezed(added)) >= 5


def test_tagged_titled_and_in_our_font_alone(tmp_path: Path) -> None:
    got = printed(tmp_path, content("nib windshield"), "letter", "us")
    info = got.info()
    assert info["Tagged"] == "yes"
    assert info["Title"] == "Job sheet: TR-4101, Oskerra Nib"
    assert "CreationDate" not in info
    assert b"<pdfuaid:part>1</pdfuaid:part>" in got.file.read_bytes()
    fonts = [line.split() for line in got.run("pdffonts").splitlines()[2:]]
    assert {f[0].partition("+")[2] for f in fonts} == {"NotoSans-Regular", "NotoSans-Bold"}
    assert got.run("pdfinfo", "-struct").count("Figure") == 1


def test_black_on_white_alone(tmp_path: Path) -> None:
    got = printed(tmp_path, content(), "letter", "us")
    for page in (1, 3):
        colors = set(re.findall(r"rgb\(([^)]*)\)", as_svg(got, page)))
        shades = {tuple(round(float(part.strip().rstrip("%"))) for part in color.split(",")) for color in colors}
        assert all(len(set(shade)) == 1 and shade[0] in (0, 100) for shade in shades), shades


def test_what_was_measured_stands_on_its_own_page(tmp_path: Path) -> None:
    pages = pages_of(printed(tmp_path, content(), "letter", "us"))
    shown = [p for p in pages if "Whatwasmeasured,againstwhichlimit?" in p]
    assert len(shown) == len(content().measured) == sum(1 for s in shop().setups.values() if s.readings)


def test_a_pressure_is_told_in_the_readers_gauge_rounded_inward() -> None:
    """2.3 bar are 33.36 psi, 2.7 bar 39.16 psi (NIST SP 811: a psi is 6894.757 Pa)."""
    tires = Condition("tire pressure", 2.3, 2.7, "bar")
    assert sheet_card.allowed_words(tires, Reader("us")) == "2.3 to 2.7 bar (33.4 to 39.1 psi)"
    assert sheet_card.allowed_words(tires, Reader("metric")) == "2.3 to 2.7 bar"
    assert sheet_card.allowed_words(Condition("light", 350.0, None, "lux"), Reader("us")) == "350 lux at least"


def test_when_a_car_comes_is_told_as_people_say_it() -> None:
    job = Job("j", "s", "v", arrives="2026-03-02T10:00:00", promised="2026-03-06")
    assert sheet.when_words(job, ENGLISH) == "comes Monday, March 2, 10:00; promised Friday, March 6"
    assert "10 a.m." in sheet.when_words(job, Reader("us"))
    assert sheet.when_words(evolve(job, arrives="", promised=""), ENGLISH) == ""
