"""Whether floor is as level as a card asks: a second answer beside whether a stance fits."""

from __future__ import annotations

from enum import Enum
from typing import NoReturn

from attrs import frozen

from standtrue.model.reason import Reason
from standtrue.model.verdict import Verdict


class IsLevel(Enum):
    """Met, not met, or not to be told: too close, not surveyed, or resting on a height that looks misread.

    It has no truth of its own (`if is_level:` raises TypeError), so that "cannot tell" can never pass for a yes.
    """

    MET = "met"
    NOT_MET = "not met"
    CANNOT_TELL = "cannot tell"

    def __bool__(self) -> NoReturn:
        raise TypeError("compare it: `is_level is IsLevel.MET`")

    @classmethod
    def of(cls, verdict: Verdict) -> IsLevel:
        """What a decision says of it."""
        return {Verdict.ACCEPT: cls.MET, Verdict.REJECT: cls.NOT_MET, Verdict.CANNOT_TELL: cls.CANNOT_TELL}[verdict]

    @property
    def verdict(self) -> Verdict:
        """The decision that says so."""
        return {self.MET: Verdict.ACCEPT, self.NOT_MET: Verdict.REJECT}.get(self, Verdict.CANNOT_TELL)


@frozen
class LevelTold:
    """Whether the floor under one stance is as level as its card asks, and why."""

    level: IsLevel
    because: tuple[Reason, ...]
