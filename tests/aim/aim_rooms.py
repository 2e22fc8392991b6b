"""Random rooms with a car and targets in them, in whole millimeters. All invented."""

from __future__ import annotations

import math

import numpy as np

from standtrue.aim.alignment import Angle
from standtrue.aim.scene import Scene
from standtrue.model.basics import Outline, Place
from standtrue.model.ground import Ground, Grounds
from standtrue.model.lift import Obstacle
from standtrue.model.procedure import Procedure, Source, Target, Tolerance
from standtrue.model.site import Datum, Equipment, Mark, Site, Void
from standtrue.model.vehicle import Vehicle

FRAME = Equipment(
    "frame", "target frame", footprint=((-0.35, -0.7), (0.25, -0.7), (0.25, 0.7), (-0.35, 0.7)), height_m=1.9
)
STAND = Equipment("stand", "reflector", footprint=((-0.3, -0.3), (0.3, -0.3), (0.3, 0.3), (-0.3, 0.3)), height_m=1.2)


def random_scene(seed: int) -> tuple[Scene, Ground]:
    """A room with a notch, columns, things that hang, perhaps a pit; a car in it, and one or two targets."""
    rng = np.random.default_rng(seed)
    wide, deep = _mm(rng, 6.0, 11.0), _mm(rng, 10.0, 15.0)
    cut_x, cut_y = _mm(rng, 0.3, 1.5), _mm(rng, 0.5, 4.0)
    outline: Outline = (
        (0.0, 0.0), (wide, 0.0), (wide, deep - cut_y), (wide - cut_x, deep - cut_y), (wide - cut_x, deep), (0.0, deep)
    )  # fmt: skip
    site = Site(
        "room",
        outline,
        Datum((0.0, 0.0)),
        marks=tuple(
            Mark(f"stud {n}", (_mm(rng, 0.2, wide - cut_x - 0.2), _mm(rng, 0.2, deep - 0.2))) for n in range(4)
        ),
        obstacles=tuple(_thing(rng, n, wide, deep) for n in range(int(rng.integers(3, 9)))),
        voids=(Void("pit", _box(rng, wide, deep, 0.6, 2.5)),) if rng.random() < 0.5 else (),
        equipment=(FRAME, STAND),
        clear_height_m=4.0,
    )
    car = random_car(rng)
    heading = math.pi / 2 + float(rng.uniform(-0.05, 0.05))
    place = Place(_mm(rng, 1.6, wide - cut_x - 1.6), _mm(rng, 1.5, 3.0), heading)
    ahead = _mm(rng, 0.9, 4.0)
    tolerance = Tolerance(0.02, 0.01, 0.01, math.radians(0.5), math.radians(0.5) if rng.random() < 0.5 else None)
    board = Target(
        "board", "front", (ahead, _mm(rng, -0.3, 0.3), _mm(rng, 0.8, 1.6)), math.pi,
        equipment="frame", size_m=(_mm(rng, 0.8, 1.8), 1.0), tolerance=tolerance,
    )  # fmt: skip
    side = 1.0 if rng.random() < 0.5 else -1.0
    corner = Target(
        "reflector", "rear", (-_mm(rng, 0.8, 2.5), side * _mm(rng, 0.8, 1.6), 0.7), -side * 0.8, equipment="stand",
        tolerance=Tolerance(0.03, 0.03, 0.015, None, None),
    )  # fmt: skip
    targets = (board, corner) if rng.random() < 0.5 else (board,)
    card = Procedure("card", "forward camera", "static", Source("invented"), targets=targets)
    scene = Scene(card, car, site, place, Angle(float(rng.normal(0.0, 0.001)), 0.0001))
    return scene, Grounds(site).resolve({}, (), frozenset({"frame", "stand"}))


def random_car(rng: np.random.Generator) -> Vehicle:
    """A car with its wheels inside its body."""
    wheelbase, width, tire = _mm(rng, 2.4, 3.2), _mm(rng, 1.65, 2.0), _mm(rng, 0.185, 0.255)
    front, rear = _mm(rng, 0.7, 1.0), _mm(rng, 0.6, 1.2)
    one, two = (round(width - tire - _mm(rng, 0.0, 0.06), 3) for _ in range(2))
    return Vehicle(
        "car", wheelbase + front + rear, width, width + 0.25, _mm(rng, 1.4, 1.9), wheelbase, front,
        one, two, tire, _mm(rng, 0.58, 0.76), _mm(rng, 0.12, 0.22),
    )  # fmt: skip


def _mm(rng: np.random.Generator, low: float, high: float) -> float:
    return round(float(rng.uniform(low, high)), 3)


def _box(rng: np.random.Generator, wide: float, deep: float, least: float, most: float) -> Outline:
    w, d = _mm(rng, least, most), _mm(rng, least, most)
    x, y = _mm(rng, 0.0, wide - w), _mm(rng, 0.0, deep - d)
    return ((x, y), (x + w, y), (x + w, y + d), (x, y + d))


def _thing(rng: np.random.Generator, number: int, wide: float, deep: float) -> Obstacle:
    """A column, a low bench, or something that hangs."""
    kind = rng.integers(3)
    outline = _box(rng, wide, deep, *((0.15, 0.4), (0.4, 1.5), (0.3, 2.0))[kind])
    bottom, top = ((0.0, 4.0), (0.0, _mm(rng, 0.05, 1.0)), (_mm(rng, 0.4, 2.5), 4.0))[kind]
    return Obstacle(f"thing {number}", outline, bottom, top)
