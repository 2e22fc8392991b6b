"""The car and the targets as they really stand: from readings to decisions and corrections."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np
from attrs import evolve, frozen
from numpy.typing import NDArray

from standtrue.aim.blunders import BlunderTest, find_blunder
from standtrue.aim.bodies import POSE, Network, Reading
from standtrue.aim.conformity import RISK, decide
from standtrue.aim.corrections import correction
from standtrue.aim.doubt import Doubt, doubt_of
from standtrue.aim.doubted import only_sure, trusted
from standtrue.aim.layout import TargetPlace, target_places
from standtrue.aim.network import Adjustment, Loose, Refused, adjust, adjustment_at
from standtrue.aim.questions import Question, question_readings
from standtrue.aim.scene import CAR, PARTS, Scene
from standtrue.aim.stands import CarStands, Part, Stands, TargetStands
from standtrue.model import reason
from standtrue.model.basics import Place
from standtrue.model.procedure import Tolerance
from standtrue.model.reason import Reason, Term, because
from standtrue.model.verdict import Verdict

Array = NDArray[np.float64]


@frozen(eq=False)
class SetupAnswer:
    """What the readings say of a set-up.

    `car` is None where no reading ties it to the floor. `corrected` are the places of all the card's targets for the
    car as it stands. `adjustment` holds residuals and the covariance of everything; `readings` are those that were
    used, and behind them what is stated of the car's place; `questions` are those that need a second look. `verdict` is
    ACCEPT only if every target is accepted, nothing is questioned and no blunder is suspected. `numbers` are the places
    of what was tested among all the readings that were given, from 1; 0 for what nobody read. With an alarm, `doubt`
    says what it comes to, and `without` how everything stands in each of its results.
    """

    scene: Scene
    readings: tuple[Reading, ...]
    car: CarStands | None
    targets: tuple[TargetStands, ...]
    corrected: tuple[TargetPlace, ...]
    verdict: Verdict
    blunder: BlunderTest | None
    questions: tuple[Question, ...]
    refused: tuple[Reason, ...]
    adjustment: Adjustment | None
    numbers: tuple[int, ...] = ()
    doubt: Doubt | None = None
    without: tuple[Stands, ...] = ()

    @property
    def suspects(self) -> tuple[Reading, ...]:
        """The readings of which one is suspected to be wrong, the likeliest first; also what is stated of a size."""
        return () if self.doubt is None else tuple(self.tested[i] for i in self.doubt.again)

    @property
    def tested(self) -> tuple[Reading, ...]:
        """The readings used and, behind them, what is stated of the car's place and known beforehand of its sizes."""
        return self.readings if self.adjustment is None else self.adjustment.readings

    @property
    def believed(self) -> Adjustment | None:
        """The adjustment that everything is told from: under an alarm that without the likeliest suspect."""
        told = [] if self.doubt is None else [r.found for r in self.doubt.results if r.left and r.found is not None]
        return told[0] if told else self.adjustment


def check_setup(scene: Scene, readings: Sequence[Reading], risk: float = RISK) -> SetupAnswer:
    """Find how the car and the targets stand, and decide each tolerance with guard bands.

    Impossible readings are questioned and left out. Targets that the readings do not fix are told as such, and the
    others are still answered.
    """
    questions = question_readings(scene, readings)
    numbers, used, found, loose = _first(scene, readings, questions)
    if isinstance(found, Refused):
        nothing = tuple(_unmeasured(t, found.because) for t in scene.targets)
        unsure = Verdict.CANNOT_TELL
        return SetupAnswer(scene, used, None, nothing, scene.targets, unsure, None, questions, found.because, None)
    stands = _stands(scene, found, loose, risk)
    blunder = find_blunder(found) if found.freedom > 0 else None
    doubt: Doubt | None = None
    without: tuple[Stands, ...] = ()
    if blunder is not None and blunder.alarm:
        doubt = doubt_of(scene, found, blunder)
        without = tuple(_stands(scene, r.found, loose, risk) for r in doubt.results if r.found is not None)
        stands = trusted(stands, doubt, without)
        blunder = evolve(blunder, suspects=doubt.again, size=doubt.suspects[0].size)
    elif len(used) < len(readings):
        stands = only_sure(stands)
    verdict = Verdict.overall([t.verdict for t in stands.targets])
    if verdict is Verdict.ACCEPT and (questions or doubt is not None):
        verdict = Verdict.CANNOT_TELL
    refused = tuple(one.why for one in loose)
    place = dict(zip(map(id, used), numbers, strict=True))
    return SetupAnswer(
        scene,
        found.taken,
        stands.car,
        stands.targets,
        stands.corrected,
        verdict,
        blunder,
        questions,
        refused,
        found,
        tuple(place.get(id(r), 0) for r in found.readings),
        doubt,
        without,
    )


def _first(
    scene: Scene, readings: Sequence[Reading], questions: Sequence[Question]
) -> tuple[tuple[int, ...], tuple[Reading, ...], Adjustment | Refused, tuple[Loose, ...]]:
    """The readings that count, with their numbers, and their adjustment with what stays loose in it."""
    numbers, used = _used(scene, readings, questions, lambda q: q.impossible)
    found, loose = _adjust(scene, used)
    if isinstance(found, Refused) and not found.loose:
        numbers_without, others = _used(scene, readings, questions, lambda _: True)
        despite = _despite(scene, used, others)
        if despite is not None:
            return numbers, used, despite, loose
        if others:
            return numbers_without, others, *_adjust(scene, others)
    return numbers, used, found, loose


def _despite(scene: Scene, used: Sequence[Reading], unquestioned: Sequence[Reading]) -> Adjustment | None:
    """Readings of which one contradicts the others so that they cannot be solved: all held against what the others say.

    Without those that lie far from the plan, or without the one that leaves the least misfit. None where that is not
    enough either.
    """
    network = scene.network(used)
    fewer = [unquestioned] if len(unquestioned) < len(used) else []
    fewer += [[r for r in used if r is not one] for one in used]
    solved = (adjust(network, others) for others in fewer)
    found = min((s for s in solved if isinstance(s, Adjustment)), key=lambda s: s.misfit, default=None)
    return None if found is None else adjustment_at(network, [*used, *network.priors], found.unknowns)


def _used(
    scene: Scene, readings: Sequence[Reading], questions: Sequence[Question], left_out: Callable[[Question], bool]
) -> tuple[tuple[int, ...], tuple[Reading, ...]]:
    """The readings without those that are questioned so, and what is stated of the car's place, with their numbers."""
    out = {q.reading for q in questions if left_out(q)}
    kept = [(i + 1, r) for i, r in enumerate(readings) if i not in out]
    kept += [(0, r) for r in scene.tie_readings]
    return tuple(i for i, _ in kept), tuple(r for _, r in kept)


def _stands(scene: Scene, found: Adjustment, loose: Sequence[Loose], risk: float) -> Stands:
    """How everything stands by one adjustment."""
    car = _car_stands(scene, found)
    place = scene.place if car is None else car.place
    vehicle = scene.found_vehicle(found.network, found.unknowns)
    corrected = target_places(scene.card, vehicle, place, scene.thrust.value_rad, scene.height_m)
    targets = tuple(
        _unmeasured(t, tuple(one.why for one in loose if one.body == t.name))
        if t.name in _lost(loose)
        else _target_stands(scene, found, planned, t, risk)
        for planned, t in zip(scene.targets, corrected, strict=True)
    )
    return Stands(car, targets, corrected)


def limits_of(tolerance: Tolerance) -> tuple[float | None, ...]:
    """The half-widths of a tolerance in the order of PARTS."""
    return tolerance.along_m, tolerance.across_m, tolerance.height_m, tolerance.turn_rad, tolerance.lean_rad


def _adjust(scene: Scene, readings: Sequence[Reading]) -> tuple[Adjustment | Refused, tuple[Loose, ...]]:
    """Adjust; leave out what the readings do not fix, and say so.

    Of a target whose turn, lean or height alone is not fixed, only the readings that hang on it are left out; likewise
    those from a chalked line of which a mark is not fixed. A car that is not fixed on the floor stands as planned.
    """
    left: tuple[Loose, ...] = ()
    touched = dict(zip(readings, scene.touched(readings), strict=True))
    while True:
        without = _lost(left)
        untied = any(one.body == CAR and one.unknown in POSE for one in left)
        cut = {(one.body, one.unknown) for one in left if one.body not in without}
        cut -= {(CAR, unknown) for unknown in POSE}
        kept = [
            r
            for r in readings
            if not any(_belongs(p, scene, without) for p in r.points)
            and not touched[r] & cut
            and not (untied and scene.ties_car(r))
        ]
        if not kept:
            return Refused(tuple(one.why for one in left) or (because("no-readings"),), left), left
        found = adjust(scene.network(kept, without), kept)
        if not isinstance(found, Refused):
            return found, left
        known = {(one.body, one.unknown) for one in left}
        more = [one for one in found.loose if (one.body, one.unknown) not in known]
        if not more:
            return found, left
        left = (*left, *([one for one in more if one.body == CAR] or more))


def _lost(loose: Sequence[Loose]) -> frozenset[str]:
    """The targets of which nothing can be told."""
    return frozenset(one.body for one in loose if one.unknown == "x" and one.body != CAR)


def _belongs(point: str, scene: Scene, targets: frozenset[str]) -> bool:
    """Whether a point is one of those targets' own."""
    return any(point in names for target, names in scene.target_points.items() if target in targets)


def _car_stands(scene: Scene, found: Adjustment) -> CarStands | None:
    network = found.network
    if (CAR, "x") not in network.unknowns:
        return None
    x, y, turn = (found.value(CAR, u) for u in ("x", "y", "turn"))
    columns = [network.column(CAR, u) for u in ("x", "y", "turn")]
    plan = scene.place
    c, s = math.cos(plan.heading_rad), math.sin(plan.heading_rad)
    dx, dy = x - plan.x_m, y - plan.y_m
    off = math.remainder(turn - plan.heading_rad, math.tau)
    return CarStands(
        Place(x, y, turn),
        found.covariance[np.ix_(columns, columns)],
        c * dx + s * dy,
        c * dy - s * dx,
        off,
        scene.thrust,
    )


def _target_stands(
    scene: Scene, found: Adjustment, planned: TargetPlace, here: TargetPlace, risk: float
) -> TargetStands:
    estimate = scene.estimate(found.network, planned, found.unknowns, found.covariance)
    measured = _measured(found.network, planned.name)
    parts = tuple(
        _part(name, float(d), float(u), limit, name in measured, risk)
        for name, d, u, limit in zip(PARTS, estimate.value, estimate.u, limits_of(planned.tolerance), strict=True)
    )
    against = tuple(why for part in parts if (why := _against(part)) is not None)
    if not measured:
        return evolve(_unmeasured(here, against), parts=parts)
    asked = [p for p in parts if p.limit is not None]
    if not asked:
        against = (because("no-tolerance-stated"),)
    verdict = Verdict.overall([p.verdict if p.verdict is not None else Verdict.CANNOT_TELL for p in asked])
    axis = here.frame[1] - (_heading(found) + scene.thrust.value_rad)
    values = [p.deviation if p.measured else 0.0 for p in parts]
    half = here.size_m[0] / 2 if here.size_m is not None else 0.0
    return TargetStands(here, parts, estimate.covariance, verdict, against, correction(values, axis, half))


def _heading(found: Adjustment) -> float:
    """The car's heading, found or planned."""
    return float(found.network.pose(CAR, found.unknowns)[3])


def _measured(network: Network, target: str) -> frozenset[str]:
    free = {u for body, u in network.unknowns if body == target}
    unknowns = {"height": {"z"}, "turn": {"turn"}, "lean": {"lean"}, "along": {"x", "y"}, "across": {"x", "y"}}
    return frozenset(part for part, needed in unknowns.items() if needed <= free)


def _part(name: str, deviation: float, u: float, limit: float | None, measured: bool, risk: float) -> Part:
    if not measured:
        return Part(name, math.nan, math.inf, limit, False, None)
    return Part(name, deviation, u, limit, True, None if limit is None else decide(deviation, u, -limit, limit, risk))


def _against(part: Part) -> Reason | None:
    """What stands against one part of a target's place; None where nothing does."""
    if part.limit is None or part.verdict is Verdict.ACCEPT:
        return None
    name = Term(part.name)
    if part.tested is None:
        return because("part-not-measured", part=name)
    quantity = reason.Angle if part.is_angle else reason.Length
    code = "part-out-of-tolerance" if part.verdict is Verdict.REJECT else "part-too-near-limit"
    off, u, limit = (quantity(x) for x in (part.deviation, part.u, part.limit))
    return because(code, part=name, off=off, u=u, limit=limit)


def _unmeasured(target: TargetPlace, against: tuple[Reason, ...]) -> TargetStands:
    parts = tuple(
        Part(name, math.nan, math.inf, limit, False, None)
        for name, limit in zip(PARTS, limits_of(target.tolerance), strict=True)
    )
    unknown = np.full((len(PARTS), len(PARTS)), math.inf)
    return TargetStands(target, parts, unknown, Verdict.CANNOT_TELL, against or (because("not-measured"),), None)
