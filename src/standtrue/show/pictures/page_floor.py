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
from standtrue.draw.flow import SWATCH_MM
from standtrue.draw.ink import Ink
from standtrue.draw.labels import Bounds, Written
from standtrue.draw.lettering import FONTS, TEXT_MM, clean
from standtrue.draw.naming import write_names
from standtrue.draw.scaled import Paper, bounds_of, footprint
from standtrue.draw.shapes import Drawing, Role, Shape, area
from standtrue.draw.styles import BLACK, SELF_NAMED, WHITE
from standtrue.model.basics import Place
from standtrue.model.site import Datum
from standtrue.model.vehicle import Vehicle
from standtrue.show.pictures.car import at_place
from standtrue.show.pictures.drive_shapes import car_shapes
from standtrue.show.words import labels_plan
from standtrue.show.words.reader import Reader

MOST_MM = (170.0, 130.0)
"""How wide and high the floor is drawn at the most. The page shows it at whatever size there is: the smaller this is,
the larger its words."""

EDGE_MM = 4.0
NEAR_MM = 7.0
"""What is shown around the car and what is set up, in the near view."""

MOST_POSES = 60
"""How many poses of a path are kept: the player turns the car evenly between them."""

CAR_ROLES: frozenset[Role] = frozenset(
    {"body", "mirror", "wheel", "front", "axle", "heading", "centerline", "reference", "touch", "in the way", "nearest"}
)
"""What moves with the car, or would hide it: the player draws the car itself."""

UNDRAWN: frozenset[Role] = frozenset({"region", "mark", "datum", "radius plate", "wheel strip"})

_ORDER = get_args(Role)
_UNKEYED: frozenset[Role] = SELF_NAMED | {"door", "overhead", "stored"}
"""What says itself what it is."""

_WIDE: frozenset[Role] = frozenset({"bay", "uneven", "unsurveyed", "door", "overhead", "stored"})
"""What a near view need not show whole."""

_NAMED_FIRST: Role = "front"
"""The role whose names are written first, bold, and always in words."""

_TOLD_FIRST: frozenset[Role] = frozenset({"equipment", "ghost", "door"})
"""Of a step's own shapes, those that get such a name: what is set up, where a move starts, what must stand open."""


@frozen
class FloorScene:
    """What the script needs for one step.

    `path` are poses on the drawing, millimetres and degrees clockwise; `hidden` and `unnamed` are the numbers of the
    floor's parts and names that are not shown; `key` the roles to explain; `numbers` what each number stands for;
    `near` the part of the drawing that matters: left, top, width, height.
    """

    path: tuple[tuple[float, float, float], ...]
    hidden: tuple[int, ...]
    unnamed: tuple[int, ...]
    key: tuple[Role, ...]
    numbers: tuple[tuple[int, str], ...]
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
    """What every step is drawn on: the floor's shapes and their names."""

    floor: tuple[Shape, ...]
    names: tuple[Written, ...]
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
    empty = _Drawing(shapes, (), paper, size, vehicle)
    bare = evolve(floor, shapes=tuple(evolve(s, tag="") for s in shapes))
    drawing = evolve(empty, names=write_names(bare, paper, empty.frame))
    ink = Ink(SVG, paper)
    found = [_scene(drawing, ink, number, *scene) for number, scene in enumerate(scenes)]
    body = [
        *_floor(drawing, ink, before=True),
        *(layers.under for layers in found),
        *_floor(drawing, ink, before=False),
        *(layers.over for layers in found),
        _car(vehicle, k, reader),
        *(_name(ink, w) for w in drawing.names),
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
            yield f'<g data-part="{number}">{ink.shape(shape)}</g>'


def _scene(drawing: _Drawing, ink: Ink[str], number: int, plan: Drawing | None, path: Sequence[Place]) -> _Layers:
    shapes = drawing.floor if plan is None else tuple(s for s in plan.shapes if s.role not in UNDRAWN)
    there = frozenset(shapes)
    own = [_named(s) for s in shapes if s not in drawing.base and s.role not in CAR_ROLES]
    hidden = tuple(i for i, s in enumerate(drawing.floor) if s not in there)
    kept = _kept(drawing, hidden, own, path)
    here = [w for i, w in enumerate(drawing.names) if i in kept]
    lost = _lost(drawing, there, here)
    names = () if plan is None else _own_names(drawing, plan, [*lost, *own], here, path)
    low = [s for s in own if _ORDER.index(s.role) < _ORDER.index("equipment")]
    high = [s for s in own if s not in low]
    told = FloorScene(
        _poses(path, drawing.paper),
        hidden,
        tuple(i for i in range(len(drawing.names)) if i not in kept),
        _key(own),
        tuple((w.number, w.text) for w in (*here, *names) if w.number is not None),
        _near(drawing, own, path, [w.box for w in names if w.bold and w.number is None]),
    )

    def group(kind: str, drawn: Iterable[str]) -> str:
        return f'<g data-scene="{number}" class="{kind}off">{"".join(drawn)}</g>'

    return _Layers(
        told,
        group("", map(ink.shape, low)),
        group("scene ", map(ink.shape, high)),
        group("", (_name(ink, w) for w in names)),
    )


def _key(own: Sequence[Shape]) -> tuple[Role, ...]:
    """The roles to explain, what the step is about first."""
    roles = dict.fromkeys(s.role for s in reversed(own) if s.role not in _UNKEYED)
    return tuple(sorted(roles, key=lambda role: role in ("exit", "person")))


def _lost(drawing: _Drawing, there: frozenset[Shape], here: Sequence[Written]) -> list[Shape]:
    """The floor's own shapes that are there; those whose name stands at its usual place are not named again."""
    written = {w.text for w in here}
    own = (s for s in drawing.floor if s in there)
    return [evolve(s, tag="", label="" if clean(s.label) in written else s.label) for s in own]


def _name(ink: Ink[str], name: Written) -> str:
    number = "" if name.number is None else f' data-name="{name.number}"'
    return f'<g class="name"{number}>{ink.name(name)}</g>'


def _named(shape: Shape) -> Shape:
    """A step's own shape with the name that it has on the page."""
    if shape.role == "equipment":
        return evolve(shape, label=shape.meaning)
    if shape.role == "stored":
        return evolve(shape, role="equipment")
    if shape.role == "target" or shape.role.startswith("zone"):
        return evolve(shape, tag="", label="")
    return shape


def _kept(drawing: _Drawing, hidden: Sequence[int], own: Sequence[Shape], path: Sequence[Place]) -> set[int]:
    """The floor's names that stay where they are: of what is there, and clear of the car and of what is set up."""
    gone = [clean(drawing.floor[i].label) for i in hidden]
    solid = [footprint(s, drawing.paper) for s in own if s.role in ("equipment", "target")]
    if path:
        solid.append(footprint(Shape("body", "", area(at_place(drawing.vehicle.body, path[-1]))), drawing.paper))
    over = shapely.union_all(solid)
    return {
        i
        for i, name in enumerate(drawing.names)
        if name.text not in gone and not shapely.box(*name.box).intersects(over)
    }


def _own_names(
    drawing: _Drawing, plan: Drawing, shapes: Sequence[Shape], here: Sequence[Written], path: Sequence[Place]
) -> tuple[Written, ...]:
    """The names of a step's own shapes, and of the floor's whose usual place is covered: clear of the car."""
    car = car_shapes(drawing.vehicle, path[-1], "") if path else ()
    bare = [evolve(s, label="", tag="") for s in car]
    named = [evolve(s, role=_NAMED_FIRST) if s.role in _TOLD_FIRST and s not in drawing.base else s for s in shapes]
    return write_names(evolve(plan, shapes=(*bare, *named)), drawing.paper, drawing.frame, here)


def _near(
    drawing: _Drawing, own: Sequence[Shape], path: Sequence[Place], names: Sequence[Bounds]
) -> tuple[float, float, float, float]:
    """The part of the drawing with the car's way, all that is set up and its names, in the drawing's own shape."""
    wide, high = drawing.size
    if not path:
        return (0.0, 0.0, round(wide, 2), round(high, 2))
    shapes = [s for s in own if s.role not in _WIDE]
    shapes += [Shape("body", "", area(at_place(drawing.vehicle.body, p))) for p in (path[0], path[-1])]
    boxes = [shapely.box(*name) for name in names]
    x0, y0, x1, y1 = shapely.union_all([*boxes, *(footprint(s, drawing.paper) for s in shapes)]).bounds
    share = min(1.0, max((x1 - x0 + 2 * NEAR_MM) / wide, (y1 - y0 + 2 * NEAR_MM) / high))
    w, h = share * wide, share * high
    x = min(max(0.0, (x0 + x1 - w) / 2), wide - w)
    y = min(max(0.0, (y0 + y1 - h) / 2), high - h)
    return (round(x, 2), round(y, 2), round(w, 2), round(h, 2))


def _car(vehicle: Vehicle, k: float, reader: Reader) -> str:
    """The car about its own origin, to be shifted and turned; an arrow shows which way it faces."""
    tip, wing = 0.9 * vehicle.wheelbase_m, 0.16 * vehicle.width_m
    shaft = ((0.1 * vehicle.wheelbase_m, 0.0), (tip, 0.0))
    head = ((tip - 2 * wing, wing), (tip, 0.0), (tip - 2 * wing, -wing))
    arrow = Shape("heading", labels_plan.facing(reader), lines=(shaft, head))
    shapes = (*car_shapes(vehicle, Place(0.0, 0.0, 0.0), labels_plan.car(reader), reader), arrow)
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
