"""A study's answers are those that `place` gives one by one, in the room as it is and after every change it tells."""

from __future__ import annotations

import random
from collections import Counter
from pathlib import Path

import pytest
from attrs import evolve

from standtrue.demo import write_demo
from standtrue.documents import Folder, read_folder
from standtrue.model.job import Mix, MixEntry
from standtrue.model.procedure import Procedure
from standtrue.model.vehicle import Sensor, Vehicle
from standtrue.needs.words import vehicle_rank
from standtrue.place.engine import best_stance
from standtrue.work.study.answer import StudyAnswer
from standtrue.work.study.studies import find_study


def demo(tmp_path: Path, sizes: tuple[float, ...], keep: int) -> Folder:
    """The demonstration shop with every car of its mix in several sizes."""
    write_demo(tmp_path)
    found = read_folder(tmp_path)
    (mix,) = found.mixes.values()
    bases = {e.vehicle: [sized(found.vehicles[e.vehicle], k) for k in sizes] for e in mix.vehicles[-keep:]}
    cars = [car for made in bases.values() for car in made]

    def named(card: Procedure) -> Procedure:
        wanted = (name for name in bases if vehicle_rank(card.vehicles, found.vehicles[name]) is not None)
        return evolve(card, vehicles=(*card.vehicles, *(car.name for name in wanted for car in bases[name])))

    return evolve(
        found,
        vehicles={car.name: car for car in cars},
        mixes={mix.name: Mix(mix.name, tuple(MixEntry(car.name, 1.0) for car in cars), demonstration=True)},
        procedures=tuple(map(named, found.procedures)),
    )


def sized(car: Vehicle, k: float) -> Vehicle:
    """The car with every length along and across it longer by a factor, and its sensors where they then are."""

    def moved(sensor: Sensor) -> Sensor:
        return sensor if sensor.at is None else evolve(sensor, at=(sensor.at[0] * k, sensor.at[1] * k, sensor.at[2]))

    return evolve(
        car,
        name=f"{car.name} x {k:g}",
        length_m=car.length_m * k,
        width_m=car.width_m * k,
        width_over_mirrors_m=car.width_over_mirrors_m * k,
        wheelbase_m=car.wheelbase_m * k,
        front_overhang_m=car.front_overhang_m * k,
        track_front_m=car.track_front_m * k,
        track_rear_m=car.track_rear_m * k,
        lift_points=tuple((x * k, y * k) for x, y in car.lift_points),
        outline=None if car.outline is None else tuple((x * k, y * k) for x, y in car.outline),
        sensors=tuple(map(moved, car.sensors)),
    )


def compare(answer: StudyAnswer, count: int) -> Counter[str]:
    """Ask `place` for so many of the study's answers, drawn evenly from all its states; what they were."""
    (room,) = answer.rooms
    cards = {c.key: c for c in answer.cards}
    states = [(room.room, room.table), *((c.room, c.table) for c in room.changes)]
    told = [
        (state.site, car, key, support, fit)
        for state, table in states
        for (car, key), fits in table.items()
        for support, fit in fits
    ]
    counts: Counter[str] = Counter()
    grounds = {id(state.site): state.grounds for state, _ in states}
    for site, car, key, support, fit in random.Random(4).sample(told, min(count, len(told))):
        alone = best_stance(grounds[id(site)], answer.vehicles[car], [cards[key]], support).fits
        assert fit is alone, (car, key, support)
        counts[fit.value] += 1
    return counts


def test_a_sample_of_the_demonstration_study(tmp_path: Path) -> None:
    found = demo(tmp_path, (1.0, 1.08), 3)
    (study,) = found.studies.values()
    counts = compare(find_study(found.shop(), study, places=False), 100)
    assert counts.total() == 100
    assert min(counts["yes"], counts["no"]) >= 10


@pytest.mark.long
def test_two_thousand_answers(tmp_path: Path) -> None:
    found = demo(tmp_path, (0.9, 0.96, 1.0, 1.05, 1.1), 8)
    (study,) = found.studies.values()
    counts = compare(find_study(found.shop(), study, places=False), 2000)
    assert counts.total() == 2000
    assert min(counts["yes"], counts["no"]) >= 200
