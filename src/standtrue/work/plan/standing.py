"""What stays set up about the car, and what is in the way of what comes next.

Equipment is in the way of a stance where its footprint, as high as it is, meets the room that the stance claims: the
car's own, with the gaps that the site keeps, and every zone of the card, plain ones too. Where the site says how large
a thing is, but neither site nor card where it stands, it is in the way of all that does not use it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import shapely
from attrs import frozen
from shapely.geometry.base import BaseGeometry

from standtrue.model.anchors import in_frame
from standtrue.model.basics import Outline, Place
from standtrue.model.order import Fitting
from standtrue.model.site import Gaps, Site, equipment_of
from standtrue.place.margin.ways import Way
from standtrue.place.question.claims import Claim
from standtrue.plane.shapes import polygon

NEAR_M = 1e-6
"""What only touches is not in the way."""

ASIDE = ("exit", "point")
"""What no equipment can be in the way of: the driver is out, and the car does not move before it is put away."""


@frozen
class Standing:
    """Room that set-up equipment takes, in the vehicle frame: an outline, from the floor to a height in metres."""

    outline: Outline
    top_m: float


class Obstructions:
    """Which equipment is in the way of which stance. What a way claims is laid out once, wherever the car stands."""

    def __init__(self, site: Site) -> None:
        self.site = site
        self._claimed: dict[int, tuple[list[Claim], list[BaseGeometry]]] = {}
        self._met: dict[tuple[int, Standing], bool] = {}
        self._kept: list[Way] = []

    def clears(
        self, way: Way, used: frozenset[Fitting], others: Mapping[Fitting, tuple[Standing, ...]]
    ) -> frozenset[Fitting]:
        """Those of the other fittings that must not stand where a card is done in this way with its own."""
        return frozenset(f for f, rooms in others.items() if f not in used and self._in_the_way(way, f, rooms))

    def _in_the_way(self, way: Way, fitting: Fitting, rooms: tuple[Standing, ...]) -> bool:
        known = equipment_of(fitting.equipment, self.site.equipment)
        if known is None or known.footprint is None:
            return False
        return not rooms or any(self._meets(way, room) for room in rooms)

    def _meets(self, way: Way, room: Standing) -> bool:
        key = id(way), room
        if key not in self._met:
            claims, shapes = self._laid_out(way)
            low = [i for i, c in enumerate(claims) if c.bottom_m < room.top_m - NEAR_M and c.top_m > NEAR_M]
            inner = polygon(room.outline).buffer(-NEAR_M)
            self._met[key] = bool(shapely.intersects(inner, [shapes[i] for i in low]).any())
        return self._met[key]

    def _laid_out(self, way: Way) -> tuple[list[Claim], list[BaseGeometry]]:
        if id(way) not in self._claimed:
            self._kept.append(way)  # An id is a way's own only as long as the way is there.
            claims = [c for c in way.claims if c.role not in ASIDE]
            gaps = self.site.gaps
            self._claimed[id(way)] = (
                claims,
                [polygon(c.outline).buffer(_gap(c, gaps), join_style="mitre") for c in claims],
            )
        return self._claimed[id(way)]


def _gap(claim: Claim, gaps: Gaps) -> float:
    by_role = {"body": gaps.body_m, "mirror": gaps.body_m, "person": gaps.person_m, "zone": gaps.zone_m}
    return by_role.get(claim.role, 0.0)


def rooms_of(way: Way, site: Site, place: Place, fitting: Fitting) -> Iterator[Standing]:
    """The room that a fitting of a way takes: at its fixed place, and wherever the card's targets have it."""
    used = equipment_of(fitting.equipment, site.equipment)
    if used is None or used.footprint is None:
        return
    top_m = float("inf") if used.height_m is None else used.height_m
    if used.used_at is not None:
        x, y = used.used_at
        spot = tuple((x + px - place.x_m, y + py - place.y_m) for px, py in used.footprint)
        yield Standing(in_frame(((0.0, 0.0), -place.heading_rad), spot), top_m)
    for claim in way.claims:
        if claim.role == "equipment" and claim.ref.name == used.name:
            yield Standing(claim.outline, claim.top_m)
