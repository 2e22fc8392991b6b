"""What does not matter to a step: it is drawn with little ink and loses its name, and never vanishes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import shapely
from attrs import evolve
from shapely.geometry.base import BaseGeometry

from standtrue.draw.shapes import Role, Shape

MATTERS_M = 2.5
"""What stands no farther than this from the car, its targets, its zones or its way matters to the step."""

_FADES: frozenset[Role] = frozenset(
    (
        "obstacle", "movable", "post", "lift part", "raised deck", "flush deck", "ramp", "radius plate", "stored",
        "equipment", "overhead", "patch", "bay",
    )
)  # fmt: skip
"""Things and floors that may fade: no wall, no door, and never a pit."""


def fade_others(floor: Iterable[Shape], own: Sequence[Shape]) -> list[Shape]:
    """The floor's shapes, those faded that lie farther than `MATTERS_M` from all of the step's own."""
    ours = [_geometry(shape) for shape in own]

    def fades(shape: Shape) -> bool:
        return shape.role in _FADES and all(one.distance(_geometry(shape)) > MATTERS_M for one in ours)

    return [evolve(shape, label="", faded=True) if ours and fades(shape) else shape for shape in floor]


def _geometry(shape: Shape) -> BaseGeometry:
    """All that is drawn of a shape, site frame."""
    parts: list[BaseGeometry] = [shapely.Polygon(outer, holes) for outer, holes in shape.areas]
    parts += [shapely.LineString(line) for line in shape.lines if len(line) > 1]
    parts += [shapely.Point(spot) for spot in shape.spots]
    return shapely.GeometryCollection(parts)
