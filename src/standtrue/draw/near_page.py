"""A near view as one picture by itself: title, verdict, the view with the figures of its tapes beside it, notes."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from attrs import frozen

from standtrue.draw.backends.svg import SVG, document, mark_of, nested
from standtrue.draw.canvas import Pen
from standtrue.draw.lettering import wrap
from standtrue.draw.near import Near
from standtrue.draw.near_ink import NearInk
from standtrue.draw.near_layout import lay_near
from standtrue.draw.near_names import NEAR_LINE_MM, NEAR_TEXT_MM, near_mm
from standtrue.draw.styles import BLACK

PAGE_MM = 190.0
"""How wide the picture is: it prints whole on Letter and A4 with 10 mm margins."""

VIEW_MM = 106.0, 150.0
_GAP_MM = 6.0
_TITLE = 1.5
_BASE = 0.77
_WIDEST = 1.14
"""As columns of names: how much wider than counted on the widest font may be."""


@frozen
class Row:
    """A line of the table beside the view: its number, what it is, its figure."""

    number: str
    what: str
    figure: str = ""


@frozen(eq=False)
class NearPage:
    """The view and all that is said with it, in the reader's language already."""

    near: Near
    language: str
    banner: str
    verdict: str
    heading: str
    rows: tuple[Row, ...]
    below: tuple[str, ...] = ()
    cautions_heading: str = ""
    cautions: tuple[str, ...] = ()


@frozen
class _Line:
    words: str
    x: float
    bold: bool = False
    scale: float = 1.0
    end: bool = False


def near_page_svg(page: NearPage) -> str:
    """The picture: the same bytes for the same page."""
    y = 2.0
    body: list[str] = []
    if page.banner:
        body.append(SVG.box((0.4, 0.4), (PAGE_MM - 0.8, 6.2), Pen(BLACK, 0.5, (2.4, 1.2))))
        body.append(SVG.text(page.banner, (PAGE_MM / 2, 4.7), NEAR_TEXT_MM, bold=True, anchor="middle"))
        y = 9.0
    body += _set(_wrapped(page.near.title, 0.0, PAGE_MM, bold=True, scale=_TITLE), y)
    y += _high(_wrapped(page.near.title, 0.0, PAGE_MM, bold=True, scale=_TITLE)) + 1.0
    said = _wrapped(page.verdict, 0.0, PAGE_MM) if page.verdict else []
    body += _set(said, y)
    y += _high(said) + 2.0
    laid = lay_near(page.near, *VIEW_MM)
    table = list(_table(page, VIEW_MM[0] + _GAP_MM))
    view = document(VIEW_MM, NearInk(SVG, laid).everything())
    body.append(nested(view, (0.0, y)))
    body += _set(table, y)
    y += max(VIEW_MM[1], _high(table)) + 2.0
    below = [line for said in (*page.below, *(n.text for n in laid.dropped)) for line in _wrapped(said, 0.0, PAGE_MM)]
    if page.cautions:
        below += _wrapped(page.cautions_heading, 0.0, PAGE_MM, bold=True)
        below += [line for said in page.cautions for line in _wrapped(f"! {said}", 0.0, PAGE_MM, bold=True)]
    body += _set(below, y)
    size = PAGE_MM, float(math.ceil(y + _high(below) + 1.0))
    near = page.near
    mark = mark_of(near.title, near.told, near.ruler.unit)
    return document(size, body, title=near.title, told=near.told, language=page.language, mark=mark)


def _table(page: NearPage, left: float) -> Iterable[_Line]:
    """The tapes with their figures: what it is on as many lines as it needs, its figure at the end of the last."""
    room = PAGE_MM - left
    yield from _wrapped(page.heading, left, room, bold=True)
    for row in page.rows:
        lines = wrap(row.what, (room - 8.0) / _WIDEST, NEAR_TEXT_MM)
        last = near_mm(lines[-1]) + near_mm(row.figure, True) + 2.0 <= room - 8.0
        for i, words in enumerate(lines):
            yield _Line(words, left + 8.0)
            if i == 0:
                yield _Line(row.number, left, True, 0.0)
        if row.figure:
            yield _Line(row.figure, PAGE_MM, True, 0.0 if last else 1.0, end=True)


def _wrapped(words: str, x: float, room: float, *, bold: bool = False, scale: float = 1.0) -> list[_Line]:
    lines = wrap(words, room / _WIDEST, NEAR_TEXT_MM * scale, bold)
    return [_Line(line, x, bold, scale) for line in lines]


def _set(lines: Sequence[_Line], y: float) -> list[str]:
    """Lines below one another; one of no height stands beside the line before it."""
    drawn = []
    for line in lines:
        high = NEAR_LINE_MM * line.scale
        base = y + _BASE * high if high else y - NEAR_LINE_MM * (1.0 - _BASE)
        size, anchor = NEAR_TEXT_MM * max(line.scale, 1.0), line.end
        drawn.append(SVG.text(line.words, (line.x, base), size, bold=line.bold, anchor="end" if anchor else "start"))
        y += high
    return drawn


def _high(lines: Sequence[_Line]) -> float:
    return sum(NEAR_LINE_MM * line.scale for line in lines)
