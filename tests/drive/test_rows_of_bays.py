"""A shop with two rows of bays, columns, pits and benches: from stance to stance a way is found, and it is clear."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from attrs import evolve
from drive_makers import CAR, at, box, least_distance, outside_of, step_through

from standtrue.drive.engine import drive
from standtrue.drive.kernels.certify import pose_free, scratch_for
from standtrue.drive.question.stage import ground_between
from standtrue.drive.world.ground import packed_for
from standtrue.model.lift import Obstacle
from standtrue.model.site import Datum, Door, Site, Void

WIDE_M, DEEP_M, PITCH_M = 30.0, 18.0, 4.0
MIRRORED = evolve(CAR, width_over_mirrors_m=2.05)
BAYS = 7


def hall() -> Site:
    rng = np.random.default_rng(30)
    things: list[Obstacle] = []
    voids: list[Void] = []
    for k in range(1, BAYS + 1):
        for y in (6.0, DEEP_M - 6.3):
            things.append(Obstacle(f"column {k} {y}", box(4.0 * k, y, 4.0 * k + 0.3, y + 0.3), 0.0, 4.0))
    for k in range(BAYS):
        if rng.random() < 0.4:
            voids.append(Void(f"pit {k}", box(4.0 * k + 1.9, 0.5, 4.0 * k + 2.7, 5.5)))
        if rng.random() < 0.4:
            things.append(Obstacle(f"bench {k}", box(4.0 * k + 1.0, DEEP_M - 0.6, 4.0 * k + 3.0, DEEP_M), 0.0, 1.0))
    door = Door("east", (WIDE_M, DEEP_M / 2 - 1.8), (WIDE_M, DEEP_M / 2 + 1.8), 3.0)
    outline = box(0.0, 0.0, WIDE_M, DEEP_M)
    return Site("hall", outline, Datum((0.0, 0.0)), obstacles=tuple(things), voids=tuple(voids), doors=(door,))


def pairs(seed: int, count: int) -> None:
    """Random pairs of stances in the bays that keep their gaps, each replayed by general geometry."""
    site, rng = hall(), np.random.default_rng(seed)
    packed = packed_for(MIRRORED, ground_between(site, MIRRORED, at(0.0, 0.0), at(0.0, 0.0), ()), ())
    scratch = scratch_for(packed.world)
    solid = shapely.union_all([outside_of(site.outline), *(shapely.Polygon(o.outline) for o in site.obstacles)])
    low = shapely.union_all([shapely.Polygon(o.outline) for o in site.obstacles if o.top_m > 1.3])
    high = shapely.union_all([outside_of(site.outline), low])
    pits = shapely.union_all([shapely.Polygon(v.outline) for v in site.voids])

    def stance() -> tuple[float, float, float]:
        while True:
            x = PITCH_M * float(rng.integers(BAYS)) + 2.15 + float(rng.uniform(-0.5, 0.5))
            y = float(rng.uniform(1.0, 5.0))
            heading = math.radians(float(rng.choice([90.0, -90.0])) + float(rng.uniform(-5.0, 5.0)))
            pose = (x, DEEP_M - y if rng.random() < 0.5 else y, heading)
            if pose_free(packed.world, np.array(pose), scratch):
                return pose

    for _ in range(count):
        one, two = stance(), stance()
        ends = [at(x, y, math.degrees(h)) for x, y, h in (one, two)]
        answer = drive(site, MIRRORED, ends[0], ends[1])
        assert answer.found
        assert answer.least_separation_m is not None
        assert answer.least_separation_m >= 0.05 - 2e-5
        if answer.doors_open:
            continue
        gears = [1.0 if leg.gear == "forward" else -1.0 for leg in answer.legs]
        rows = [(g, 0.0, g * leg.curvature_per_m, leg.length_m) for g, leg in zip(gears, answer.legs, strict=True)]
        poses = step_through(one, rows, 2e-3)
        assert math.dist(poses[-1][:2], two[:2]) <= 1e-6
        assert least_distance(MIRRORED.body, poses, solid) >= 0.05 - 1e-3
        for _, mirror in MIRRORED.mirrors:
            assert least_distance(mirror, poses, high) >= 0.05 - 1e-3
        for _, wheel in MIRRORED.wheel_patches:
            assert least_distance(wheel, poses, pits) >= 0.05 - 1e-3


def test_from_bay_to_bay() -> None:
    pairs(1, 5)


@pytest.mark.long
@pytest.mark.parametrize("seed", range(2, 8))
def test_from_bay_to_bay_more_often(seed: int) -> None:
    pairs(seed, 20)
