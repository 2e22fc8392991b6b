"""The chalked line of a car: how it runs, and how far it lies from a string along each side of the car."""

from __future__ import annotations

import math

from attrs import frozen

from standtrue.aim.layout import TargetPlace
from standtrue.aim.scene import Scene
from standtrue.model.basics import Point
from standtrue.model.reason import Ref, Term
from standtrue.model.setup import LINES, STRINGS

PAST_M = 0.5
"""How far the line is chalked past the car and its targets."""


@frozen
class ChalkRow:
    """Where the line is marked: at `where`, so far from the left and from the right string, metres; `at` in the site
    frame."""

    where: Ref | Term
    at: Point
    left_m: float
    right_m: float


@frozen
class Chalk:
    """The line that a card's targets stand on. `angle_rad` is against the centerline, positive to the car's left.

    `ends` are its ends on the picture, in the site frame, `strings` those of the strings along the car's sides.
    """

    line: str
    angle_rad: float
    rows: tuple[ChalkRow, ...]
    ends: tuple[Point, Point]
    strings: tuple[tuple[Point, Point], ...] = ()


def chalk_of(scene: Scene) -> Chalk | None:
    """The line to chalk for a card: by the thrust line, or by the centerline where all its targets ask for that.

    The strings run along each side of the car, and are prolonged. None without targets.
    """
    targets = scene.targets
    if not targets:
        return None
    by_thrust = any(t.line == "thrust line" for t in targets)
    angle = scene.thrust.value_rad if by_thrust else 0.0
    stops = [*_ends_of_car(scene, targets), *_targets_along(scene, targets)]
    rows = tuple(ChalkRow(where, _in_site(scene, x, x * math.tan(angle)), *_from_strings(scene, x, angle))
                 for where, x in stops)  # fmt: skip
    xs = [x for _, x in stops] + [scene.vehicle.front_x_m, scene.vehicle.rear_x_m]
    ends = tuple(_in_site(scene, x, x * math.tan(angle)) for x in (min(xs) - PAST_M, max(xs) + PAST_M))
    strings = tuple(
        (
            _in_site(scene, min(xs), _string(scene, side, min(xs))),
            _in_site(scene, max(xs), _string(scene, side, max(xs))),
        )
        for side in STRINGS
    )
    return Chalk("thrust line" if by_thrust else "centerline", angle, rows, (ends[0], ends[1]), strings)


def _ends_of_car(scene: Scene, targets: tuple[TargetPlace, ...]) -> list[tuple[Ref | Term, float]]:
    """The ends of the car beyond which there are targets; both where there are none."""
    front, rear = scene.vehicle.front_x_m, scene.vehicle.rear_x_m
    alongs = [own_frame(scene, t.center[:2])[0] for t in targets]
    found: list[tuple[Ref | Term, float]] = []
    if any(x > 0.0 for x in alongs):
        found.append((Term("nose"), front))
    if any(x < 0.0 for x in alongs):
        found.append((Term("tail"), rear))
    return found


def _targets_along(scene: Scene, targets: tuple[TargetPlace, ...]) -> list[tuple[Ref | Term, float]]:
    """Each target that stands clear of the car along it; one stop for those that stand equally far."""
    front, rear = scene.vehicle.front_x_m, scene.vehicle.rear_x_m
    found: dict[float, Ref | Term] = {}
    for target in targets:
        x = own_frame(scene, target.center[:2])[0]
        if x > front or x < rear:
            found.setdefault(round(x, 4), Ref("target", target.name))
    return [(where, x) for x, where in found.items()]


def own_frame(scene: Scene, at: Point) -> Point:
    """A point of the site frame in the vehicle frame."""
    place = scene.place
    c, s = math.cos(place.heading_rad), math.sin(place.heading_rad)
    dx, dy = at[0] - place.x_m, at[1] - place.y_m
    return c * dx + s * dy, c * dy - s * dx


def _in_site(scene: Scene, x: float, y: float) -> Point:
    place = scene.place
    c, s = math.cos(place.heading_rad), math.sin(place.heading_rad)
    return place.x_m + c * x - s * y, place.y_m + s * x + c * y


def _from_strings(scene: Scene, x: float, angle_rad: float) -> tuple[float, float]:
    """How far the line lies from the left and from the right string, across the car."""
    y = x * math.tan(angle_rad)
    sides = [_string(scene, side, x) for side in STRINGS]
    return sides[0] - y, y - sides[1]


def _string(scene: Scene, side: str, x: float) -> float:
    """Where the string along a side of the car runs, across the car."""
    points = dict(scene.car_spots)
    (x0, y0, _), (x1, y1, _) = (points[name] for name in LINES[side])
    return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
