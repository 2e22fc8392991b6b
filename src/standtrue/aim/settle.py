"""Which readings can be taken with the instruments at hand, which to plan, and which one would settle a doubt."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from statistics import NormalDist

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from standtrue.aim.bodies import Network, Reading
from standtrue.aim.conformity import RISK, acceptance_zone, guard_factor
from standtrue.aim.layout import marks_of
from standtrue.aim.reading_plan import QUIET, ROOM, Demand, ReadingPlan, Tolerated, deciding_u, plan_readings
from standtrue.aim.scene import ANGLES, PARTS, Scene
from standtrue.aim.setup import SetupAnswer, TargetStands, limits_of
from standtrue.model.asking import Asking
from standtrue.model.setup import LINES, Instrument
from standtrue.model.vehicle import WHEELS
from standtrue.model.verdict import Verdict

Array = NDArray[np.float64]

WORTH = 0.5
"""A reading that settles a doubt less likely than this is not proposed."""


@frozen
class Settling:
    """The one reading that would most likely settle a target that cannot be told yet, and how likely that is."""

    target: str
    reading: Reading
    probability: float


def possible_readings(
    scene: Scene, instruments: Sequence[Instrument], marks: bool = False
) -> tuple[tuple[Reading, ...], tuple[float, ...]]:
    """Every useful reading that the instruments can take, and what each costs.

    From the wheel hubs (and the floor marks, where `marks`; then those tie the car to the floor too) to the targets'
    centers and sides. The values are 0: nothing has been read.
    """
    found = [(r, i.effort) for i in instruments for r in _readings(scene, i, marks)]
    return tuple(r for r, _ in found), tuple(effort for _, effort in found)


def demands(scene: Scene, network: Network, room: float = ROOM, risk: float = RISK) -> tuple[Demand, ...]:
    """What must be known so that every tolerance of the card can be decided with `room` of it to spare."""
    questions = []
    for target in scene.targets:
        slopes, by_thrust = scene.deviation_slopes(network, target, network.start)
        for name, row, by, limit in zip(PARTS, slopes, by_thrust, limits_of(target.tolerance), strict=True):
            if limit is not None:
                most = deciding_u(limit, risk, room)
                questions.append(
                    Demand(Tolerated(target.name, name, name in ANGLES), row, most, abs(float(by)) * scene.thrust.u_rad)
                )
    return tuple(questions)


def plan_setup(
    scene: Scene,
    instruments: Sequence[Instrument],
    marks: bool = False,
    room: float = ROOM,
    risk: float = RISK,
    asking: Asking = QUIET,
) -> ReadingPlan:
    """The fewest readings (or the least effort) with which every tolerance of the card can be decided.

    A tolerance that no instrument can read at all, such as a lean without an inclinometer, is left to `short_of`.
    """
    candidates, costs = possible_readings(scene, instruments, marks)
    network = scene.network(candidates)
    wanted = demands(scene, network, room, risk)
    touched = [d for d in wanted if np.abs(d.slopes).max(initial=0.0) > 1e-9]
    plan = plan_readings(network, candidates, touched, costs, asking=asking)
    unread = [d for d in wanted if d not in touched]
    return plan.with_unread(unread)


def settling_reading(
    answer: SetupAnswer, target: TargetStands, candidates: Sequence[Reading], risk: float = RISK
) -> Settling | None:
    """The candidate that would most likely settle every doubt about this target, the others' values being as they are.

    None where there is no doubt, where nothing was measured, or where no single reading is likely to do.
    """
    found = answer.believed
    doubts = [p for p in target.parts if p.tested is not None and p.tested.verdict is Verdict.CANNOT_TELL]
    if found is None or not doubts:
        return None
    network = found.network
    usable = [r for r in candidates if not network.missing([r])]
    if not usable:
        return None
    planned = answer.scene.target(target.place.name)
    slopes, _ = answer.scene.deviation_slopes(network, planned, found.unknowns)
    _, rows = network.predict(usable, found.unknowns)
    best: Settling | None = None
    for reading, row in zip(usable, rows, strict=True):
        gain = found.covariance @ row / math.sqrt(reading.u**2 + float(row @ found.covariance @ row))
        chance = 1.0
        for part in doubts:
            index = PARTS.index(part.name)
            learned = abs(float(slopes[index] @ gain))
            left = math.sqrt(max(part.u**2 - learned**2, 0.0))
            assert part.limit is not None
            chance *= _chance(part.deviation, learned, left, part.limit, risk)
        if best is None or chance > best.probability + 1e-12:
            best = Settling(planned.name, reading, chance)
    return best if best is not None and best.probability >= WORTH else None


def _chance(deviation: float, learned: float, left: float, limit: float, risk: float) -> float:
    """How likely a new estimate, now spread by `learned` about the old one, is decided with the u that is left."""
    if learned <= 1e-12:
        return 0.0
    spread = NormalDist(deviation, learned)
    beyond = limit + guard_factor(risk) * left
    chance = spread.cdf(-beyond) + 1.0 - spread.cdf(beyond)
    zone = acceptance_zone(left, -limit, limit, risk)
    if zone is not None:
        chance += spread.cdf(zone[1]) - spread.cdf(zone[0])
    return chance


def _readings(scene: Scene, instrument: Instrument, marks: bool) -> Iterator[Reading]:
    u = instrument.u
    starts: Iterable[str] = (*WHEELS, *(m.name for m in marks_of(scene.site) if marks))
    for target in scene.targets:
        spots = (target.name, *target.sides)
        if instrument.what == "distance":
            for start in starts:
                for end in spots:
                    yield Reading("distance", (start,), (end,), 0.0, u, instrument.plumbed)
        elif instrument.what == "offset":
            for line in instrument.lines:
                for end in spots:
                    yield Reading("offset", LINES[line], (end,), 0.0, u)
        elif instrument.what == "height":
            yield Reading("height", (), (target.name,), 0.0, u)
        elif instrument.what == "angle":
            for line in instrument.lines:
                yield Reading("angle", LINES[line], target.sides, 0.0, u)
        else:
            yield Reading("lean", (), (target.name,), 0.0, u)
    if marks and instrument.what == "distance":
        for mark in marks_of(scene.site):
            for wheel in WHEELS:
                yield Reading("distance", (mark.name,), (wheel,), 0.0, u, instrument.plumbed)
