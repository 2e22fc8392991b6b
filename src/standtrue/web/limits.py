"""How often anybody may ask: a bucket of tokens for each address and each person, filled at a steady rate."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable

from attrs import define, field

KNOWN = 4096
"""So many askers are remembered, the latest."""


@define(eq=False)
class Buckets:
    """One bucket an asker: `burst` at once, then `rate` a second. `clock` tells seconds, from any moment on."""

    rate: float
    burst: float
    clock: Callable[[], float] = time.monotonic
    _left: dict[str, tuple[float, float]] = field(factory=dict, init=False, repr=False)
    _lock: threading.Lock = field(factory=threading.Lock, init=False, repr=False)

    def wait(self, who: str) -> float:
        """Take a token: 0; where there is none, after how many seconds there will be one."""
        with self._lock:
            now = self.clock()
            left, at = self._left.pop(who, (self.burst, now))
            left = min(self.burst, left + self.rate * (now - at))
            taken = left >= 1.0
            self._left[who] = (left - 1.0 if taken else left, now)
            if len(self._left) > KNOWN:
                del self._left[next(iter(self._left))]
            return 0.0 if taken else (1.0 - left) / self.rate


@define(eq=False)
class Limits:
    """Of addresses and of people. A shop's tablets may all come from one address."""

    addresses: Buckets = field(factory=lambda: Buckets(100.0, 1000.0))
    people: Buckets = field(factory=lambda: Buckets(20.0, 200.0))

    def wait(self, address: str, person: str) -> float:
        """How long to wait before the next request; 0: not at all."""
        return max(self.addresses.wait(address), self.people.wait(person) if person else 0.0)
