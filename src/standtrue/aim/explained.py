"""Which slip explains readings that do not go together: every one is tried, and held against the others.

An explanation is the readings without it, solved again. How likely it is follows from how well the readings then agree
(Gaussian errors of the stated u), and from how often such a slip happens: posterior odds. G. E. P. Box and G. C. Tiao,
A Bayesian approach to some outlier problems, Biometrika 55 (1968); H. Jeffreys, Theory of Probability (1961), 5.
Leaving out each reading in turn, and solving again without the one found: P. J. G. Teunissen, Quality control in
integrated navigation systems, IEEE AES Magazine 5 (1990) (detection, identification, adaptation).
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from standtrue.aim.bodies import Network, Reading
from standtrue.aim.network import Adjustment, adjust, solve_many
from standtrue.aim.scene import ANGLES, PARTS, Scene
from standtrue.aim.slips import RATE, SHARES, Slip, joint_slips, slips_of

Array = NDArray[np.float64]

SMALLEST = (0.003, math.radians(0.1))
LARGEST = (5.0, math.pi)
"""An error for no reason that could be named lies between these, metres and radians, any size as likely as one twice
as large: so that it is known beforehand only to be an error."""

LAID_OUT = (0.010, math.radians(0.5))
"""Somebody laid the target out before it was measured: most stand within this of their place, metres and radians, and
some anywhere (a Cauchy density). Common practice, no source; it weighs explanations, and moves no result."""

STATED = 0.002
"""How often a size is stated wrongly, against a reading that is read wrongly. Common practice, no source."""

BARELY = 1e-4
"""What the others check by less than this redundancy number, at the plan or as found, is not left out."""

NOWHERE = 1e-6
"""What nothing fixes is taken to be known to a kilometer: so much information."""

OPEN_M = 0.5
"""What the others fix no better than to this, metres or radians, they do not check."""

RENAMING = frozenset({"board sides", "other point"})
"""Slips that change which points a reading goes between, and so how it hangs on the unknowns."""

BEST = 8
"""So many slips of several readings are solved whole: those that bring them together best in the first order."""

ORDINARY = 3.0902
"""Sound readings have a misfit that is not ordinary in 1 of 1,000 (chi-squared, by Wilson and Hilferty, 1931)."""


@frozen(eq=False)
class Explanation:
    """What would explain the readings: a slip, an error for no reason in one reading, or nothing at all (all sound).

    `readings` are those in which it lies; none where all are sound. `probability` is against all the others.
    `unknowns` solve the set-up without it, of shape (p,); `misfit` is the sum of squared residuals that stays, and
    `freedom` what is ordinary for it.
    """

    slip: Slip | None
    readings: tuple[int, ...]
    probability: float
    unknowns: Array
    misfit: float
    freedom: int

    @property
    def ordinary(self) -> bool:
        """Whether the readings agree as sound ones do once it is set right."""
        if self.freedom < 1:
            return self.misfit < ORDINARY**2
        part = 2.0 / (9.0 * self.freedom)
        return self.misfit <= self.freedom * (1.0 - part + ORDINARY * math.sqrt(part)) ** 3


@frozen(eq=False)
class LeftOut:
    """The set-up solved without one reading: what the others say that it should be, and how well they know.

    `unknowns` (p,), `covariance` (p, p), `misfit` of the others, `expected` and `spread` of the reading left out.
    """

    reading: int
    unknowns: Array
    covariance: Array
    misfit: float
    expected: float
    spread: float

    def error(self, found: Adjustment) -> float:
        """How much too large it was read, by the others."""
        reading = found.readings[self.reading]
        values = np.array([reading.value]), np.array([self.expected])
        return float(found.network.differences([reading], *values)[0])


def leave_each_out(found: Adjustment) -> tuple[LeftOut, ...]:
    """The set-up without each reading in turn, of those that others check."""
    network, readings = found.network, found.readings
    u = np.array([r.u for r in readings])
    at_start = np.linalg.qr(network.predict(readings, network.start)[1] / u[:, None])[0]
    redundancy = np.minimum(found.redundancy, 1.0 - np.sum(at_start**2, axis=-1))
    checked = [int(i) for i in np.flatnonzero(redundancy > BARELY)]
    if not checked:
        return ()
    kept = np.ones((len(checked), len(readings)), dtype=bool)
    kept[np.arange(len(checked)), checked] = False
    observed = np.tile([r.value for r in readings], (len(checked), 1))
    unknowns, _, ended = solve_many(network, readings, observed, np.tile(network.start, (len(checked), 1)), kept)
    predicted, slopes = network.predict(readings, unknowns)
    scaled = network.differences(readings, observed, predicted) / u * kept
    whitened = slopes / u[:, None] * kept[..., None]
    out: list[LeftOut] = []
    for row, i in enumerate(checked):
        # What the others leave loose is known to a kilometer, so that the spread tells it.
        known = whitened[row].T @ whitened[row] + NOWHERE * np.eye(len(network.unknowns))
        covariance = np.linalg.inv(known)
        spread = math.sqrt(u[i] ** 2 + float(slopes[row, i] @ covariance @ slopes[row, i]))
        if ended[row] and spread < OPEN_M:
            misfit = float(scaled[row] @ scaled[row])
            out.append(LeftOut(i, unknowns[row], covariance, misfit, float(predicted[row, i]), spread))
    return tuple(out)


def explanations(scene: Scene, found: Adjustment, without: Sequence[LeftOut]) -> tuple[Explanation, ...]:
    """Everything that may be wrong with the readings, the likeliest first; all probabilities together are 1."""
    weighed = [(-found.misfit / 2, Explanation(None, (), 0.0, found.unknowns, found.misfit, found.freedom))]
    for one in without:
        weighed += _of_one(scene, found, one)
    weighed += _of_several(scene, found)
    logs = np.array([log for log, _ in weighed])
    logs += _laid_out(scene, found.network, np.array([one.unknowns for _, one in weighed]))
    shares = np.exp(logs - logs.max())
    shares /= shares.sum()
    order = np.argsort(-shares, kind="stable")
    return tuple(_with(weighed[int(i)][1], float(shares[i])) for i in order)


def _laid_out(scene: Scene, network: Network, unknowns: Array) -> Array:
    """The logarithm of how likely the targets were put there, shape (k,) for unknowns (k, p), but for a constant."""
    free = {body for body, _ in network.unknowns}
    usual = np.array([LAID_OUT[name in ANGLES] for name in PARTS])
    logs = np.zeros(len(unknowns))
    for target in scene.targets:
        if target.name in free:
            off = scene.deviations(network, target, unknowns, np.full(len(unknowns), scene.thrust.value_rad))
            logs -= np.sum(np.log1p((off / usual) ** 2), axis=-1)
    return logs


def _with(one: Explanation, probability: float) -> Explanation:
    return Explanation(one.slip, one.readings, probability, one.unknowns, one.misfit, one.freedom)


Weighed = tuple[float, Explanation]
"""The logarithm of how likely an explanation is, up to what is the same for all, and it."""


def _of_one(scene: Scene, found: Adjustment, out: LeftOut) -> list[Weighed]:
    """What may be wrong with one reading.

    With the others' evidence E and the reading's own density p, sound readings have E p(value), where p is normal with
    what the others expect; a slip has E p(value without it), and an error for no reason E times its own density.
    """
    i, freedom, reading = out.reading, found.freedom, found.readings[out.reading]
    smallest, largest = SMALLEST[reading.is_angle], LARGEST[reading.is_angle]
    size = max(abs(out.error(found)), 2.0 * out.spread, smallest)
    flat = math.sqrt(math.tau) * out.spread / (2.0 * size * math.log(largest / smallest))
    rare = STATED if reading.what == "size" else 1.0
    log = math.log(RATE * rare * SHARES["misread"] * flat) - out.misfit / 2
    weighed = [(log, Explanation(None, (i,), 0.0, out.unknowns, out.misfit, freedom - 1))]
    slips = list(slips_of(i, reading, scene, found.network.points))
    if not slips:
        return weighed
    changed = [slip.changed[0][1] for slip in slips]
    expected, slopes = found.network.predict(changed, out.unknowns)
    spread = np.sqrt(np.array([r.u for r in changed]) ** 2 + np.einsum("np,pq,nq->n", slopes, out.covariance, slopes))
    off = found.network.differences(changed, np.array([r.value for r in changed]), expected) / spread
    firsts: list[int] = []  # of those that come to the same, as points one above another
    shares = [slip.share for slip in slips]
    for k, slip in enumerate(slips):
        same = (f for f in firsts if slips[f].kind == slip.kind and abs(off[f] - off[k]) < 1.0)
        first = next((f for f in same if abs(changed[f].value - changed[k].value) < reading.u), None)
        if first is None:
            firsts.append(k)
        else:
            shares[first] += slip.share
    for k in firsts:
        misfit = out.misfit + float(off[k] ** 2)
        log = math.log(RATE * shares[k] * out.spread / float(spread[k])) - misfit / 2
        weighed.append((log, Explanation(slips[k], (i,), 0.0, out.unknowns, misfit, freedom)))
    return weighed


def _of_several(scene: Scene, found: Adjustment) -> list[Weighed]:
    """Slips that changed several readings at once, each solved whole."""
    slips = list(joint_slips(found.readings, scene, found.network.points))
    plain = _promising(found, [s for s in slips if s.kind not in RENAMING])
    weighed: list[Weighed] = []
    if plain:
        observed = np.tile([r.value for r in found.readings], (len(plain), 1))
        for row, slip in enumerate(plain):
            for i, reading in slip.changed:
                observed[row, i] = reading.value
        start = np.tile(found.network.start, (len(plain), 1))
        unknowns, _, ended = solve_many(found.network, found.readings, observed, start)
        predicted, _ = found.network.predict(found.readings, unknowns)
        u = np.array([r.u for r in found.readings])
        misfits = np.sum((found.network.differences(found.readings, observed, predicted) / u) ** 2, axis=-1)
        weighed += [
            _joint(slip, unknowns[row], float(misfits[row]), found.freedom, 0.0)
            for row, slip in enumerate(plain)
            if ended[row]
        ]
    volume = _log_volume(found)
    for slip in slips:
        if slip.kind in RENAMING:
            again = adjust(found.network, set_right(found.readings, slip), beforehand=False)
            if isinstance(again, Adjustment):
                weighed.append(_joint(slip, again.unknowns, again.misfit, again.freedom, _log_volume(again) - volume))
    return weighed


def _joint(slip: Slip, unknowns: Array, misfit: float, freedom: int, volume: float) -> Weighed:
    log = math.log(RATE * slip.share) - misfit / 2 + volume
    return log, Explanation(slip, slip.readings, 0.0, unknowns, misfit, freedom)


def _log_volume(found: Adjustment) -> float:
    """The logarithm of how much room the readings leave to the unknowns: half that of the covariance's determinant."""
    return float(np.linalg.slogdet(found.covariance)[1]) / 2


def set_right(readings: Sequence[Reading], slip: Slip) -> tuple[Reading, ...]:
    """The readings as they would have been without a slip."""
    changed = dict(slip.changed)
    return tuple(changed.get(i, r) for i, r in enumerate(readings))


def _promising(found: Adjustment, slips: list[Slip]) -> list[Slip]:
    """Those of which the first order says that they bring the readings together at all, the best of them."""
    if not slips:
        return []
    u = np.array([r.u for r in found.readings])
    off = np.tile(found.residuals / u, (len(slips), 1))
    for row, slip in enumerate(slips):
        for i, reading in slip.changed:
            off[row, i] += (reading.value - found.readings[i].value) / u[i]
    left = np.einsum("tn,nm,tm->t", off, np.eye(len(u)) - found.hat, off)
    return [slips[int(k)] for k in np.argsort(left)[:BEST] if left[k] < found.misfit]
