"""The floor of today: the shop at rest with every car where it stands; dashed if it waits. Names are the page's own."""

from __future__ import annotations

import math
from collections.abc import Sequence
from html import escape

import shapely
from attrs import evolve, frozen

from standtrue.draw.backends.svg import SVG, n
from standtrue.draw.ink import Ink
from standtrue.draw.lettering import FONTS, TEXT_MM, clean
from standtrue.draw.near import conventional
from standtrue.draw.scaled import Paper, bounds_of
from standtrue.draw.shapes import Drawing, Shape
from standtrue.draw.styles import BLACK
from standtrue.draw.whole import CASTER_M, fill_each
from standtrue.draw.whole_ink import WholeInk
from standtrue.model.basics import Place
from standtrue.model.ground import Grounds
from standtrue.model.site import Site
from standtrue.model.vehicle import Vehicle
from standtrue.show.pictures.drive_shapes import car_shapes
from standtrue.show.pictures.floor import floor_shapes
from standtrue.show.pictures.page_floor import EDGE_MM, MOST_MM, READ_PX, SIZES_PX, UNDRAWN
from standtrue.show.pictures.place import in_order, whole_shapes
from standtrue.show.words.reader import Reader

APART_M = 1.4
"""From a door to the first car outside, and from one car to the next; for the picture only."""


NAMED = ("void", "door")
"""What of the floor is named: where a wheel or a foot may go wrong, and where one comes in."""


@frozen(eq=False)
class Standing:
    """A car on the picture: `at` None stands outside, before a door."""

    vehicle: Vehicle
    at: Place | None
    dashed: bool


@frozen
class TodayFloor:
    """The picture, and where the middle of each car is on it: percent from the left and from the top."""

    svg: str
    spots: tuple[tuple[float, float], ...]


def today_floor(site: Site, cars: Sequence[Standing], told: str, reader: Reader) -> TodayFloor:
    """The floor with these cars on it; `told` says the same in words."""
    places = _placed(site, cars)
    shapes = [s for s in whole_shapes(floor_shapes(Grounds(site).at_rest(), reader), site, reader) if _drawn(s)]
    bodies = [in_order(car_shapes(car.vehicle, at, "", reader)) for car, at in zip(cars, places, strict=True)]
    floor = Drawing(site.name, (), "", site.datum, tuple(evolve(s, label="") for s in shapes))
    bounds = bounds_of(evolve(floor, shapes=(*floor.shapes, *(s for body in bodies for s in body))))
    wide, high = bounds[2] - bounds[0], bounds[3] - bounds[1]
    k = min((most - 2 * EDGE_MM) / long for most, long in zip(MOST_MM, (wide, high), strict=True))
    size = (wide * k + 2 * EDGE_MM, high * k + 2 * EDGE_MM)
    paper = Paper(floor, k, EDGE_MM, EDGE_MM, bounds)
    ink = Ink(SVG, paper)
    parts = [_inked(ink, floor.shapes)]
    named = [evolve(s, label=s.label if s.role in NAMED else "") for s in shapes]
    clear = evolve(floor, shapes=(*named, *(evolve(s, label="") for body in bodies for s in body)))
    for car, body in zip(cars, bodies, strict=True):
        parts.append(f'<g class="{"waits" if car.dashed else "worked"}">{_inked(ink, body)}</g>')
    frame = (1.0, 1.0, size[0] - 1.0, size[1] - 1.0)
    for number, laid in enumerate(fill_each(clear, paper, 1, frame, [READ_PX / px * size[0] for px in SIZES_PX])):
        parts.append(f'<g class="text w{number}">{"".join(WholeInk(SVG, laid).lettered())}</g>')
    svg = (
        f'<svg class="floor" viewBox="0 0 {n(size[0])} {n(size[1])}" role="img" aria-label="{escape(clean(told))}" '
        f'font-family="{escape(FONTS)}" font-size="{n(TEXT_MM)}" fill="{BLACK}" stroke-linejoin="round">'
        + "".join(parts)
        + "</svg>"
    )
    spots = (_spot(car, at, paper, size) for car, at in zip(cars, places, strict=True))
    return TodayFloor(svg, tuple(spots))


def _drawn(shape: Shape) -> bool:
    return shape.role not in UNDRAWN


def _inked(ink: Ink[str], shapes: Sequence[Shape]) -> str:
    drawn = (s for s in shapes if s.role != "axle")
    return "".join(ink.shape(part) for shape in drawn for part in conventional(shape, CASTER_M))


def _spot(car: Standing, at: Place, paper: Paper, size: tuple[float, float]) -> tuple[float, float]:
    ahead = (car.vehicle.front_x_m + car.vehicle.rear_x_m) / 2
    middle = (at.x_m + ahead * math.cos(at.heading_rad), at.y_m + ahead * math.sin(at.heading_rad))
    x, y = paper.at(middle)
    return round(100 * x / size[0], 2), round(100 * y / size[1], 2)


def _placed(site: Site, cars: Sequence[Standing]) -> list[Place]:
    """Where each car is drawn: those outside in a row before the first door, nose to it."""
    outside, places = 0.0, []
    for car in cars:
        if car.at is not None:
            places.append(car.at)
            continue
        outside += APART_M
        places.append(_outside(site, car.vehicle, outside))
        outside += car.vehicle.length_m
    return places


def _outside(site: Site, vehicle: Vehicle, away_m: float) -> Place:
    """A place before the first door, so far from it; beside the floor where there is no door."""
    if not site.doors:
        right = max(x for x, _ in site.outline)
        return Place(right + away_m - vehicle.rear_x_m, site.outline[0][1], 0.0)
    door = site.doors[0]
    (x0, y0), (x1, y1) = door.start, door.end
    long = math.hypot(x1 - x0, y1 - y0)
    out = ((y1 - y0) / long, -(x1 - x0) / long)
    middle = ((x0 + x1) / 2, (y0 + y1) / 2)
    if _inside((middle[0] + 0.1 * out[0], middle[1] + 0.1 * out[1]), site):
        out = (-out[0], -out[1])
    nose = away_m + vehicle.front_x_m
    return Place(middle[0] + nose * out[0], middle[1] + nose * out[1], math.atan2(-out[1], -out[0]))


def _inside(point: tuple[float, float], site: Site) -> bool:
    return bool(shapely.Polygon(site.outline).contains(shapely.Point(point)))
