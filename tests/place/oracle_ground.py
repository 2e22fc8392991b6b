"""The floor of the slow second reading: a site in one state, resolved by shapely alone.

Written from the reference pages without reading the engine's own ground.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import numpy as np
import shapely
from attrs import frozen
from numpy.typing import NDArray

from standtrue.model.basics import Outline
from standtrue.model.lift import LiftState, PlacedLift
from standtrue.model.site import Bay, Door, Equipment, Site

Array = NDArray[np.float64]
Geometry = Any
Stance = tuple[float, float, float]
MEET_M = 1e-9
CRACK_M = 1e-9
MITRE: dict[str, Any] = {"join_style": "mitre", "mitre_limit": 20.0}
NEIGHBOR_DEEP_M = 5.0


@frozen(eq=False)
class Thing:
    """What stands in space: walls, holes, obstacles, lift parts. `lift` names the lift it is part of."""

    name: str
    shape: Geometry
    bottom_m: float
    top_m: float
    metal: bool = True
    lift: str | None = None
    deck: bool = False
    shell: bool = False


@frozen(eq=False)
class Floor:
    """A site with every lift in a stated state: things, and where the floor is no floor."""

    things: tuple[Thing, ...]
    voids: Geometry
    bridged: Geometry
    patches: tuple[tuple[str, Geometry], ...]
    ramps: tuple[tuple[str, Geometry], ...]
    decks: Mapping[str, Geometry]
    heights: Mapping[str, float]
    ceiling_m: float


def meets(bottom: float, top: float, thing: Thing) -> bool:
    """Whether two height bands overlap by more than 1e-9 m."""
    return min(top, thing.top_m) - max(bottom, thing.bottom_m) > MEET_M


def in_site(placed: PlacedLift, outline: Outline) -> Geometry:
    """An outline of a lift's own frame, in the site frame."""
    return shapely.Polygon(moved(np.array(outline), (*placed.at, placed.heading_rad)))


def joined(shapes: Sequence[Geometry]) -> Geometry:
    """The union, without the cracks that rounding leaves between edges meant to be one."""
    return shapely.union_all([s.buffer(CRACK_M, **MITRE) for s in shapes])


def moved(points: Array, stance: Stance) -> Array:
    """Points turned by the stance's heading, then shifted to it."""
    c, s = math.cos(stance[2]), math.sin(stance[2])
    return np.asarray(points @ np.array([[c, s], [-s, c]]) + np.array(stance[:2]))


def settle(
    site: Site,
    settings: Mapping[str, tuple[LiftState, float]],
    doors: Sequence[str] = (),
    bay: Bay | None = None,
    used: frozenset[str] = frozenset(),
) -> Floor:
    """The site with the lifts of `settings` in those states at those heights, all others at rest.

    `doors` stand open, the equipment named in `used` is not where it is stored, and `bay` is asked for.
    """
    things = [*_walls(site, [d for d in site.doors if d.name in doors]), *_equipment(site.equipment, used)]
    things += [Thing("hole", shapely.Polygon(h), -math.inf, math.inf, shell=True) for h in site.holes]
    things += [Thing(o.name, shapely.Polygon(o.outline), o.bottom_m, o.top_m, o.metal) for o in site.obstacles]
    things += _neighbors(bay)
    voids: list[Geometry] = []
    closed: list[Geometry] = []
    for void in site.voids:
        voids.append(shapely.Polygon(void.outline))
        closed += [shapely.Polygon(c.outline) for c in void.covers if c.name in void.closed]
    ramps: list[tuple[str, Geometry]] = []
    decks: dict[str, Geometry] = {}
    heights: dict[str, float] = {}
    for placed in site.lifts:
        state, height = settings.get(placed.name, (placed.lift.rest, placed.lift.rest.deck_height_m[0]))
        shapes = [in_site(placed, d) for d in state.decks]
        decks[placed.name], heights[placed.name] = joined(shapes), height
        for part in (*placed.lift.posts, *state.obstacles):
            shape = in_site(placed, part.outline)
            rise = height - state.deck_height_m[0] if part.rises else 0.0
            things.append(Thing(part.name, shape, part.bottom_m + rise, part.top_m + rise, part.metal, placed.name))
        voids += [in_site(placed, v) for v in state.voids]
        closed += [in_site(placed, f) for f in state.fills]
        ramps += [(placed.name, in_site(placed, r)) for r in state.ramps]
        if height > 0.0:
            low = height - state.deck_thickness_m
            things += [Thing(f"{placed.name} deck", d, low, height, True, placed.name, deck=True) for d in shapes]
        else:
            closed += shapes
    hollow = shapely.union_all(voids).difference(joined(closed))
    half = site.gaps.bridge_m / 2
    wide = hollow.buffer(-half, **MITRE).buffer(half, **MITRE).intersection(hollow) if half > 0.0 else hollow
    patches = tuple((p.name, shapely.Polygon(p.outline)) for p in site.patches)
    ceiling = math.inf if site.clear_height_m is None else site.clear_height_m
    return Floor(tuple(things), hollow, wide, patches, tuple(ramps), decks, heights, ceiling)


def _walls(site: Site, opened: Sequence[Door]) -> Iterator[Thing]:
    """All that is outside; with doors open also the bare walls beside them, the lintels and the tracks."""
    outline = shapely.Polygon(site.outline)
    aprons = [shapely.Polygon(d.apron) for d in opened if d.apron is not None]
    inside = joined([outline, *aprons]) if aprons else outline
    outside = shapely.box(*inside.bounds).buffer(20.0, **MITRE).difference(inside)
    yield Thing("walls", outside, -math.inf, math.inf, shell=True)
    openings = [shapely.LineString([d.start, d.end]) for d in opened]
    if opened:
        between = shapely.union_all([o.buffer(CRACK_M, cap_style="square") for o in openings])
        yield Thing("wall", outline.exterior.difference(between), -math.inf, math.inf, shell=True)
    for door, opening in zip(opened, openings, strict=True):
        yield Thing(f"{door.name} lintel", opening, door.height_m, math.inf, shell=True)
        if door.track is not None:
            track = door.track
            yield Thing(track.name, shapely.Polygon(track.outline), track.bottom_m, track.top_m, track.metal)


def _equipment(equipment: Sequence[Equipment], used: frozenset[str]) -> Iterator[Thing]:
    """Equipment where it stands: in store, or at its fixed place while it is used."""
    for one in equipment:
        top = math.inf if one.height_m is None else one.height_m
        if one.name not in used and one.store is not None:
            yield Thing(one.name, shapely.Polygon(one.store), 0.0, top)
        elif one.name in used and one.used_at is not None and one.footprint is not None:
            yield Thing(one.name, shapely.Polygon(moved(np.array(one.footprint), (*one.used_at, 0.0))), 0.0, top)


def _neighbors(bay: Bay | None) -> Iterator[Thing]:
    """Cars beyond the closed edges: 5 m deep outward of a counter-clockwise outline, as long as the edge."""
    if bay is None:
        return
    for number in bay.closed_edges:
        a, b = np.array(bay.outline[number]), np.array(bay.outline[(number + 1) % len(bay.outline)])
        out = np.array([b[1] - a[1], a[0] - b[0]]) / float(np.hypot(*(b - a))) * NEIGHBOR_DEEP_M
        yield Thing(f"{bay.name} edge {number}", shapely.Polygon([a, b, b + out, a + out]), 0.0, math.inf)
