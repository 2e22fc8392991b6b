"""One question in four forms: as asked, from goal to start, in a mirror, and both. The same form is always answered.

So the way back is the way there driven the other way, and a mirrored shop has the mirrored way.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from attrs import frozen

from standtrue.drive.motion import poses_along
from standtrue.drive.world import Packed, mirrored
from standtrue.plane.kernels import Array

Pose = tuple[float, float, float]


@frozen(eq=False)
class Form:
    """A question in the form that is answered, and how it differs from the one asked."""

    packed: Packed
    starts: tuple[Pose, ...]
    goals: tuple[Pose, ...]
    swapped: bool
    flipped: bool


def answered_form(packed: Packed, starts: Sequence[Pose], goals: Sequence[Pose]) -> Form:
    """Of the four forms the one whose poses come first."""
    ones, twos = tuple(_plain(p) for p in starts), tuple(_plain(p) for p in goals)
    forms = [
        (*((b, a) if swapped else (a, b)), swapped, flipped)
        for flipped in (False, True)
        for swapped in (False, True)
        for a, b in [(tuple(map(_flip, ones)), tuple(map(_flip, twos))) if flipped else (ones, twos)]
    ]
    one, two, swapped, flipped = min(forms, key=lambda form: form[:2])
    return Form(mirrored(packed) if flipped else packed, one, two, swapped, flipped)


def as_asked(form: Form, starts: Sequence[Pose], start: Pose, path: Array) -> tuple[Pose, Array]:
    """A path of the answered form as one of the question: which of `starts` it leaves from, and its rows."""
    path = path.copy()
    if form.swapped:
        end = poses_along(np.array(start), path)[-1]
        start = (float(end[0]), float(end[1]), float(end[2]))
        path = path[::-1].copy()
        path[:, :3] = -path[:, :3]
    if form.flipped:
        start = _flip(start)
        path[:, 1:3] = -path[:, 1:3]
    return min(starts, key=lambda p: _apart(p, start)), path + 0.0


def _plain(pose: Pose) -> Pose:
    """The pose with its heading above -pi and up to pi."""
    h = math.remainder(pose[2], math.tau)
    return (pose[0] + 0.0, pose[1] + 0.0, math.pi if h == -math.pi else h + 0.0)


def _flip(pose: Pose) -> Pose:
    return _plain((pose[0], -pose[1], -pose[2]))


def _apart(one: Pose, two: Pose) -> float:
    return math.hypot(one[0] - two[0], one[1] - two[1]) + abs(math.remainder(one[2] - two[2], math.tau))
