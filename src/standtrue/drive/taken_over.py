"""Whether one car can take the very way that was found for another: a search is spared, a proof is not."""

from __future__ import annotations

import math

import numpy as np

from standtrue.drive.engine import ask_for
from standtrue.drive.question.answer import Answer, End, Leg
from standtrue.drive.question.any_doors import keeps_gaps
from standtrue.drive.question.ends import places_of
from standtrue.drive.question.refused import refusals
from standtrue.drive.question.stage import Move, Opened, staged
from standtrue.model.basics import Place
from standtrue.model.site import Bay, Site
from standtrue.model.vehicle import Vehicle

SHARPER = 1e-9
"""Rounding of a curvature, 1/m."""

SAME_LINE_M, SAME_LINE_RAD = 1e-6, 1e-9


def can_take_over(site: Site, vehicle: Vehicle, way: Answer, start: End, goal: End, *, bay: Bay | None = None) -> bool:
    """Whether `vehicle` can drive the way that was found for another car from a door to the same place.

    `start` must be the door that `way` begins at. The car begins wholly outside it, as far as it must itself. Every gap
    is proven along the whole way, with the same doors open and all that hangs inside them; wheels keep off covers that
    may not carry them. Equipment is stored. A no only says that this way does not serve.
    """
    if way.start is None or any(True for _ in refusals(site, vehicle, start, goal, "drive")):
        return False
    radius = vehicle.least_radius_m
    if radius is None or any(abs(leg.curvature_per_m) * radius > 1.0 + SHARPER for leg in way.legs):
        return False
    move = Move(site, vehicle, start, goal, "drive", ask_for(vehicle, site.pace, "drive"), bay)
    stage = staged(move, Opened(hung=way.doors_open), spared=1)
    begun = _begun(way, places_of(site, vehicle, start))
    if stage.refused or begun is None:
        return False
    at, first = begun
    path = np.array([*first, *(_row(leg) for leg in way.legs)], dtype=np.float64).reshape(-1, 4)
    return keeps_gaps(stage, np.array([at.x_m, at.y_m, at.heading_rad]), path)


def _begun(way: Answer, own: tuple[Place, ...]) -> tuple[Place, list[tuple[float, float, float, float]]] | None:
    """Where the car begins, and what it drives straight to where the way begins; None where that is not on its line.

    It begins where the way does, or farther out where it would not be wholly outside there.
    """
    assert way.start is not None
    for place, gear in zip(own, (1.0, -1.0), strict=True):
        if abs(math.remainder(place.heading_rad - way.start.heading_rad, math.tau)) > SAME_LINE_RAD:
            continue
        c, s = math.cos(place.heading_rad), math.sin(place.heading_rad)
        dx, dy = way.start.x_m - place.x_m, way.start.y_m - place.y_m
        if abs(c * dy - s * dx) > SAME_LINE_M:
            return None
        # Nose in, the way inside is ahead; nose out, it is behind.
        inward = gear * (c * dx + s * dy)
        return (place, [(gear, 0.0, 0.0, inward)]) if inward > 0.0 else (way.start, [])
    return None


def _row(leg: Leg) -> tuple[float, float, float, float]:
    """A stretch as the search writes it."""
    gear = -1.0 if leg.gear == "reverse" else 1.0
    return gear, 0.0, leg.curvature_per_m * gear, leg.length_m
