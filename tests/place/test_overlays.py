"""Overlays of polygons with corners that rounding has all but joined: as random floors have made them."""

from __future__ import annotations

import pytest
import shapely

from standtrue.plane.shapes import difference, intersection, union

HOOKED = shapely.Polygon(
    [
        (9.201567335645175, 1.4131005887280959),
        (9.201567335645175, 1.0890884893223607),
        (9.66224383512783, 1.1301130458948854),
        (9.201567335645175, 1.4131005887280956),
        (9.201567335645175, 1.4131005887280959),
    ]
)
"""A triangle whose first corner is there twice, two units of the last place apart: GEOS refuses to overlay it."""

BESIDE = shapely.Polygon(
    [
        (9.201567335645175, 1.4131005887280959),
        (9.63904678726968, 1.4131005887280959),
        (9.201567335645175, 1.7190202374104961),
    ]
)

CORNERS = shapely.get_coordinates(HOOKED)
AREA = abs((CORNERS[1][1] - CORNERS[0][1]) * (CORNERS[2][0] - CORNERS[0][0])) / 2
"""Of the triangle: half its base along y times its height along x."""


def test_a_corner_that_is_there_twice_does_not_stop_an_overlay() -> None:
    assert union([HOOKED, BESIDE]).area == pytest.approx(AREA + BESIDE.area, abs=1e-8)
    assert intersection(HOOKED, shapely.box(9.0, 1.0, 10.0, 2.0)).area == pytest.approx(AREA, abs=1e-8)
    assert difference(shapely.box(9.0, 1.0, 10.0, 2.0), HOOKED).area == pytest.approx(1.0 - AREA, abs=1e-8)
