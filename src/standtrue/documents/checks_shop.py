"""What must hold between the fields of a lift, a site or a vehicle: possible sizes, single names, things on the floor.

A check tells what it finds to a `Tell` and never raises. On the second look at a faulty document (see
`reading`) the values already reported are nan, empty outlines or empty words here: every comparison is
written so that these pass.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from typing import Protocol

import shapely

from standtrue.documents.convert_shop import placed_lift, to_vehicle
from standtrue.documents.estimate import ESTIMATES
from standtrue.documents.faults import choice_remedy
from standtrue.documents.forms.base import ObstacleForm
from standtrue.documents.forms.lift import LiftFields, LiftForm, PlacedLiftForm
from standtrue.documents.forms.site import DoorForm, EquipmentForm, SiteForm, VoidForm
from standtrue.documents.forms.vehicle import VehicleForm
from standtrue.documents.shapes import Shape, placed
from standtrue.model.basics import Outline, Point
from standtrue.model.lift import Lift

Path = tuple[str | int, ...]

DOOR_REACH_M = 0.005
"""How far the ends of a door may lie off the outline."""


class Tell(Protocol):
    """Takes one finding: where, which code, what, and how to mend it."""

    def __call__(self, path: Path, code: str, what: str, remedy: str) -> None: ...


class Named(Protocol):
    @property
    def name(self) -> str | None: ...


def names_once(items: Iterable[Named], path: Path, tell: Tell) -> None:
    """Names within one list must differ."""
    seen: dict[str, int] = {}
    for i, item in enumerate(items):
        if not item.name:
            continue
        if item.name in seen:
            what = f"the name stands at {path[-1]}[{seen[item.name]}] already"
            tell((*path, i, "name"), "name-repeated", what, "Give each one a name of its own.")
        seen.setdefault(item.name, i)


def heights(bottom: float, top: float, path: Path, tell: Tell) -> None:
    if top <= bottom:
        tell(
            (*path, "top"),
            "value-impossible",
            "the top is not above the bottom",
            "Write heights above the floor, the lower one as bottom.",
        )


def _obstacles(forms: Sequence[ObstacleForm], path: Path, tell: Tell) -> None:
    names_once(forms, path, tell)
    for i, form in enumerate(forms):
        heights(form.bottom, form.top, (*path, i), tell)


# Lifts


def check_lift(form: LiftForm, tell: Tell) -> None:
    """A lift document."""
    _lift_fields(form, (), tell)


def _lift_fields(form: LiftFields, path: Path, tell: Tell) -> None:
    names_once(form.states, (*path, "states"), tell)
    _obstacles(form.posts, (*path, "posts"), tell)
    for i, state in enumerate(form.states):
        here = (*path, "states", i)
        _obstacles(state.obstacles, (*here, "obstacles"), tell)
        if state.decks and state.deck_height is None:
            tell(
                (*here, "deck_height"),
                "missing-field",
                "the height of the decks is missing",
                "Write deck_height = 0 where the decks lie at floor level.",
            )
    if form.capacity is not None and form.axle_capacity is not None and form.axle_capacity > form.capacity:
        tell(
            (*path, "axle_capacity"),
            "value-impossible",
            "an axle's capacity is above the whole lift's",
            "Look whether the two are exchanged.",
        )


# Sites


def check_site(form: SiteForm, tell: Tell) -> None:
    """A site, all but the lifts that it names by type."""
    for key in ("marks", "doors", "bays", "patches", "equipment", "people"):
        names_once(getattr(form, key), (key,), tell)
    names_once(form.lifts, ("lifts",), tell)
    names_once(form.voids, ("voids",), tell)
    _obstacles(form.obstacles, ("obstacles",), tell)
    for i, door in enumerate(form.doors):
        if door.track is not None:
            heights(door.track.bottom, door.track.top, ("doors", i, "track"), tell)
    for i, bay in enumerate(form.bays):
        _closed_edges(bay.shape, bay.closed_edges, ("bays", i, "closed_edges"), tell)
    for i, void in enumerate(form.voids):
        _covers(void, ("voids", i), tell)
    for i, item in enumerate(form.equipment):
        _stored(item, ("equipment", i), tell)
    for i, lift in enumerate(form.lifts):
        _placed_lift(lift, ("lifts", i), tell)


def _closed_edges(shape: Shape, edges: Sequence[int], path: Path, tell: Tell) -> None:
    count = len(shape.points)
    for j, edge in enumerate(edges):
        if count and edge >= count:
            tell(
                (*path, j),
                "value-impossible",
                f"the outline has {count} edges, counted from 0",
                f"Write 0 to {count - 1}: edge i runs from point i to the next.",
            )
        elif edge >= 0 and edge in edges[:j]:
            tell((*path, j), "name-repeated", "this edge is listed already", "List each edge once.")


def _covers(void: VoidForm, path: Path, tell: Tell) -> None:
    names_once(void.covers, (*path, "covers"), tell)
    names = [cover.name for cover in void.covers]
    for j, name in enumerate(void.closed):
        if name and name not in names and "" not in names:
            remedy = choice_remedy(name, names) if names else "List the cover under covers first."
            tell((*path, "closed", j), "unknown-reference", "no cover of this void has that name", remedy)
    for j, cover in enumerate(void.covers):
        if void.shape.points and cover.shape.points and not _meet([cover.shape.points], [void.shape.points]):
            tell(
                (*path, "covers", j, cover.way),
                "value-impossible",
                "the cover does not lie over its void",
                "Give its outline in the site frame.",
            )


def _stored(item: EquipmentForm, path: Path, tell: Tell) -> None:
    if isinstance(item.store, tuple) and not isinstance(item.store, Shape) and item.footprint is None:
        tell(
            (*path, "footprint"),
            "missing-field",
            "a place to store it is given, but no footprint",
            "Give its footprint, or store as an outline.",
        )


def _placed_lift(form: PlacedLiftForm, path: Path, tell: Tell) -> None:
    own = sorted(form.model_fields_set - {"name", "at", "heading", "type"})
    if form.type is None and not form.states:
        tell(
            (*path, "type"),
            "missing-field",
            "neither a type nor the lift's own states are given",
            "Name a lift document as type, or write the lift's fields here.",
        )
    if form.type is not None and own:
        tell(
            (*path, own[0]),
            "fields-conflict",
            "a type is given, and fields of its own too",
            "Keep the type, or write all the lift's fields here.",
        )
    _lift_fields(form, path, tell)


def check_places(form: SiteForm, tell: Tell) -> None:
    """Doors on the outline, things on the floor (with the aprons of the doors). Needs true units."""
    outline = form.shape.points
    if not outline:
        return
    for i, door in enumerate(form.doors):
        _door_on_outline(door, outline, ("doors", i), tell)
    floor = floor_of(form)
    for key in ("bays", "obstacles", "voids", "patches"):
        for i, item in enumerate(getattr(form, key)):
            points = item.shape.points
            if points and not _meet([points], floor):
                tell(
                    (key, i, item.way),
                    "outside-floor",
                    "it lies wholly outside the floor",
                    "Give its outline in the site frame, in this document's units.",
                )
    for i, lift in enumerate(form.lifts):
        if lift.type is None and lift.states:
            check_lift_place(lift, {}, floor, ("lifts", i), tell)


def floor_of(form: SiteForm) -> list[Outline]:
    """The outlines in which things can stand: the site's, and its doors' aprons."""
    return [form.shape.points, *(door.apron.points for door in form.doors if door.apron and door.apron.points)]


def check_lift_place(
    form: PlacedLiftForm, lifts: Mapping[str, Lift], floor: list[Outline], path: Path, tell: Tell
) -> None:
    """A lift must touch the floor with some part of it, or with the point where it is placed."""
    stands = placed_lift(form, lifts)
    if not all(math.isfinite(v) for v in (*stands.at, stands.heading_rad)):
        return
    lift = stands.lift
    parts = [p.outline for p in lift.posts if p.outline]
    for state in lift.states:
        parts.extend(o for o in (*state.decks, *state.voids, *state.fills, *state.ramps) if o)
    moved = [placed(part, *stands.at, stands.heading_rad) for part in parts]
    point = shapely.Point(stands.at)
    if not any(shapely.Polygon(o).intersects(point) for o in floor if o) and not (moved and _meet(moved, floor)):
        tell(
            (*path, "at"),
            "outside-floor",
            "the lift stands wholly outside the floor",
            "Give its place in the site frame, in this document's units.",
        )


def _meet(these: Sequence[Outline], those: Sequence[Outline]) -> bool:
    others = [shapely.Polygon(points) for points in those if points]
    return any(shapely.Polygon(points).intersects(other) for points in these for other in others)


def _door_on_outline(door: DoorForm, outline: Outline, path: Path, tell: Tell) -> None:
    if not all(math.isfinite(v) for v in (*door.start, *door.end)):
        return
    if math.dist(door.start, door.end) < DOOR_REACH_M:
        tell((*path, "to"), "value-impossible", "the door has no width", "Give two different points on the outline.")
        return
    ring = shapely.LinearRing(outline)
    off = [key for key, at in (("from", door.start), ("to", door.end)) if _off(ring, at)]
    for key in off:
        tell(
            (*path, key),
            "not-on-outline",
            "the point is not on the outline of the site",
            "Give a point on the wall, to 5 mm.",
        )
    if not off and any(_off(ring, _between(door.start, door.end, part / 8)) for part in range(1, 8)):
        tell(
            (*path, "to"),
            "not-on-outline",
            "the door leaves the outline between its ends",
            "Give both ends on one straight wall.",
        )


def _off(ring: shapely.LinearRing, at: Point) -> bool:
    return bool(ring.distance(shapely.Point(at)) > DOOR_REACH_M)


def _between(start: Point, end: Point, part: float) -> Point:
    return (start[0] + part * (end[0] - start[0]), start[1] + part * (end[1] - start[1]))


# Vehicles


def check_vehicle(form: VehicleForm, tell: Tell) -> None:
    """A car whose dimensions can be together."""

    def impossible(field: str, what: str) -> None:
        tell((field,), "value-impossible", what, "Measure again, and look whether each value and `units` are right.")

    car = to_vehicle(form)
    estimated = {estimate.field for estimate in ESTIMATES if estimate.field in car.estimated}
    if form.wheelbase >= form.length:
        impossible("wheelbase", "the wheelbase is not below the length")
    elif "front_overhang" not in estimated and car.rear_x_m > 1e-9:
        impossible("front_overhang", "the wheelbase and the front overhang are longer than the car")
    if form.width >= form.length:
        impossible("width", "the car is wider than it is long")
    if car.width_over_mirrors_m < form.width:
        impossible("width_over_mirrors", "the width over mirrors is below the width")
    if car.ground_clearance_m >= car.height_m:
        impossible(
            "height" if "height" not in estimated else "ground_clearance",
            "the car is no higher than its ground clearance",
        )
    for field, track in (("track_front", car.track_front_m), ("track_rear", car.track_rear_m)):
        if track >= form.width:
            impossible(field, "the track (between the tires' centers) is not below the width")
    if 2 * car.tire_width_m >= form.width:
        impossible("tire_width", "two tires are as wide as the car")
    if car.tire_diameter_m >= form.wheelbase:
        impossible("tire_diameter", "the tires are larger than the wheelbase")
    if form.turning_circle is not None or form.turning_circle_wall is not None:
        radius = car.least_radius_m
        measured = not any(
            math.isnan(v) for v in (car.front_x_m, car.turning_circle_m or 0, car.turning_circle_wall_m or 0)
        )
        if measured and (radius is None or radius <= 0):
            field = "turning_circle" if form.turning_circle is not None else "turning_circle_wall"
            impossible(field, "no car of this wheelbase turns in so small a circle (write its diameter)")
    if (
        form.turning_circle is not None
        and form.turning_circle_wall is not None
        and form.turning_circle_wall <= form.turning_circle
    ):
        impossible("turning_circle_wall", "the circle from wall to wall is not above the one from kerb to kerb")


def check_vehicle_size(form: VehicleForm, tell: Tell) -> None:
    """A car of a size that cars have. Needs true units."""
    for field, least, most in (
        ("length", 0.5, 30.0),
        ("width", 0.3, 5.0),
        ("wheelbase", 0.3, 20.0),
        ("height", 0.3, 6.0),
    ):
        value = getattr(form, field)
        if value is not None and not math.isnan(value) and not least <= value <= most:
            tell(
                (field,),
                "value-impossible",
                f"no car has a {field} of {value:g} m",
                "Look whether the value and `units` are right.",
            )
