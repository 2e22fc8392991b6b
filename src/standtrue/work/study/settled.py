"""What `place` answers, as one of three."""

from __future__ import annotations

from typing import Literal

from standtrue.model.fits import Fits


def settled(told: bool | Literal["undecided"] | Fits) -> Fits:
    """Yes, no or undecided."""
    if isinstance(told, Fits):
        return told
    return Fits.UNDECIDED if told == "undecided" else Fits.of(told)
