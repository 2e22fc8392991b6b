"""Plain shops, cars and cards whose best margins can be worked out by hand."""

from __future__ import annotations

from attrs import evolve

from standtrue.model.basics import Layer, Outline
from standtrue.model.procedure import Procedure, Source, Target, Zone
from standtrue.model.site import Datum, Gaps, Site
from standtrue.model.vehicle import Vehicle

SAME_M = 5e-4 + 1e-9
"""How near the margin told must come to the largest one."""

ON_DECKS_M = 1.5e-3 + 1e-9

LENGTH_M, WIDTH_M, HEIGHT_M, BASE_M, BEHIND_M = 4.7, 1.8, 1.5, 2.35, 1.175
CAR = Vehicle("car", LENGTH_M, WIDTH_M, WIDTH_M, HEIGHT_M, BASE_M, 1.175, 0.4, 0.4, 0.1, 0.6, 0.15)
"""A plain rectangle, its wheels well inside the body, no mirrors: it reaches from -1.175 to 3.525 m along the car."""

BODY_M, WHEEL_M, PERSON_M = 0.05, 0.05, 0.5
ALONE = Gaps(exit_m=0.0)


def box(x0: float, y0: float, x1: float, y1: float) -> Outline:
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


def room(x: float, y: float) -> Site:
    """A room from the origin to (x, y), and no exit strip asked."""
    return Site("room", box(0, 0, x, y), Datum((0.0, 0.0)), ALONE)


def card(*zones: Zone, targets: tuple[Target, ...] = (), name: str = "card") -> Procedure:
    return Procedure(name, "front radar", "static", Source("invented"), zones=zones, targets=targets)


def ahead(deep: float, wide: float = WIDTH_M, top: float = 2.0, needs: Layer = "clear") -> Zone:
    """A zone straight ahead of the car, from the floor up."""
    return Zone("ahead", needs, "front", box(0, -wide / 2, deep, wide / 2), 0.0, top)


def behind(deep: float, wide: float = WIDTH_M) -> Zone:
    return evolve(ahead(deep), name="behind", anchor="rear", outline=box(-deep, -wide / 2, 0, wide / 2))
