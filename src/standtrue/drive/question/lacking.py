"""How much more room a car needs on each side before it gets through: at most so much.

A search that finds a way with every gap smaller by so much shows that so much is enough. What a search does not find
proves nothing, so the figure is an upper bound: the least at which one was found, narrowed down to a millimeter.
"""

from __future__ import annotations

from collections.abc import Sequence

from attrs import evolve, field, frozen

from standtrue.drive.kernels.joins import Ask
from standtrue.drive.path.effort import LEVELS, TIGHT
from standtrue.drive.path.find import Strategy, find_path, no_more_than
from standtrue.drive.world.packed import Packed, Pose

TRIED_M = (0.003, 0.01, 0.04, 0.12, 0.36, 1.0)
"""How much less room the car is let have all round, one after another, until it gets through."""

NEAR_M = 1e-3
"""How near the figure comes to the most at which no way was found."""

QUICK = no_more_than(LEVELS[0]._replace(most=2_000))
THOROUGH = no_more_than(
    LEVELS[0]._replace(most=2_000), LEVELS[1]._replace(most=6_000), LEVELS[TIGHT]._replace(most=10_000)
)
"""A quick search finds some widening that does; what it misses below that, a thorough one may find."""

BUDGET, PROVEN_BUDGET, PROVEN_TRIES = 100_000, 12_000, 4
"""How many nodes all searches are worth. Where it is proven that there is no way, little is rarely enough: then fewer
nodes, and only the last of the widenings are tried first.
"""


@frozen
class _Trials:
    """Searches with every gap smaller by so much; `spent` are the nodes that each has cost."""

    packed: Packed
    ask: Ask
    ones: Sequence[Pose]
    twos: Sequence[Pose]
    spent: list[int] = field(factory=list)

    def passes(self, less_m: float, strategy: Strategy) -> bool:
        """Whether a search finds a way."""
        found = find_path(eased(self.packed, less_m), self.ask, self.ones, self.twos, strategy)
        self.spent.append(found.nodes)
        return found.solved


def lacking(packed: Packed, ask: Ask, ones: Sequence[Pose], twos: Sequence[Pose], proven: bool) -> float | None:
    """By how much all gaps must shrink, at most, before there is a way, metres; None: no search found one.

    Narrowed down to a millimeter, or as far as the budget goes: less where it is `proven` that there is none as it is.
    """
    trials = _Trials(packed, ask, ones, twos)
    tried = TRIED_M[-PROVEN_TRIES:] if proven else TRIED_M
    enough = next((less for less in tried if trials.passes(less, QUICK)), None)
    below = [less for less in tried if enough is None or less < enough]
    if not proven:
        enough = next((less for less in below if trials.passes(less, THOROUGH)), enough)
    if enough is None:
        return None
    missed = max((less for less in below if less < enough), default=0.0)
    budget = PROVEN_BUDGET if proven else BUDGET
    while enough - missed > NEAR_M and sum(trials.spent) < budget:
        middle = (missed + enough) / 2
        if trials.passes(middle, QUICK if proven else THOROUGH):
            enough = middle
        else:
            missed = middle
    return enough


def eased(packed: Packed, less_m: float) -> Packed:
    """Every gap smaller by so much; below 0 the car may even overlap things."""
    return evolve(packed, world=packed.world._replace(gaps=packed.world.gaps - less_m))
