"""Narrow passages: where two things stand little farther apart than the car is wide.

A grid of poses hardly ever meets a passage with a centimeter to spare. So the poses just before and just behind each,
square to it and in the middle of it, are worth stepping on for the search: from there straight on leads through.
"""

from __future__ import annotations

import math

import numpy as np

from standtrue.drive.kernels.certify import free_travel, scratch_for
from standtrue.drive.kernels.world import World
from standtrue.plane.compiled import compiled, compiled_bare
from standtrue.plane.kernels import Array

SPARE_M = 0.6
"""A passage wider than the car and its gaps by more than this needs no help."""
MOST_PASSAGES = 40
SAME_M = 0.15
SAME_RAD = 0.02
INTO_M = 0.4
"""How far into a passage the car must get for it to count."""


@compiled_bare
def _nearest_on(w: World, solid: int, x: float, y: float) -> tuple[float, float, float]:
    """The point of a solid's outline nearest to (x, y), and its distance; -1 if the point is inside."""
    first, last = w.solid_at[solid], w.solid_at[solid + 1]
    best, bx, by = np.inf, 0.0, 0.0
    inside = True
    for i in range(first, last):
        j = i + 1 if i + 1 < last else first
        px, py = w.solid[i, 0], w.solid[i, 1]
        ex, ey = w.solid[j, 0] - px, w.solid[j, 1] - py
        if ex * (y - py) - ey * (x - px) < 0.0:
            inside = False
        long = ex * ex + ey * ey
        t = min(1.0, max(0.0, ((x - px) * ex + (y - py) * ey) / long)) if long > 0.0 else 0.0
        dx, dy = px + t * ex - x, py + t * ey - y
        d = math.sqrt(dx * dx + dy * dy)
        if d < best:
            best, bx, by = d, px + t * ex, py + t * ey
    return bx, by, -1.0 if inside else best


@compiled
def find_passages(w: World, bounds: Array) -> Array:
    """Poses just before and behind each passage, the narrowest passages first: rows x, y, heading."""
    front, rear, half, gap = -np.inf, np.inf, 0.0, 0.0
    for p in range(w.pairs.shape[0]):
        gap = max(gap, w.gaps[p])
    for i in range(w.car.shape[0]):
        front, rear = max(front, w.car[i, 0]), min(rear, w.car[i, 0])
        half = max(half, abs(w.car[i, 1]))
    least = 2.0 * (half + min(gap, 0.0))
    most = 2.0 * (half + gap) + SPARE_M
    solids = w.solid_at.shape[0] - 1
    raw, count = np.empty((4096, 4)), 0
    for i in range(solids):
        for k in range(w.solid_at[i], w.solid_at[i + 1]):
            x, y = w.solid[k, 0], w.solid[k, 1]
            if x < bounds[0] - 1.0 or y < bounds[1] - 1.0 or x > bounds[2] + 1.0 or y > bounds[3] + 1.0:
                continue
            for j in range(solids):
                if j == i or count >= raw.shape[0]:
                    continue
                dx = max(0.0, max(w.boxes[j, 0] - x, x - w.boxes[j, 2]))
                dy = max(0.0, max(w.boxes[j, 1] - y, y - w.boxes[j, 3]))
                if dx * dx + dy * dy > most * most:
                    continue
                bx, by, wide = _nearest_on(w, j, x, y)
                if least - 1e-6 <= wide <= most:
                    raw[count, 0], raw[count, 1] = 0.5 * (x + bx), 0.5 * (y + by)
                    raw[count, 2], raw[count, 3] = math.atan2(by - y, bx - x) + 0.5 * math.pi, wide
                    count += 1
    order = np.argsort(raw[:count, 3])
    scratch = scratch_for(w)
    ahead, pose = np.array([1.0, 0.0, 0.0]), np.empty(3)
    kept, n = np.empty((4 * MOST_PASSAGES, 3)), 0
    for index in order:
        x, y, h = raw[index, 0], raw[index, 1], raw[index, 2]
        for way in range(4):
            # Before the passage going forward, or behind it going back; either way round.
            turned = h + math.pi * (way // 2)
            back = front if way % 2 == 0 else rear
            pose[0], pose[1], pose[2] = x - back * math.cos(turned), y - back * math.sin(turned), turned
            fresh = n < kept.shape[0]
            for m in range(n):
                apart = math.hypot(kept[m, 0] - pose[0], kept[m, 1] - pose[1])
                turn = (kept[m, 2] - turned) / (2.0 * math.pi)
                if apart < SAME_M and abs(turn - round(turn)) * 2.0 * math.pi < SAME_RAD:
                    fresh = False
            if not fresh:
                continue
            ahead[0] = 1.0 if way % 2 == 0 else -1.0
            if free_travel(w, pose, ahead, INTO_M, scratch) >= INTO_M:
                kept[n] = pose
                n += 1
    return kept[:n].copy()
