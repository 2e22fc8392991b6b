"""Closed covers under the wheels of a car that stands: what they carry, and what cannot be told of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from standtrue.model.anchors import in_frame
from standtrue.model.cover_loads import closed_covers, greatest_kg, overloading, unknown
from standtrue.model.reason import Mass, Reason, because
from standtrue.model.site import Site
from standtrue.model.vehicle import Vehicle
from standtrue.place.question.answer import Answer
from standtrue.plane.shapes import polygon


def cover_notes(site: Site, vehicle: Vehicle, answers: Sequence[Answer]) -> Iterator[Reason]:
    """Covers that wheels were kept off, and covers under wheels of which it cannot be told whether they carry them."""
    on_floor = [a for a in answers if a.place is not None and (a.carrier is None or a.carrier.is_floor)]
    for at in closed_covers(site):
        too_much = [kg for wheels in overloading(vehicle, at.cover) if (kg := greatest_kg(vehicle, wheels)) is not None]
        if too_much and at.cover.load_kg is not None:
            yield because("cover-kept-off", cover=at.ref, load=Mass(at.cover.load_kg), most=Mass(min(too_much)))
        doubt, shape = unknown(vehicle, at), polygon(at.cover.outline)
        if doubt is not None and any(
            polygon(ring).intersects(shape) for a in on_floor for ring in _patches(vehicle, a)
        ):
            yield doubt


def _patches(vehicle: Vehicle, answer: Answer) -> Iterator[tuple[tuple[float, float], ...]]:
    """The wheel patches at an answer's stance, in the site frame."""
    assert answer.place is not None
    frame = ((answer.place.x_m, answer.place.y_m), answer.place.heading_rad)
    yield from (in_frame(frame, patch) for _, patch in vehicle.wheel_patches)
