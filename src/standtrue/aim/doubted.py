"""What may be told of a set-up while a reading is in doubt: only what every possible explanation says."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from attrs import evolve

from standtrue.aim.corrections import Correction
from standtrue.aim.doubt import Doubt
from standtrue.aim.stands import CarStands, Part, Stands, TargetStands
from standtrue.model.reason import because
from standtrue.model.verdict import Verdict

ALIKE_U = 3.0
"""Without a tolerance two results agree within this many of their standard uncertainties."""

SURE_U = 2.576
"""What fewer readings know no better than their tolerance is no correction: it would miss in more than 1 of 100."""


def trusted(everything: Stands, doubt: Doubt, without: Sequence[Stands]) -> Stands:
    """How everything stands under an alarm: by the others, without the likeliest suspect, where the explanations agree.

    Where an explanation leaves a target open, or no slip explains the readings, nothing of it is decided.
    """
    chances = [r.chance for r in doubt.results if r.found is not None]
    by_others = [k for k, r in enumerate([r for r in doubt.results if r.found is not None]) if r.left]
    if not by_others or not doubt.explained:
        car = _car(everything.car, without, chances)
        return evolve(everything, car=car, targets=tuple(_open(t) for t in everything.targets))
    best = without[by_others[0]]
    whole = len(without) == len(doubt.results)
    targets = tuple(
        _agreed(target, [stands.targets[k] for stands in without], whole) for k, target in enumerate(best.targets)
    )
    return evolve(best, car=_car(best.car, without, chances), targets=targets)


def only_sure(stands: Stands) -> Stands:
    """The corrections with only what the readings that are left know well enough, where a reading was left out."""
    targets = (
        t if t.correct is None else evolve(t, correct=_common(t, t.correct, [t]), from_others=True)
        for t in stands.targets
    )
    return evolve(stands, targets=tuple(targets))


def _car(car: CarStands | None, without: Sequence[Stands], chances: Sequence[float]) -> CarStands | None:
    """The car with what the explanations differ by in its uncertainty (the law of total covariance)."""
    if car is None:
        return None
    covariance = car.covariance.copy()
    for stands, chance in zip(without, chances, strict=True):
        if stands.car is not None:
            one, other = car.place, stands.car.place
            turned = np.remainder(other.heading_rad - one.heading_rad + np.pi, 2.0 * np.pi) - np.pi
            off = np.array([other.x_m - one.x_m, other.y_m - one.y_m, turned])
            covariance += chance * np.outer(off, off)
    return evolve(car, covariance=covariance)


def _agreed(best: TargetStands, all_of_it: Sequence[TargetStands], whole: bool) -> TargetStands:
    """A target's verdict and correction as far as every explanation has them."""
    if not whole:
        return evolve(_open(best), from_others=True)
    verdicts = {one.verdict for one in all_of_it}
    agreed = verdicts == {best.verdict}
    correct = None if best.correct is None else _common(best, best.correct, all_of_it)
    return evolve(
        best,
        verdict=best.verdict if agreed else Verdict.CANNOT_TELL,
        because=best.because if agreed else (because("hangs-on-doubt"),),
        correct=correct,
        from_others=True,
    )


def _open(target: TargetStands) -> TargetStands:
    """A target of which nothing can be told before a reading was taken again."""
    if target.correct is None:
        return target
    return evolve(target, verdict=Verdict.CANNOT_TELL, because=(because("hangs-on-doubt"),), correct=None)


def _common(best: TargetStands, correct: Correction, all_of_it: Sequence[TargetStands]) -> Correction | None:
    """The correction with only those parts that come to the same in every explanation; None where none does."""
    same = {
        part.name: _sure(part) and all(_same(part, one.part(part.name)) for one in all_of_it) for part in best.parts
    }
    plan = same["along"] and same["across"]
    if not (plan or same["height"] or same["turn"] or same["lean"]):
        return None
    return evolve(
        correct,
        forward_m=correct.forward_m if plan else 0.0,
        left_m=correct.left_m if plan else 0.0,
        up_m=correct.up_m if same["height"] else 0.0,
        turn_rad=correct.turn_rad if same["turn"] else 0.0,
        lean_rad=correct.lean_rad if same["lean"] else 0.0,
    )


def _sure(part: Part) -> bool:
    return part.limit is None or not part.measured or SURE_U * part.u <= part.limit


def _same(one: Part, other: Part) -> bool:
    """Whether two explanations have a part alike: within half its tolerance, or what they are known to."""
    if not (one.measured and other.measured):
        return not (one.measured or other.measured)
    room = one.limit / 2 if one.limit is not None else ALIKE_U * max(one.u, other.u)
    return abs(one.deviation - other.deviation) <= room
