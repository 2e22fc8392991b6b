"""What a new thing on a floor is like at first: of a usual size, to be changed."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any

from standtrue.documents.held import written_length
from standtrue.model.basics import Point
from standtrue.model.lift import Lift
from standtrue.model.shift import off_wall, walls
from standtrue.model.site import Site

Said = Mapping[str, str]

SIZES: Mapping[str, tuple[float, float, float]] = {
    "column": (0.25, 0.25, 3.0),
    "thing": (1.2, 0.6, 0.9),
    "pit": (4.0, 0.9, 0.0),
    "bay": (6.0, 3.5, 0.0),
    "patch": (0.6, 0.6, 0.0),
}
"""Width, depth and height, metres: common practice, no source. A bay and a pit are drawn to size afterwards."""

DOOR_M = (3.0, 3.0)
"""How wide and high a new door is, metres, likewise."""


def new_thing(
    where: str, said: Said, site: Site, at: Point, lifts: Mapping[str, Lift], content: Mapping[str, Any]
) -> dict[str, Any]:
    """The table of a new thing with its middle at a point; `said["name"]` is what it is called, with a number where
    that is taken. Raises KeyError for a list to which nothing can be added, or a lift that is not there."""
    return NEW[where](_Made(site, at, lifts, content), said) | {"name": _free_name(said["name"], where, content)}


class _Made:
    """What a new table is written with."""

    def __init__(self, site: Site, at: Point, lifts: Mapping[str, Lift], content: Mapping[str, Any]) -> None:
        self.site, self.at, self.lifts, self.content = site, at, lifts, content

    def length(self, meters: float) -> float | str:
        return written_length(meters, self.content)

    def box(self, of: str) -> list[float | str]:
        wide, deep, _ = SIZES[of]
        x, y = self.at
        return [self.length(v) for v in (x - wide / 2, y - deep / 2, x + wide / 2, y + deep / 2)]


def _obstacle(made: _Made, said: Said) -> dict[str, Any]:
    of = "column" if said.get("as") == "column" else "thing"
    clear = made.site.clear_height_m
    top = clear if of == "column" and clear is not None else SIZES[of][2]
    movable = {} if of == "column" else {"movable": True}
    return {"name": "", "box": made.box(of), "top": made.length(top), **movable}


def _void(made: _Made, _: Said) -> dict[str, Any]:
    return {"name": "", "box": made.box("pit")}


def _bay(made: _Made, _: Said) -> dict[str, Any]:
    return {"name": "", "box": made.box("bay")}


def _mark(made: _Made, _: Said) -> dict[str, Any]:
    return {"name": "", "at": [made.length(v) for v in made.at]}


def _lift(made: _Made, said: Said) -> dict[str, Any]:
    named = said["type"]
    if named not in made.lifts:
        raise KeyError(named)
    return {"name": "", "type": named, "at": [made.length(v) for v in made.at], "heading": 0}


def _door(made: _Made, _: Said) -> dict[str, Any]:
    """On the wall that is nearest to the point."""
    (x0, y0), (x1, y1) = min(walls(made.site), key=lambda wall: off_wall(made.at, *wall))
    long = math.dist((x0, y0), (x1, y1))
    ux, uy = (x1 - x0) / long, (y1 - y0) / long
    wide = min(DOOR_M[0], 0.9 * long)
    along = (made.at[0] - x0) * ux + (made.at[1] - y0) * uy
    start = min(max(along - wide / 2, 0.0), long - wide)
    ends = [[made.length(x0 + t * ux), made.length(y0 + t * uy)] for t in (start, start + wide)]
    return {"name": "", "from": ends[0], "to": ends[1], "height": made.length(DOOR_M[1])}


def _free_name(name: str, where: str, content: Mapping[str, Any]) -> str:
    taken = {item.get("name") for item in content.get(where, ())}
    return next(n for n in (name, *(f"{name} {i}" for i in range(2, 2 + len(taken) + 1))) if n not in taken)


NEW: Mapping[str, Callable[[_Made, Said], dict[str, Any]]] = {
    "obstacles": _obstacle,
    "voids": _void,
    "bays": _bay,
    "marks": _mark,
    "lifts": _lift,
    "doors": _door,
}
"""To which lists something can be added, and what it is at first."""
