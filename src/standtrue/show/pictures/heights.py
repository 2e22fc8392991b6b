"""A surveyed floor as lines of equal height, with what of it is level enough for a card, and a car standing on it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import shapely
from attrs import frozen

from standtrue.aim.floor import SurveyedFloor
from standtrue.aim.floor_bands import LevelFloor, contours
from standtrue.draw.shapes import Drawing, Paragraph, Role, Shape, TitleBlock, area, areas_of
from standtrue.model.basics import Outline, Place
from standtrue.model.basis import Basis
from standtrue.model.ground import Ground
from standtrue.model.reader_units import INCH_M, System
from standtrue.model.reason import Length, Ref
from standtrue.model.vehicle import Vehicle
from standtrue.show.pictures.car import at_place
from standtrue.show.pictures.car_body import drawn_body
from standtrue.show.pictures.drawn import svg_of
from standtrue.show.pictures.floor import floor_shapes
from standtrue.show.pictures.place import on_sheet, paper_of, whole_shapes
from standtrue.show.words import labels, labels_floor, labels_whole
from standtrue.show.words.drawing import LEGEND
from standtrue.show.words.reader import ENGLISH, Reader
from standtrue.show.words.texts import as_sentence

MOST_LINES = 12
"""More lines of equal height than this make a picture that nobody reads."""

_UNDRAWN: frozenset[Role] = frozenset({"bay", "overhead", "stored", "radius plate"})

_STEPS_MM = (1, 2, 5, 10, 20, 50, 100, 200)
_STEPS_INCH = (1 / 16, 1 / 8, 1 / 4, 1 / 2, 1, 2, 4, 8)


@frozen(eq=False)
class CarThere:
    """A car on the floor, and how much must go under each wheel to bring it level, metres."""

    vehicle: Vehicle
    place: Place
    shims_m: tuple[tuple[str, float], ...]


@frozen(eq=False)
class FloorPicture:
    """What the picture shows: the floor, and for a card, or a car, what concerns those."""

    title: str
    floor: SurveyedFloor
    ground: Ground
    level: LevelFloor | None = None
    car: CarThere | None = None
    facts: tuple[tuple[str, str], ...] = ()
    verdict: str = ""
    notes: tuple[str, ...] = ()
    basis: Basis | None = None
    uphill: Ref | None = None


def floor_svg(picture: FloorPicture, reader: Reader = ENGLISH) -> str:
    """The floor as one self-contained SVG that prints to scale on Letter and A4."""
    return svg_of(floor_drawing(picture, reader), reader)


def floor_drawing(picture: FloorPicture, reader: Reader = ENGLISH) -> Drawing:
    """The shapes and words of a surveyed floor, for any back end."""
    ground = picture.ground
    step_m = contour_step(picture.floor, reader.units)
    shapes = [s for s in floor_shapes(ground, reader) if s.role not in _UNDRAWN]
    shapes.extend(_level(picture, reader))
    shapes.extend(_heights(picture.floor, step_m, ground.site.outline, reader))
    shapes.extend(_uphill(picture.uphill, shapes, ground, reader))
    if picture.car is not None:
        shapes.extend(_car(picture.car, reader))
    lines = labels_floor.lines_apart(step_m, reader)
    drawing = Drawing(
        title=picture.title,
        facts=picture.facts,
        verdict=picture.verdict,
        datum=ground.site.datum,
        shapes=whole_shapes(shapes, ground.site, reader),
        paragraphs=(Paragraph(labels.notes_heading(reader), (lines, *picture.notes)),),
        notes=(as_sentence(lines),),
        block=TitleBlock(ground.site.name, labels_whole.heights_question(reader)),
        paper=paper_of(ground.site),
    )
    return drawing if picture.basis is None else on_sheet(drawing, picture.basis, reader, moves=False)


def _uphill(seen: Ref | None, shapes: Sequence[Shape], ground: Ground, reader: Reader) -> Iterator[Shape]:
    """The name of what the answer says that the floor rises toward."""
    if seen is None:
        return
    name = reader.write(seen)
    doors = {Ref("door", d.name): shapely.LineString([d.start, d.end]) for d in ground.site.doors}
    named = [shapely.Polygon(s.areas[0][0]) for s in shapes if s.label == name and s.areas]
    for shape in [doors[seen]] if seen in doors else named[:1]:
        at = shape.interpolate(0.5, normalized=True) if seen in doors else shape.representative_point()
        yield Shape("survey point", labels_floor.uphill(reader), spots=((at.x, at.y),), label=name)


def contour_step(floor: SurveyedFloor, units: System) -> float:
    """The least neat step between lines of equal height that gives no more than MOST_LINES of them, metres."""
    steps = [float(INCH_M) * s for s in _STEPS_INCH] if units == "us" else [s / 1000 for s in _STEPS_MM]
    rise = float(floor.heights.max() - floor.heights.min())
    return next((s for s in steps if rise / s <= MOST_LINES), steps[-1])


def _heights(floor: SurveyedFloor, step_m: float, outline: Outline, reader: Reader) -> Iterator[Shape]:
    """Lines of equal height above the lowest point, each named once, and the points."""
    lowest = min(p.height_m for p in floor.points)
    highest = max(p.height_m for p in floor.points)
    for height_m, segments in contours(floor, step_m, lowest):
        if segments:
            words = labels_floor.contour(height_m, reader)
            label = reader.write(Length(height_m))
            yield Shape("contour", words, lines=_joined(segments, outline), label=label)
    ends = {lowest: labels_floor.lowest(reader), highest: labels_floor.highest(highest - lowest, reader)}
    for point in floor.points:
        words = labels_floor.surveyed(point.height_m - lowest, reader)
        yield Shape("survey point", words, spots=(point.at,), label=ends.pop(point.height_m, ""))


def _joined(
    segments: Sequence[tuple[tuple[float, float], tuple[float, float]]], outline: Outline
) -> tuple[Outline, ...]:
    """Segments that meet as one line each, within the walls, the longest first: it bears the name."""
    inside = shapely.intersection(shapely.MultiLineString([list(s) for s in segments]), shapely.Polygon(outline))
    lines = [part for part in shapely.get_parts(inside) if part.geom_type == "LineString"]
    merged = shapely.line_merge(shapely.MultiLineString(lines))
    parts = sorted(shapely.get_parts(merged), key=lambda p: (-round(p.length, 6), p.bounds))
    return tuple(tuple((float(x), float(y)) for x, y in shapely.get_coordinates(part)) for part in parts)


def _level(picture: FloorPicture, reader: Reader) -> Iterator[Shape]:
    """What of the floor is too uneven for the card, and what was not surveyed."""
    if picture.level is None:
        return
    level = picture.level
    parts: tuple[tuple[Role, tuple[Outline, ...], str], ...] = (
        ("uneven", level.uneven, labels_floor.not_level(level.because, reader)),
        ("unsurveyed", level.unknown, labels_floor.unsurveyed(reader)),
    )
    for role, outlines, said in parts:
        whole = shapely.union_all([shapely.Polygon(o) for o in outlines])
        if not whole.is_empty:
            yield Shape(role, said, areas_of(whole), label=reader.say(LEGEND[role]))


def _car(car: CarThere, reader: Reader) -> Iterator[Shape]:
    """The car's outline, and at each wheel what must go under it."""
    yield Shape(
        "planned",
        labels_floor.car_there(car.vehicle.name, reader),
        area(at_place(drawn_body(car.vehicle), car.place)),
        label=car.vehicle.name,
    )
    shims = dict(car.shims_m)
    for wheel, outline in car.vehicle.wheel_patches:
        words, shim = labels_floor.wheel(wheel, shims.get(wheel), reader)
        yield Shape("wheel", words, area(at_place(outline, car.place)), label=shim)
