"""Where a place of a plan is, by what one sees in the shop: its bays, the lift there, and what the car faces."""

from __future__ import annotations

from attrs import frozen
from shapely import LineString
from shapely.geometry.base import BaseGeometry

from standtrue.model.anchors import in_frame
from standtrue.model.order import Plan
from standtrue.model.reason import Ref
from standtrue.model.site import Site
from standtrue.model.vehicle import Vehicle
from standtrue.plane.shapes import polygon
from standtrue.work.plan.ordered import Ordered

LEAST_SHARE = 0.1
"""A bay with less of the car in it than this is not told."""

AHEAD_M = 30.0
"""What is farther ahead of the car is not told."""


@frozen
class Whereabouts:
    """`bays`: those with the car in them, the one with most of it first; `near`: what stands nearest where it is in
    none; `ahead`: the first thing or door that its nose points at.
    """

    bays: tuple[Ref, ...]
    lift: Ref | None
    near: Ref | None
    ahead: Ref | None


def whereabouts(ordered: Ordered, plan: Plan, number: int, site: Site, vehicle: Vehicle) -> Whereabouts:
    """Where the place of this number is."""
    at = ordered.places[number - 1].place
    frame = ((at.x_m, at.y_m), at.heading_rad)
    car = polygon(in_frame(frame, vehicle.body))
    nose, far = in_frame(frame, ((vehicle.front_x_m, 0.0), (vehicle.front_x_m + AHEAD_M, 0.0)))
    shares = {bay.name: polygon(bay.outline).intersection(car).area / car.area for bay in site.bays}
    told = sorted((name for name, share in shares.items() if share >= LEAST_SHARE), key=lambda name: -shares[name])
    on = (s.stand.carrier.lift for s in plan.steps if s.stand.place == number)
    lift = next((Ref("lift", name) for name in on if name is not None), None)
    seen = _seen(site)
    hit = [(thing.distance(car), ref) for ref, thing in seen if thing.intersects(LineString((nose, far)))]
    near = min(((thing.distance(car), ref) for ref, thing in seen), default=None) if not told and lift is None else None
    return Whereabouts(
        tuple(Ref("bay", name, of=site.name) for name in told),
        lift,
        None if near is None else near[1],
        min(hit)[1] if hit else None,
    )


def _seen(site: Site) -> list[tuple[Ref, BaseGeometry]]:
    """What stands on the floor, and the doors."""
    things: list[tuple[Ref, BaseGeometry]] = [(Ref("obstacle", o.name), polygon(o.outline)) for o in site.obstacles]
    return [*things, *((Ref("door", d.name), LineString((d.start, d.end))) for d in site.doors)]
