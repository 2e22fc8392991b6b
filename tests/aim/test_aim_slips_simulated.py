"""Simulated set-ups with one slip each: what is named, and whether anybody is misled.

The readings are those that the program itself plans. Truths, errors and slips come from `slip_simulator`.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence

import aim_makers as make
import numpy as np
import pytest
import slip_simulator as simulator
from attrs import evolve, frozen
from slip_simulator import SLIPS, Outcome, Slipped, check_setup, judged, turned, value

from standtrue.aim.bodies import Reading
from standtrue.aim.planning import plan_setup
from standtrue.aim.setup import SetupAnswer
from standtrue.model.procedure import Tolerance
from standtrue.model.setup import CarPoint, Instrument
from standtrue.model.vehicle import WHEELS
from standtrue.model.verdict import Verdict

INSTRUMENTS = (
    Instrument("distance", 0.001, plumbed=True),
    Instrument("offset", 0.001, lines=("left string", "right string")),
    Instrument("height", 0.001),
    Instrument("lean", math.radians(0.05)),
)
TOLERANCE = np.array([0.015, 0.010, 0.008, math.radians(0.5), math.radians(1.0)])
"""Of the card, in the order of the parts; the last is no tolerance of it, and how much boards lean."""

CORNERS = ("front left", "front right", "rear left", "rear right")
TRACK_U, SIZE_U, HUB_U = 0.020 / math.sqrt(3.0), 0.003, 0.002
HUBS = dict(zip(CORNERS, (0.086, 0.092, 0.101, 0.108), strict=True))
"""How far out the hubs were measured to lie, known to 2 mm; tracks lie anywhere within 20 mm of paper."""

CAR = evolve(make.CAR, known_to=(("track_front", TRACK_U), ("track_rear", TRACK_U)))
MEASURED = tuple(CarPoint(f"hub {corner}", out, HUB_U) for corner, out in HUBS.items())
BOARD = evolve(make.BOARD, tolerance=Tolerance(*map(float, TOLERANCE[:4])))
SCENE = evolve(make.scene(BOARD), vehicle=CAR, measured=MEASURED)
PLAN = plan_setup(SCENE, INSTRUMENTS)
LEAST = 0.025
"""Smaller slips than this are not looked for: no reading of the plan has a larger least blunder that is found."""


@frozen(eq=False)
class Drawn:
    """A truth: every point, and how far the board is off its place, in the order of the parts."""

    points: dict[str, simulator.Spot]
    off: simulator.Spot


def on_car(rng: np.random.Generator) -> dict[str, tuple[float, float, float]]:
    """The points of a true car, which is about as its paper and the measured hubs say."""
    base = CAR.wheelbase_m + rng.normal(0.0, SIZE_U)
    ahead = {"front": base, "rear": 0.0}
    half = {end: (getattr(CAR, f"track_{end}_m") + rng.uniform(-0.02, 0.02)) / 2 for end in ahead}
    high = CAR.tire_diameter_m / 2
    points = {}
    for corner, out in HUBS.items():
        end, side = corner.split()
        wide = half[end] + out + rng.normal(0.0, HUB_U)
        spot = (ahead[end], wide if side == "left" else -wide, high)
        points[f"hub {corner}"] = points[f"{side} string {end}"] = spot
    nose = base + CAR.front_overhang_m + rng.normal(0.0, SIZE_U)
    points["front of the car"] = (nose, 0.0, 0.0)
    points["rear of the car"] = (nose - CAR.length_m + rng.normal(0.0, SIZE_U), 0.0, 0.0)
    return points


def drawn(rng: np.random.Generator) -> Drawn:
    """A car about where it was planned, and a board in its tolerance or up to three times as far off."""
    place, heading = make.PLACE, make.PLACE.heading_rad + rng.normal(0.0, 0.008)
    car = (place.x_m + rng.normal(0.0, 0.02), place.y_m + rng.normal(0.0, 0.02), 0.0)
    points = {name: turned(spot, car, heading) for name, spot in on_car(rng).items()}
    thrust = rng.normal(0.0, SCENE.thrust.u_rad)
    off = rng.uniform(-1.0, 1.0, 5) * TOLERANCE * (0.5 if rng.random() < 0.5 else 3.0)
    along, across, up = make.BOARD.at[0] + off[0], off[1], make.BOARD.at[2] + off[2]
    center = turned((along, across, up), car, heading + thrust)
    ends = {"": (0.0, 0.0), " left": (-0.6, 0.0), " right": (0.6, 0.0), " top": (0.0, 0.5), " bottom": (0.0, -0.5)}
    for name, (left, high) in ends.items():
        facing = heading + thrust + math.pi + off[3]
        points[f"board{name}"] = turned((0.0, left, high), center, facing, off[4])
    return Drawn(points, off)


def read(truth: Drawn, rng: np.random.Generator, readings: Sequence[Reading] = PLAN.readings) -> list[Reading]:
    """What somebody reads, to a tenth of a millimeter."""
    return [evolve(r, value=round(value(r, truth.points, truth.off[4]) + rng.normal() * r.u, 4)) for r in readings]


def wrongly_rejected(answer: SetupAnswer, truth: Drawn) -> bool:
    """Whether a board that keeps every tolerance is told to be out of one."""
    return answer.verdict is Verdict.REJECT and bool(np.all(np.abs(truth.off[:4]) <= TOLERANCE[:4]))


def simulated(
    count: int, seed: int, readings: Sequence[Reading] = PLAN.readings, slips: Sequence[simulator.Slip] = SLIPS
) -> tuple[dict[str, list[Outcome]], int, int]:
    """The outcomes by kind of slip; how many right boards were rejected with a slip; how many slips there were."""
    rng = np.random.default_rng(seed)
    outcomes: dict[str, list[Outcome]] = defaultdict(list)
    rejected = done = tried = 0
    while done < count:
        truth = drawn(rng)
        sound = read(truth, rng, readings)
        slipped: Slipped | None = slips[tried % len(slips)](sound, truth.points, rng)
        tried += 1
        if slipped is None or _smallest(slipped, sound) < LEAST:
            continue
        answer = check_setup(SCENE, slipped.readings)
        outcome = judged(answer, slipped, truth.off)
        outcomes[outcome.kind].append(outcome)
        rejected += wrongly_rejected(answer, truth)
        done += 1
    return outcomes, rejected, done


def _smallest(slipped: Slipped, sound: list[Reading]) -> float:
    return min(abs(slipped.readings[i].value - sound[i].value) for i in slipped.wrong)


def holds(count: int, seed: int) -> None:
    """What is promised, with two standard errors of a share of so many."""
    outcomes, rejected, done = simulated(count, seed)
    every = [one for kind in outcomes.values() for one in kind]
    for kind, ones in sorted(outcomes.items()):
        print(kind, len(ones), *(f"{name} {share(ones, name):.4f}" for name in ("found", "named", "cause", "misled")))

    def bound(most: float) -> float:
        return most + 2.0 * math.sqrt(most * (1.0 - most) / done)

    assert share(every, "named") >= 0.9
    for ones in outcomes.values():
        assert share(ones, "named") >= 0.9 - 2.0 * math.sqrt(0.09 / len(ones))
    assert share(every, "as_if_sure") <= bound(0.01)
    assert share(every, "misled") <= bound(0.01)
    assert rejected / done <= bound(0.01)


def share(ones: list[Outcome], name: str) -> float:
    return float(np.mean([getattr(one, name) for one in ones]))


def test_every_reading_of_the_plan_shows_a_slip_of_25_mm() -> None:
    assert all(p.found <= LEAST for p in PLAN.planned if not p.reading.is_angle)
    assert set(WHEELS).isdisjoint(name for r in PLAN.readings for name in r.points)


def test_slips_are_named_and_nobody_is_misled() -> None:
    holds(400, 14)


def test_a_wrong_sign_of_an_offset_is_named_and_nobody_is_misled() -> None:
    """With two offsets from strings behind the readings of the plan."""
    offsets = [
        Reading("offset", (f"{side} string rear", f"{side} string front"), (f"board {side}",), 0.0, 0.001)
        for side in ("left", "right")
    ]
    outcomes, rejected, done = simulated(40, 17, [*PLAN.readings, *offsets], [simulator.sign])
    (ones,) = outcomes.values()
    assert (rejected, done) == (0, 40)
    assert share(ones, "named") >= 0.95
    assert share(ones, "cause") >= 0.9
    assert share(ones, "misled") == 0.0


@pytest.mark.long
def test_slips_are_named_and_nobody_is_misled_in_4_000_set_ups() -> None:
    holds(4000, 15)


def test_sound_readings_raise_a_doubt_in_at_most_5_percent() -> None:
    rng = np.random.default_rng(16)
    alarms = [check_setup(SCENE, read(drawn(rng), rng)).doubt is not None for _ in range(200)]
    assert np.mean(alarms) <= 0.05 + 2.0 * math.sqrt(0.05 * 0.95 / 200)
