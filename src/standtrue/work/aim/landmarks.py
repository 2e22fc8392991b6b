"""Landmarks: what somebody at a target sees in the direction in which it is to be shifted.

"Left" alone is the car's for one and the board's for another: a thing by its name is the same for both.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Set

import shapely
from attrs import evolve, frozen
from shapely.geometry.base import BaseGeometry

from standtrue.aim.corrections import WAYS, Correction
from standtrue.aim.setup import SetupAnswer
from standtrue.model.anchors import in_frame
from standtrue.model.basics import Place, Point
from standtrue.model.ground import WALL, Ground, Grounds
from standtrue.model.reason import Ref
from standtrue.model.vehicle import Vehicle
from standtrue.plane.shapes import polygon

CONE_RAD = math.radians(20.0)
"""What lies within this of a direction lies in it."""

NEAR_M = 0.30
"""A thing so near the target stands under or at it: it shows no direction."""

EYE_M = 1.5
"""What reaches from below to this height hides what is behind it; what hangs above is no landmark."""

FAR_M = 200.0


@frozen(eq=False)
class Seen:
    """Something with a name: where it is on the plan, and whether it hides what is behind it."""

    ref: Ref
    shape: BaseGeometry
    hides: bool
    shown: bool = True


def with_landmarks(answer: SetupAnswer) -> SetupAnswer:
    """The answer with a landmark at each shift of its corrections."""
    scene = answer.scene
    place = scene.place if answer.car is None else answer.car.place
    ground = Grounds(scene.site).at_rest()
    in_use = {t.equipment for t in scene.card.targets if t.equipment is not None}
    seen = (*named_things(ground, in_use), _the_car(scene.vehicle, place))

    def led(correct: Correction, stands: Point) -> Correction:
        line = place.heading_rad + scene.thrust.value_rad
        found = [(way, landmark(ground, seen, stands, line + WAYS[way])) for way, _ in correct.shifts]
        return evolve(correct, toward=tuple((way, ref) for way, ref in found if ref is not None))

    targets = [
        t if t.correct is None else evolve(t, correct=led(t.correct, (t.place.center[0], t.place.center[1])))
        for t in answer.targets
    ]
    return evolve(answer, targets=tuple(targets))


def landmark(ground: Ground, seen: Iterable[Seen], at: Point, direction_rad: float) -> Ref | None:
    """The named thing nearest in a direction that can be seen from a point; the wall where there is none.

    None where there is nothing at all, as through an open door.
    """
    here, seen = shapely.Point(at), tuple(seen)
    cone = polygon(
        (at, *((at[0] + FAR_M * math.cos(direction_rad + a), at[1] + FAR_M * math.sin(direction_rad + a))
               for a in (-CONE_RAD, 0.0, CONE_RAD)))
    )  # fmt: skip
    best: tuple[float, Ref] | None = None
    for one in seen:
        there = one.shape.intersection(cone) if one.shown else one.shape
        if not one.shown or there.is_empty:
            continue
        line = shapely.shortest_line(here, there)
        if line.length < NEAR_M or (best is not None and line.length >= best[0]):
            continue
        if not any(o.hides and o is not one and _crosses(line, o.shape) for o in seen):
            best = line.length, one.ref
    if best is not None:
        return best[1]
    walls = (t for t in ground.things if t.kind == "wall")
    return WALL if any(t.shape.intersects(cone) for t in walls) else None


def _crosses(line: BaseGeometry, shape: BaseGeometry) -> bool:
    """Whether a line of sight goes on through a shape; to end at its edge is to see it."""
    return bool(line.intersection(shape).length > 1e-3)


def named_things(ground: Ground, in_use: Set[str]) -> Iterator[Seen]:
    """What has a name and can be seen: floor marks, doors, columns, benches, lifts, pits; walls hide, too."""
    site = ground.site
    yield from (Seen(Ref("mark", m.name), shapely.Point(m.at), False) for m in site.marks)
    yield from (Seen(Ref("door", d.name), shapely.LineString([d.start, d.end]), False) for d in site.doors)
    yield from (Seen(Ref("void", v.name), polygon(v.outline), False) for v in site.voids)
    for name, decks in ground.decks:
        yield from (Seen(Ref("lift", name), polygon(deck), False) for deck in decks)
    for thing in ground.things:
        if thing.bottom_m < EYE_M and not (thing.kind == "equipment" and thing.ref.name in in_use):
            shown = thing.kind in ("obstacle", "post", "equipment")
            yield Seen(evolve(thing.ref, state=""), thing.shape, thing.top_m > EYE_M, shown)


def _the_car(vehicle: Vehicle, place: Place) -> Seen:
    """The car hides what is behind it, and is none itself: its own left is what is to be explained."""
    body = in_frame(((place.x_m, place.y_m), place.heading_rad), vehicle.body)
    return Seen(Ref("this car"), polygon(body), True, False)
