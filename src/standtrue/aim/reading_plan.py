"""Which readings to take, before anyone kneels: the fewest that let every tolerance be decided.

The covariance of an adjustment depends on which readings are taken and how good each is, not on what they will say.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from statistics import NormalDist

import numpy as np
from attrs import evolve, frozen
from numpy.typing import NDArray

from standtrue.aim.blunders import LEVEL, POWER, critical_value
from standtrue.aim.bodies import Network, Reading
from standtrue.aim.conformity import RISK, guard_factor
from standtrue.aim.reading_choice import Choice
from standtrue.model.asking import Asking
from standtrue.model.reason import Reason, Ref, Term, because

Array = NDArray[np.float64]

QUIET = Asking()

ROOM = 0.5
"""How much of a tolerance must be left for the set-up itself when the guard bands are taken off."""

NODES = 5_000
"""After so many partial plans the search for a better one stops, and the plan is not called proven."""

NEARLY = 1.05
"""Where a demand cannot be met, the plan comes this near to the best that all readings together would give."""

FAIRLY = 1.4
"""The same where coming nearer takes more readings than anyone would take for a tolerance that they do not decide."""

LOOSELY = 2.0
"""Where a blunder of the size asked for cannot be found, one of up to so many times the least that can be is."""

TESTS = 16
"""So many readings are taken to be tested together when a plan is made: a tie of six, a target of six, and some more.
More tests need a larger blunder each, so that a smaller plan finds smaller ones than it was made for."""


@frozen
class Findable:
    """From which size a blunder in a reading must be found by the others: metres for lengths, radians for angles."""

    length_m: float = 0.025
    angle_rad: float = math.radians(1.0)

    def least_redundancy(self, reading: Reading) -> float:
        """The redundancy number from which such a blunder is found (Baarda 1968: reach of the test over its root)."""
        return (reading.u * REACH / self.of(reading)) ** 2

    def of(self, reading: Reading) -> float:
        """The size for this reading."""
        return self.angle_rad if reading.is_angle else self.length_m


REACH = critical_value(TESTS, LEVEL) + NormalDist().inv_cdf(POWER)
"""How many u a blunder must be large to be found in a reading that the others know exactly."""


@frozen
class Tolerated:
    """What must be known so well: a part of a target's place, or of the car's ("" as target); radians if `is_angle`,
    else metres."""

    target: str
    part: str
    is_angle: bool = False

    @property
    def reason(self) -> Reason:
        whose = Ref("target", self.target) if self.target else Ref("this car")
        return because("tolerance", target=whose, part=Term(self.part))


@frozen(eq=False)
class Demand:
    """A quantity that must be known to a standard uncertainty of `most_u`: which it is, and its derivatives by the
    unknowns.

    `fixed_u` is what comes to it from elsewhere and no reading makes smaller (the thrust angle's, say).
    """

    what: Tolerated
    slopes: Array
    most_u: float
    fixed_u: float = 0.0

    @property
    def most_of_readings(self) -> float:
        """What the readings may contribute; 0 where the rest alone is too much."""
        return math.sqrt(max(self.most_u**2 - self.fixed_u**2, 0.0))


@frozen
class Reached:
    """What a plan gives for one demand: standard uncertainty and the most that is allowed."""

    what: Tolerated
    u: float
    most_u: float

    @property
    def ok(self) -> bool:
        return self.u <= self.most_u * (1 + 1e-12)


@frozen
class ReadingPlan:
    """The readings to take. `proven`: no cheaper set does.

    `enough` is False where all candidates together do not meet every demand: the plan then comes within 5 % of the
    best u that they give for those, and `reached` says what that is. `chosen` are the readings' numbers among the
    candidates.
    """

    readings: tuple[Reading, ...]
    cost: float
    reached: tuple[Reached, ...]
    enough: bool
    proven: bool
    chosen: tuple[int, ...] = ()

    @property
    def short_of(self) -> tuple[Tolerated, ...]:
        """The demands that cannot be met with these instruments."""
        return tuple(r.what for r in self.reached if not r.ok)

    def with_unread(self, demands: Sequence[Demand]) -> ReadingPlan:
        """This plan, with demands that no candidate says anything about."""
        if not demands:
            return self
        reached = (*self.reached, *(Reached(d.what, math.inf, d.most_u) for d in demands))
        return evolve(self, reached=reached, enough=False)


def deciding_u(half_width: float, risk: float = RISK, room: float = ROOM) -> float:
    """The greatest u at which a tolerance of plus or minus `half_width` can be decided and `room` of it is left."""
    return half_width * (1.0 - room) / guard_factor(risk)


def plan_readings(
    network: Network,
    candidates: Sequence[Reading],
    demands: Sequence[Demand],
    costs: Sequence[float] | None = None,
    at: Array | None = None,
    nodes: int = NODES,
    asking: Asking = QUIET,
    found: Findable | None = None,
    given: Sequence[Reading] = (),
    disliked: Sequence[float] = (),
    near: float = NEARLY,
) -> ReadingPlan:
    """The cheapest set of the candidate readings that meets every demand and leaves no body loose.

    `costs` are what each reading costs to take (1 each by default: the fewest readings). With `found`, a blunder of
    that size in any reading of the plan is found by the others, as far as the candidates allow. `given` are readings
    that are taken anyway; `disliked` says which of two that cost the same is taken last; what cannot be met is met but
    for a factor `near` as well as by all of them. What hangs on different
    unknowns is planned apart. Greedy choice and exchanges first, then branch and bound until proven, stopped, or
    `nodes` partial plans were looked at.
    """
    choice = choice_of(network, candidates, demands, costs, at, found, given)
    if len(disliked):
        choice = evolve(choice, disliked=np.asarray(disliked, dtype=np.float64))
    chosen, u, proven = _by_blocks(choice, nodes, asking, near)
    reached = tuple(Reached(d.what, math.hypot(float(x), d.fixed_u), d.most_u) for d, x in zip(demands, u, strict=True))
    return ReadingPlan(
        tuple(candidates[i] for i in chosen),
        float(choice.costs[chosen].sum()),
        reached,
        all(r.ok for r in reached),
        proven,
        tuple(chosen),
    )


def can_be_enough(
    network: Network,
    candidates: Sequence[Reading],
    demands: Sequence[Demand],
    found: Findable | None,
    given: Sequence[Reading] = (),
) -> bool:
    """Whether all of the candidates in which such a blunder is found together meet every demand."""
    choice = choice_of(network, candidates, demands, found=found, given=given)
    return all(part.enough(_findable(part)) for part, _, wanted in _parts(choice) if wanted)


def _by_blocks(choice: Choice, nodes: int, asking: Asking, near: float) -> tuple[list[int], Array, bool]:
    """The readings to take, in order, what they give for each demand, and whether it is proven that no cheaper ones do.

    What nothing is asked of is left alone: no lean is read for a card that asks for none.
    """
    chosen: list[int] = []
    u = np.full(len(choice.wanted), np.inf)
    proven = True
    for part, readings, wanted in _parts(choice):
        if not wanted:
            continue
        some, sure = _plan_block(part, nodes, asking, near)
        chosen += [int(readings[i]) for i in some]
        u[wanted] = part.reached(some)
        proven = proven and sure
    return sorted(chosen), u, proven


def choice_of(
    network: Network,
    candidates: Sequence[Reading],
    demands: Sequence[Demand],
    costs: Sequence[float] | None = None,
    at: Array | None = None,
    found: Findable | None = None,
    given: Sequence[Reading] = (),
) -> Choice:
    """The candidates as a choice among their subsets. Raises ValueError for a cost that is not above 0."""
    prices = np.ones(len(candidates)) if costs is None else np.asarray(costs, dtype=np.float64)
    if len(prices) != len(candidates) or not np.all(prices > 0.0):
        raise ValueError("each candidate needs a cost above 0")
    size = len(network.unknowns)
    where = network.start if at is None else at
    known = _rows(network, given, where)
    least = [0.0 if found is None else found.least_redundancy(r) for r in candidates]
    return Choice(
        _rows(network, candidates, where),
        known.T @ known + network.given,
        prices,
        np.array([d.slopes for d in demands]).reshape(len(demands), size),
        np.array([d.most_of_readings for d in demands]),
        np.array([d.fixed_u for d in demands]),
        np.array(least),
        np.zeros(len(candidates)),
    )


def _rows(network: Network, readings: Sequence[Reading], at: Array) -> Array:
    """The derivatives of readings by the unknowns over their u, shape (n, p)."""
    if not readings:
        return np.zeros((0, len(network.unknowns)))
    return np.asarray(network.predict(readings, at)[1] / np.array([r.u for r in readings])[:, None])


def _plan_block(choice: Choice, nodes: int, asking: Asking, near: float) -> tuple[list[int], bool]:
    """The readings to take of one block, and whether it is proven that no cheaper ones do."""
    every = list(range(choice.count))
    reached = choice.reached(every)
    if not np.all(np.isfinite(reached)):
        return every, True
    fair = np.sqrt(np.maximum(near**2 * (reached**2 + choice.fixed**2) - choice.fixed**2, 0.0))
    choice = evolve(choice, most=np.maximum(choice.most, np.where(reached <= choice.most, 0.0, fair)))
    kept = _findable(choice)
    part = evolve(
        choice,
        rows=choice.rows[kept],
        costs=choice.costs[kept],
        least_redundancy=choice.least_redundancy[kept],
        disliked=choice.disliked[kept],
    )
    if not part.enough(range(part.count)):
        kept, part = every, _relaxed(choice)
    first = part.improve(part.greedy())
    if len(first) > part.bound + 1:
        first = min(first, part.improve(part.pruned()), key=lambda c: float(part.costs[c].sum()))
    best, proven = _proven(part, first, nodes, asking)
    return [kept[i] for i in part.settle(best)], proven


def _proven(choice: Choice, first: list[int], nodes: int, asking: Asking) -> tuple[list[int], bool]:
    """The cheapest set that a search finds, and whether it is proven that none is cheaper."""
    if asking.stopped() or not choice.count:
        return first, not choice.count
    if np.all(choice.costs == choice.costs[0]):
        return choice.smallest(first)
    return choice.prove(first, nodes, asking)


def _findable(choice: Choice) -> list[int]:
    """The candidates in which a blunder of the size is found when all of these are taken."""
    kept = list(range(choice.count))
    while kept:
        fine = choice.redundancy(kept) >= choice.least_redundancy[kept] - 1e-9
        if fine.all():
            break
        kept = [i for i, ok in zip(kept, fine, strict=True) if ok]
    return kept


def _relaxed(choice: Choice) -> Choice:
    """The same where not every reading can be checked so well: half as well as all candidates together can."""
    best = np.maximum(choice.redundancy(range(choice.count)), 0.0) / LOOSELY**2
    return evolve(choice, least_redundancy=np.minimum(choice.least_redundancy, np.where(best > 1e-6, best, 0.0)))


def _parts(choice: Choice) -> Iterator[tuple[Choice, list[int], list[int]]]:
    """Choices that have nothing to do with each other, with the readings and the demands that each holds."""
    for readings, unknowns, wanted in _blocks(choice):
        yield (
            Choice(
                choice.rows[np.ix_(readings, unknowns)],
                choice.given[np.ix_(unknowns, unknowns)],
                choice.costs[readings],
                choice.wanted[np.ix_(wanted, unknowns)],
                choice.most[wanted],
                choice.fixed[wanted],
                choice.least_redundancy[readings],
                choice.disliked[readings],
            ),
            readings,
            wanted,
        )


def _blocks(choice: Choice) -> Iterator[tuple[list[int], list[int], list[int]]]:
    """Readings, unknowns and demands that have nothing to do with the others'."""
    size = choice.rows.shape[1]
    touched = [np.flatnonzero(np.abs(row) > 1e-9) for row in (*choice.rows, *choice.wanted, *choice.given)]
    block = np.arange(size)
    for columns in touched:
        if len(columns):
            block[np.isin(block, block[columns])] = block[columns].min()
    for name in np.unique(block):
        unknowns = np.flatnonzero(block == name)
        inside = [bool(len(c)) and bool(block[c[0]] == name) for c in touched]
        readings = [i for i in range(choice.count) if inside[i]]
        wanted = [k for k in range(len(choice.wanted)) if inside[choice.count + k]]
        yield readings, unknowns.tolist(), wanted
