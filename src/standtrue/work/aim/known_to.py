"""What is said of a car's dimensions: which were estimated, and how well the others are known."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator

from standtrue.aim.bodies import Reading
from standtrue.aim.layout import CHALK_M
from standtrue.aim.points import Size, estimated_sizes
from standtrue.aim.scene import CAR, Scene
from standtrue.aim.titles import size_title
from standtrue.model.reason import Length, Reason, Ref, Term, because


def notes_on_sizes(scene: Scene, readings: Iterable[Reading]) -> Iterator[Reason]:
    """What readings take for granted of the car: what was estimated, and how well each dimension is known."""
    yield from scene.vehicle.notes
    if any(target.anchor == "sensor" for target in scene.targets):
        yield because("sensor-place-taken", sensor=Term(scene.card.sensor))
    taken = tuple(readings)
    used = {point for reading in taken for point in reading.points} or set(scene.at_car.reachable)
    guessed = [s for s in estimated_sizes(scene.at_car, used) if s.point]
    if guessed:
        what = tuple(size_title(size.name, scene) for size in guessed)
        yield because("points-estimated", what=what)
    free = {name for body, name in scene.network(taken).unknowns if body == CAR}
    known = sorted((s for s in scene.at_car.sizes if s.name in free), key=lambda size: size.u)
    for u, group in itertools.groupby(known, key=lambda size: size.u):
        together = tuple(group)
        points = tuple(Term(size.point) for size in together if size.name.endswith(" offset"))
        others = tuple(_told(size, scene) for size in together if not size.name.endswith(" offset"))
        if points:
            yield because("offsets-known-to", points=points, u=Length(u))
        if others:
            yield because("sizes-known-to", what=others, u=Length(u))


def _told(size: Size, scene: Scene) -> Reason | Term:
    return size_title(size.name, scene) if size.point else Term(size.name)


def notes_on_floor(scene: Scene) -> Iterator[Reason]:
    """Where heights and leans take the floor as level because nobody surveyed it."""
    asked = [t for t in scene.targets if t.tolerance.height_m is not None or t.tolerance.lean_rad is not None]
    if scene.floor is None:
        if asked and scene.height_m == 0.0:
            yield because("floor-taken-as-level")
        return
    bare = tuple(Ref("target", t.name) for t in asked if t.name in scene.floor.unsurveyed)
    if bare:
        yield because("floor-under-taken-as-level", targets=bare)


def notes_on_bobs(scene: Scene) -> Iterator[Reason]:
    """How far bobs fall from where targets are laid out, because the plane of the wheels slopes."""
    rises = scene.ground.rises
    off = max((abs(t.center[2] - scene.height_m) for t in scene.targets), default=0.0)
    off *= 0.0 if rises is None else math.hypot(*(rise.value for rise in rises))
    if off >= BOB_M:
        yield because("bobs-fall-off", by=Length(off))


BOB_M = 0.001
"""What bobs fall off by less than this is not worth a word."""


def notes_on_chalk(scene: Scene) -> Iterator[Reason]:
    """The chalk lines below targets whose size nobody gave."""
    bare = tuple(Ref("target", t.name) for t in scene.targets if t.size_m is None)
    if bare:
        yield because("chalk-of-targets-without-size", targets=bare, half=Length(CHALK_M / 2))
