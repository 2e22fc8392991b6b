"""Seeded rooms, cars and cards to measure on. Invented; harder than a usual shop."""

from __future__ import annotations

import math

import numpy as np

from standtrue.model.basics import Layer, Outline
from standtrue.model.ground import Grounds
from standtrue.model.lift import Obstacle
from standtrue.model.procedure import Procedure, Source, Zone
from standtrue.model.site import Datum, Site
from standtrue.model.vehicle import Vehicle


def box(x0: float, y0: float, x1: float, y1: float) -> Outline:
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


def car(rng: np.random.Generator) -> Vehicle:
    length = rng.uniform(3.8, 5.4)
    width = rng.uniform(1.70, 2.0)
    wheelbase = 0.585 * length
    return Vehicle(
        "car",
        length,
        width,
        width + 0.22,
        1.55,
        wheelbase,
        0.48 * (length - wheelbase),
        0.85 * width,
        0.85 * width,
        0.215,
        0.65,
        0.15,
    )


def card(rng: np.random.Generator, zones: int = 5) -> Procedure:
    """A card of five zones about the car's ends and sides."""
    needs: tuple[Layer, ...] = ("clear", "stand", "walk", "metal-free", "clear")
    anchors = ("front", "front", "left", "rear", "right")
    shapes = (
        box(0.0, -1.0, rng.uniform(1.5, 3.0), 1.0),
        box(rng.uniform(1.5, 2.5), -0.6, 3.0, 0.6),
        box(0.5, 0.1, 2.0, rng.uniform(0.5, 1.0)),
        box(-rng.uniform(0.5, 1.5), -0.8, 0.0, 0.8),
        box(0.0, -rng.uniform(0.3, 0.8), 2.5, -0.05),
    )
    made = tuple(Zone(f"zone {i + 1}", needs[i % 5], anchors[i % 5], shapes[i % 5], 0.0, 1.8) for i in range(zones))
    return Procedure("card", "front radar", "static", Source("invented"), zones=made)


def room(rng: np.random.Generator, things: int = 7, size: tuple[float, float] = (9.0, 6.0)) -> Site:
    """A turned room with a notch and things along its walls and in it."""
    w, h = size[0] * rng.uniform(0.9, 1.15), size[1] * rng.uniform(0.85, 1.1)
    outline: Outline = ((0.0, 0.0), (w, 0.0), (w, 0.8 * h), (0.85 * w, 0.8 * h), (0.85 * w, h), (0.0, h))
    found = []
    for i in range(things):
        a, b = rng.uniform(0.2, 1.2), rng.uniform(0.2, 0.7)
        x, y = rng.uniform(0.0, w - a), (0.0 if i % 2 else h - b) + (rng.uniform(-0.4, 0.4) if i % 3 == 0 else 0.0)
        found.append(Obstacle(f"thing {i + 1}", box(x, y, x + a, y + b), 0.0, rng.uniform(0.8, 2.5), bool(i % 2)))
    turn = rng.uniform(0.0, math.pi)
    c, s = math.cos(turn), math.sin(turn)

    def turned(o: Outline) -> Outline:
        return tuple((c * x - s * y, s * x + c * y) for x, y in o)

    return Site(
        "room",
        turned(outline),
        Datum((0.0, 0.0)),
        obstacles=tuple(Obstacle(t.name, turned(t.outline), t.bottom_m, t.top_m, t.metal) for t in found),
    )


def case(seed: int, things: int = 7, size: tuple[float, float] = (9.0, 6.0)) -> tuple[Grounds, Vehicle, Procedure]:
    rng = np.random.default_rng(seed)
    return Grounds(room(rng, things, size)), car(rng), card(rng)
