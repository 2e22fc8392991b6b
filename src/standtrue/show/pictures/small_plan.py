"""A floor small enough for one column on paper: fewer names, no list of words, type as large as elsewhere."""

from __future__ import annotations

import math
from collections.abc import Sequence

from attrs import evolve

from standtrue.draw.backends.pdf import COLUMN_MM, Picture
from standtrue.draw.backends.svg import SVG, document
from standtrue.draw.canvas import Pen
from standtrue.draw.ink import Ink
from standtrue.draw.labels import Written
from standtrue.draw.lettering import clean
from standtrue.draw.lettering import width_mm as words_mm
from standtrue.draw.naming import write_names
from standtrue.draw.scaled import Paper, bounds_of
from standtrue.draw.shapes import Drawing, Role, Shape, Wording
from standtrue.draw.sheet import SCALES, SMALLER
from standtrue.show.words import labels_plan
from standtrue.show.words.drawing import wording_of
from standtrue.show.words.reader import Reader

HEIGHT_MM = 70.0
"""How high a small plan may be, for two rows of them on one page."""

_EDGE_MM = 3.0
_STRIP_MM = 8.0
_UNDRAWN: frozenset[Role] = frozenset({"region", "bay", "axle", "mark", "reference", "exit", "radius plate", "datum"})
_TOUCHES: frozenset[Role] = frozenset({"touch", "in the way"})
_NAMED: frozenset[Role] = frozenset(
    {
        "void", "open cover", "hole", "obstacle", "movable", "overhead", "raised deck", "flush deck", "target", "front",
        "door",
    }
)  # fmt: skip


def small_plan(
    drawing: Drawing, reader: Reader, *, width_mm: float = COLUMN_MM, height_mm: float = HEIGHT_MM
) -> Picture:
    """The floor at the largest neat scale within this size, with the scale under it.

    A name that finds no room is a number, with the name in the caption. What is drawn is told in the
    picture's alternative. Raises ValueError if no scale is small enough.
    """
    sparse = _sparse(drawing)
    low_x, low_y, high_x, high_y = bounds = bounds_of(sparse)
    room = width_mm - 2 * _EDGE_MM, height_mm - _EDGE_MM - _STRIP_MM
    scales = (*SCALES, *SMALLER)
    fitting = (s for s in scales if (high_x - low_x) * 1000 / s <= room[0] and (high_y - low_y) * 1000 / s <= room[1])
    denominator = next(fitting, None)
    if denominator is None:
        raise ValueError("the floor is larger than any scale can show")
    k = 1000.0 / denominator
    wide, high = (high_x - low_x) * k, (high_y - low_y) * k
    paper = Paper(sparse, k, (width_mm - wide) / 2, _EDGE_MM, bounds)
    names = write_names(sparse, paper, (0.5, 0.5, width_mm - 0.5, high + 2 * _EDGE_MM))
    size = width_mm, float(math.ceil(high + _EDGE_MM + _STRIP_MM))
    wording, ink = wording_of(sparse, reader), Ink(SVG, paper)
    body = [
        *map(ink.shape, sparse.shapes),
        *map(ink.name_on_white, names),
        *_scale(wording, k, denominator, size),
    ]
    return Picture(
        document(size, body), alternative(drawing, wording, denominator, reader), _caption(drawing, names, reader)
    )


def alternative(drawing: Drawing, wording: Wording, denominator: int, reader: Reader) -> str:
    """What a picture shows, for those who do not see it."""
    return clean(labels_plan.alternative(drawing.title, wording.told, denominator, reader))


def numbered(names: Sequence[Written]) -> list[str]:
    """The names for which there was only room for a number."""
    return [f"{w.number} {w.text}" for w in names if w.number is not None]


def _sparse(drawing: Drawing) -> Drawing:
    undrawn = _UNDRAWN if drawing.caption else _UNDRAWN | _TOUCHES
    shapes = tuple(_bare(s) for s in drawing.shapes if s.role not in undrawn)
    return evolve(drawing, shapes=shapes, measures=(), paragraphs=(), cautions=())


def _caption(drawing: Drawing, names: Sequence[Written], reader: Reader) -> str:
    """What must be said under the picture: that nothing fits, and the names for which it had only room for a number."""
    said = [drawing.caption] if drawing.caption else []
    if said and any(s.role in _TOUCHES for s in drawing.shapes):
        said = [labels_plan.misfit_caption(drawing.caption, reader)]
    return "; ".join([*said, *numbered(names)])


def _bare(shape: Shape) -> Shape:
    return evolve(shape, tag="", label=shape.label if shape.role in _NAMED else "")


def _scale(wording: Wording, k: float, denominator: int, size: tuple[float, float]) -> list[str]:
    """A bar of one length with its figure, and the scale in words, centered under the floor."""
    step, long = wording.ruler.step(k, 10.0)
    words = wording.bar.replace("{step}", f"{step:g} {wording.ruler.unit}").replace("{scale}", str(denominator))
    x = (size[0] - long - 2.0 - words_mm(words)) / 2
    y = size[1] - 2.5
    ends = ((x, y - 1.6), (x, y), (x + long, y), (x + long, y - 1.6))
    return [SVG.path([ends], Pen(width=0.4)), SVG.text(words, (x + long + 2.0, y))]
