"""Adviser's sheets for the tests, and what poppler reads back from a PDF. All names and figures are invented."""

from __future__ import annotations

import re
import subprocess
from functools import cache
from pathlib import Path
from xml.etree import ElementTree

from attrs import evolve, frozen
from draw_makers import answer

from standtrue.draw.backends.pdf import Picture
from standtrue.model.basics import DocumentMark
from standtrue.model.cautions import CAUTIONS
from standtrue.model.reader_units import System
from standtrue.show.pictures.place import drawing_of
from standtrue.show.pictures.small_plan import small_plan
from standtrue.show.sheets.rests_on import CardSource
from standtrue.show.sheets.room.sheet import (
    AdviserSheet,
    Scenario,
    ShareRow,
    Stance,
    Stop,
)
from standtrue.show.words.quantities import length
from standtrue.show.words.reader import ENGLISH, Reader
from standtrue.show.words.sheet_room import documents_in_short, share_means, share_words, sources_in_short

MM = 72 / 25.4

NOTO_HEIGHT = 1.362
"""Ascent and descent of Noto Sans over its size (its `hhea` table: 1069 and 293 of 1000)."""


@cache
def picture(units: System = "metric") -> Picture:
    return small_plan(drawing_of(answer(), Reader(units)), Reader(units))


def adviser_sheet(
    units: System = "metric", *, scenarios: int = 2, cards: int = 8, cautions: int = 6, long: bool = False
) -> AdviserSheet:
    """A whole sheet; `long` makes every name 60 characters without a space."""

    def name(text: str) -> str:
        return f"{text.replace(' ', '-')}-{'Wm' * 30}"[:60] if long else text

    rooms = tuple(
        Scenario(
            name(said),
            0.5 + 0.12 * i,
            1000 + 240 * i,
            1000 - 240 * i,
            name(f"change {i}") if i else "",
            picture(units),
            (
                Stance(name("board"), f"on the lift, place {i}", 4.2, 3.048, 0.5),
                Stance(name("radar"), name("on the floor"), -1.0, 12.75, -2.0),
            ),
        )
        for i, said in enumerate(("room today", "pit covers", "flush lift", "bench moved")[:scenarios])
    )
    named = [name(f"card {i + 1}") for i in range(cards)]
    return AdviserSheet(
        name("What it can do"),
        name("North Shop"),
        "November 25, 2026",
        "Standtrue 9.9",
        Reader(units),
        rooms,
        by_order=tuple(ShareRow(name(f"order {i}"), (0.25 * i,) * scenarios) for i in range(4)),
        by_card=tuple(
            ShareRow(c, tuple(min(1.0, 0.3 + 0.02 * i) if k != 1 else None for k in range(scenarios)))
            for i, c in enumerate(named)
        ),
        stops=(Stop(name("open pit"), 412.4, name("cover the pit"), 300.0), Stop(name("column K"), 88.0)),
        assumptions=("Covers carry the wheels of every car.", name("assumed")),
        cautions=tuple(ENGLISH.reason(c.reason) for c in CAUTIONS[:cautions]),
        warnings=("Two orders name no card.",),
        sources=tuple(CardSource(c, name("Invented manual"), "2026-01", "2026-02-03", "transcribed") for c in named),
        documents=tuple(DocumentMark("procedure", c, f"{i + 1:064x}") for i, c in enumerate(named)),
        demonstration=True,
    )


def with_text(text: str) -> AdviserSheet:
    """A sheet with this text in every place that takes any."""
    sheet = adviser_sheet()
    room = evolve(sheet.scenarios[0], name=text[:200], changed=text[:600], stances=(Stance(text, text, 1.0, 2.0, 0.0),))
    return evolve(
        sheet,
        title=f"T {text}",
        shop=text,
        date=text,
        scenarios=(room,),
        by_order=(ShareRow(text, (0.5,)),),
        by_card=(ShareRow(text, (0.5,)), ShareRow(text, (1.0,))),
        stops=(Stop(text, 1.0, text, 1.0),),
        assumptions=(text,),
        cautions=(text,),
        warnings=(text,),
        sources=(CardSource(text, text, text, text, text),),
        documents=(DocumentMark("procedure", text, "ab" * 32),),
        partial=text,
    )


@frozen
class Word:
    """A word on a page: its box in points, y down, from the font's descent to its ascent."""

    text: str
    page: int
    x0: float
    y0: float
    x1: float
    y1: float

    @property
    def size_pt(self) -> float:
        """The type size, of upright text; a sign or a figure, which is higher than wide, may be turned."""
        sides = (self.y1 - self.y0, self.x1 - self.x0)
        return (
            max(sides) if len(self.text) == 1 or (len(self.text) == 2 and self.text.isdigit()) else sides[0]
        ) / NOTO_HEIGHT


@frozen
class Read:
    """A PDF as poppler reads it."""

    file: Path

    def run(self, tool: str, *options: str) -> str:
        done = subprocess.run([tool, *options, str(self.file), *(["-"] if tool == "pdftotext" else [])],
                              check=True, capture_output=True)  # fmt: skip
        return done.stdout.decode()

    def info(self) -> dict[str, str]:
        lines = (line.partition(":") for line in self.run("pdfinfo").splitlines())
        return {key.strip(): value.strip() for key, _, value in lines}

    def text(self) -> str:
        """All text without white space, so that line breaks within a name do not matter."""
        return squeezed(self.run("pdftotext", "-raw"))

    def sizes_pt(self) -> list[tuple[float, float]]:
        """Width and height of each page, points."""
        return [(float(p.attrib["width"]), float(p.attrib["height"])) for p in self._pages()]

    def words(self) -> list[Word]:
        return [
            Word(w.text or "", i, *(float(w.attrib[k]) for k in ("xMin", "yMin", "xMax", "yMax")))
            for i, page in enumerate(self._pages())
            for w in page.iter("{http://www.w3.org/1999/xhtml}word")
        ]

    def _pages(self) -> list[ElementTree.Element]:
        whole = ElementTree.fromstring(self.run("pdftotext", "-bbox"))
        return list(whole.iter("{http://www.w3.org/1999/xhtml}page"))


def read(folder: Path, pdf: bytes) -> Read:
    file = folder / "sheet.pdf"
    file.write_bytes(pdf)
    return Read(file)


def squeezed(text: str) -> str:
    return re.sub(r"[\s\u200b]+", "", text)


def hold_together(got: Read, sheet: AdviserSheet) -> None:
    """Nothing is missing but what its sheet says is left out, by its number; and everything is in order."""
    text = got.text()
    feet = re.findall(rf"{squeezed(sheet.program)}.{{,60}}?page(\d+)of(\d+)Thevehiclemaker", text)
    text = re.sub(rf"{squeezed(sheet.program)}.{{,60}}?page\d+of\d+Thevehiclemaker.*?safe\.", "", text)
    for said in every_text(sheet, without=left_out(text, sheet)):
        assert squeezed(said) in text, said
    in_order(got)
    pages = len(got.sizes_pt())
    assert feet == [(str(i + 1), str(pages)) for i in range(pages)]


def in_order(got: Read) -> None:
    """Nothing lies over anything else or beyond the margins, and no upright text is smaller than 8 pt."""
    words, pages = got.words(), got.sizes_pt()
    for word in words:
        width, height = pages[word.page]
        assert word.x0 > 14.9 * MM, word
        assert word.x1 < width - 14.9 * MM, word
        assert word.y0 > 8 * MM, word
        assert word.y1 < height - 6 * MM, word
        assert word.size_pt > 7.999 or word.x1 - word.x0 < word.y1 - word.y0, word
    assert overlapping(words) == []


def overlapping(words: list[Word]) -> list[tuple[Word, Word]]:
    """Pairs of words whose letters meet: boxes less the room that accents and descents alone would use."""

    def core(w: Word) -> tuple[float, float, float, float]:
        upright = w.x1 - w.x0 >= w.y1 - w.y0 or len(w.text) < 5
        inset_x, inset_y = (0.3, 0.26 * (w.y1 - w.y0)) if upright else (0.26 * (w.x1 - w.x0), 0.3)
        return w.x0 + inset_x, w.y0 + inset_y, w.x1 - inset_x, w.y1 - inset_y

    found = []
    boxes = sorted(((w.page, core(w), w) for w in words), key=lambda b: (b[0], b[1]))
    for i, (page, a, word) in enumerate(boxes):
        for other_page, b, other in boxes[i + 1 :]:
            if other_page != page or b[0] >= a[2]:
                break
            if a[1] < b[3] and b[1] < a[3]:
                found.append((word, other))
    return found


def left_out(text: str, sheet: AdviserSheet) -> frozenset[str]:
    """What a sheet of two pages says that it has no room for: how many, and where they stand instead."""
    said = {
        "documents": documents_in_short(len(sheet.documents), sheet.reader),
        "sources": sources_in_short(
            [s.status for s in sheet.sources], [s.read_on for s in sheet.sources], sheet.reader
        ),
    }  # fmt: skip
    return frozenset(what for what, short in said.items() if short and squeezed(short) in text)


def every_text(sheet: AdviserSheet, without: frozenset[str] = frozenset()) -> list[str]:
    """What must be read on the sheet."""
    sheet = evolve(
        sheet,
        documents=() if "documents" in without else sheet.documents,
        sources=() if "sources" in without else sheet.sources,
    )
    units = sheet.reader.units
    texts = [sheet.title, sheet.shop, sheet.date, share_means(sheet.reader), "INVENTED DEMONSTRATION DATA"]
    texts += [f"{letter}: {s.name}" for letter, s in zip("ABCD", sheet.scenarios, strict=False)]
    texts += [
        t
        for s in sheet.scenarios
        for t in (s.changed, share_words(s.share, sheet.reader), f"{s.orders_done:,.0f} orders")
    ]
    texts += [t for s in sheet.scenarios for stance in s.stances for t in (stance.work, stance.stands)]
    texts += [row.name for row in sheet.by_order]
    texts += [re.sub("/(left|right)$", "", row.name) for row in sheet.by_card]
    texts += [t for s in sheet.stops for t in (s.what, f"{s.orders_lost:,.0f}", s.change)]
    texts += [
        t
        for s in sheet.sources
        for t in (re.sub("/(left|right)$", "", s.card), s.title, s.edition, s.read_on, s.status)
    ]
    texts += [*sheet.assumptions, *sheet.cautions, *sheet.warnings]
    texts += [t for m in sheet.documents for t in (m.name, m.digest[:8])]
    lengths = [m for s in sheet.scenarios for stance in s.stances for m in (stance.right_m, stance.up_m)]
    return [*texts, *(length(m, units) for m in lengths)]
