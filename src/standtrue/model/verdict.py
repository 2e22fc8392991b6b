"""A decision under uncertainty: one of three, wherever something measured is held against a limit."""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum
from typing import NoReturn


class Verdict(Enum):
    """In tolerance, out of tolerance, or too close to the limit to tell at this uncertainty.

    It has no truth of its own (`if verdict:` raises TypeError), so that "cannot tell" can never pass for a yes.
    """

    ACCEPT = "accept"
    REJECT = "reject"
    CANNOT_TELL = "cannot tell"

    def __bool__(self) -> NoReturn:
        raise TypeError("compare it: `verdict is Verdict.ACCEPT`")

    @classmethod
    def overall(cls, verdicts: Sequence[Verdict]) -> Verdict:
        """One verdict for several: REJECT if any is, ACCEPT if there are some and all are."""
        if cls.REJECT in verdicts:
            return cls.REJECT
        return cls.ACCEPT if verdicts and all(v is cls.ACCEPT for v in verdicts) else cls.CANNOT_TELL
