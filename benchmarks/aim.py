"""Aim: one reading typed, the new answer; beside a general least-squares routine in the same run."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from attrs import evolve
from scipy import optimize

from benchmarks.place import timed
from standtrue.aim.alignment import Angle
from standtrue.aim.bodies import Reading
from standtrue.aim.network import adjust
from standtrue.aim.planning import plan_setup
from standtrue.aim.scene import Scene
from standtrue.aim.settle import possible_readings, settling_reading
from standtrue.aim.setup import check_setup
from standtrue.demo import demo_files
from standtrue.documents import gather, load_text
from standtrue.model.basics import Place
from standtrue.model.procedure import Procedure, Source, Target, Tolerance
from standtrue.model.setup import Instrument
from standtrue.model.site import Datum, Mark, Site
from standtrue.model.vehicle import Vehicle
from standtrue.work.aim.aiming import judge_measured

Row = tuple[str, str]

LIMIT_MS = 50.0
"""A technician types a reading and looks up: the answer should be there."""

INSTRUMENTS = (
    Instrument("distance", 0.001, plumbed=True),
    Instrument("offset", 0.0005),
    Instrument("height", 0.001),
)


def measure() -> list[Row]:
    """The table's rows."""
    scene = _scene()
    readings = _readings(scene)
    taken = readings[:-1]

    def typed() -> None:
        answer = check_setup(scene, [*taken, readings[-1]])
        settling_reading(answer, answer.targets[0], readings)

    answered = timed(typed)
    network = scene.network(readings)
    observed = np.array([r.value for r in readings])
    u = np.array([r.u for r in readings])
    ours = timed(lambda: adjust(network, readings))
    theirs = timed(
        lambda: optimize.least_squares(
            lambda x: (network.predict(readings, x)[0] - observed) / u, network.start, x_scale="jac"
        )
    )
    planned = timed(lambda: plan_setup(scene, INSTRUMENTS, marks=True, room=0.3))
    whole = timed(_typed_into_the_demonstration())
    return [
        (
            "one reading typed into the demonstration's set-up: all that `measured` says, the stance measured again",
            f"{whole * 1000:.1f} ms (at most {LIMIT_MS:.0f} ms asked)",
        ),
        (
            f"one reading typed: {len(readings)} readings, car and two targets, decisions, blunders, what would settle",
            f"{answered * 1000:.1f} ms (at most {LIMIT_MS:.0f} ms asked)",
        ),
        (f"least squares, {len(readings)} readings, {len(network.unknowns)} unknowns", f"{ours * 1000:.1f} ms"),
        ("the same by scipy's least_squares with numeric derivatives", f"{theirs / ours:.1f} times as long"),
        (f"reading plan from {len(possible_readings(scene, INSTRUMENTS, True)[0])} candidates", f"{planned:.2f} s"),
    ]


def _typed_into_the_demonstration() -> Callable[[], object]:
    """The whole use case for the demonstration's set-up, its last reading changed."""
    folder = gather(load_text(content, name) for name, content in demo_files().items())
    setup = folder.setups["corrow camera"]
    *taken, last = setup.readings
    changed = evolve(setup, readings=(*taken, evolve(last, value=last.value + 0.001)))
    judge_measured(folder.shop(), setup)
    return lambda: judge_measured(folder.shop(), changed)


def _scene() -> Scene:
    tolerance = Tolerance(0.010, 0.005, 0.005, math.radians(0.3), None)
    board = Target("board", "rear axle", (6.0, 0.0, 1.4), math.pi, size_m=(1.2, 1.0), tolerance=tolerance)
    card = Procedure(
        "card",
        "forward camera",
        "static",
        Source("invented"),
        targets=(board, evolve(board, name="mark", at=(5.0, 1.5, 0.5))),
    )
    car = Vehicle("car", 4.89, 1.85, 2.09, 1.45, 2.825, 0.955, 1.59, 1.60, 0.235, 0.668, 0.135)
    marks = (Mark("A", (0.5, 0.5)), Mark("B", (5.5, 0.5)), Mark("C", (5.5, 11.0)), Mark("D", (0.5, 11.0)))
    site = Site("shop", ((0.0, 0.0), (6.0, 0.0), (6.0, 12.0), (0.0, 12.0)), Datum((0.0, 0.0)), marks=marks)
    return Scene(card, car, site, Place(3.0, 2.0, math.pi / 2), Angle(0.0, math.radians(0.005)))


def _readings(scene: Scene) -> list[Reading]:
    """Every second of the possible readings, with errors."""
    possible, _ = possible_readings(scene, INSTRUMENTS, marks=True)
    chosen = [r for i, r in enumerate(possible) if i % 2 == 0 or r.what == "height"]
    network = scene.network(chosen)
    exact, _ = network.predict(chosen, network.start + 0.003)
    errors = np.random.default_rng(1).normal(size=len(chosen))
    return [evolve(r, value=float(v + e * r.u)) for r, v, e in zip(chosen, exact, errors, strict=True)]
