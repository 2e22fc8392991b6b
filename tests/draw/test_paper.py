"""The adviser's sheet as PDF, read back with poppler: whole, legible, tagged, the same every time."""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path
from typing import cast

import pytest
from attrs import evolve
from hypothesis import example, given, settings
from hypothesis import strategies as st
from paper_makers import MM, adviser_sheet, hold_together, in_order, left_out, overlapping, read, squeezed, with_text

from standtrue.draw.backends.font import LACKING, breakable, glyphs, legible
from standtrue.draw.backends.pdf import PAPER_SIZES, PaperSize, Picture, typeset
from standtrue.model.basics import DocumentMark
from standtrue.model.reader_units import Language, System
from standtrue.show.sheets.room.sheet import AdviserSheet, Scenario, ShareRow, adviser_pdf
from standtrue.show.words.reader import ENGLISH, Reader
from standtrue.show.words.sheet_room import share_words
from standtrue.work.sheet.room import MOST_DRAWN

VERSIONS = [(paper, units) for paper in PAPER_SIZES for units in ("metric", "us")]


@pytest.mark.parametrize(("paper", "units"), VERSIONS)
def test_two_whole_pages_in_every_version(tmp_path: Path, paper: PaperSize, units: System) -> None:
    sheet = adviser_sheet(units)
    pdf = adviser_pdf(sheet, paper)
    assert pdf == adviser_pdf(sheet, paper)
    got = read(tmp_path, pdf)
    size = (612.0, 792.0) if paper == "letter" else (595.276, 841.89)
    assert got.sizes_pt() == [pytest.approx(size, abs=0.01)] * 2
    hold_together(got, sheet)


@pytest.mark.parametrize(("many", "language", "paper"), [(30, "en", "letter"), (93, "es", "a4")])
def test_two_pages_whatever_the_size_of_the_mix(
    tmp_path: Path, many: int, language: Language, paper: PaperSize
) -> None:
    """The cars of the open Cars93 set are 93; with each a card of its own, a kind of order, an estimate."""
    sheet = evolve(adviser_sheet("us", scenarios=4, cards=many, cautions=14), reader=Reader("us", language))
    names = [f"{a}{b}" for a in ("Ba", "Be", "Bi", "Bo") for b in "abcdefghijklmnopqrstuvwxyz"][:many]
    sheet = evolve(
        sheet,
        scenarios=tuple(s if i < MOST_DRAWN else evolve(s, picture=None) for i, s in enumerate(sheet.scenarios)),
        by_order=tuple(ShareRow(f"kind {name} of work", (0.5,) * 4) for name in names),
        warnings=tuple(f"Estimated, not measured, of {name}: turning circle." for name in names),
        documents=(*sheet.documents, *(DocumentMark("vehicle", name, "ab" * 32) for name in names)),
    )
    got = read(tmp_path, adviser_pdf(sheet, paper))
    assert len(got.sizes_pt()) == 2
    in_order(got)
    text = got.text()
    for texts in ([row.name for row in sheet.by_order], [*sheet.assumptions, *sheet.warnings]):
        shown = sum(squeezed(one) in text for one in texts)
        more = squeezed(sheet.reader.say("And {n} more, in the answer as data.", n=len(texts) - shown))
        assert shown >= 6
        assert shown == len(texts) or more in text, "all that is not shown is counted"
    assert "documents" in left_out(text, sheet)


@pytest.mark.parametrize(
    ("paper", "units", "scenarios", "cards", "cautions"),
    [("letter", "us", 1, 0, 1), ("a4", "metric", 2, 25, 14), ("letter", "metric", 3, 7, 14), ("a4", "us", 4, 25, 14)],
)
def test_long_names_cut_nothing_and_overlap_nothing(
    tmp_path: Path, paper: PaperSize, units: System, scenarios: int, cards: int, cautions: int
) -> None:
    sheet = adviser_sheet(units, scenarios=scenarios, cards=cards, cautions=cautions, long=True)
    hold_together(read(tmp_path, adviser_pdf(sheet, paper)), sheet)


def test_the_longest_heads_keep_their_pictures(tmp_path: Path) -> None:
    sheet = adviser_sheet(scenarios=4)
    rooms = tuple(evolve(s, name="W" * 200, changed="M" * 600) for s in sheet.scenarios)
    sheet = evolve(sheet, scenarios=rooms)
    hold_together(read(tmp_path, adviser_pdf(sheet, "letter")), sheet)


def test_a_text_longer_than_a_page_goes_over_to_the_next(tmp_path: Path) -> None:
    text = " ".join(f"word{i}" for i in range(1200))
    for paper in PAPER_SIZES:
        got = read(tmp_path, adviser_pdf(with_text(text), paper))
        words, pages = got.words(), got.sizes_pt()
        for word in words:
            assert 8 * MM < word.y0 < word.y1 < pages[word.page][1] - 6 * MM
        assert overlapping(words) == []
        assert sum(word.text.rstrip(",.;:") == "word1199" for word in words) >= 12


def test_tagged_titled_and_in_our_font_alone(tmp_path: Path) -> None:
    sheet = adviser_sheet()
    pdf = adviser_pdf(sheet, "letter")
    got = read(tmp_path, pdf)
    info = got.info()
    assert info["Tagged"] == "yes"
    assert info["Title"] == sheet.title
    assert "CreationDate" not in info
    assert b"<pdfuaid:part>1</pdfuaid:part>" in pdf
    assert b"/Lang(en-US)" in pdf
    assert b"/DisplayDocTitle true" in pdf
    fonts = [line.split() for line in got.run("pdffonts").splitlines()[2:]]
    assert {f[0].partition("+")[2] for f in fonts} == {"NotoSans-Regular", "NotoSans-Bold"}
    assert all(f[-5:-2] == ["yes", "yes", "yes"] for f in fonts), "embedded, a subset, with its Unicode map"
    structure = got.run("pdfinfo", "-struct")
    assert structure.count("Figure") == len(sheet.scenarios)
    assert re.findall(r"\b(?:H1|H2|H3|Table|L|P)\b", structure)
    first = sheet.scenarios[0].picture
    assert first is not None
    assert f"/Alt<FEFF{first.alternative[:40].encode('utf-16-be').hex().upper()}".encode() in pdf


@pytest.mark.parametrize(
    "text",
    [
        'Bay *bold* _it_ $x^2$ #strong[y] = H <label> @ref `raw` \\ // c /* d */ "q" \' [b] {c} ~ -- ... #import "x"',
        "#panic()",
        "= Heading",
        "- item",
        "</text><script>",
        "https://example.org/#a?b=c&d",
        "%s {0} \\u{41} &amp; &lt;",
    ],
)
def test_no_name_breaks_out(tmp_path: Path, text: str) -> None:
    got = read(tmp_path, adviser_pdf(with_text(text), "letter"))
    assert got.text().count(squeezed(text)) >= 18
    assert got.info()["Title"] == f"T {text}"


@settings(derandomize=True, deadline=None, max_examples=30)
@given(st.text(max_size=70))
@example("\ufeff")
@example("\u05d0\u0627 right to left")
@example("a\u0301\u0301\u0301")
@example("\u00ad\u200b\u2060")
@example("\U0001f697 中文")
def test_any_text_can_be_printed(text: str) -> None:
    assert adviser_pdf(with_text(text), "a4").startswith(b"%PDF")


def test_every_glyph_can_be_printed() -> None:
    """The font's own map, as read here, says nothing that the typesetter does not find."""
    texts = sorted(glyphs())
    assert len(texts) > 2500
    lines = ["".join(texts[i : i + 60]) for i in range(0, len(texts), 60)]
    assert adviser_pdf(evolve(adviser_sheet(), assumptions=tuple(lines)), "letter")


def test_what_the_font_lacks_is_spelled_out_or_said(tmp_path: Path) -> None:
    assert legible("a → b, x ≥ 3, m², ½, ﬁ") == "a -> b, x >= 3, m², ½, ﬁ"
    assert legible("中") == LACKING
    got = read(tmp_path, adviser_pdf(with_text("Bay 中"), "letter"))
    assert squeezed(f"{LACKING} stands for a character that the font of this sheet does not have.") in got.text()
    assert "stands for" not in read(tmp_path, adviser_pdf(adviser_sheet(), "letter")).run("pdftotext")


@settings(derandomize=True, deadline=None)
@given(st.text())
def test_legible_is_what_the_font_has(text: str) -> None:
    assert set(legible(text)) <= glyphs()
    assert squeezed(breakable(text)) == squeezed(legible(text))


def test_numbers_stay_with_their_units() -> None:
    assert (
        breakable("9 ft 6 1/2 in wide, 62 % of 3 m") == "9\u00a0ft\u00a06\u00a01/2\u00a0in wide, 62\u00a0% of 3\u00a0m"
    )


@pytest.mark.parametrize(
    ("share", "words"),
    [(0.0, "0 %"), (0.001, "<1 %"), (0.01, "1 %"), (0.625, "63 %"), (0.99, "99 %"), (0.996, ">99 %"), (1.0, "100 %")],
)
def test_all_and_nothing_are_said_only_where_they_are_so(share: float, words: str) -> None:
    assert share_words(share, ENGLISH) == words


@given(st.lists(st.floats(0.0, 1.0), min_size=2, max_size=2))
@settings(derandomize=True, deadline=None)
def test_a_larger_share_never_reads_smaller(shares: list[float]) -> None:
    def value(share: float) -> float:
        said = share_words(share, ENGLISH).removesuffix(" %")
        return {"<1": 0.5, ">99": 99.5}.get(said) or float(said)

    assert all(value(a) <= value(b) for a, b in pairwise(sorted(shares)))


def test_a_partial_answer_and_demonstration_documents_say_so(tmp_path: Path) -> None:
    marks = (DocumentMark("site", "north", "00" * 32, demonstration=True),)
    sheet = evolve(adviser_sheet(), demonstration=False, documents=marks, partial="stopped after 3 of 8 orders")
    text = read(tmp_path, adviser_pdf(sheet, "letter")).text()
    assert "INVENTEDDEMONSTRATIONDATA" in text
    assert "Partial:stoppedafter3of8orders" in text
    plain = evolve(sheet, documents=(), partial="")
    text = read(tmp_path, adviser_pdf(plain, "letter")).text()
    assert "INVENTED" not in text
    assert "Partial" not in text


def test_the_foot_tells_the_documents_apart(tmp_path: Path) -> None:
    sheet = adviser_sheet()
    one, two = sheet.documents[0], evolve(sheet.documents[0], digest="ff" * 32)
    feet = [
        re.findall(r"digest([0-9a-f]{16})", read(tmp_path, adviser_pdf(evolve(sheet, documents=m), "letter")).text())
        for m in ((one,), (two,), (one, two), (two, one))
    ]
    assert all(len(set(foot)) == 1 and len(foot) == 2 for foot in feet), "the same on every page"
    assert len({foot[0] for foot in feet}) == 3, "whatever the order"


def test_never_says_that_a_vehicle_is_safe(tmp_path: Path) -> None:
    text = read(tmp_path, adviser_pdf(adviser_sheet(cautions=99), "letter")).run("pdftotext")
    said = [line for line in re.split(r"(?<=[.:;])\s", " ".join(text.split())) if re.search(r"\bsafe", line)]
    assert said
    assert all("not" in line for line in said)


def test_a_sheet_out_of_range_is_refused() -> None:
    sheet = adviser_sheet()
    room = sheet.scenarios[0]
    for changes, words in (
        ({"title": " "}, "title"),
        ({"scenarios": ()}, "1 to 4"),
        ({"scenarios": (room,) * 5}, "1 to 4"),
        ({"by_card": (ShareRow("c", (0.5,)),)}, "one share for each"),
        ({"by_order": (ShareRow("o", (0.5,) * 3),)}, "one share for each"),
        ({"by_card": (ShareRow("c", (0.5, 1.2)),)}, "from 0 to 1"),
        ({"by_order": (), "by_card": (), "scenarios": (evolve(room, share=float("nan")),)}, "from 0 to 1"),
        ({"by_order": (), "by_card": (), "scenarios": (evolve(room, orders_lost=-1.0),)}, "not negative"),
        ({"program": "x" * 61}, "60 characters"),
    ):
        with pytest.raises(ValueError, match=words):
            evolve(sheet, **changes)
    for name, changed in (("x" * 201, ""), ("x", "x" * 601)):
        with pytest.raises(ValueError, match="200 characters, its change 600"):
            evolve(room, name=name, changed=changed)
    with pytest.raises(ValueError, match="letter, a4"):
        typeset(Path("room.typ"), {}, cast("PaperSize", "a5"))


def test_a_picture_states_its_size_and_its_words() -> None:
    svg = '<svg xmlns="http://www.w3.org/2000/svg" width="{}mm" height="{}mm" viewBox="0 0 1 1"></svg>'
    assert Picture(svg.format(80, 40.5), "a plan").size_mm == (80.0, 40.5)
    for drawing, alternative, words in (
        (svg.format(181, 40), "a plan", "at most"),
        (svg.format(80, 201), "a plan", "at most"),
        (svg.format(80, 40), " ", "alternative"),
        ("<svg></svg>", "a plan", "states its width"),
    ):
        with pytest.raises(ValueError, match=words):
            Picture(drawing, alternative)


def test_a_wide_picture_has_the_width_of_the_page(tmp_path: Path) -> None:
    svg = '<svg xmlns="http://www.w3.org/2000/svg" width="170mm" height="100mm" viewBox="0 0 170 100"><text x="2" y="9" font-size="4">here</text><text x="160" y="9" font-size="4">there</text></svg>'  # noqa: E501
    rooms = tuple(Scenario(n, 0.5, 1, 1, picture=Picture(svg, "a plan")) for n in ("one", "two"))
    sheet = AdviserSheet("T", "S", "D", "P", ENGLISH, rooms)
    words = read(tmp_path, adviser_pdf(sheet, "a4")).words()
    here, there = (next(w for w in words if w.text == t) for t in ("here", "there"))
    assert there.x0 - here.x0 == pytest.approx(158 * MM, abs=0.5), "printed at its own size"
