"""Set-ups for the aim engine's tests: a room, a car, a card, readings of a known truth. All invented."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import numpy as np
from attrs import evolve
from numpy.typing import NDArray

from standtrue.aim.alignment import Angle
from standtrue.aim.bodies import Body, Network, Reading
from standtrue.aim.network import what_is_loose
from standtrue.aim.scene import Scene
from standtrue.model.basics import Place
from standtrue.model.procedure import Procedure, Source, Target, Tolerance
from standtrue.model.reason import Reason
from standtrue.model.site import Datum, Mark, Site
from standtrue.model.vehicle import Sensor, Vehicle
from standtrue.show.words.reader import ENGLISH

Array = NDArray[np.float64]

CAR = Vehicle(
    "car",
    4.89,
    1.85,
    2.09,
    1.45,
    2.825,
    0.955,
    1.59,
    1.60,
    0.235,
    0.668,
    0.135,
    mass_kg=1595.0,
    front_axle_share=0.59,
    known_to=tuple(
        (size, 1e-4)
        for size in ("wheelbase", "track_front", "track_rear", "tire_diameter", "hub_offset_front", "hub_offset_rear")
    ),
    alignment=(("total toe rear", (0.0, math.radians(0.3))), ("thrust angle", (-math.radians(0.1), math.radians(0.1)))),
    sensors=(
        Sensor("forward camera", at=(1.925, 0.0, 1.292)),
        Sensor("rear corner radar", "left", at=(-0.94, 0.745, 0.68), facing_rad=math.radians(140.0)),
    ),
)
SITE = Site(
    "shop",
    ((0.0, 0.0), (6.0, 0.0), (6.0, 12.0), (0.0, 12.0)),
    Datum((0.0, 0.0)),
    marks=(Mark("A", (0.5, 0.5)), Mark("B", (5.5, 0.5)), Mark("C", (5.5, 11.0)), Mark("D", (0.5, 11.0))),
    clear_height_m=3.5,
)
THRUST = Angle(0.0, math.radians(0.005))
CHALKED = (("thrust line", 1e-4), ("centerline", 1e-4))
PLACE = Place(3.0, 2.0, math.pi / 2)
TOLERANCE = Tolerance(0.010, 0.005, 0.005, math.radians(0.3), None)
BOARD = Target("board", "rear axle", (6.0, 0.0, 1.4), math.pi, size_m=(1.2, 1.0), tolerance=TOLERANCE)


def card(*targets: Target, sensor: str = "forward camera") -> Procedure:
    return Procedure("card", sensor, "static", Source("invented"), targets=targets or (BOARD,))


def scene(
    *targets: Target,
    thrust: Angle = THRUST,
    place: Place = PLACE,
) -> Scene:
    return Scene(card(*targets), CAR, SITE, place, thrust, lines=CHALKED)


def said(reasons: Iterable[Reason]) -> tuple[str, ...]:
    """Reasons as they are read in US English."""
    return tuple(ENGLISH.reasons(reasons))


def covariance_of(network: Network, readings: Sequence[Reading], at: Array) -> Array | None:
    """The covariance that these readings would give, before any is taken: None where something is loose."""
    if what_is_loose(network, readings, at):
        return None
    known = [*readings, *network.priors]
    _, slopes = network.predict(known, at)
    scaled = slopes / np.array([r.u for r in known])[:, None]
    return np.asarray(np.linalg.inv(scaled.T @ scaled))


def read(network: Network, readings: Sequence[Reading], truth: Array, rng: np.random.Generator | None) -> list[Reading]:
    """What the instruments would say of a truth: exactly, or with normal errors of each one's own u."""
    exact, _ = network.predict(readings, truth)
    errors = np.zeros(len(readings)) if rng is None else rng.normal(size=len(readings))
    return [evolve(r, value=float(v + e * r.u)) for r, v, e in zip(readings, exact, errors, strict=True)]


def many(network: Network, readings: Sequence[Reading], truth: Array, trials: int, rng: np.random.Generator) -> Array:
    """The values of many readings of one truth, shape (trials, n)."""
    exact, _ = network.predict(readings, truth)
    return np.asarray(exact + rng.normal(size=(trials, len(readings))) * np.array([r.u for r in readings]))


def random_network(rng: np.random.Generator, count: int = 8, u: float = 0.001) -> tuple[Network, list[Reading], Array]:
    """A target (x, y, turn) measured with so many tapes on the floor from six points, and where it truly stands."""
    marks = tuple((f"m{i}", (float(x), float(y), 0.0)) for i, (x, y) in enumerate(rng.uniform(0.0, 8.0, (6, 2))))
    at, turn = rng.uniform(2.0, 6.0, 2), float(rng.uniform(-math.pi, math.pi))
    points = (("T", (0.0, 0.0, 0.0)), ("L", (0.0, -0.6, 0.0)), ("R", (0.0, 0.6, 0.0)))
    target = Body("target", points, (float(at[0]), float(at[1]), 0.0), turn, free=("x", "y", "turn"))
    network = Network([Body("floor", marks), target])
    pairs = [(m, p) for m, _ in marks for p, _ in points]
    chosen = rng.choice(len(pairs), count, replace=False)
    readings = [Reading("distance", (pairs[i][0],), (pairs[i][1],), 0.0, u, plumbed=True) for i in chosen]
    truth = network.start + rng.normal(size=3) * [0.02, 0.02, 0.01]
    return network, readings, truth
