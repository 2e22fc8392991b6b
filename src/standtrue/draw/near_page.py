"""A near view as one picture by itself: the view with the figures of its tapes beside it, on one page."""

from __future__ import annotations

from attrs import evolve, frozen

from standtrue.draw.backends.svg import SVG, document, nested
from standtrue.draw.lettering import LINE_MM, TEXT_MM, width_mm, wrap
from standtrue.draw.near import Near
from standtrue.draw.near_ink import NearInk
from standtrue.draw.near_layout import lay_near
from standtrue.draw.page import BASE, Drawn, Page, page_svg, set_lines
from standtrue.draw.paper_styles import NEAR_STYLES

TABLE_MM = 66.0
"""How wide the table beside the view is."""

LEAST_MM, MOST_MM = 120.0, 175.0
"""How high a view is at the least and at the most."""

_GAP_MM, _NUMBER_MM = 5.0, 7.0


@frozen
class Row:
    """A line of the table beside the view: its number, what it is, its figure."""

    number: str
    what: str
    figure: str = ""


@frozen(eq=False)
class NearPage:
    """The view, the table beside it, and all that is said with them, in the reader's language already.

    `scale` says in words how large it is on this paper; `{scale}` stands for the denominator.
    """

    page: Page
    near: Near
    scale: str
    heading: str
    rows: tuple[Row, ...]


def near_page_svg(made: NearPage) -> str:
    """The picture: the same bytes for the same page."""
    return page_svg(made.page, lambda wide, room: _drawn(made, wide, room))


def _drawn(made: NearPage, wide: float, room: float) -> Drawn | None:
    """The view at the left, the table at the right; None where either finds no room."""
    table, high = _table(made, wide - TABLE_MM, wide)
    if room < max(LEAST_MM, high):
        return None
    size = wide - TABLE_MM - _GAP_MM, min(room, MOST_MM)
    try:
        laid = lay_near(evolve(made.near, scale=""), *size)
    except ValueError:
        return None
    view = nested(document(size, NearInk(SVG, laid, NEAR_STYLES).everything()), (0.0, 0.0))
    return Drawn((view, *table), max(size[1], high), made.scale.replace("{scale}", str(laid.denominator)))


def _table(made: NearPage, left: float, right: float) -> tuple[list[str], float]:
    """The tapes with their figures: what it is on as many lines as it needs, its figure at the end of the last."""
    heading = wrap(made.heading, right - left, TEXT_MM, True)
    marks, y = set_lines(heading, (left, 0.0), bold=True), len(heading) * LINE_MM + 1.0
    inset = left + (_NUMBER_MM if any(row.number for row in made.rows) else 0.0)
    for row in made.rows:
        taken = width_mm(row.figure, TEXT_MM, True) + 2.0 if row.figure else 0.0
        lines = wrap(row.what, right - inset - taken, TEXT_MM)
        marks += set_lines(lines, (inset, y))
        marks += set_lines((row.number,), (left, y), bold=True) if row.number else []
        y += len(lines) * LINE_MM
        if row.figure:
            at = right, y - (1.0 - BASE) * LINE_MM
            marks.append(SVG.text(row.figure, at, bold=True, anchor="end"))
        y += 0.8
    return marks, y
