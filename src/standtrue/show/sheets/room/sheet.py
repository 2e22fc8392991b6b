"""The adviser's sheet: what a room can do today and after each change, on two pages that are handed over."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from pathlib import Path

from attrs import frozen

from standtrue.draw.backends.pdf import COLUMN_MM, Data, PaperSize, Picture, typeset
from standtrue.model.basics import DocumentMark
from standtrue.model.reason import Angle, Length
from standtrue.show.sheets.rests_on import LONGEST_PROGRAM, CardSource, document_lines, made_by, source_words
from standtrue.show.words import sheet_room as words
from standtrue.show.words.reader import Reader
from standtrue.show.words.sheet_labels import ROOM, labels

MOST_SCENARIOS = 4

LONGEST_NAME, LONGEST_CHANGE = 200, 600


@frozen
class Stance:
    """Where the car stands: `work` is what for, `stands` is on what, in words.

    The rear axle's center is `right_m` and `up_m` from the site's datum; `faces_rad` is counter-clockwise from its
    direction.
    """

    work: str
    stands: str
    right_m: float
    up_m: float
    faces_rad: float


@frozen
class Scenario:
    """The room in one state: as it is (`changed` empty) or after a change. `share` is of the work, 0 to 1.

    Raises ValueError if `name` is longer than 200 characters or `changed` than 600: they head a picture on one page.
    """

    name: str
    share: float
    orders_done: float
    orders_lost: float
    changed: str = ""
    picture: Picture | None = None
    stances: tuple[Stance, ...] = ()

    def __attrs_post_init__(self) -> None:
        if len(self.name) > LONGEST_NAME or len(self.changed) > LONGEST_CHANGE:
            raise ValueError(f"a scenario's name takes {LONGEST_NAME} characters, its change {LONGEST_CHANGE}")


@frozen
class ShareRow:
    """The share done, 0 to 1, of one kind of order or of one card's work in each scenario; None where not asked."""

    name: str
    shares: tuple[float | None, ...]


@frozen
class Stop:
    """What stops work, the orders a year lost to it, and the change that wins most of them back (empty: none does)."""

    what: str
    orders_lost: float
    change: str = ""
    orders_won: float = 0.0


@frozen
class AdviserSheet:
    """Everything on the sheet. Shares are 0 to 1, lengths metres, orders a year; `date` is text, given in.

    `partial` says what is missing where the study was stopped early. Raises ValueError where there is no title,
    there are not 1 to 4 scenarios, shares are not one for each of them, `program` is longer than 60
    characters, or a figure is out of range or not finite.
    """

    title: str
    shop: str
    date: str
    program: str
    reader: Reader
    scenarios: tuple[Scenario, ...]
    by_order: tuple[ShareRow, ...] = ()
    by_card: tuple[ShareRow, ...] = ()
    stops: tuple[Stop, ...] = ()
    assumptions: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    sources: tuple[CardSource, ...] = ()
    documents: tuple[DocumentMark, ...] = ()
    demonstration: bool = False
    partial: str = ""
    answer: str = ""

    def __attrs_post_init__(self) -> None:
        if not self.title.strip():
            raise ValueError("a sheet needs a title")
        if not 1 <= len(self.scenarios) <= MOST_SCENARIOS:
            raise ValueError(f"a sheet shows 1 to {MOST_SCENARIOS} scenarios")
        if len(self.program) > LONGEST_PROGRAM:
            raise ValueError(f"the program's name and version take at most {LONGEST_PROGRAM} characters")
        rows = (*self.by_order, *self.by_card)
        if any(len(row.shares) != len(self.scenarios) for row in rows):
            raise ValueError("every kind of order and every card needs one share for each scenario")
        shares = [s.share for s in self.scenarios]
        shares += [share for row in rows for share in row.shares if share is not None]
        if not all(0.0 <= share <= 1.0 for share in shares):
            raise ValueError("a share is from 0 to 1")
        orders = [n for s in self.scenarios for n in (s.orders_done, s.orders_lost)]
        orders += [n for s in self.stops for n in (s.orders_lost, s.orders_won)]
        if not all(math.isfinite(n) and n >= 0.0 for n in orders):
            raise ValueError("a number of orders is finite and not negative")


def adviser_pdf(sheet: AdviserSheet, paper: PaperSize) -> bytes:
    """The sheet as tagged PDF for Letter or A4; always the same bytes.

    Two pages whatever the size of the mix: of long lists the first are told, and how many more there are. More pages
    only where even that finds no room, as single texts are too long.
    """
    lettered = tuple(zip("ABCD", sheet.scenarios, strict=False))
    reader = sheet.reader
    pictures = [s.picture.size_mm[0] for s in sheet.scenarios if s.picture is not None]
    data: dict[str, Data] = {
        "words": labels(ROOM, reader),
        "title": sheet.title,
        "shop": sheet.shop,
        "answer": sheet.answer,
        "date": sheet.date,
        "demonstration": sheet.demonstration or any(mark.demonstration for mark in sheet.documents),
        "partial": sheet.partial,
        "share_means": words.share_means(reader),
        "across": 1 if len(lettered) == 1 or max(pictures, default=0.0) > COLUMN_MM else 2,
        "scenarios": [_scenario(letter, s, reader) for letter, s in lettered],
        "by_order": _share_rows(sheet.by_order, reader),
        "by_card": _share_rows([c for c in sheet.by_card if not _in_full(c)], reader),
        "in_full": _named([c.name for c in sheet.by_card if _in_full(c)]),
        "stops": [_stop(s, reader) for s in sheet.stops],
        "assumptions": sheet.assumptions,
        "cautions": sheet.cautions,
        "warnings": list(dict.fromkeys(sheet.warnings)),
        "sources": _sources(sheet.sources, reader),
        "sources-short": words.sources_in_short(
            [s.status for s in sheet.sources], [s.read_on for s in sheet.sources], reader
        ),
        "documents-short": words.documents_in_short(len(sheet.documents), reader),
        "documents": document_lines(sheet.documents, reader),
        "made-by": made_by(sheet.program, sheet.documents, reader),
    }
    return typeset(Path(__file__).with_name("room.typ"), data, paper, reader.language)


def _scenario(letter: str, scenario: Scenario, reader: Reader) -> dict[str, Data]:
    return {
        "letter": letter,
        "title": f"{letter}: {scenario.name}",
        "changed": scenario.changed or words.as_now(reader),
        "share": scenario.share,
        "share_words": words.share_words(scenario.share, reader),
        "done": words.orders_done(scenario.orders_done, reader),
        "lost": words.orders_lost(scenario.orders_lost, reader),
        "picture": scenario.picture,
        "stances": [_stance(s, reader) for s in scenario.stances],
    }


def _stance(stance: Stance, reader: Reader) -> dict[str, Data]:
    return {
        "for": stance.work,
        "stands": stance.stands,
        "right": reader.write(Length(stance.right_m)),
        "up": reader.write(Length(stance.up_m)),
        "faces": reader.write(Angle(stance.faces_rad), "heading"),
    }


def _share_rows(rows: Sequence[ShareRow], reader: Reader) -> list[Data]:
    return [{"name": row.name, "shares": [words.share_words(x, reader) for x in row.shares]} for row in rows]


def _in_full(row: ShareRow) -> bool:
    return all(share == 1.0 for share in row.shares)


def _stop(stop: Stop, reader: Reader) -> dict[str, Data]:
    return {
        "what": stop.what,
        "lost": words.orders(stop.orders_lost),
        "change": stop.change or words.no_change(reader),
        "won": words.orders(stop.orders_won) if stop.change else "–",
    }


def _sources(sources: Sequence[CardSource], reader: Reader) -> list[Data]:
    """One group for each standing and date, in it every source with the cards that came from it."""
    groups: dict[tuple[str, str], dict[str, list[str]]] = {}
    for s in sources:
        said, read_on = source_words(s, reader)
        groups.setdefault((s.status, read_on), {}).setdefault(said, []).append(s.card)
    return [
        {
            "status": reader.term(status),
            "read_on": read_on,
            "sources": [{"source": said, "cards": _cards(named)} for said, named in found.items()],
        }
        for (status, read_on), found in sorted(groups.items())
    ]


def _cards(keys: Sequence[str]) -> str:
    return ", ".join(_named(keys))


def _named(keys: Sequence[str]) -> list[str]:
    """Cards by name, each once: what was written for each side is one card."""
    return list(dict.fromkeys(re.sub("/(left|right)$", "", key) for key in keys))
