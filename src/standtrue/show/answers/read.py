"""What was read from a shop folder, as data."""

from __future__ import annotations

from standtrue.model.basis import Basis
from standtrue.show.answers.faults import FaultShape
from standtrue.show.answers.parts import AnswerShape, envelope


class ReadAnswer(AnswerShape):
    faults: list[FaultShape]


def of_read(basis: Basis) -> ReadAnswer:
    """The answer of `read` for a folder without faults: all of its documents."""
    return ReadAnswer(**envelope(basis), faults=[])
