"""The picture of a page that plays a plan: the floor, what each step puts on it, and the car, moved by a script."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property
from html import escape
from typing import get_args

import shapely
from attrs import evolve, frozen

from standtrue.draw.backends.svg import SVG, n
from standtrue.draw.ink import SWATCH_MM, Ink
from standtrue.draw.lettering import FONTS, TEXT_MM, clean
from standtrue.draw.near import conventional
from standtrue.draw.scaled import Paper, bounds_of, footprint
from standtrue.draw.shapes import Drawing, Role, Shape, area
from standtrue.draw.styles import BLACK, WHITE
from standtrue.draw.whole import CASTER_M, Floor, fill_each
from standtrue.draw.whole_ink import WholeInk
from standtrue.draw.whole_names import Written
from standtrue.model.basics import Place
from standtrue.model.site import Datum
from standtrue.model.vehicle import Vehicle
from standtrue.show.pictures.car import at_place
from standtrue.show.pictures.drive_shapes import car_shapes
from standtrue.show.pictures.place import in_order
from standtrue.show.words import labels_plan
from standtrue.show.words.reader import Reader

MOST_MM = (170.0, 130.0)
"""How wide and high the floor is drawn at the most. The page shows it at whatever size there is: the smaller this is,
the larger its words."""

EDGE_MM = 4.0
NEAR_MM, LEAST_SHARE = 7.0, 0.35
"""What is shown around the car and what is set up, in the near view, and how much of the whole that is at the least."""

MOST_POSES = 60
"""How many poses of a path are kept: the player turns the car evenly between them."""

READ_PX, SIZES_PX = 14.0, (700.0, 430.0, 300.0)
"""Names are at least so large where the picture is at least so wide: for each width they are placed anew, the less room
there is the fewer. The script shows those that can be read, and none larger than that takes.
"""

CAR_ROLES: frozenset[Role] = frozenset(
    {"body", "mirror", "wheel", "glass", "front", "axle", "heading", "centerline", "reference", "touch", "in the way"}
)
"""What moves with the car, or would hide it: the player draws the car itself."""

UNDRAWN: frozenset[Role] = frozenset({"region", "mark", "datum", "radius plate"})

_ORDER = get_args(Role)
_UNKEYED: frozenset[Role] = frozenset(
    {"wheel", "mirror", "front", "heading", "datum", "axle", "bay", "void", "open cover", "closed cover", "door",
     "way in", "overhead", "stored", "ghost"}
)  # fmt: skip
"""What says itself what it is."""

_WIDE: frozenset[Role] = frozenset({"bay", "uneven", "unsurveyed", "door", "overhead", "stored"})
"""What a near view need not show whole."""


_TOLD: frozenset[Role] = frozenset({"equipment", "target", "ghost", "door"})
"""Whose names a near view shows: what is set up, where a move starts, what must stand open."""


@frozen
class FloorScene:
    """What the script needs for one step.

    `path` are poses on the drawing, millimetres and degrees clockwise; `hidden` are the numbers of the floor's parts
    that are not shown; `key` the roles to explain; `near` the part of the drawing that matters: left, top, width,
    height.
    """

    path: tuple[tuple[float, float, float], ...]
    hidden: tuple[int, ...]
    key: tuple[Role, ...]
    near: tuple[float, float, float, float]


@frozen
class PageFloor:
    """The drawing as an SVG, `size` its width and height, and what of it each step shows."""

    svg: str
    size: tuple[float, float]
    scenes: tuple[FloorScene, ...]

    @property
    def key(self) -> tuple[Role, ...]:
        """Every role that any step wants explained, once."""
        return tuple(dict.fromkeys(role for scene in self.scenes for role in scene.key))


@frozen(eq=False, slots=False)
class _Drawing:
    """What every step is drawn on: the floor's shapes."""

    floor: tuple[Shape, ...]
    paper: Paper
    size: tuple[float, float]
    vehicle: Vehicle

    @cached_property
    def base(self) -> frozenset[Shape]:
        return frozenset(self.floor)

    @property
    def frame(self) -> tuple[float, float, float, float]:
        return (1.0, 1.0, self.size[0] - 1.0, self.size[1] - 1.0)


@frozen
class _Layers:
    """One step: what the script needs, and what is drawn under the floor's things, over them, and as names."""

    told: FloorScene
    under: str
    over: str
    names: str


def draw_floor(
    vehicle: Vehicle,
    floor: Drawing,
    scenes: Sequence[tuple[Drawing | None, Sequence[Place]]],
    told: str,
    reader: Reader,
) -> PageFloor:
    """The floor at rest with, for each step, its own drawing and where the car goes. `told` says it in words."""
    every = [s for plan in (floor, *(p for p, _ in scenes if p is not None)) for s in plan.shapes]
    bounds = bounds_of(evolve(floor, shapes=tuple(s for s in every if s.role not in UNDRAWN)))
    wide, high = bounds[2] - bounds[0], bounds[3] - bounds[1]
    k = min((most - 2 * EDGE_MM) / long for most, long in zip(MOST_MM, (wide, high), strict=True))
    size = (wide * k + 2 * EDGE_MM, high * k + 2 * EDGE_MM)
    paper = Paper(floor, k, EDGE_MM, EDGE_MM, bounds)
    shapes = tuple(s for s in floor.shapes if s.role not in UNDRAWN)
    drawing = _Drawing(shapes, paper, size, vehicle)
    ink = Ink(SVG, paper)
    found = [_scene(drawing, ink, number, *scene) for number, scene in enumerate(scenes)]
    body = [
        *_floor(drawing, ink, before=True),
        *(layers.under for layers in found),
        *_floor(drawing, ink, before=False),
        *(layers.over for layers in found),
        _car(vehicle, k, reader),
        *(layers.names for layers in found),
    ]
    svg = (
        f'<svg class="floor" viewBox="0 0 {n(size[0])} {n(size[1])}" role="img" aria-label="{escape(clean(told))}" '
        f'font-family="{escape(FONTS)}" font-size="{n(TEXT_MM)}" fill="{BLACK}" stroke-linejoin="round">\n'
        f'<rect width="{n(size[0])}" height="{n(size[1])}" fill="{WHITE}"/>\n' + "\n".join(body) + "\n</svg>"
    )
    return PageFloor(svg, size, tuple(layers.told for layers in found))


def swatch_svg(role: Role) -> str:
    """A small picture of how a role is drawn, to stand beside its words."""
    nowhere = Paper(Drawing("", (), "", Datum((0.0, 0.0)), ()), 1.0, 0.0, 0.0, (0.0, 0.0, 0.0, 0.0))
    ink = Ink(SVG, nowhere)
    drawn = "".join(ink.swatch(role, 0.0, 0.2))
    return f'<svg viewBox="-0.5 -0.6 {n(SWATCH_MM + 1.0)} 4.8" aria-hidden="true">{drawn}</svg>'


def _floor(drawing: _Drawing, ink: Ink[str], *, before: bool) -> Iterator[str]:
    """The floor's own parts that lie before, or after, what a step marks on it."""
    for number, shape in enumerate(drawing.floor):
        if (_ORDER.index(shape.role) < _ORDER.index("stored")) == before:
            yield f'<g data-part="{number}">{_inked(ink, (shape,))}</g>'


def _inked(ink: Ink[str], shapes: Iterable[Shape]) -> str:
    return "".join(ink.shape(part) for shape in shapes for part in conventional(shape, CASTER_M))


def _scene(drawing: _Drawing, ink: Ink[str], number: int, plan: Drawing | None, path: Sequence[Place]) -> _Layers:
    shapes = drawing.floor if plan is None else tuple(s for s in plan.shapes if s.role not in UNDRAWN)
    there = frozenset(shapes)
    added = [s for s in shapes if s not in drawing.base and s.role not in CAR_ROLES]
    set_up = any(s.role == "equipment" for s in added)
    own = [_named(s, set_up) for s in added]
    hidden = tuple(i for i, s in enumerate(drawing.floor) if s not in there)
    low = [s for s in own if _ORDER.index(s.role) < _ORDER.index("equipment")]
    high = [s for s in own if s not in low]
    car = next((s.label for s in shapes if s.role == "body"), "")
    laid = _laid(drawing, [*(s for s in shapes if s in drawing.base), *own], path, car)
    told = FloorScene(_poses(path, drawing.paper), hidden, _key(own), _near(drawing, own, path, laid[0].names))

    def group(kind: str, drawn: str) -> str:
        return f'<g data-scene="{number}" class="{kind}off">{drawn}</g>'

    names = "".join(
        f'<g class="names" data-mm="{n(floor.text_mm)}">{"".join(WholeInk(SVG, floor).lettered())}</g>'
        for floor in laid
    )
    return _Layers(told, group("", _inked(ink, low)), group("scene ", _inked(ink, high)), group("", names))


def _key(own: Sequence[Shape]) -> tuple[Role, ...]:
    """The roles to explain, what the step is about first."""
    roles = dict.fromkeys(s.role for s in reversed(own) if s.role not in _UNKEYED)
    return tuple(sorted(roles, key=lambda role: role in ("exit", "person")))


def _named(shape: Shape, set_up: bool) -> Shape:
    """A step's own shape with the name that it has on the page: what is set up names its target too."""
    if shape.role == "equipment":
        return evolve(shape, label=shape.meaning)
    if shape.role == "stored":
        return evolve(shape, role="equipment")
    return evolve(shape, label="") if shape.role == "target" and set_up else shape


def _laid(drawing: _Drawing, shapes: Sequence[Shape], path: Sequence[Place], car: str) -> list[Floor]:
    """A step's few names and numbered turns, for each width of the picture, clear of where the car ends."""
    stands = car_shapes(drawing.vehicle, path[-1], "") if path else ()
    named = [evolve(s, label=car if s.role == "body" else "") for s in stands]
    plan = evolve(drawing.paper.drawing, shapes=(*shapes, *named))
    sizes = [READ_PX / wide_px * drawing.size[0] for wide_px in SIZES_PX]
    return fill_each(plan, drawing.paper, 1, drawing.frame, sizes)


def _near(
    drawing: _Drawing, own: Sequence[Shape], path: Sequence[Place], names: Sequence[Written]
) -> tuple[float, float, float, float]:
    """The part of the drawing with the car's way, all that is set up and its names, in the drawing's own shape."""
    wide, high = drawing.size
    if not path:
        return (0.0, 0.0, round(wide, 2), round(high, 2))
    shapes = [s for s in own if s.role not in _WIDE]
    shapes += [Shape("body", "", area(at_place(drawing.vehicle.body, p))) for p in (path[0], path[-1])]
    told = {s.label for s in own if s.role in _TOLD}
    boxes = [shapely.box(*name.box) for name in names if name.text in told]
    x0, y0, x1, y1 = shapely.union_all([*boxes, *(footprint(s, drawing.paper) for s in shapes)]).bounds
    share = min(1.0, max(LEAST_SHARE, (x1 - x0 + 2 * NEAR_MM) / wide, (y1 - y0 + 2 * NEAR_MM) / high))
    w, h = share * wide, share * high
    x = min(max(0.0, (x0 + x1 - w) / 2), wide - w)
    y = min(max(0.0, (y0 + y1 - h) / 2), high - h)
    return (round(x, 2), round(y, 2), round(w, 2), round(h, 2))


def _car(vehicle: Vehicle, k: float, reader: Reader) -> str:
    """The car about its own origin, to be shifted and turned."""
    shapes = in_order(car_shapes(vehicle, Place(0.0, 0.0, 0.0), labels_plan.car(reader), reader))
    paper = Paper(Drawing("", (), "", Datum((0.0, 0.0)), shapes), k, 0.0, 0.0, (0.0, 0.0, 0.0, 0.0))
    ink = Ink(SVG, paper)
    return f'<g class="car off">{"".join(ink.shape(s) for s in shapes if s.role != "axle")}</g>'


def _poses(path: Sequence[Place], paper: Paper) -> tuple[tuple[float, float, float], ...]:
    """Poses on the drawing: millimetres, and degrees clockwise."""
    step = max(1, math.ceil(len(path) / MOST_POSES))
    turned = paper.drawing.datum.direction_rad
    poses = []
    for place in (*path[:-1:step], *path[-1:]):
        x, y = paper.at((place.x_m, place.y_m))
        poses.append((round(x, 2), round(y, 2), round(-math.degrees(place.heading_rad - turned), 2)))
    return tuple(poses)
