"""What a drawing says beside its own texts: legend, measures, scale, and all of it once more in words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from standtrue.draw.lettering import clean
from standtrue.draw.shapes import Drawing, Measure, Role, Ruler, Shape, Wording
from standtrue.model.reader_units import INCH_M
from standtrue.model.reason import Angle, Length
from standtrue.model.site import from_datum
from standtrue.show.words.catalog import N_
from standtrue.show.words.labels import cautions_heading, invented_drawing
from standtrue.show.words.reader import Reader
from standtrue.show.words.sheet_title import CELLS

LEGEND: Mapping[Role, str] = {
    "region": N_("rear axle center may be here"),
    "bay": N_("bay"),
    "patch": N_("nothing may stand here"),
    "uneven": N_("uneven floor: not level enough"),
    "unsurveyed": N_("floor that was not surveyed"),
    "contour": N_("line of equal height"),
    "survey point": N_("surveyed point"),
    "planned": N_("the car as planned"),
    "correction": N_("what to shift, and which way"),
    "void": N_("open pit"),
    "slot": N_("slot too narrow for a wheel: no stands"),
    "open cover": N_("cover, open"),
    "closed cover": N_("closed cover: floor"),
    "flush deck": N_("lift deck at floor level"),
    "ramp": N_("ramp"),
    "radius plate": N_("radius or slip plate"),
    "stored": N_("equipment where it stands unused"),
    "zone plain": N_("zone, plain: nothing patterned, shiny or moving in view"),
    "zone clear": N_("zone, clear: nothing in it"),
    "zone metal-free": N_("zone, metal-free: no metal in it"),
    "zone walk": N_("zone, walk: solid floor, nothing on it"),
    "zone stand": N_("zone, stand: solid level floor, nothing on it"),
    "swept": N_("what body and mirrors pass over"),
    "ghost": N_("the car where it starts and where it turns back"),
    "equipment": N_("equipment in use"),
    "exit": N_("room to get out"),
    "person": N_("room for a person"),
    "obstacle": N_("obstacle"),
    "movable": N_("obstacle that can be moved"),
    "overhead": N_("overhead, with room under it"),
    "lift part": N_("part of a lift"),
    "post": N_("post of a lift"),
    "raised deck": N_("raised lift deck"),
    "wall": N_("wall"),
    "hole": N_("no floor (room, stair)"),
    "door": N_("door, shut"),
    "way in": N_("the way in at a door"),
    "barrier": N_("what bars the way"),
    "wheel": N_("wheel"),
    "mirror": N_("mirror"),
    "body": N_("car, its mirrors and wheels"),
    "glass": N_("windshield and rear window"),
    "front": N_("front end of the car"),
    "centerline": N_("centerline, planned thrust line"),
    "reference": N_("the datum's direction"),
    "string": N_("string"),
    "heading": N_("the way the car faces"),
    "target path": N_("path of a moved target"),
    "target": N_("target, and the way it faces"),
    "slide": N_("way of the rear axle's center, on skates"),
    "reverse": N_("way of the rear axle's center, in reverse"),
    "forward": N_("way of the rear axle's center, forward"),
    "mark": N_("floor mark"),
    "datum": N_("datum"),
    "axle": N_("axle and its center"),
    "steer": N_("where the wheel is turned: the rear axle's center there"),
    "turn": N_("change of direction: the rear axle's center there"),
    "nearest": N_("where the way is tightest"),
    "touch": N_("what it touches first"),
    "in the way": N_("what is in the way"),
}
"""What the legend says of each role."""

_FEET = Ruler(float(12 * INCH_M), "ft", (1, 2, 5, 10, 20, 50, 100, 200))
_METERS = Ruler(1.0, "m", (0.25, 0.5, 1, 2, 5, 10, 20, 50))

_TOLD_ELSEWHERE = ("axle", "heading", "reference", "centerline", "glass", "front", "datum")


def wording_of(drawing: Drawing, reader: Reader) -> Wording:
    """All that a sheet of this drawing says, for this reader."""
    return Wording(
        language=reader.language,
        told=told(drawing, reader),
        ruler=ruler_of(reader),
        scale=reader.say("1 : {scale} at full size", scale="{scale}"),
        bar=reader.say("{step}, scale 1 : {scale}", step="{step}", scale="{scale}"),
        banner=invented_drawing(reader),
        cautions_heading=cautions_heading(reader),
        cells=_cells(drawing, reader),
    )


def _cells(drawing: Drawing, reader: Reader) -> tuple[tuple[str, str], ...]:
    """The title block: what its scale is, only the page knows."""
    block, scale = drawing.block, (reader.say(CELLS["scale"]), "")
    if block is None:
        return (scale,)
    about = (reader.say(CELLS["sheet"]), block.sheet), (reader.say(CELLS["question"]), block.question)
    return (*about, scale, *(((reader.say(CELLS["rests on"]), block.rests_on),) if block.rests_on else ()))


def ruler_of(reader: Reader) -> Ruler:
    """The unit of a scale bar."""
    return _FEET if reader.units == "us" else _METERS


def told(drawing: Drawing, reader: Reader) -> str:
    """The whole drawing in sentences: verdict, measures, every shape and where it is, notes and cautions."""
    sentences = [*_head(drawing, reader)]
    sentences.extend(f"{m.tag}, {measure_words(m, reader)}" for m in drawing.measures)
    for shape in drawing.shapes:
        if shape.role not in _TOLD_ELSEWHERE:
            sentences.append(_shape_words(shape, drawing, reader))
    for paragraph in drawing.paragraphs:
        sentences.extend(f"{paragraph.heading}: {said}" for said in paragraph.sentences)
    sentences.extend(reader.say("Caution: {caution}", caution=caution) for caution in drawing.cautions)
    return " ".join(ended(clean(s)) for s in sentences if s.strip())


def _head(drawing: Drawing, reader: Reader) -> Iterator[str]:
    if drawing.demonstration:
        yield reader.say("Invented demonstration data")
    yield drawing.verdict
    yield from (f"{name}: {value}" for name, value in drawing.facts)
    if drawing.measures:
        yield reader.say("Measures are from the datum, right along its direction and up across it")


def measure_words(measure: Measure, reader: Reader) -> str:
    """A point to lay out, in words."""
    said = [offset_words(measure.right_m, measure.up_m, reader)]
    if measure.height_m is not None:
        said.append(reader.say("center {height} high", height=Length(measure.height_m)))
    if measure.faces_rad is not None:
        said.append(reader.say("faces {angle:heading}", angle=Angle(measure.faces_rad)))
    return f"{measure.name}: {', '.join(said)}"


def offset_words(right_m: float, up_m: float, reader: Reader) -> str:
    """Two distances from the datum: `2.744 m right, 2.214 m up`."""
    right, up = Length(abs(right_m)), Length(abs(up_m))
    if right_m < 0:
        if up_m < 0:
            return reader.say("{right} left, {up} down", right=right, up=up)
        return reader.say("{right} left, {up} up", right=right, up=up)
    if up_m < 0:
        return reader.say("{right} right, {up} down", right=right, up=up)
    return reader.say("{right} right, {up} up", right=right, up=up)


def _shape_words(shape: Shape, drawing: Drawing, reader: Reader) -> str:
    corners = [p for outer, _ in shape.areas for p in outer]
    corners.extend(p for line in shape.lines for p in line)
    corners.extend(shape.spots)
    if not corners or shape.role == "wall":
        return shape.meaning
    points = [from_datum(p, drawing.datum) for p in corners]
    right, up = (_span([p[i] for p in points], reader) for i in (0, 1))
    return reader.say("{thing}: {right} right, {up} up", thing=shape.meaning, right=right, up=up)


def _span(values: Sequence[float], reader: Reader) -> str:
    return reader.span(Length(min(values)), Length(max(values)))


def ended(sentence: str) -> str:
    """The sentence with a stop at its end."""
    return sentence if sentence[-1:] in (".", "!", "?") else f"{sentence}."
