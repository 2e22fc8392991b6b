"""How far a room's share may be off, as dimensions of cars are estimated: the work weighed again with other cars.

Each estimated dimension is taken twice its standard uncertainty larger, or smaller, all at once; and the front overhang
on its own, since what it adds ahead it takes away behind. That makes four runs. The band holds what they and the share
as estimated came to: it is no proof that nothing between lies outside.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product
from typing import Any

from attrs import evolve

from standtrue.model.asking import Asking
from standtrue.model.reason import Term
from standtrue.model.vehicle import Vehicle
from standtrue.study.tally import Table, tally
from standtrue.work.study.answer import Band
from standtrue.work.study.asker import Asker
from standtrue.work.study.rooms import Room
from standtrue.work.study.year import Year

COVERAGE = 2.0
"""So many standard uncertainties off (JCGM 100, 6.3.3: about 95 % where the distribution is normal)."""

OVERHANG = "front_overhang"

LARGER = {
    "width_over_mirrors": 1.0,
    "height": 1.0,
    "track_front": 1.0,
    "track_rear": 1.0,
    "tire_width": 1.0,
    "tire_diameter": 1.0,
    "ground_clearance": -1.0,
}
"""Which way a dimension makes a car ask for more room. The turning circle changes nothing of where a car fits."""


def find_band(year: Year, room: Room, table: Table, cars: Sequence[str], asking: Asking) -> Band | None:
    """The band of what the room holds; None where nothing that matters is estimated, or where it was stopped."""
    guessed = {name: year.vehicles[name] for name in cars if _matters(year.vehicles[name])}
    if not guessed:
        return None
    tasks = [task for task in year.tasks if task.car in cars]
    part = tuple(task for task in tasks if task.car in guessed)
    shares = [tally(tasks, table).whole.share]
    quiet = Asking(stopped=asking.stopped, workers=asking.workers)
    for size, overhang in product((1.0, -1.0), repeat=2):
        changed = {name: estimated_off(car, size, overhang) for name, car in guessed.items()}
        asker = Asker(evolve(year, tasks=part, vehicles=changed), quiet)
        again = asker.fill(room)
        if asking.stopped():
            return None
        shares.append(tally(tasks, {**table, **again}).whole.share)
    fields = dict.fromkeys(field for car in guessed.values() for field in car.estimated if field in (*LARGER, OVERHANG))
    words = tuple(Term(field.replace("_", " ")) for field in fields)
    return Band(min(shares), max(shares), words, len(guessed))


def _matters(vehicle: Vehicle) -> bool:
    return any(field in LARGER or field == OVERHANG for field in vehicle.estimated)


def estimated_off(vehicle: Vehicle, size: float, overhang: float) -> Vehicle:
    """The car with what is estimated of it larger (`size` 1) or smaller (-1), and its overhang longer or shorter.

    A dimension stays one that a car can have: mirrors no narrower than the body, overhangs not below 0.
    """
    off: dict[str, Any] = {}
    for field in vehicle.estimated:
        sign = overhang if field == OVERHANG else size * LARGER.get(field, 0.0)
        off[f"{field}_m"] = getattr(vehicle, f"{field}_m") + sign * COVERAGE * vehicle.u_m(field)
    if "width_over_mirrors_m" in off:
        off["width_over_mirrors_m"] = max(vehicle.width_m, off["width_over_mirrors_m"])
    if "front_overhang_m" in off:
        most = vehicle.length_m - vehicle.wheelbase_m
        off["front_overhang_m"] = min(most, max(0.0, off["front_overhang_m"]))
    return evolve(vehicle, **off)
