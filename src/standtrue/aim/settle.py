"""Which reading would settle a doubt."""

from __future__ import annotations

import math
from collections.abc import Sequence
from statistics import NormalDist

from attrs import frozen

from standtrue.aim.bodies import Reading
from standtrue.aim.candidates import target_candidates, tie_candidates
from standtrue.aim.conformity import RISK, acceptance_zone, guard_factor
from standtrue.aim.scene import PARTS, Scene
from standtrue.aim.setup import SetupAnswer
from standtrue.aim.sight import Sight
from standtrue.aim.stands import TargetStands
from standtrue.model.setup import Instrument
from standtrue.model.verdict import Verdict

WORTH = 0.5
"""A reading that settles a doubt less likely than this is not proposed."""


@frozen
class Settling:
    """The one reading that would most likely settle a target that cannot be told yet, and how likely that is."""

    target: str
    reading: Reading
    probability: float


def possible_readings(
    scene: Scene, instruments: Sequence[Instrument], marks: bool = False, sight: Sight | None = None
) -> tuple[tuple[Reading, ...], tuple[float, ...]]:
    """Every reading that hands can take of the targets, and what each costs.

    With `marks`, those from the floor's marks to the targets and to the car, too. The values are 0: nothing has been
    read.
    """
    found = [c for t in scene.targets for c in target_candidates(scene, t, instruments, sight, marks)]
    found += tie_candidates(scene, instruments, sight) if marks else ()
    costs = {c.reading: c.cost for c in found}
    return tuple(costs), tuple(costs.values())


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
