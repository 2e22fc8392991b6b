"""The work at a car as entries of the record, and back."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from standtrue.seal import Kept
from standtrue.show.answers.car import (
    HandedAnswer,
    HappenedAnswer,
    handed_again,
    happened_again,
    of_handed,
    of_happened,
)
from standtrue.show.answers.exchange import of_saved_alone
from standtrue.show.answers.kept import read_again, said_of
from standtrue.show.answers.measured import of_measured
from standtrue.show.answers.parts import Shape
from standtrue.work.car.happened import Happened
from standtrue.work.car.keeping import Writing
from standtrue.work.car.steps import Handed


def writing(job: str, demonstration: bool) -> Writing:
    """How what is kept of a job at the car is written down, and read again."""
    return Writing(
        lambda handed: said_of(of_handed(job, handed, demonstration)),
        lambda happened: said_of(of_happened(job, happened, demonstration)),
        lambda measured: said_of(of_measured(measured)),
        lambda saved: said_of(of_saved_alone(saved)),
        read_entries,
    )


def read_entries(entries: Iterable[Kept]) -> tuple[tuple[Handed, ...], tuple[Happened, ...]]:
    """The orders of work and all that happened, as the entries of a job hold them; others are passed over."""
    handed, happened = [], []
    for answer in _answers(entries):
        if isinstance(answer, HandedAnswer):
            handed.append(handed_again(answer))
        elif isinstance(answer, HappenedAnswer):
            happened.append(happened_again(answer))
    return tuple(handed), tuple(happened)


def _answers(entries: Iterable[Kept]) -> Iterator[Shape | None]:
    for one in entries:
        if one.entry.kind in ("car-steps", "car") and one.content is not None:
            yield read_again(one.entry.kind, one.entry.shape, one.content)
