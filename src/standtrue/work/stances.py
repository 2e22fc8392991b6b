"""Stances that people write: numbers that can be read, on the floor of the site."""

from __future__ import annotations

import math

import shapely

from standtrue.model.basics import Fault, Place
from standtrue.model.reason import Length, Reason, because
from standtrue.model.site import Site
from standtrue.plane.shapes import polygon
from standtrue.work.ask import UnansweredError

EDGE_M = 1e-6
"""What is so little beyond the floor is on its edge: rounding."""

FAR_M = 1e6
"""Beyond this nobody wants to read how far a stance lies off."""


def read_place(text: str, option: str, remedy: Reason) -> Place:
    """The place that `x,y,heading` means, metres and degrees. Raises UnansweredError for anything else."""
    try:
        x, y, heading = (float(part) for part in text.split(","))
    except ValueError:
        raise UnansweredError([Fault("not-a-stance", because("no-stance"), "", option, text, remedy)]) from None
    if not all(map(math.isfinite, (x, y, heading))):
        fault = Fault("not-finite", because("stance-not-finite"), "", option, text, because("write-finite-numbers"))
        raise UnansweredError([fault])
    return Place(x, y, math.radians(math.fmod(heading, 360.0)))


def stance_written(site: Site, text: str, option: str) -> Place:
    """A stance on a site's floor as `x,y,heading`. Raises UnansweredError for anything else."""
    place = read_place(text, option, because("write-stance", example="3.0,2.5,90"))
    on_floor(site, place, option, text)
    return place


def on_floor(site: Site, place: Place, field: str, text: str) -> None:
    """Raises UnansweredError where a stance lies beyond the site and its aprons: a slip of typing, or of units."""
    floors = [site.outline, *(d.apron for d in site.doors if d.apron is not None)]
    x0, y0, x1, y1 = shapely.MultiPoint([point for floor in floors for point in floor]).bounds
    x, y = place.x_m, place.y_m
    near = x0 - EDGE_M <= x <= x1 + EDGE_M and y0 - EDGE_M <= y <= y1 + EDGE_M
    if near and any(polygon(floor).distance(shapely.Point(x, y)) <= EDGE_M for floor in floors):
        return
    told = max(abs(x), abs(y)) < FAR_M
    what = because("stance-beyond-room", x=Length(x), y=Length(y)) if told else because("stance-far-beyond-room")
    ends = {"x_from": x0, "y_from": y0, "x_to": x1, "y_to": y1}
    remedy = because("floor-reaches", **{name: Length(at) for name, at in ends.items()})
    raise UnansweredError([Fault("value-impossible", what, "", field, text, remedy)])
