"""Place, measured beside the alternatives a user would pick, in one run, as ratios."""

from __future__ import annotations

import math
import time
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from typing import TypeVar

import numpy as np
import shapely
from attrs import evolve

import standtrue.demo
from benchmarks.rooms import car, card, case, room
from standtrue.model.basics import SupportClass
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.model.procedure import Procedure
from standtrue.model.vehicle import Vehicle
from standtrue.place.change.remedies import find_remedies
from standtrue.place.engine import best_stance
from standtrue.place.fits.decide import decide
from standtrue.place.kernels.batch import answer_rows
from standtrue.place.kernels.bounds import Problem
from standtrue.place.kernels.search import HALVES
from standtrue.place.kernels.sweep import MOST_NODES, NO, UNDECIDED, sweep
from standtrue.place.many.many import AnyFits
from standtrue.place.many.shared import shared_places
from standtrue.place.margin.pairs import Pair
from standtrue.place.margin.search import search
from standtrue.place.margin.ways import Question, Way, ways
from standtrue.place.question.answer import Answer
from standtrue.plane.kernels import Array
from standtrue.work.ask import open_shop
from standtrue.work.place.places import cards_for

T = TypeVar("T")
Row = tuple[str, str]


def timed(work: Callable[[], object], repeat: int = 3) -> float:
    """Seconds, the least of several runs."""
    least = math.inf
    for _ in range(repeat):
        begun = time.perf_counter()
        work()
        least = min(least, time.perf_counter() - begun)
    return least


def way_of(seed: int, things: int = 7, size: tuple[float, float] = (9.0, 6.0)) -> Way:
    grounds, car, card = case(seed, things, size)
    return next(ways(Question(grounds, car, (card,), "floor"), (), []))


def grid_fits(pairs: Sequence[Pair], origins: tuple[float, float, float, float], step_m: float, step_deg: float) -> int:
    """How many stances of a grid fit, by general geometry: the spreadsheet way."""
    x0, y0, x1, y1 = origins
    xs, ys = np.arange(x0, x1, step_m), np.arange(y0, y1, step_m)
    grid = np.stack(np.meshgrid(xs, ys), axis=-1).reshape(-1, 2)
    fitting = 0
    for heading in np.arange(0.0, 360.0, step_deg):
        c, s = math.cos(math.radians(heading)), math.sin(math.radians(heading))
        left = grid
        for pair in pairs:
            if pair.side == "right" or not len(left):
                continue
            zone = np.array(pair.claim.outline) @ np.array([[c, s], [-s, c]])
            shapes = shapely.polygons(zone[None] + left[:, None])
            shapely.prepare(pair.shape)
            left = left[shapely.distance(shapes, pair.shape) >= max(pair.gap_m, 1e-9)]
        fitting += len(left)
    return fitting


def by_boxes(way: Way) -> bool:
    return search(way.packed(), any_fit=True).margin_m >= 0.0


FLOOR: SupportClass = "floor"
DEMO = Path(standtrue.demo.__file__).parent / "shop"

HARD = (8.0, 5.6)
"""The size of room at which about half the cases do not fit."""

BATCH = 1000


def any_fit_rows() -> list[Row]:
    """Many questions of distinct cars, cards and sites at once, and the alternatives on some of them."""
    asked = AnyFits()
    for seed in range(BATCH):
        grounds, car, card = case(seed, size=HARD)
        asked.ask(Question(grounds, car, (card,), "floor"))
    packed = asked.packed()
    assert packed is not None
    rows, verdicts, stances = len(packed.asks.codes), np.zeros(BATCH, np.int8), np.zeros((BATCH, 4))

    def answer() -> None:
        verdicts[:] = NO
        answer_rows(*packed, HALVES, 0, rows, verdicts, stances)

    answer()
    swept = timed(answer, 7) / rows
    found = [way_of(seed, size=HARD) for seed in range(200)]
    whole = timed(lambda: [decide(w.packed()) for w in found], 3) / len(found)
    boxes = timed(lambda: list(map(by_boxes, found)), 1) / len(found)
    gridded = timed(lambda: grid_fits(found[0].pairs, found[0].origins, 0.05, 5.0), 1)
    return [
        ("any-fit, hard cases", f"{BATCH}, of which {np.mean(verdicts == NO):.0%} do not fit"),
        ("any-fit, left open by the sweep", f"{np.sum(verdicts == UNDECIDED)} of {BATCH}"),
        ("any-fit in a batch, pair building included", f"{1e6 * swept:.0f} us ({1 / swept:,.0f} a second)"),
        ("any-fit one by one, packing in Python included", f"{1e6 * whole:.0f} us: {whole / swept:.0f} times as long"),
        ("the same by boxes (the search)", f"{1e6 * boxes:.0f} us: {boxes / swept:.0f} times as long"),
        ("the same by a 5 cm, 5 degree grid (shapely)", f"{gridded:.1f} s: {gridded / swept:,.0f} times as long"),
    ]


def mixed(seed: int) -> tuple[Grounds, Vehicle, Procedure]:
    """Rooms of all sorts: bare ones, in which the car can slide for metres at one margin, and full ones."""
    return case(seed, (0, 2, 7, 12, 25)[seed % 5], ((8.0, 5.6), (9.0, 6.0), (14.0, 14.0))[seed % 3])


def best_rows() -> list[Row]:
    """Best stance, its remedies where nothing fits, and places for several cards."""

    def spent(grounds: Grounds, car: Vehicle, card: Procedure) -> float:
        grounds.at_rest()
        return timed(lambda: best_stance(grounds, car, [card], "floor"))

    rows = []
    for label, cases in (
        ("ten mixed rooms, bare ones among them", [mixed(seed) for seed in range(10)]),
        ("ten rooms of about 9 x 6 m, 7 things", [case(seed) for seed in range(10)]),
        ("ten rooms of about 14 x 14 m, 25 things", [case(seed, 25, (14.0, 14.0)) for seed in range(10)]),
    ):
        times = [spent(*c) for c in cases]
        rows.append((f"best stance, {label}", f"{1e3 * np.mean(times):.0f} ms mean, {1e3 * max(times):.0f} ms worst"))
    rows.extend(remedy_rows())
    times = [timed(partial(shared_places, *five_cards(seed), ["floor"])) for seed in range(10)]
    told = f"{1e3 * np.mean(times):.0f} ms mean, {1e3 * max(times):.0f} ms worst"
    return [*rows, ("fewest places for five cards, ten rooms of about 9 x 6 m", told)]


def remedy_rows() -> list[Row]:
    """What would make room, beside the answers that nothing fits: processor time, which other work does not stretch."""
    shop = open_shop(DEMO)
    (site,) = shop.sites.values()
    asked = [
        (Grounds(site), v, c, s) for v in shop.vehicles.values() for c in cards_for(shop, v) for s in c.all_supports
    ]
    rooms = [(g, v, c, FLOOR) for g, v, c in (case(seed, size=HARD) for seed in range(100))]
    rows = []
    for label, cases in (("rooms of about 8 x 5.6 m", rooms), ("cards and cars of the demonstration", asked)):
        spent, alone = [], []
        for grounds, vehicle, asked_card, support in cases:
            grounds.at_rest()
            begun = time.process_time()
            answer = best_stance(grounds, vehicle, [asked_card], support)
            if answer.fits is Fits.NO:
                alone.append(time.process_time() - begun)
                begun = time.process_time()
                find_remedies(answer)
                spent.append(time.process_time() - begun)
        mean, median, worst = 1e3 * np.mean(spent), 1e3 * np.median(spent), 1e3 * max(spent)
        told = f"{mean:.0f} ms mean, {median:.0f} ms median, {worst:.0f} ms worst"
        rows.append((f"remedies, {len(spent)} {label} where nothing fits", told))
        rows.append(("the same, to the answers that nothing fits", f"{sum(spent) / sum(alone):.1f} times as long"))
    return rows


def five_cards(seed: int) -> tuple[Grounds, Vehicle, list[Procedure]]:
    rng = np.random.default_rng(seed)
    grounds, vehicle = Grounds(room(rng)), car(rng)
    return grounds, vehicle, [evolve(card(rng), name=f"card {i + 1}") for i in range(5)]


def scaling() -> dict[str, list[tuple[int, float]]]:
    """Seconds by the number of things and of zones, on floors of about 14 x 14 m, mean over three rooms."""
    found: dict[str, list[tuple[int, float]]] = {}

    def add(name: str, count: int, spent: float) -> None:
        found.setdefault(name, []).append((count, spent))

    for things in (5, 10, 20, 40, 80):
        asked = [asked_of(seed, things, 5) for seed in range(3)]
        add("best stance, by things", things, mean(best_of, asked))
        add("any-fit packed, by things", things, mean(lambda p: sweep(*p), [swept_of(q) for q in asked]))
    for zones in (1, 2, 5, 10, 20):
        asked = [asked_of(seed, 25, zones) for seed in range(3)]
        add("best stance, by zones", zones, mean(best_of, asked))
        add("any-fit packed, by zones", zones, mean(lambda p: sweep(*p), [swept_of(q) for q in asked]))
    return found


def best_of(question: Question) -> Answer:
    return best_stance(question.grounds, question.vehicle, question.cards, question.support)


def asked_of(seed: int, things: int, zones: int) -> Question:
    """A card of so many different zones on a floor of about 14 x 14 m."""
    rng = np.random.default_rng(seed)
    site, vehicle = room(rng, things, (14.0, 14.0)), car(rng)
    drawn = [evolve(card(rng).zones[i % 5], name=f"zone {i + 1}") for i in range(zones)]
    grounds = Grounds(site)
    grounds.at_rest()
    return Question(grounds, vehicle, (evolve(card(rng), zones=tuple(drawn)),), "floor")


def swept_of(question: Question) -> tuple[Problem, Array, int]:
    packed = next(ways(question, (), [])).packed()
    return packed.problem, np.array(packed.domain), MOST_NODES


def mean(work: Callable[[T], object], asked: Sequence[T]) -> float:
    return float(np.mean([timed(partial(work, q)) for q in asked]))


def measure() -> list[Row]:
    """Every figure. Warm first: compiling is no part of it."""
    from benchmarks.place_region import region_rows  # it measures with what stands here

    best_stance(*case(0)[:2], [case(0)[2]], "floor")
    decide(way_of(0).packed())
    shared_places(*five_cards(0), ["floor"])
    return [*any_fit_rows(), *region_rows(), *best_rows()]
