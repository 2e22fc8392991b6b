"""Faults as data: what bad input gets."""

from __future__ import annotations

from collections.abc import Iterable

from pydantic import Field

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
    line: int | None = Field(default=None, description="The line of the file, from 1, where one can be told.")


class Faults(Shape):
    """The answer to bad input; exit status 2."""

    faults: list[FaultShape]


def of_faults(faults: Iterable[Fault]) -> Faults:
    """Faults in US English, each sentence with its code."""
    return Faults(faults=[fault_shape(fault) for fault in faults])


def fault_shape(fault: Fault) -> FaultShape:
    """One fault, or one doubt, as data."""
    return FaultShape(
        code=fault.code,
        what=ENGLISH.reason(fault.what),
        file=fault.file,
        field=fault.field,
        value=fault.value,
        remedy=ENGLISH.reason(fault.remedy),
        what_coded=coded_or_none(fault.what),
        remedy_coded=coded_or_none(fault.remedy),
        line=fault.line,
    )
