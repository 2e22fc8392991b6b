"""Faults as data: what bad input gets."""

from __future__ import annotations

from collections.abc import Iterable

from standtrue.model.basics import Fault
from standtrue.show.answers.parts import Coded, Shape, coded_or_none
from standtrue.show.words.reader import ENGLISH


class FaultShape(Shape):
    code: str
    what: str
    file: str
    field: str
    value: str
    remedy: str
    what_coded: Coded | None = None
    remedy_coded: Coded | None = None


class Faults(Shape):
    """The answer to bad input; exit status 2."""

    faults: list[FaultShape]


def of_faults(faults: Iterable[Fault]) -> Faults:
    """Faults in US English, each sentence with its code."""
    return Faults(faults=[_fault(fault) for fault in faults])


def _fault(fault: Fault) -> FaultShape:
    return FaultShape(
        code=fault.code,
        what=ENGLISH.reason(fault.what),
        file=fault.file,
        field=fault.field,
        value=fault.value,
        remedy=ENGLISH.reason(fault.remedy),
        what_coded=coded_or_none(fault.what),
        remedy_coded=coded_or_none(fault.remedy),
    )
