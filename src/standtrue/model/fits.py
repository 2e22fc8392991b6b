"""Whether something fits: one answer of three in every engine."""

from __future__ import annotations

from collections.abc import Collection
from enum import Enum
from typing import NoReturn


class Fits(Enum):
    """Yes with a witness, no with a certificate, or undecided: within 2 mm of zero and not settled.

    It has no truth of its own (`if fits:` raises TypeError), so that "undecided" can never pass for a yes.
    """

    YES = "yes"
    NO = "no"
    UNDECIDED = "undecided"

    def __bool__(self) -> NoReturn:
        raise TypeError("compare it: `fits is Fits.YES`")

    @classmethod
    def of(cls, settled: bool) -> Fits:
        """YES for true, NO for false."""
        return cls.YES if settled else cls.NO

    @classmethod
    def any_of(cls, answers: Collection[Fits]) -> Fits:
        """Whether one of several fits: YES if one does for certain, else UNDECIDED if one may."""
        return cls.YES if cls.YES in answers else cls.UNDECIDED if cls.UNDECIDED in answers else cls.NO
