"""What a reading's way meets, by brute force: points every few millimeters along it, each looked for in every solid.

Nothing of `standtrue.aim.sight` or `solids` is used: tires are true cylinders with their contact patch, everything else
is asked of shapely.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
import shapely
from numpy.typing import NDArray

from standtrue.aim.bodies import Reading
from standtrue.aim.scene import Scene
from standtrue.model.ground import Ground
from standtrue.model.setup import LINES
from standtrue.model.site import equipment_of

Array = NDArray[np.float64]

STEP_M = 0.004
LOW_M = 0.005
SKIN_M = 0.002
"""What a line enters by no more than this, it may touch."""


class Oracle:
    """The solids of one scene on one ground."""

    def __init__(self, scene: Scene, ground: Ground) -> None:
        self.scene, self.ground = scene, ground
        network = scene.network(())
        self.spots = {p: network.place(p, network.start)[0] for p in network.points}

    def meets(self, reading: Reading, skin_m: float = SKIN_M, frames: bool | None = None) -> set[str]:
        """The names of what a reading's way enters deeper than a skin. Without its own target, frames are away."""
        ways = [self._along(a, b) for a, b in self._legs(reading)]
        if not ways:
            return set()
        points = np.concatenate(ways)
        own = next((t for t, names in self.scene.target_points.items() if names & set(reading.points)), "")
        found = {name for name, inside in self._room(points, skin_m) if inside.any()}
        found |= {name for name, inside in self._car(points, reading, skin_m) if inside.any()}
        if own or frames:
            found |= {name for name, inside in self._frames(points, own, skin_m) if inside.any()}
        return found | self._pits(reading)

    def _along(self, a: Array, b: Array) -> Array:
        count = max(2, math.ceil(float(np.linalg.norm(b - a)) / STEP_M) + 1)
        return np.asarray(a + np.linspace(0.0, 1.0, count)[:, None] * (b - a))

    def _legs(self, reading: Reading) -> Iterator[tuple[Array, Array]]:
        at = [self.spots[p] for p in reading.points if p in self.spots]
        low = [np.array([x, y, LOW_M]) for x, y, _ in at]
        if reading.what == "height" and reading.start != ("wheels",):
            yield at[0], low[0]
        if reading.what == "distance" and not reading.plumbed:
            yield at[0], at[1]
        if reading.what == "distance" and reading.plumbed:
            yield from ((p, f) for p, f in zip(at, low, strict=True) if p[2] > 2 * LOW_M)
            yield low[0], low[1]
        if reading.what == "offset":
            way = low[1] - low[0]
            share = float((low[2] - low[0]) @ way / (way @ way))
            foot = low[0] + share * way
            yield foot, low[2]
            yield at[2], low[2]
            if reading.start in (LINES["thrust line"], LINES["centerline"]):
                yield self._car_end(low[0], way, foot), foot
            else:
                yield low[0] + min(0.0, share) * way, low[0] + max(1.0, share) * way
                yield from ((p, f) for p, f in zip(at[:2], low[:2], strict=True) if p[2] > 2 * LOW_M)

    def _own(self, points: Array) -> Array:
        """Points of the site frame in the car's."""
        place = self.scene.place
        c, s = math.cos(place.heading_rad), math.sin(place.heading_rad)
        dx, dy = points[:, 0] - place.x_m, points[:, 1] - place.y_m
        return np.stack([c * dx + s * dy, c * dy - s * dx, points[:, 2]], axis=1)

    def _car_end(self, start: Array, way: Array, foot: Array) -> Array:
        """The first point of a chalk line from the car's middle on that lies beyond its body."""
        car = self.scene.vehicle
        x0, x1 = self._own(start[None])[0, 0], self._own((start + way)[None])[0, 0]
        ahead = self._own(foot[None])[0, 0] > car.wheelbase_m / 2
        at: Array = start + ((car.front_x_m if ahead else car.rear_x_m) - x0) / (x1 - x0) * way
        return at

    def _room(self, points: Array, skin: float) -> Iterator[tuple[str, NDArray[np.bool_]]]:
        site, (x, y, z) = self.ground.site, points.T
        yield "wall", ~shapely.contains_xy(shapely.Polygon(site.outline).buffer(skin), x, y)
        for one in site.obstacles:
            inside = shapely.contains_xy(shapely.Polygon(one.outline).buffer(-skin), x, y)
            yield one.name, inside & (z > one.bottom_m + skin) & (z < one.top_m - skin)
        for kept in site.equipment:
            if kept.store is not None:
                inside = shapely.contains_xy(shapely.Polygon(kept.store).buffer(-skin), x, y)
                yield kept.name, inside & (z < (kept.height_m or math.inf) - skin)

    def _car(self, points: Array, reading: Reading, skin: float) -> Iterator[tuple[str, NDArray[np.bool_]]]:
        car, (x, y, z) = self.scene.vehicle, self._own(points).T
        z = z - self.scene.height_m
        radius, half = car.tire_diameter_m / 2, car.tire_width_m / 2
        arches = []
        for end, at, track in (("front", car.wheelbase_m, car.track_front_m), ("rear", 0.0, car.track_rear_m)):
            for side, sign in (("left", 1.0), ("right", -1.0)):
                out = sign * y - track / 2
                far = half
                for point in reading.points:
                    if point.endswith(f"{end} {side}") or point == f"{side} string {end}":
                        mine = self._own(self.spots[point][None])[0]
                        far = min(far, sign * mine[1] - track / 2 - 0.010)
                between = (out > -half + skin) & (out < far - skin)
                round_ = np.hypot(x - at, z - radius) < radius - skin
                patch = (abs(x - at) < 0.1 - skin) & (z < radius)
                yield f"tire {end} {side}", between & (round_ | (patch & (z > 0.0)))
                arches.append((abs(x - at) < radius + 0.06) & (out > -half - 0.06) & (z < 2 * radius + 0.06))
        body = shapely.contains_xy(shapely.Polygon(car.body).buffer(-skin), x, y)
        yield "body", body & (z > car.ground_clearance_m + skin) & (z < car.height_m - skin) & ~np.any(arches, axis=0)

    def _frames(self, points: Array, own: str, skin: float) -> Iterator[tuple[str, NDArray[np.bool_]]]:
        targets = {t.name: t for t in self.scene.card.targets}
        mine = next((p.target for p in self.scene.targets if p.name == own), None)
        for place in self.scene.targets:
            if place.name != own and place.target == mine:
                continue
            used = equipment_of(targets[place.target].equipment, self.ground.site.equipment)
            if used is None or used.footprint is None:
                continue
            c, s = math.cos(place.facing_rad), math.sin(place.facing_rad)
            dx, dy = points[:, 0] - place.center[0], points[:, 1] - place.center[1]
            ahead, left = c * dx + s * dy, c * dy - s * dx
            inside = shapely.contains_xy(shapely.Polygon(used.footprint).buffer(-skin), ahead, left)
            if place.name == own:
                inside &= ahead < -0.010 - skin
            yield f"frame of {place.name}", inside & (points[:, 2] < (used.height_m or math.inf) - skin)

    def _pits(self, reading: Reading) -> set[str]:
        """Pits below the ends of a tape on the floor, or below a bob."""
        on_floor = reading.plumbed or reading.what in ("height", "offset")
        chalked = reading.start in (LINES["thrust line"], LINES["centerline"])
        ends = reading.end if chalked or reading.what == "height" else reading.points
        if not on_floor or reading.start == ("wheels",):
            return set()
        found = set()
        for pit in self.ground.site.voids:
            shape = shapely.Polygon(pit.outline).buffer(-SKIN_M)
            if any(shape.contains(shapely.Point(self.spots[p][:2])) for p in ends):
                found.add(pit.name)
        return found
