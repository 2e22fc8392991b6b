"""Where things can stand in a site, and how far one reaches outside."""

from __future__ import annotations

import shapely

from standtrue.documents.site import SiteForm

WITHIN_M = 0.02
"""How far a thing may reach into a wall before it is told: as well as a room is taped."""


def ground_of(form: SiteForm) -> shapely.Geometry:
    """The floor inside the walls, and the aprons."""
    aprons = [door.apron.points for door in form.doors if door.apron and door.apron.points]
    return shapely.union_all([shapely.Polygon(points) for points in (form.shape.points, *aprons)])


def outside(thing: shapely.Geometry, ground: shapely.Geometry) -> float:
    """How far, metres, a point or an area reaches outside the floor; 0 where it does not by more than `WITHIN_M`."""
    beyond = shapely.difference(thing, shapely.buffer(ground, WITHIN_M))
    if shapely.is_empty(beyond):
        return 0.0
    points = [shapely.Point(x, y) for x, y in shapely.get_coordinates(beyond)]
    return max(float(shapely.distance(point, ground)) for point in points)
