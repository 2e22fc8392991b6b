"""Plain sites, lifts, cars and cards for the tests of the use cases. All invented."""

from __future__ import annotations

from attrs import evolve

from standtrue.documents import Folder
from standtrue.model.basics import DocumentMark, Layer, Outline
from standtrue.model.lift import Lift, LiftState, Obstacle, PlacedLift
from standtrue.model.procedure import Procedure, Source, Zone
from standtrue.model.site import Datum, Gaps, Site
from standtrue.model.vehicle import Vehicle

BODY_M = 0.05
ALONE = Gaps(body_m=BODY_M, exit_m=0.0)


def box(x0: float, y0: float, x1: float, y1: float) -> Outline:
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


def car(name: str = "car", length: float = 4.7, width: float = 1.8) -> Vehicle:
    """A plain rectangle, its wheels well inside, no mirrors."""
    base = length / 2
    return Vehicle(name, length, width, width, 1.5, base, length / 4, 1.3, 1.3, 0.2, 0.6, 0.15)


def card(*zones: Zone, name: str = "card") -> Procedure:
    return Procedure(
        name, "front radar", "static", Source("invented"), supports=("floor", "lift down", "lift up"), zones=zones
    )


def ahead(deep: float, wide: float = 1.6, needs: Layer = "clear") -> Zone:
    return Zone("ahead", needs, "front", box(0, -wide / 2, deep, wide / 2), 0.0, 2.0)


DECKS = (box(0, 0.4, 4.5, 1.05), box(0, -1.05, 4.5, -0.4))
LIFT = Lift(
    "flush",
    (
        LiftState("down", (0.0, 0.0), DECKS, drive_on=True, voids=(box(-0.02, -1.07, 4.52, 1.07),)),
        LiftState(
            "up",
            (0.3, 1.8),
            DECKS,
            voids=(box(-0.02, -1.07, 4.52, 1.07),),
            obstacles=(Obstacle("legs", box(0.4, -0.9, 4.1, -0.5), 0.0, 0.3),),
        ),
    ),
    facing="one",
)


def site(wide: float = 5.0, long: float = 9.0, lift_x: float | None = None, gaps: Gaps = ALONE) -> Site:
    """A room with its length along x; a lift facing +x on its middle line, if asked for."""
    lifts = () if lift_x is None else (PlacedLift("lift", (lift_x, wide / 2), 0.0, LIFT),)
    return Site("shop", box(0, 0, long, wide), Datum((0.0, 0.0)), gaps, lifts=lifts)


def folder(where: Site, cars: tuple[Vehicle, ...], cards: tuple[Procedure, ...]) -> Folder:
    marks = (
        DocumentMark("site", where.name, "0" * 64),
        *(DocumentMark("vehicle", v.name, "1" * 64) for v in cars),
        *(DocumentMark("procedure", c.name, "2" * 64) for c in cards),
    )
    return Folder(marks, sites={where.name: where}, vehicles={v.name: v for v in cars}, procedures=tuple(cards))


def turned(where: Site) -> Site:
    """The same site turned by a quarter: x to y."""

    def quarter(outline: Outline) -> Outline:
        return tuple((-y, x) for x, y in outline)

    lifts = tuple(
        evolve(p, at=(-p.at[1], p.at[0]), heading_rad=p.heading_rad + 1.5707963267948966) for p in where.lifts
    )
    return evolve(where, outline=quarter(where.outline), lifts=lifts)
