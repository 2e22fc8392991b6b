"""The text equivalent of a plan: everything that the picture says, in words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from standtrue.draw.lettering import clean
from standtrue.draw.shapes import Drawing, Shape
from standtrue.model.reader_units import System, format_length
from standtrue.show.words.place import from_datum, measure_words
from standtrue.show.words.reader import Reader

_TOLD_ELSEWHERE = ("axle", "heading", "reference", "centerline", "front", "datum")


def describe(drawing: Drawing, units: System) -> str:
    """The whole plan in sentences: verdict, measures, every shape and where it is, notes and cautions."""
    sentences = [*_head(drawing)]
    sentences.extend(f"{m.tag}, {measure_words(m, Reader(units))}" for m in drawing.measures)
    for shape in drawing.shapes:
        if shape.role not in _TOLD_ELSEWHERE:
            sentences.append(_shape_words(shape, drawing, units))
    for paragraph in drawing.paragraphs:
        sentences.extend(f"{paragraph.heading}: {said}" for said in paragraph.sentences)
    sentences.extend(f"Caution: {caution}" for caution in drawing.cautions)
    return " ".join(_ended(clean(s)) for s in sentences if s.strip())


def _head(drawing: Drawing) -> Iterator[str]:
    if drawing.demonstration:
        yield "Invented demonstration data"
    yield drawing.verdict
    yield from (f"{name}: {value}" for name, value in drawing.facts)
    if drawing.measures:
        yield "Measures are from the datum, right along its direction and up across it"


def _shape_words(shape: Shape, drawing: Drawing, units: System) -> str:
    corners = [p for outer, _ in shape.areas for p in outer]
    corners.extend(p for line in shape.lines for p in line)
    corners.extend(shape.spots)
    if not corners or shape.role == "wall":
        return shape.meaning
    points = [from_datum(p, drawing.datum) for p in corners]
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return f"{shape.meaning}: {_span(xs, units)} right, {_span(ys, units)} up"


def _span(values: Sequence[float], units: System) -> str:
    low, high = format_length(min(values), units), format_length(max(values), units)
    return low if low == high else f"{low} to {high}"


def _ended(sentence: str) -> str:
    return sentence if sentence[-1:] in (".", "!", "?") else f"{sentence}."
