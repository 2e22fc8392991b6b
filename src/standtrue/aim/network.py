"""Readings adjusted together: weighted nonlinear least squares with covariance, and what the readings cannot fix.

The standard uncertainties of the readings are taken as known, so the covariance is not scaled by the residuals.
Gauss-Newton with Levenberg's and Marquardt's damping where a step does not help. Sources: E. M. Mikhail and
F. Ackermann, Observations and Least Squares (1976); D. Marquardt (1963).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from standtrue.aim.bodies import POSE, Body, Network, Reading, Unknown
from standtrue.model.reason import Reason, Ref, Term, because

Array = NDArray[np.float64]

LOOSE = 0.25
"""Unknowns fixed no better than to this standard uncertainty, metres or radians, are not fixed."""

Way = Literal["sideways", "lengthwise", "along a slant", "height", "turn", "lean", "size", "unmeasured"]
"""How a body can still move. `size`: not the body, but a mark of its lines; `unmeasured`: any way, since nothing was
read."""

_OTHER_WAYS: dict[Unknown, Way] = {"z": "height", "turn": "turn", "lean": "lean"}

RIDGE = 1e-13
"""So much of the strongest unknown's information is added to each, lest one that nothing fixes stop the search."""

STEPS = 60
"""After so many steps without an end the readings contradict each other, or the plan is far off."""

FAR_OFF = 1_000.0
"""A misfit above this is no matter of uncertainties: something is wrong with a reading."""


@frozen
class Loose:
    """What bad geometry leaves open: the body, how it can still move, and how well that is fixed.

    `unknown` is what moves most (`x` for any shift on the plan), `u` in metres or radians (infinite where nothing
    fixes it).
    """

    body: str
    unknown: Unknown
    way: Way
    u: float
    ref: Ref

    @property
    def why(self) -> Reason:
        if self.way == "size":
            return because("mark-not-fixed", mark=Term(self.unknown))
        return because("not-fixed", body=self.ref, way=Term(self.way))


@frozen
class Refused:
    """Why no answer is given: what is loose, or another reason."""

    because: tuple[Reason, ...]
    loose: tuple[Loose, ...] = ()


@frozen(eq=False)
class Adjustment:
    """The unknowns that fit the readings best, and what is known beforehand of sizes.

    `readings` are those taken and, behind them, one `size` for each size that is free.

    `unknowns` of shape (p,) in the order of `network.unknowns`, `covariance` (p, p). `residuals` (n,) are observed less
    fitted, in units of the reading; `hat` (n, n) says how far each fitted reading hangs on each reading, both in units
    of their u. `steps` counts the iterations.
    """

    network: Network
    readings: tuple[Reading, ...]
    unknowns: Array
    covariance: Array
    residuals: Array
    hat: Array
    steps: int

    @property
    def redundancy(self) -> Array:
        """The redundancy number of each reading, 0 to 1: the share of an error in it that shows in its residual."""
        return np.clip(1.0 - np.diag(self.hat), 0.0, 1.0)

    @property
    def taken(self) -> tuple[Reading, ...]:
        """The readings without what is known beforehand: they come first."""
        return tuple(r for r in self.readings if r.what != "size")

    @property
    def freedom(self) -> int:
        """How many readings there are beyond the fewest that fix everything."""
        return len(self.readings) - len(self.unknowns)

    @property
    def misfit(self) -> float:
        """The sum of squared residuals in units of u: chi-squared with `freedom` degrees of freedom."""
        scaled = self.residuals / np.array([r.u for r in self.readings])
        return float(scaled @ scaled)

    def value(self, body: str, unknown: Unknown) -> float:
        """One unknown: metres or radians. Raises KeyError if it was not free."""
        return float(self.unknowns[self.network.column(body, unknown)])

    def u(self, body: str, unknown: Unknown) -> float:
        """The standard uncertainty of one unknown."""
        column = self.network.column(body, unknown)
        return math.sqrt(float(self.covariance[column, column]))

    def point(self, name: str) -> tuple[Array, Array]:
        """Where a point lies in the site frame, shape (3,), and its covariance (3, 3)."""
        here, slopes = self.network.place(name, self.unknowns)
        return here, slopes @ self.covariance @ slopes.T


def adjust(
    network: Network, readings: Sequence[Reading], start: Array | None = None, beforehand: bool = True
) -> Adjustment | Refused:
    """Find the unknowns from the readings, or say why they cannot be found.

    Refused where a reading names an unknown point, where the geometry leaves something loose, or where no solution was
    found. The search begins at `start`, by default where the bodies are planned to stand; of two mirrored solutions it
    finds the one on that side. `beforehand`: what is known of sizes counts too; otherwise only what is among the
    readings.
    """
    missing = network.missing(readings)
    if missing:
        return Refused(tuple(because("no-such-point", point=name) for name in missing))
    begin = network.start if start is None else start
    readings = [*readings, *network.priors] if readings and beforehand else readings
    loose = what_is_loose(network, readings, begin)
    if loose:
        return Refused(tuple(one.why for one in loose), loose)
    observed = np.array([r.value for r in readings])
    unknowns, steps, ended = solve_many(network, readings, observed[None], begin[None])
    if not ended[0]:
        return Refused((because("readings-contradict"),))
    loose = what_is_loose(network, readings, unknowns[0])
    if loose:
        return Refused(tuple(one.why for one in loose), loose)
    return _adjustment(network, readings, unknowns[0], observed, steps)


def solve_many(
    network: Network, readings: Sequence[Reading], observed: Array, start: Array, kept: NDArray[np.bool_] | None = None
) -> tuple[Array, int, NDArray[np.bool_]]:
    """Many sets of readings at once: `observed` (t, n), `start` (t, p) to unknowns (t, p), steps, and which ended.

    `kept` (t, n) says which readings count in which set; all by default. What is known beforehand of sizes counts too,
    as it is stated, where no reading says it.
    """
    if network.priors and not any(r.what == "size" for r in readings):
        known = np.broadcast_to([r.value for r in network.priors], (len(observed), len(network.priors)))
        readings, observed = [*readings, *network.priors], np.hstack([observed, known])
        kept = None if kept is None else np.hstack([kept, np.ones(known.shape, dtype=bool)])
    weights = np.broadcast_to(1.0 / np.array([r.u for r in readings]), observed.shape)
    weights = weights if kept is None else weights * kept
    at, damping = np.array(start, dtype=np.float64), np.zeros(len(start))
    off, slopes = _whitened(network, readings, observed, at, weights)
    ended = np.zeros(len(start), dtype=bool)
    for step in range(1, STEPS + 1):
        normal = np.swapaxes(slopes, -1, -2) @ slopes
        diagonal = np.eye(normal.shape[-1]) * np.diagonal(normal, axis1=-2, axis2=-1)[..., None, :]
        pull = np.einsum("tnp,tn->tp", slopes, off)
        least = RIDGE * np.max(np.diagonal(normal, axis1=-2, axis2=-1), axis=-1, initial=0.0)
        normal = normal + least[:, None, None] * np.eye(normal.shape[-1])
        move = np.linalg.solve(normal + damping[:, None, None] * diagonal, pull[..., None])[..., 0]
        trial = at + move
        new_off, new_slopes = _whitened(network, readings, observed, trial, weights)
        cost, new_cost = np.sum(off * off, axis=-1), np.sum(new_off * new_off, axis=-1)
        still = np.max(np.abs(move), axis=-1, initial=0.0) < 1e-10
        better = (new_cost <= cost * (1 + 1e-12)) | still
        at = np.where(better[:, None], trial, at)
        off = np.where(better[:, None], new_off, off)
        slopes = np.where(better[:, None, None], new_slopes, slopes)
        damping = np.where(better, np.where(damping > 1e-7, damping / 10, 0.0), np.maximum(damping * 10, 1e-3))
        # Readings that contradict each other by far have no use for the last digit, and may creep for long.
        crept = (cost > FAR_OFF) & (np.einsum("tp,tp->t", pull, move) <= 1e-9 * cost)
        ended = (better & still) | crept
        if ended.all():
            return at, step, ended
    return at, STEPS, ended


def what_is_loose(network: Network, readings: Sequence[Reading], at: Array) -> tuple[Loose, ...]:
    """The ways in which the readings leave the bodies free to move, the loosest first; none where all is fixed."""
    if not network.unknowns:
        return ()
    if not readings:
        return tuple(Loose(b.name, "x", "unmeasured", math.inf, b.ref) for b in network.bodies if b.free)
    known = [] if any(r.what == "size" for r in readings) else network.priors
    _, slopes = network.predict([*readings, *known], at)
    scaled = slopes / np.array([r.u for r in (*readings, *known)])[:, None]
    _, strengths, ways = np.linalg.svd(scaled)
    strengths = np.concatenate([strengths, np.zeros(len(ways) - len(strengths))])
    floor = 1e-9 * max(float(strengths[0]), 1e-300)
    found: dict[tuple[str, str], Loose] = {}
    for strength, way in zip(strengths[::-1], ways[::-1], strict=True):
        u = math.inf if strength <= floor else 1.0 / float(strength)
        if u <= LOOSE:
            break
        for body, unknown, moves in _moving(network, way, at):
            key = unknown if moves == "size" else moves
            found.setdefault((body.name, key), Loose(body.name, unknown, moves, u, body.ref))
    return tuple(found.values())


def adjustment_at(network: Network, readings: Sequence[Reading], unknowns: Array) -> Adjustment:
    """Readings held against unknowns that were found otherwise: their residuals there, which are not the least."""
    return _adjustment(network, readings, unknowns, np.array([r.value for r in readings]), 0)


def _adjustment(
    network: Network, readings: Sequence[Reading], unknowns: Array, observed: Array, steps: int
) -> Adjustment:
    predicted, slopes = network.predict(readings, unknowns)
    scaled = slopes / np.array([r.u for r in readings])[:, None]
    # The orthogonal factor keeps the redundancy numbers exact where the normal matrix would lose half the digits.
    basis, upper = np.linalg.qr(scaled)
    inverse = np.linalg.inv(upper)
    residuals = network.differences(readings, observed, predicted)
    return Adjustment(network, tuple(readings), unknowns, inverse @ inverse.T, residuals, basis @ basis.T, steps)


def _whitened(
    network: Network, readings: Sequence[Reading], observed: Array, at: Array, weights: Array
) -> tuple[Array, Array]:
    predicted, slopes = network.predict(readings, at)
    return network.differences(readings, observed, predicted) * weights, slopes * weights[..., None]


def _moving(network: Network, way: Array, at: Array) -> list[tuple[Body, Unknown, Way]]:
    """Which bodies a direction in the unknowns moves most, and how."""
    most = float(np.abs(way).max())
    moving: list[tuple[Body, Unknown, Way]] = []
    for body in network.bodies:
        parts = {u: float(way[network.column(body.name, u)]) for u in body.free}
        if parts and max(map(abs, parts.values())) > 0.5 * most:
            moving.append((body, *_motion(body, parts, network, at)))
    return moving


def _motion(body: Body, parts: dict[Unknown, float], network: Network, at: Array) -> tuple[Unknown, Way]:
    flat = math.hypot(parts.get("x", 0.0), parts.get("y", 0.0))
    most = max((u for u in parts if u not in POSE), key=lambda u: abs(parts[u]), default=None)
    if most is not None and abs(parts[most]) >= max(flat, *(abs(parts.get(u, 0.0)) for u in POSE)):
        return most, "size"
    for unknown, way in _OTHER_WAYS.items():
        size = abs(parts.get(unknown, 0.0))
        if size > flat and size == max(abs(parts.get(u, 0.0)) for u in _OTHER_WAYS):
            return unknown, way
    heading = float(at[network.column(body.name, "turn")]) if "turn" in body.free else body.turn_rad
    along = math.atan2(parts.get("y", 0.0), parts.get("x", 0.0)) - heading
    if abs(math.sin(along)) > 0.9:
        return "x", "sideways"
    return "x", "lengthwise" if abs(math.cos(along)) > 0.9 else "along a slant"
