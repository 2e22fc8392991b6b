"""Many questions in one compiled call: the same pairs, and the same answers, as one by one."""

from __future__ import annotations

import math
from collections import Counter

import cases
import fuller_cases
import numpy as np
import pytest
from attrs import evolve

from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.model.lift import Obstacle
from standtrue.model.site import Datum, Gaps, Site
from standtrue.place.kernels.batch import lay_out, sheet_for
from standtrue.place.kernels.bench import least_support
from standtrue.place.kernels.field import Field, convex_hull, field_of
from standtrue.place.kernels.parts import put_together
from standtrue.place.kernels.search import HALVES
from standtrue.place.many import many
from standtrue.place.many.many import AnyFits, all_settings, one_by_one
from standtrue.place.margin.pairs import pack
from standtrue.place.margin.ways import Question

CASES = [*(cases.make(seed) for seed in range(0, 500, 10)), *(fuller_cases.make(seed) for seed in range(60))]


def asked(case: cases.Case) -> Question:
    return Question(Grounds(case.site, case.bay), case.vehicle, case.cards, case.support)


def told(field: Field, reference: tuple[float, float]) -> Counter[tuple[object, ...]]:
    """Every pair, by where its pieces lie, its gap and its side; and every wall with its hull."""
    found: Counter[tuple[object, ...]] = Counter()

    def zone(points: np.ndarray) -> tuple[float, ...]:
        return tuple(np.round((points.mean(axis=0) + reference), 6) + 0.0)

    for (z, _, _, s), gap, side in zip(field.pairs, field.gaps, field.sides, strict=True):
        claimed = field.zones[field.zone_at[z] : field.zone_at[z + 1]]
        solid = field.solids[field.solid_at[s] : field.solid_at[s + 1]]
        found[zone(claimed), tuple(np.round(solid.mean(axis=0), 6) + 0.0), round(gap, 9), int(side)] += 1
    return found


def limits(field: Field, reference: tuple[float, float]) -> dict[tuple[object, ...], float]:
    """How far out the car's origin may be toward each wall at some headings, for all and for either side."""
    found: dict[tuple[object, ...], float] = {}
    for (p, h), gap, side in zip(field.walls, field.wall_gaps, field.wall_sides, strict=True):
        nx, ny, d = field.planes[p]
        corners = field.hulls[field.hull_at[h] : field.hull_at[h + 1], :2] + reference
        for heading in np.linspace(0.0, math.tau, 13):
            c, s = math.cos(heading), math.sin(heading)
            support = (corners @ np.array([c * nx + s * ny, c * ny - s * nx])).max()
            key = (*(np.round((nx, ny, d), 6) + 0.0), int(side), round(heading, 6))
            found[key] = min(found.get(key, math.inf), float(d - gap - support))
    return found


def test_the_compiled_pairs_are_those_that_people_are_told() -> None:
    for case in CASES:
        same_pairs(asked(case))


def same_pairs(question: Question) -> None:
    asks = AnyFits()
    asks.ask(question)
    packed = asks.packed()
    ways = [s.way() for s in all_settings(question) if not any(s.out_of_reach()) and not s.one_at_a_time]
    if packed is None:
        assert ways == []
        return
    cars, anchors, cards, floors, rows = packed
    assert len(rows.codes) == len(ways)
    sheet = sheet_for(5000, 2000)
    for way, codes, sizes in zip(ways, rows.codes, rows.sizes, strict=True):
        chosen = rows.cards[rows.card_at[codes[2]] : rows.card_at[codes[2] + 1]]
        parts = put_together(cars, codes[1], anchors, cards, chosen)
        field = lay_out(parts, floors, codes, sizes, rows.dealt, HALVES, sheet)
        theirs = pack(way.pairs, way.origins, "either", headings=way.headings, axis_rad=way.axis_rad)
        other = field_of(theirs.problem)
        assert told(field, tuple(parts.reference)) == told(other, theirs.reference)
        mine, expected = limits(field, tuple(parts.reference)), limits(other, theirs.reference)
        assert mine.keys() == expected.keys()
        assert all(abs(mine[k] - expected[k]) < 1e-9 for k in mine)


def test_the_answers_are_those_of_one_by_one_on_any_number_of_threads() -> None:
    asks = AnyFits()
    questions = [asked(case) for case in CASES]
    for question in questions:
        asks.ask(question)
    alone = asks.with_stances()
    assert [fits for fits, _ in alone] == [one_by_one(question)[0] for question in questions]
    assert asks.answers(workers=3) == [fits for fits, _ in alone]


def test_one_car_after_another_in_one_shop_is_answered_as_if_alone() -> None:
    told = []
    for case in map(cases.make, range(8)):
        grounds = Grounds(case.site, case.bay)
        car = case.vehicle
        cars = [evolve(car, length_m=car.length_m * k, width_m=car.width_m * k) for k in np.linspace(0.6, 1.1, 12)]
        questions = [Question(grounds, car, case.cards, case.support) for car in cars]
        asks = AnyFits()
        for question in questions:
            asks.ask(question)
        answers = asks.answers()
        told.extend(answers)
        assert answers == [one_by_one(question)[0] for question in questions]
    assert set(told) == {Fits.YES, Fits.NO}


@pytest.mark.parametrize("turn", [0.0, 0.3, math.pi / 2])
@pytest.mark.parametrize(("spare", "fits"), [(0.0, True), (1e-6, True), (-1e-6, False)])
def test_a_car_just_fits_between_two_benches(turn: float, spare: float, fits: bool) -> None:
    """A slot as wide as the body and its gaps on both sides: margin 0 fits."""
    car = evolve(cases.make(0).vehicle, outline=None, width_over_mirrors_m=1.0)
    gaps = Gaps(exit_m=0.0)
    half = car.width_m / 2 + gaps.body_m + spare / 2
    benches = [
        ((-9.0, half), (9.0, half), (9.0, 3.0), (-9.0, 3.0)),
        ((-9.0, -3.0), (9.0, -3.0), (9.0, -half), (-9.0, -half)),
    ]
    c, s = math.cos(turn), math.sin(turn)

    def turned(outline: tuple[tuple[float, float], ...]) -> tuple[tuple[float, float], ...]:
        return tuple((c * x - s * y, s * x + c * y) for x, y in outline)

    site = Site(
        "slot",
        turned(((-9.0, -3.0), (9.0, -3.0), (9.0, 3.0), (-9.0, 3.0))),
        Datum((0.0, 0.0)),
        gaps,
        obstacles=tuple(Obstacle(f"bench {i}", turned(b), 0.0, 2.0) for i, b in enumerate(benches)),
    )
    assert many.any_fit(Question(Grounds(site), car, (), "floor")) is Fits.of(fits)


def test_the_least_support_over_an_arc_is_that_of_many_directions() -> None:
    rng = np.random.default_rng(5)
    for _ in range(300):
        points = rng.normal(rng.uniform(-3, 3, 2), rng.uniform(0.1, 2.0), (rng.integers(1, 12), 2))
        out = np.empty((len(points) + 2, 3))
        hull = out[: convex_hull(points.copy(), len(points), out)]
        start, width = rng.uniform(0.0, math.tau), rng.uniform(0.0, 1.5)
        angles = np.linspace(start, start + width, 4001)
        dense = (np.column_stack([np.cos(angles), np.sin(angles)]) @ points.T).max(axis=1).min()
        ends = (math.cos(start), math.sin(start), math.cos(start + width), math.sin(start + width))
        least = least_support(hull, 0, len(hull), *ends)
        step = np.hypot(*points.T).max() * width / 4000
        assert dense - step <= least + 1e-9
        assert least <= dense + 1e-9
