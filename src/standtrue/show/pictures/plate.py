"""A drawing as a page shows it: shapes by their class, colors left to the page, names as the page's own text over it.

Names keep the page's reading size whatever the scale, so they are placed for the narrowest picture that is shown: where
none meet there, none meet in a wider one.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence

import shapely
from attrs import field, frozen

from standtrue.draw.backends.svg import n
from standtrue.draw.lettering import width_mm
from standtrue.draw.near import CASTER_M, Tape, clipped, conventional, in_site
from standtrue.draw.shapes import Role, Shape
from standtrue.model.basics import Outline, Point
from standtrue.model.site import Datum, from_datum

PER_M = 100.0
"""Units of the drawing a metre."""

MOST_NAMES = 8
"""A drawing at the car names no more than this, numbers of legs included."""

NAME_PX, NUMBER_PX = 17.0, 20.0
"""How large names are on a page at the car at the most, and the numbers of readings, pixels."""

Box = tuple[float, float, float, float]

_CLASSES: Mapping[Role, str] = {
    "bay": "baymark", "void": "pit", "slot": "pit", "open cover": "cover", "closed cover": "cover",
    "flush deck": "deck", "ramp": "hair", "stored": "stored", "zone stand": "z-stand", "swept": "swept",
    "ghost": "car ghost",
    "equipment": "thing roll", "obstacle": "thing", "movable": "thing roll", "overhead": "over", "lift part": "cut",
    "post": "cut", "raised deck": "deck up", "wall": "cut", "hole": "notfloor", "door": "door", "way in": "doormark",
    "barrier": "clash", "mirror": "mirror", "body": "body", "wheel": "wheel", "glass": "glass", "front": "nose",
    "centerline": "thrust", "string": "lead", "heading": "lead", "target path": "lead", "target": "target",
    "slide": "way", "reverse": "way back", "forward": "way", "mark": "mark", "datum": "mark", "correction": "push",
}  # fmt: skip
"""What is drawn, by its class in the pages' styles; what has none is left out."""

_OF_CAR = frozenset({"mirror", "body", "wheel", "glass", "front"})


@frozen
class PlateName:
    """A name over the drawing: where, in percent of its width and height, and its classes. `number` is a reading's."""

    text: str
    left: float
    top: float
    classes: str
    number: int = 0


@frozen
class Plate:
    """A drawing for a page: its size in its own units, its marks, its names, and what it shows in words."""

    width: float
    height: float
    marks: str
    names: tuple[PlateName, ...]
    told: str

    @property
    def ratio(self) -> float:
        return self.width / self.height


@frozen
class Label:
    """A name to be placed at a point of the site; those first in their list are the last to go."""

    text: str
    at: Point
    bold: bool = False
    areas: tuple[tuple[Outline, tuple[Outline, ...]], ...] = ()


@frozen(eq=False)
class Scene:
    """What a plate shows. `window` is what of the drawing's frame is seen, metres: least right and up, greatest.

    `least_px` is how wide the page shows it at the least; `tapes` are lines by the number of their reading; `faint`
    roles are drawn lighter: they do not matter to the step.
    """

    datum: Datum
    window: Box
    shapes: tuple[Shape, ...]
    labels: tuple[Label, ...] = ()
    tapes: tuple[Tape, ...] = ()
    told: str = ""
    least_px: float = 300.0
    faint: frozenset[Role] = field(factory=frozenset)


def window_of(points: Iterable[Point], datum: Datum, margin_m: float, least_ratio: float = 0.0) -> Box:
    """The window about points of the site, widened to a ratio of width to height where it is slimmer."""
    seen = [from_datum(p, datum) for p in points]
    x0, x1 = min(p[0] for p in seen) - margin_m, max(p[0] for p in seen) + margin_m
    y0, y1 = min(p[1] for p in seen) - margin_m, max(p[1] for p in seen) + margin_m
    more = max(0.0, least_ratio * (y1 - y0) - (x1 - x0)) / 2
    return x0 - more, y0, x1 + more, y1


def plate_of(scene: Scene) -> Plate:
    """The drawing."""
    x0, y0, x1, y1 = scene.window
    width, height = (x1 - x0) * PER_M, (y1 - y0) * PER_M
    corners = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
    window = tuple(in_site(p, scene.datum) for p in corners)
    drawn = clipped([part for s in scene.shapes for part in conventional(s, CASTER_M)], window)
    marks = "".join((_floor(width, height), *(_marks(s, scene) for s in drawn), *_tapes(scene)))
    return Plate(width, height, marks, tuple(_placed(scene, width, height)), scene.told)


def marks_of(shapes: Iterable[Shape], scene: Scene) -> str:
    """Some shapes alone, as they lie in the scene."""
    return "".join(_marks(part, scene) for shape in shapes for part in conventional(shape, CASTER_M))


def at_of(point: Point, scene: Scene) -> Point:
    """Where a point of the site lies in the drawing, in its units from the upper left."""
    return _at(point, scene)


def path_of(rings: Iterable[Outline], scene: Scene) -> str:
    """Closed rings as the data of one path."""
    return "".join(_path(ring, scene) + "Z" for ring in rings)


def _at(point: Point, scene: Scene) -> Point:
    right, up = from_datum(point, scene.datum)
    return (right - scene.window[0]) * PER_M, (scene.window[3] - up) * PER_M


def _floor(width: float, height: float) -> str:
    return f'<path class="floor" d="M0 0H{n(width)}V{n(height)}H0Z"/>'


def _marks(shape: Shape, scene: Scene) -> str:
    name = _CLASSES.get(shape.role)
    if name is None:
        return ""
    parts = []
    for outer, holes in shape.areas:
        path = "".join(_path(ring, scene) + "Z" for ring in (outer, *holes))
        parts.append(f'<path class="{name}" fill-rule="evenodd" d="{path}"/>')
    parts += [f'<path class="{name}" d="{_path(line, scene)}"/>' for line in shape.lines]
    for spot in shape.spots:
        x, y = _at(spot, scene)
        parts.append(f'<g class="{name}"><circle cx="{n(x)}" cy="{n(y)}" r="5"/></g>')
    drawn = "".join(parts)
    if shape.role in _OF_CAR:
        return f'<g class="car">{drawn}</g>'
    return f'<g class="fade">{drawn}</g>' if shape.role in scene.faint else drawn


def _path(line: Outline, scene: Scene) -> str:
    return "M" + "L".join(f"{n(x)} {n(y)}" for x, y in (_at(p, scene) for p in line))


def _tapes(scene: Scene) -> Iterator[str]:
    for tape in scene.tapes:
        line = _path((tape.start, tape.end), scene)
        yield f'<path class="rd" data-r="{tape.number}" d="{line}"/>'


def _placed(scene: Scene, width: float, height: float) -> Iterator[PlateName]:
    """The numbers of readings on their lines, then the names, the first first; none meets another or the edge."""
    scale = scene.least_px / width
    taken: list[Box] = []
    for tape in scene.tapes:
        found = _first_free(_along(tape, scene), (tape.number,), NUMBER_PX, scale, width, height, taken)
        if found is not None:
            x, y = found
            yield PlateName(tape.number, 100 * x / width, 100 * y / height, "dimt rn", int(tape.number))
    named, free = 0, [_box(s, scene) for s in scene.shapes if s.role == "body" and s.areas]
    for label in scene.labels:
        if named == MOST_NAMES:
            return
        lines = _lines(label.text)
        found = _first_free(
            _about(label, scene, scale), lines, NAME_PX, scale, width, height, taken, () if label.bold else free
        )
        if found is not None:
            x, y = found
            named += 1
            classes = "halo strong" if label.bold else "halo"
            yield PlateName("\n".join(lines), 100 * x / width, 100 * y / height, classes)


_SHARES = (0.5, 0.38, 0.62, 0.27, 0.73, 0.44, 0.56, 0.32, 0.68, 0.18, 0.82, 0.1, 0.9)


def _along(tape: Tape, scene: Scene) -> Iterator[Point]:
    """Where the number of a line may stand: on it, in what of it can be seen."""
    x0, y0, x1, y1 = scene.window
    line = shapely.LineString([from_datum(tape.start, scene.datum), from_datum(tape.end, scene.datum)])
    seen = line.intersection(shapely.box(x0, y0, x1, y1))
    if seen.is_empty or seen.length < 1e-6 or seen.geom_type != "LineString":
        return
    for share in _SHARES:
        point = seen.interpolate(share, normalized=True)
        yield (point.x - x0) * PER_M, (y1 - point.y) * PER_M


def _about(label: Label, scene: Scene, scale: float) -> Iterator[Point]:
    """Where a name may stand: in its thing if it is wide enough, else over, under and beside its point."""
    high, wide = _size(_lines(label.text), NAME_PX, scale)
    for at in _points(label, scene):
        x, y = _at(at, scene)
        yield x, y
        for away in (0.8, 1.5):
            yield x, y - away * high
            yield x, y + away * high
        yield x + wide / 2 + 12 / scale, y
        yield x - wide / 2 - 12 / scale, y


def _points(label: Label, scene: Scene) -> Iterator[Point]:
    if not label.areas:
        yield label.at
        return
    x0, y0, x1, y1 = scene.window
    frame = shapely.Polygon([in_site(p, scene.datum) for p in ((x0, y0), (x1, y0), (x1, y1), (x0, y1))])
    whole = shapely.union_all([shapely.Polygon(o, h) for o, h in label.areas]).intersection(frame)
    if not whole.is_empty:
        point = whole.representative_point()
        yield float(point.x), float(point.y)


def _first_free(
    spots: Iterable[Point],
    lines: Sequence[str],
    px: float,
    scale: float,
    width: float,
    height: float,
    taken: list[Box],
    free: Sequence[Box] = (),
) -> Point | None:
    high, wide = _size(lines, px, scale)
    for x, y in spots:
        box = x - wide / 2, y - high / 2, x + wide / 2, y + high / 2
        inside = box[0] >= 0.0 and box[1] >= 0.0 and box[2] <= width and box[3] <= height
        if inside and not any(_meet(box, other) for other in (*taken, *free)):
            taken.append(box)
            return x, y
    return None


def _size(lines: Sequence[str], px: float, scale: float) -> tuple[float, float]:
    """How high and wide lines of text are, with their edge, in the drawing's units at the least scale."""
    wide = max(width_mm(line, px, bold=True) for line in lines) + 0.7 * px
    return (1.2 * px * len(lines) + 0.3 * px) / scale, wide / scale


def _box(shape: Shape, scene: Scene) -> Box:
    """What a shape covers of the drawing."""
    corners = [_at(p, scene) for outer, _ in shape.areas for p in outer]
    xs, ys = [x for x, _ in corners], [y for _, y in corners]
    return min(xs), min(ys), max(xs), max(ys)


def _lines(text: str) -> tuple[str, ...]:
    """A name on two lines where it is long."""
    words = text.split()
    if len(text) < 14 or len(words) < 2:
        return (text,)
    best = min(range(1, len(words)), key=lambda i: abs(len(" ".join(words[:i])) - len(" ".join(words[i:]))))
    return " ".join(words[:best]), " ".join(words[best:])


def _meet(one: Box, other: Box) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def arrow(start: Point, way_rad: float, long_m: float) -> Shape:
    """An arrow on the floor that says which way something is to be shifted."""
    c, s = math.cos(way_rad), math.sin(way_rad)
    tip = start[0] + long_m * c, start[1] + long_m * s
    head = 0.22 * long_m

    def behind(side: float) -> Point:
        return tip[0] - head * c - side * head * s, tip[1] - head * s + side * head * c

    return Shape("correction", "", lines=((start, tip), (behind(0.7), tip, behind(-0.7))))
