"""A whole shop's cars asked at once, measured beside a grid of stances by general geometry, in one run."""

from __future__ import annotations

import os
import resource
import time
from collections.abc import Sequence
from importlib.resources import as_file, files
from pathlib import Path

import numpy as np
from attrs import evolve

from benchmarks.place import Row, grid_fits, timed
from standtrue.documents import Folder, read_folder
from standtrue.model.asking import Asking
from standtrue.model.basics import SUPPORT_CLASSES
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Ref
from standtrue.model.vehicle import Sensor, Vehicle
from standtrue.place.many.many import AnyFits
from standtrue.place.many.shared import shared_places
from standtrue.place.margin.ways import Question, ways
from standtrue.study.tally import Task, TaskNeed
from standtrue.work.study.able import find_shop_share
from standtrue.work.study.asker import Asker
from standtrue.work.study.rooms import Room
from standtrue.work.study.year import Year

CARS = 1500
CARDS = (
    "forward camera board",
    "forward camera two positions",
    "front radar reflector",
    "front corner radar reflector/left",
    "front corner radar reflector/right",
    "night-vision heated target",
    "rear camera board",
    "rear corner radar reflector/left",
    "rear corner radar reflector/right",
    "tail lamp radar reflector/left",
    "ride height from below",
    "surround-view mats",
)
SITE = "Tanbark Row"
AT_ONCE = 4096
GRID_M, GRID_DEG = 0.05, 5.0
DRIVEN = 300
SCALES = (10_000, 100_000, 1_000_000)


def demo() -> Folder:
    """The demonstration shop."""
    with as_file(files("standtrue.demo") / "shop") as folder:
        return read_folder(Path(folder))


def cars(count: int, seed: int = 4) -> list[Vehicle]:
    """Invented cars: from a supermini to a long van, every dimension drawn, sensors where such cars have them."""
    rng = np.random.default_rng(seed)
    found = []
    for number in range(count):
        length, width = rng.uniform(3.5, 5.6), rng.uniform(1.62, 2.05)
        base = length * rng.uniform(0.57, 0.64)
        overhang = 0.48 * (length - base)
        front, rear = base + overhang, base + overhang - length
        sensors = (
            Sensor("forward camera", None, (0.62 * base, 0.0, 1.3)),
            Sensor("front radar", None, (front, 0.0, 0.5)),
            Sensor("front corner radar", "left", (front - 0.2, 0.45 * width, 0.5), 0.7),
            Sensor("front corner radar", "right", (front - 0.2, -0.45 * width, 0.5), -0.7),
            Sensor("rear corner radar", "left", (rear + 0.2, 0.45 * width, 0.6), 2.4),
            Sensor("rear corner radar", "right", (rear + 0.2, -0.45 * width, 0.6), -2.4),
            Sensor("rear camera", None, (rear, 0.0, 0.9), np.pi),
            Sensor("night-vision camera", None, (front, 0.0, 0.5)),
            Sensor("lidar", None, (front, 0.0, 0.5)),
        )
        track = 0.85 * width
        points = tuple((x * base, side * 0.4 * width) for x in (0.2, 0.8) for side in (1, -1))
        lifted = points if number % 2 else ()
        sizes = length, width, width + 0.22, rng.uniform(1.4, 2.0), base, overhang, track, track, 0.215, 0.65, 0.15
        found.append(Vehicle(f"car {number}", *sizes, lift_points=lifted, sensors=sensors))
    return found


def cards(folder: Folder) -> list[Procedure]:
    """Twelve cards of the demonstration shop, on every kind of support."""
    by_key = {c.key: c for c in folder.procedures}
    return [by_key[key] for key in CARDS]


def ask_all(grounds: Grounds, vehicles: Sequence[Vehicle], asked: Sequence[Procedure], workers: int) -> list[object]:
    """Every car at every card on every support that it allows, in shares as a study asks them."""
    wanted = [(v, c, s) for v in vehicles for c in asked for s in c.all_supports]
    found: list[object] = []
    for begin in range(0, len(wanted), AT_ONCE):
        many = AnyFits()
        for vehicle, card, support in wanted[begin : begin + AT_ONCE]:
            many.ask(Question(grounds, vehicle, (card,), support))
        found.extend(many.answers(workers))
    return found


def grid_seconds(grounds: Grounds, vehicle: Vehicle, card: Procedure) -> float:
    """The seconds that a grid of stances by shapely takes for one question: one heading measured, scaled to all."""
    way = next(ways(Question(grounds, vehicle, (card,), "floor"), (), []))
    return timed(lambda: grid_fits(way.pairs, way.origins, GRID_M, 360.0), 1) * 360.0 / GRID_DEG


def measure() -> list[Row]:
    """Every figure. Warm first: compiling is no part of it."""
    folder = demo()
    site, asked, vehicles = folder.sites[SITE], cards(folder), cars(CARS)
    ask_all(Grounds(site), vehicles[:2], asked, 1)
    cores = os.cpu_count() or 1
    answers: list[object] = []
    whole = timed(lambda: answers.extend(ask_all(Grounds(site), vehicles, asked, cores)), 1)
    few = vehicles[: CARS // 10]
    each = timed(lambda: ask_all(Grounds(site), few, asked, 1), 1) / (len(answers) / 10)
    gridded = grid_seconds(Grounds(site), vehicles[0], asked[0])
    shared = timed(lambda: shared_places(Grounds(site), vehicles[1], asked[:6], SUPPORT_CLASSES), 1)
    return [
        (
            f"any-fit, {CARS:,} cars x {len(CARDS)} cards x 1 site with its lift states ({len(answers):,} answers)",
            f"{whole:.1f} s on {cores} cores; {answers.count(Fits.YES) / len(answers):.0%} fit, "
            f"{answers.count(Fits.UNDECIDED)} undecided",
        ),
        ("one such answer, packing included, one core", f"{1e6 * each:.0f} us"),
        (
            f"one by a {100 * GRID_M:.0f} cm, {GRID_DEG:.0f} degree grid (shapely; one heading measured, scaled)",
            f"{gridded:.0f} s: {gridded / each:,.0f} times as long",
        ),
        ("shared places, one car, 6 cards, all supports", f"{shared:.2f} s"),
        driven_row(folder, asked),
        *scaling_rows(Grounds(site), asked, cores),
    ]


def driven_row(folder: Folder, asked: Sequence[Procedure]) -> Row:
    """What the shop can do of what fits: every card of cars driven in, ways searched and taken over."""
    vehicles = [evolve(v, turning_circle_m=4.1025 * v.wheelbase_m + 1.0426) for v in cars(DRIVEN)]
    needs = [TaskNeed(Ref("card", c.key), ((c.key,),)) for c in asked]
    tasks = tuple(Task(n.what.name, v.name, 1.0, (n,)) for v in vehicles for n in needs)
    year = Year(tasks, {v.name: v for v in vehicles}, {c.key: c for c in asked})
    room = Room(SITE, folder.sites[SITE])
    table = Asker(year, Asking()).fill(room)
    begun = time.process_time()
    share = find_shop_share(folder.shop(), year, room, table, Asking())
    spent = time.process_time() - begun
    assert share is not None
    told = f"{spent:.1f} s of processor time; {share.searched} ways searched, {share.taken_over} taken over"
    return f"driven in and out, {DRIVEN} cars x {len(asked)} cards", told


def scaling_rows(grounds: Grounds, asked: Sequence[Procedure], cores: int) -> list[Row]:
    """What an answer costs, and the most memory held, as the cars become many: new ones for every share."""
    rows = []
    each = sum(len(c.all_supports) for c in asked)
    for answers in SCALES:
        shares = max(1, round(answers / each / CARS))
        count = min(CARS, round(answers / each))
        begun = time.process_time()
        asked_for = sum(len(ask_all(grounds, cars(count, seed), asked, cores)) for seed in range(shares))
        spent = time.process_time() - begun
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        told = f"{1e6 * spent / asked_for:.0f} us of processor time each; {peak:.0f} MB held at the most so far"
        rows.append((f"any-fit, {asked_for:,} answers", told))
    return rows
