"""Lines to snap on the floor: the thrust line and the centerline, from two marks that a tape can find.

A line along the car cannot be seen below it, so that it is marked at two distances: where the car ends, and where the
target stands. Each mark lies so far from the string along each side of the car; both offsets together are as far apart
as the strings are, which checks the strings.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from attrs import frozen

from standtrue.aim.layout import in_car
from standtrue.aim.points import Spot
from standtrue.aim.scene import Scene
from standtrue.aim.sight import Sight, foot_on
from standtrue.model.anchors import in_frame
from standtrue.model.reason import Ref, Term
from standtrue.model.setup import LINES, STRINGS

CLEAR_M = 0.10
"""So far beyond the car's end its mark lies, where chalk can reach the floor."""

APART_M = 1.0
"""The two marks of a line lie at least so far apart."""


@frozen
class FromString:
    """A mark as a tape finds it: squarely beside a string, `offset_m` from it, `beyond_m` past the string's last mark
    at a wheel; metres. `stopped_by`: what a tape or the string would meet there."""

    line: str
    offset_m: float
    beyond_m: float
    stopped_by: tuple[Ref, ...]


@frozen
class ChalkMark:
    """One mark of a line: at the car's end, or at a target. `at` is in the site frame, `in_car` in the vehicle's."""

    where: Term | Ref
    at: tuple[float, float]
    in_car: tuple[float, float]
    strings: tuple[FromString, ...]


@frozen
class ChalkLine:
    """A line to snap: its heading against the car's centerline (left positive), and its marks.

    `over` and `stopped_by` are what lies between the marks: open pits, and things.
    """

    name: str
    heading_rad: float
    u_rad: float
    ahead: bool
    marks: tuple[ChalkMark, ...]
    stopped_by: tuple[Ref, ...]

    @property
    def clear(self) -> bool:
        """Whether it can be snapped: nothing stands on it, and at least one string finds each mark."""
        found = all(any(not s.stopped_by for s in mark.strings) for mark in self.marks)
        return not self.stopped_by and found


def chalk_lines(scene: Scene, sight: Sight) -> tuple[ChalkLine, ...]:
    """The lines that the card's targets are placed from, at each end of the car where targets stand."""
    found: dict[tuple[str, bool], list[tuple[float, str]]] = {}
    for target in scene.targets:
        along = in_car(scene.place, target.center)[0]
        ahead = along > scene.vehicle.wheelbase_m / 2
        found.setdefault((target.line, ahead), []).append((along, target.name))
    return tuple(_line(scene, sight, name, ahead, stands) for (name, ahead), stands in found.items())


def _line(scene: Scene, sight: Sight, name: str, ahead: bool, stands: list[tuple[float, str]]) -> ChalkLine:
    car = scene.vehicle
    thrust = scene.thrust
    heading, u = (thrust.value_rad, thrust.u_rad) if name == "thrust line" else (0.0, 0.0)
    way = 1.0 if ahead else -1.0
    near = car.front_x_m + CLEAR_M if ahead else car.rear_x_m - CLEAR_M
    reach, target = max(stands, key=lambda s: way * s[0])
    far = way * max(way * reach, way * near + APART_M)
    wheres: tuple[tuple[Term | Ref, float], ...] = (
        (Term("nose" if ahead else "tail"), near),
        (Ref("target", target), far),
    )
    marks = tuple(_mark(scene, sight, where, along, heading) for where, along in wheres)
    view = sight.between((*marks[0].at, 0.0), (*marks[1].at, 0.0))
    return ChalkLine(name, heading, u, ahead, marks, (*view.stopped_by, *view.over))


def _mark(scene: Scene, sight: Sight, where: Term | Ref, along: float, heading: float) -> ChalkMark:
    at = (along, along * math.tan(heading))
    ((x, y),) = in_frame(((scene.place.x_m, scene.place.y_m), scene.place.heading_rad), (at,))
    return ChalkMark(where, (x, y), at, tuple(_from_strings(sight, (x, y, 0.0), along > 0.0)))


def _from_strings(sight: Sight, spot: Spot, ahead: bool) -> Iterator[FromString]:
    for line in STRINGS:
        rear, front = (sight.spot(p) for p in LINES[line])
        foot = foot_on(rear, front, spot)
        last = front if ahead else rear
        stopped = sight.beside(LINES[line], spot).stopped_by
        yield FromString(line, math.dist(foot[:2], spot[:2]), math.dist(foot[:2], last[:2]), stopped)
