"""One question in sixteen forms: from start to goal or back, as it is or in a mirror, and turned by quarters.

The same form of them is always answered. So the way back is the way there driven the other way, and a mirrored shop
has the mirrored way: ties fall alike.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from attrs import frozen

from standtrue.drive.kernels.motion import poses_along
from standtrue.drive.world.packed import Packed, Pose, Turned, moved
from standtrue.plane.kernels import Array


@frozen(eq=False)
class Form:
    """A question in the form that is answered, and how it differs from the one asked."""

    packed: Packed
    starts: tuple[Pose, ...]
    goals: tuple[Pose, ...]
    swapped: bool
    turned: Turned


def answered_form(packed: Packed, starts: Sequence[Pose], goals: Sequence[Pose]) -> Form:
    """Of the sixteen forms, about the middle of all ends, the one whose poses come first."""
    ends = np.array([*starts, *goals])
    # The middle of what the ends span: it is the same whichever way they are listed.
    x, y = (float(v) for v in 0.5 * (ends[:, :2].min(axis=0) + ends[:, :2].max(axis=0)))
    forms = [
        (*((b, a) if swapped else (a, b)), swapped, flipped, quarters)
        for quarters in range(4)
        for flipped in (False, True)
        for a, b in [[_seen(poses, Turned((x, y), flipped, quarters)) for poses in (starts, goals)]]
        for swapped in (False, True)
    ]
    one, two, swapped, flipped, quarters = min(forms, key=lambda form: form[:2])
    turned = Turned((x, y), flipped, quarters)
    return Form(moved(packed, turned), one, two, swapped, turned)


def path_turned_back(form: Form, starts: Sequence[Pose], start: Pose, path: Array) -> tuple[Pose, Array]:
    """A path of the answered form as one of the question: which of `starts` it leaves from, and its rows."""
    path = path.copy()
    if form.swapped:
        end = poses_along(np.array(start), path)[-1]
        start = (float(end[0]), float(end[1]), float(end[2]))
        path = path[::-1].copy()
        path[:, :3] = -path[:, :3]
    seen = form.goals if form.swapped else form.starts
    which = min(range(len(seen)), key=lambda i: _apart(seen[i], start))
    if form.turned.flipped:
        path[:, 1:3] = -path[:, 1:3]
    return starts[which], path + 0.0


def _seen(poses: Sequence[Pose], turned: Turned) -> tuple[Pose, ...]:
    points = turned.points(np.array(poses)[:, :2])
    return tuple((float(x), float(y), turned.heading(p[2])) for (x, y), p in zip(points, poses, strict=True))


def _apart(one: Pose, two: Pose) -> float:
    return math.hypot(one[0] - two[0], one[1] - two[1]) + abs(math.remainder(one[2] - two[2], math.tau))
