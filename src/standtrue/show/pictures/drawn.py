"""A drawing as a picture: with all that a sheet says beside it, in the reader's units and language."""

from __future__ import annotations

from standtrue.draw.backends.svg import render
from standtrue.draw.shapes import Drawing
from standtrue.show.words.drawing import wording_of
from standtrue.show.words.reader import Reader


def svg_of(drawing: Drawing, reader: Reader) -> str:
    """The drawing as one self-contained SVG that prints to scale on Letter and A4; the same bytes for the same."""
    return render(drawing, wording_of(drawing, reader))
