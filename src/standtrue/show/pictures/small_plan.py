"""A floor small enough for one column on paper, drawn as every whole view: few names, at the size of other text."""

from __future__ import annotations

import math

from attrs import evolve

from standtrue.draw.backends.pdf import COLUMN_MM, Picture
from standtrue.draw.backends.svg import SVG, document
from standtrue.draw.canvas import Pen
from standtrue.draw.lettering import TEXT_MM, clean, width_mm
from standtrue.draw.shapes import Drawing, Role, Wording
from standtrue.draw.styles import STYLES, Styles
from standtrue.draw.whole import lay_floor
from standtrue.draw.whole_ink import WholeInk
from standtrue.show.words import labels_plan
from standtrue.show.words.drawing import wording_of
from standtrue.show.words.reader import Reader

HEIGHT_MM = 70.0
"""How high a small plan may be, for two rows of them on one page."""

_EDGE_MM = 0.5
_STRIP_MM = 6.0
_UNDRAWN: frozenset[Role] = frozenset({"region", "mark", "datum", "exit", "person"})


def small_plan(
    drawing: Drawing,
    reader: Reader,
    *,
    width_mm: float = COLUMN_MM,
    height_mm: float = HEIGHT_MM,
    styles: Styles = STYLES,
) -> Picture:
    """The floor at the largest neat scale within this size, with the scale under it. Bays have no name on it.

    What is drawn is told in the picture's alternative. Raises ValueError if no scale is small enough.
    """
    kept = (s for s in drawing.shapes if s.role not in _UNDRAWN)
    shapes = tuple(evolve(s, label="") if s.role == "bay" else s for s in kept)
    sparse = evolve(drawing, shapes=shapes, measures=(), chains=(), paragraphs=(), cautions=())
    frame = (_EDGE_MM, _EDGE_MM, width_mm - _EDGE_MM, height_mm - _STRIP_MM)
    floor = lay_floor(sparse, frame, TEXT_MM, styles)
    size = width_mm, min(height_mm, float(math.ceil(floor.frame[3] + _STRIP_MM)))
    wording = wording_of(sparse, reader)
    body = [
        *WholeInk(SVG, floor, edged=False).everything(),
        *_scale(wording, floor.paper.k, floor.denominator, size),
    ]
    told = labels_plan.alternative(drawing.title, wording.told, floor.denominator, reader)
    stops = drawing.caption and any(s.role in ("in the way", "barrier") for s in shapes)
    caption = labels_plan.misfit_caption(drawing.caption, reader) if stops else drawing.caption
    return Picture(document(size, body), clean(told), caption)


def _scale(wording: Wording, k: float, denominator: int, size: tuple[float, float]) -> list[str]:
    """A bar of one length with its figure, and the scale in words, centered under the floor."""
    step, long = wording.ruler.step(k, 10.0)
    words = wording.bar.replace("{step}", f"{step:g} {wording.ruler.unit}").replace("{scale}", str(denominator))
    x = (size[0] - long - 2.0 - width_mm(words)) / 2
    y = size[1] - 1.8
    ends = ((x, y - 1.6), (x, y), (x + long, y), (x + long, y - 1.6))
    return [SVG.path([ends], Pen(width=0.4)), SVG.text(words, (x + long + 2.0, y))]
