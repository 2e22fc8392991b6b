"""A drawing as a sheet of paper, in the reader's units and language."""

from __future__ import annotations

from standtrue.draw.shapes import Drawing
from standtrue.draw.whole_sheet import sheet_svg
from standtrue.show.words.drawing import wording_of
from standtrue.show.words.reader import Reader


def svg_of(drawing: Drawing, reader: Reader) -> str:
    """The drawing as one self-contained SVG, a page of the reader's paper; the same bytes for the same."""
    return sheet_svg(drawing, wording_of(drawing, reader))
