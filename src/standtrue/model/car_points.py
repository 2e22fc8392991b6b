"""Points of a car that hands can reach: what they are called, and how far outboard of the wheel they lie."""

from __future__ import annotations

from standtrue.model.site import PointKind
from standtrue.model.vehicle import WHEELS

PREFIX: dict[PointKind, str] = {"hub face": "hub", "sidewalls": "sidewall", "clamp": "clamp", "axle bar": "bar"}
"""What the points of a kind begin with: `hub front left`, `bar rear right`."""


def point_of(kind: PointKind, wheel: str) -> str:
    """The point of a kind at a wheel, by the wheel's name in `WHEELS`: `hub front left`."""
    return f"{PREFIX[kind]} {wheel.removeprefix('wheel ')}"


def points_of_kind(kind: PointKind) -> tuple[str, ...]:
    """The four points of a kind, in the order of `WHEELS`."""
    return tuple(point_of(kind, wheel) for wheel in WHEELS)


REACHABLE: tuple[str, ...] = tuple(name for kind in PREFIX for name in points_of_kind(kind))
"""The points at the wheels that a set-up may measure at its car."""
