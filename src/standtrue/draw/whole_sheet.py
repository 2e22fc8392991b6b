"""A whole view as a page: the answer, the floor below it with its scale bar, what matters, the title block."""

from __future__ import annotations

from attrs import evolve

from standtrue.draw.backends.svg import SVG
from standtrue.draw.lettering import TEXT_MM
from standtrue.draw.page import Drawn, Page, page_svg
from standtrue.draw.scaled import bounds_of
from standtrue.draw.shapes import Drawing, Wording
from standtrue.draw.whole import SCALES, Placed, fill, place_floor
from standtrue.draw.whole_ink import WholeInk, scale_bar

ANSWER_MM = 4.0
"""11.3 points."""

LEAST_MM = 75.0
"""How high a floor with its scale bar is at the least: with less room a larger paper is taken."""

_BAR_MM = 10.0
_SPARE_MM = 8.0
"""How far below the floor names may stand, where there is room."""


def sheet_svg(drawing: Drawing, wording: Wording) -> str:
    """The page on which the floor is the largest, which lies as the floor does if both are alike: the same bytes for
    the same drawing and words.

    Raises ValueError where no scale is small enough.
    """
    x0, y0, x1, y1 = bounds_of(drawing)
    wide = x1 - x0 > y1 - y0
    lies = min((wide, not wide), key=lambda one: _smallness(drawing, wording, one))
    return page_svg(
        _page(drawing, wording, lies),
        lambda width, room: _drawn(drawing, wording, width, room) if room >= LEAST_MM else None,
    )


def _smallness(drawing: Drawing, wording: Wording, wide: bool) -> tuple[int, int]:
    """How many papers are too small for a page that lies so, and how small the floor is on it. Nothing is drawn."""
    found: list[int] = []

    def draw(width: float, room: float) -> Drawn | None:
        placed = _placed(drawing, width, room) if room >= LEAST_MM else None
        found.append(0 if placed is None else placed.denominator)
        return None if placed is None else Drawn((), placed.frame[3] + _BAR_MM)

    page_svg(_page(drawing, wording, wide), draw)
    return len(found), found[-1]


def _page(drawing: Drawing, wording: Wording, wide: bool) -> Page:
    return Page(
        kind="whole",
        paper=drawing.paper,
        language=wording.language,
        title=drawing.title,
        told=wording.told,
        cells=wording.cells,
        banner=wording.banner if drawing.demonstration else "",
        warning=drawing.caption,
        verdict=drawing.verdict,
        verdict_mm=ANSWER_MM,
        below=drawing.notes,
        cautions_heading=wording.cautions_heading,
        cautions=drawing.short,
        wide=wide,
        widest_scale=wording.scale.replace("{scale}", str(SCALES[-1])),
    )


def _placed(drawing: Drawing, width: float, room: float) -> Placed:
    """Where the floor lies above the scale bar; names may stand a little below it."""
    placed = place_floor(drawing, (0.0, 0.0, width, room - _BAR_MM), TEXT_MM)
    low = min(placed.frame[3] + _SPARE_MM, room - _BAR_MM)
    return evolve(placed, frame=(0.0, 0.0, width, low))


def _drawn(drawing: Drawing, wording: Wording, width: float, room: float) -> Drawn:
    """The floor at the top, the scale bar below it."""
    placed = _placed(drawing, width, room)
    floor = fill(drawing, placed.paper, placed.denominator, placed.frame, TEXT_MM)
    low = placed.frame[3]
    bar = scale_bar(SVG, (0.0, low), floor.paper.k, wording.ruler, TEXT_MM)
    said = wording.scale.replace("{scale}", str(floor.denominator))
    return Drawn((*WholeInk(SVG, floor).everything(), *bar), low + _BAR_MM, said)
