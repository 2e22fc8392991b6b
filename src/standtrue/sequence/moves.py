"""What moves cost, asked for only once a plan wants to make them."""

from __future__ import annotations

import math
from typing import Protocol

from standtrue.model.basics import Range
from standtrue.model.order import Move

Key = tuple[int, int, bool]
"""From which place, to which, and whether the car is driven."""

NO_WAY: Range = (math.inf, math.inf)


class MoveCosts(Protocol):
    """Where move costs come from. Places are numbers; 0 is outside."""

    def bound(self, start: int, goal: int, driven: bool) -> Range:
        """Seconds that the move takes at least: quick to tell, never more than `find` says at either end."""

    def find(self, start: int, goal: int, driven: bool) -> Move:
        """The move itself: slow to tell. Infinite seconds where no way was found."""


class Ledger:
    """Every move asked for so far, and bounds for the others."""

    def __init__(self, costs: MoveCosts) -> None:
        self._costs = costs
        self._known: dict[Key, Move] = {}

    def cost(self, key: Key) -> Move:
        """The move as known now: exact, or a lower bound."""
        if key not in self._known:
            self._known[key] = Move(*key, self._costs.bound(*key), exact=False)
        return self._known[key]

    def settle(self, key: Key) -> Move:
        """The move itself, found now if need be."""
        if not self.cost(key).exact:
            self._known[key] = self._costs.find(*key)
        return self._known[key]
