"""The plan of a set-up's readings: which tie the car to the floor, which place each target, what checks each of them.

The car and every target are planned apart: what ties the car to the floor is taken once a stance, what places a target
relative to the car once a target. In a plan with every reading checked, a blunder of a stated size in any reading is
found by the others: minimal detectable biases, W. Baarda (1968), all tests together at a level of 5 %, power 80 %; and
told from one in most other readings.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import cached_property

import numpy as np
from attrs import evolve, frozen
from numpy.typing import NDArray

from standtrue.aim.blunders import find_blunder
from standtrue.aim.bodies import Network, Reading
from standtrue.aim.candidates import TIERS, Candidate, target_candidates, tie_candidates
from standtrue.aim.conformity import RISK
from standtrue.aim.layout import TargetPlace
from standtrue.aim.network import Adjustment
from standtrue.aim.reading_choice import Choice
from standtrue.aim.reading_plan import (
    FAIRLY,
    NEARLY,
    QUIET,
    REACH,
    ROOM,
    Demand,
    Findable,
    Reached,
    ReadingPlan,
    Tolerated,
    can_be_enough,
    choice_of,
    deciding_u,
    plan_readings,
)
from standtrue.aim.scene import ANGLES, CAR, PARTS, Scene
from standtrue.aim.setup import limits_of
from standtrue.aim.sight import Sight
from standtrue.aim.telling_apart import MOST, on_floor, told_apart
from standtrue.model.asking import Asking
from standtrue.model.setup import Instrument
from standtrue.model.site import Checked

Array = NDArray[np.float64]

CLOSER_ROOMS = (0.3, 0.2, 0.1)
"""How much of a tolerance is left for the set-up itself where more would take too many readings, the most first."""

TIED_M = 0.010
"""How well a tie of readings says where the car stands: standard uncertainty at either axle."""

LINKED = 0.05
"""A reading checks another one if it has at least this share in what checks it."""

FURTHER = 2
"""So many further readings are told for a part, the most telling first."""


@frozen(eq=False)
class Planned:
    """A reading of the plan. `part` is the target that it places, "" for the car on the floor. `value` is what it will
    say where everything stands as planned. `checked_by` are the numbers of the readings that check it, `found` the
    least blunder in it that they find (infinite where none does); metres or radians."""

    number: int
    part: str
    candidate: Candidate
    value: float
    checked_by: tuple[int, ...]
    found: float

    @property
    def reading(self) -> Reading:
        return self.candidate.reading


@frozen(eq=False)
class Further:
    """What one reading more would buy: the tightest tolerance's u, and the largest blunder in a length that may hide,
    before and after. None where there is no tolerance, or no length."""

    part: str
    candidate: Candidate
    tightest: Tolerated | None
    u: tuple[float, float]
    found: tuple[float, float]


@frozen(eq=False)
class SetupPlan:
    """Which readings to take of a set-up. `checked`: every reading by others, or the least set.

    `parts` are the plans of the tie ("") and of each target by name; `least` the least sets; `further` what more would
    buy. `asked` is the size of blunder that had to be found, where it had.
    """

    checked: Checked
    planned: tuple[Planned, ...]
    parts: tuple[tuple[str, ReadingPlan], ...]
    least: tuple[Reading, ...]
    further: tuple[Further, ...]
    asked: Findable | None

    @property
    def readings(self) -> tuple[Reading, ...]:
        return tuple(p.reading for p in self.planned)

    @property
    def reached(self) -> tuple[Reached, ...]:
        return tuple(r for _, plan in self.parts for r in plan.reached)

    @property
    def enough(self) -> bool:
        return all(plan.enough for _, plan in self.parts)

    @property
    def proven(self) -> bool:
        return all(plan.proven for _, plan in self.parts)

    @property
    def cost(self) -> float:
        return sum(plan.cost for _, plan in self.parts)

    @property
    def short_of(self) -> tuple[Tolerated, ...]:
        return tuple(what for _, plan in self.parts for what in plan.short_of)

    @property
    def unchecked(self) -> tuple[Planned, ...]:
        """The readings in which a blunder of the size asked for may hide; where nothing is asked, those none checks."""
        size = self.asked or Findable(math.inf, math.inf)
        return tuple(p for p in self.planned if p.found > size.of(p.reading) or math.isinf(p.found))

    @property
    def too_many(self) -> tuple[str, ...]:
        """The parts that take more readings than they should."""
        return tuple(part for part, plan in self.parts if on_floor(plan) > MOST)


def plan_setup(
    scene: Scene,
    instruments: Sequence[Instrument],
    marks: bool = False,
    sight: Sight | None = None,
    checked: Checked = "every",
    room: float = ROOM,
    risk: float = RISK,
    asking: Asking = QUIET,
) -> SetupPlan:
    """The fewest readings (or the least effort) with which every tolerance of the card can be decided.

    Only readings that hands can take by `sight`; those that run below the car, or over a pit, only where no others
    do. With `marks` the car is tied to the floor's marks, too. A tolerance that no instrument can read at all, such as
    a lean without a level, is left to `short_of`.
    """
    asked = Findable() if checked == "every" else None
    tie = tie_candidates(scene, instruments, sight) if marks else None
    targets = [target_candidates(scene, t, instruments, sight, marks) for t in scene.targets]
    made = _made(scene, tie, targets, asked, room, risk, asking)
    least = made if asked is None else _made(scene, tie, targets, None, room, risk, asking)
    return SetupPlan(
        checked,
        _numbered(scene, [part for part, _ in made], [plan for _, plan in made]),
        tuple((part.name, plan) for part, plan in made),
        tuple(r for _, plan in least for r in plan.readings),
        tuple(f for part, plan in made for f in part.further(plan)),
        asked,
    )


def _made(
    scene: Scene,
    tie: Sequence[Candidate] | None,
    targets: Sequence[Sequence[Candidate]],
    asked: Findable | None,
    room: float,
    risk: float,
    asking: Asking,
) -> list[tuple[_Part, ReadingPlan]]:
    """Each part with its plan. A target is read from the floor's marks, too, where the car is tied to them."""
    made: list[tuple[_Part, ReadingPlan]] = []
    tied: tuple[Reading, ...] = ()
    if tie is not None:
        part = _tie(scene, tie)
        made.append((part, part.plan(asked, asking)))
        tied = made[0][1].readings if made[0][1].enough else ()
    for target, found in zip(scene.targets, targets, strict=True):
        usable = [c for c in found if tied or not scene.ties_car(c.reading)]
        part = _of_target(scene, target, usable, tied, room, risk)
        made.append((part, part.plan(asked, asking)))
    return made


class _Part:
    """What is planned apart: the tie of the car, or one target."""

    def __init__(
        self,
        name: str,
        candidates: Sequence[Candidate],
        network: Network,
        demands: Sequence[Demand],
        given: Sequence[Reading] = (),
        closer: Sequence[Sequence[Demand]] = (),
    ) -> None:
        self.name = name
        self.closer = closer
        self.given = tuple(given)
        self.candidates = tuple(candidates)
        self.network = network
        self.demands = [d for d in demands if np.abs(d.slopes).max(initial=0.0) > 1e-9]
        self.unread = [d for d in demands if d not in self.demands]

    def plan(self, asked: Findable | None, asking: Asking) -> ReadingPlan:
        """The plan from the clearest kind of readings that can be enough, or from all.

        Where it takes more readings than it should, and fewer decide with less room to spare, those; likewise where
        no readings decide, and fewer come fairly near.
        """
        plan = self._plan(asked, asking)
        for demands in self.closer:
            if on_floor(plan) <= MOST:
                break
            closer = _Part(self.name, self.candidates, self.network, demands, self.given)
            near = closer._plan(asked, asking)
            if not near.enough:
                near = closer._plan(asked, asking, FAIRLY)
            plan = near if len(near.readings) < len(plan.readings) and near.enough >= plan.enough else plan
        return plan if asked is None else told_apart(self._choice, self.candidates, self.demands, plan)

    def _plan(self, asked: Findable | None, asking: Asking, near: float = NEARLY) -> ReadingPlan:
        kept: list[int] = []
        for tier in range(TIERS):
            more = self._kept(tier, asked)
            if tier < TIERS - 1 and (more == kept or not self._can_be_enough(more, asked)):
                kept = more
                continue
            kept = more
            break
        readings = [self.candidates[n].reading for n in kept]
        costs = [self.candidates[n].cost for n in kept]
        plan = plan_readings(
            self.network,
            readings,
            self.demands,
            costs,
            asking=asking,
            found=asked,
            given=self.given,
            disliked=[self.candidates[n].tier for n in kept],
            near=near,
        )
        return evolve(plan, chosen=tuple(kept[i] for i in plan.chosen)).with_unread(self.unread)

    def _kept(self, tier: int, asked: Findable | None) -> list[int]:
        """The candidates of a tier and those above it; nothing is read twice where nothing has to be checked."""
        return [n for n, c in enumerate(self.candidates) if c.tier <= tier and (asked is not None or not c.again)]

    def _can_be_enough(self, kept: Sequence[int], asked: Findable | None) -> bool:
        return can_be_enough(self.network, [self.candidates[n].reading for n in kept], self.demands, asked, self.given)

    @cached_property
    def _choice(self) -> Choice:
        """All the candidates as a choice among their subsets."""
        return choice_of(self.network, [c.reading for c in self.candidates], self.demands, given=self.given)

    def further(self, plan: ReadingPlan) -> Iterator[Further]:
        """The readings that would buy most, each with those before it taken, too."""
        chosen, every = list(plan.chosen), self._choice
        worst = max((c.tier for c in (self.candidates[n] for n in chosen)), default=0)
        before = self._state(every, chosen)
        for _ in range(FURTHER):
            left = [n for n, c in enumerate(self.candidates) if n not in chosen and c.tier <= worst]
            if not left:
                return
            states = [self._state(every, [*chosen, n]) for n in left]
            gains = [_gain(before, after) for after in states]
            first = max(range(len(left)), key=lambda i: gains[i])
            if gains[first] < LEAST_GAIN:
                return
            after, tightest = states[first], before[0]
            what = self.demands[tightest].what if tightest is not None else None
            u = (0.0, 0.0) if tightest is None else (float(before[1][tightest]), float(after[1][tightest]))
            yield Further(self.name, self.candidates[left[first]], what, u, (before[2], after[2]))
            chosen, before = [*chosen, left[first]], after

    def _state(self, every: Choice, chosen: Sequence[int]) -> tuple[int | None, Array, float]:
        """Which demand is the tightest, the u of each, and the largest blunder in a length that may hide."""
        u = every.reached(chosen)
        total = np.array([math.hypot(float(x), d.fixed_u) for x, d in zip(u, self.demands, strict=True)])
        shares = total / np.array([d.most_u for d in self.demands]) if self.demands else np.zeros(0)
        redundancy = np.maximum(every.redundancy(chosen), 1e-12)
        readings = [self.candidates[n].reading for n in chosen]
        hidden = [r.u * REACH / math.sqrt(x) for r, x in zip(readings, redundancy, strict=True) if not r.is_angle]
        found = max(hidden, default=0.0)
        return (int(np.argmax(shares)) if len(shares) else None), total, found if found < UNSEEN_M else math.inf


LEAST_GAIN = 0.05
"""A further reading that betters nothing by this share is not told."""

UNSEEN_M = 1.0
"""A blunder in a length that is found only from here on is not found."""


def _gain(before: tuple[int | None, Array, float], after: tuple[int | None, Array, float]) -> float:
    """By which share the tightest tolerance's u, or the blunder that may hide, becomes smaller: the larger of them."""
    tightest = before[0]
    known = 0.0 if tightest is None else 1.0 - float(after[1][tightest]) / max(float(before[1][tightest]), 1e-12)
    if math.isinf(before[2]):
        hidden = 0.0 if math.isinf(after[2]) else 1.0
    else:
        hidden = 1.0 - after[2] / before[2] if before[2] > 0.0 else 0.0
    return max(known if math.isfinite(known) else 0.0, hidden)


def demands(scene: Scene, network: Network, room: float = ROOM, risk: float = RISK) -> tuple[Demand, ...]:
    """What must be known so that every tolerance of the card can be decided with `room` of it to spare."""
    return tuple(d for t in scene.targets for d in target_demands(scene, network, t, room, risk))


def target_demands(
    scene: Scene, network: Network, target: TargetPlace, room: float = ROOM, risk: float = RISK
) -> list[Demand]:
    """The same for one target."""
    slopes, by_thrust = scene.deviation_slopes(network, target, network.start)
    return [
        Demand(
            Tolerated(target.name, name, name in ANGLES),
            row,
            deciding_u(limit, risk, room),
            abs(float(by)) * scene.thrust.u_rad,
        )
        for name, row, by, limit in zip(PARTS, slopes, by_thrust, limits_of(target.tolerance), strict=True)
        if limit is not None
    ]


def _of_target(
    scene: Scene, target: TargetPlace, found: Sequence[Candidate], tied: Sequence[Reading], room: float, risk: float
) -> _Part:
    network = scene.network([*(c.reading for c in found), *tied])
    wanted, *closer = (
        target_demands(scene, network, target, r, risk) for r in (room, *(min(room, r) for r in CLOSER_ROOMS))
    )
    return _Part(target.name, found, network, wanted, tied, closer)


def _tie(scene: Scene, found: Sequence[Candidate]) -> _Part:
    """The car on the floor: how well it must be known there along, across and in turn."""
    network = scene.network([c.reading for c in found])
    turn, size = scene.place.heading_rad, len(network.unknowns)
    rows = {part: np.zeros(size) for part in ("along", "across", "turn")}
    if (CAR, "x") in network.unknowns:
        x, y, z = (network.column(CAR, u) for u in ("x", "y", "turn"))
        rows["along"][[x, y]] = math.cos(turn), math.sin(turn)
        rows["across"][[x, y]] = -math.sin(turn), math.cos(turn)
        rows["turn"][z] = 1.0
    most = {"turn": TIED_M / scene.vehicle.wheelbase_m}
    wanted = [Demand(Tolerated("", p, p in ANGLES), row, most.get(p, TIED_M)) for p, row in rows.items()]
    return _Part("", found, network, wanted)


def _numbered(scene: Scene, parts: Sequence[_Part], plans: Sequence[ReadingPlan]) -> tuple[Planned, ...]:
    """All readings of the parts in order, and what checks each where all are adjusted together."""
    taken = [(part.name, part.candidates[n]) for part, plan in zip(parts, plans, strict=True) for n in plan.chosen]
    if not taken:
        return ()
    readings = [c.reading for _, c in taken]
    network = scene.network(readings)
    values, hat = network.predict(readings, network.start)[0], _hat(network, readings)
    told = Adjustment(network, tuple(readings), network.start, np.zeros((0, 0)), np.zeros(len(readings)), hat, 0)
    found = find_blunder(told).detectable
    spread = np.diag(hat) * (1.0 - np.diag(hat))
    shares = hat**2 / np.maximum(spread, 1e-12)[:, None]
    by = [_checking(shares[n], n) if math.isfinite(size) else () for n, size in enumerate(found)]
    return tuple(Planned(n + 1, *taken[n], float(values[n]), by[n], found[n]) for n in range(len(taken)))


def _checking(shares: Array, reading: int) -> tuple[int, ...]:
    """The numbers of the readings that check one: those with a share in it worth a word, at least the greatest."""
    others = np.where(np.arange(len(shares)) == reading, -1.0, shares)
    if len(others) < 2 or others.max() <= 1e-9:
        return ()
    least = min(LINKED, float(others.max()))
    return tuple(int(m) + 1 for m in np.flatnonzero(others >= least))


def _hat(network: Network, readings: Sequence[Reading]) -> Array:
    """How far each fitted reading hangs on each, both in units of their u; also where something stays loose."""
    choice = choice_of(network, readings, ())
    rows = choice.rows
    return np.asarray(rows @ np.linalg.pinv(choice.information(range(choice.count)), hermitian=True) @ rows.T)
