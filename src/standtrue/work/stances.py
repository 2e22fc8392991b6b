"""Stances that people write: numbers that can be read, on the floor of the site."""

from __future__ import annotations

import math

import shapely

from standtrue.documents.faults import RefusedError
from standtrue.documents.quantities import parse_angle, parse_length
from standtrue.model.basics import Fault, Place
from standtrue.model.reason import Length, Reason, because
from standtrue.model.site import Site
from standtrue.plane.shapes import polygon
from standtrue.work.ask import UnansweredError

EXAMPLE = '"17 ft, 7 ft 6 in, 90"'
"""How a stance is written, where it was not."""

EDGE_M = 1e-6
"""What is so little beyond the floor is on its edge: rounding."""

FAR_M = 1e6
"""Beyond this nobody wants to read how far a stance lies off."""


def read_place(text: str, option: str, remedy: Reason) -> Place:
    """The place that `x, y, heading` means: lengths as people write them, bare ones metres; bare angles degrees.

    With semicolons between them, a comma may stand for the point. Raises UnansweredError for anything else.
    """
    parts = [_bare(part) for part in text.split(";" if ";" in text else ",")]
    if len(parts) != 3:
        raise UnansweredError([Fault("not-a-stance", because("no-stance"), "", option, text, remedy)])
    try:
        x, y = (parse_length(part, "m") for part in parts[:2])
        return Place(x, y, math.fmod(parse_angle(parts[2]), 2.0 * math.pi))
    except RefusedError as refused:
        if refused.code == "not-finite":
            fault = Fault("not-finite", because("stance-not-finite"), "", option, text, because("write-finite-numbers"))
        else:
            fault = Fault("not-a-stance", refused.what, "", option, text, remedy)
        raise UnansweredError([fault]) from None


def _bare(part: str) -> float | str:
    """A number as one: text of a document must have its unit."""
    number = part.strip().replace(",", ".")
    try:
        return float(number)
    except ValueError:
        return number


def stance_written(site: Site, text: str, option: str) -> Place:
    """A stance on a site's floor as `x,y,heading`. Raises UnansweredError for anything else."""
    place = read_place(text, option, because("write-stance", example=EXAMPLE))
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
