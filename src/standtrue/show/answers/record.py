"""The record of one job, from what was kept alone: needs, what was measured, what was brought, who signed; and what
is missing, which is never counted as done."""

from __future__ import annotations

from collections.abc import Sequence

from pydantic import Field

from standtrue.show.answers.alignment import AlignmentAnswer
from standtrue.show.answers.floor import FloorAnswer
from standtrue.show.answers.keep import KeepAnswer
from standtrue.show.answers.measured import MeasuredAnswer
from standtrue.show.answers.needs import NeedsAnswer, NeedShape
from standtrue.show.answers.parts import Coded, Shape
from standtrue.show.answers.records import HeadShape
from standtrue.show.answers.sign import SignAnswer


class EntryLine(Shape):
    """One entry of the job, without what it holds."""

    number: int = Field(description="In the job, from 1.")
    kind: str
    who: str
    at: str = Field(description="UTC, ISO 8601.")
    program: str
    digest: str
    removed: bool = Field(description="Its content was removed by the shop's rule.")


class MeasuredKept(EntryLine):
    answer: MeasuredAnswer


class AlignmentKept(EntryLine):
    answer: AlignmentAnswer


class FloorKept(EntryLine):
    """A check of the site's floor; its number is among the shop's own entries, which belong to no job."""

    answer: FloorAnswer


class BroughtKept(EntryLine):
    answer: KeepAnswer
    files: dict[str, str] = Field(description="By digest: whole, altered, lost or removed.")


class SignedKept(EntryLine):
    answer: SignAnswer
    entries_since: int = Field(description="Entries of the job that were kept after it: it does not cover them.")


class RecordAnswer(Shape):
    """The record of a job. It says what was measured, and never that a car is safe."""

    program: str
    job: str
    demonstration: bool
    needs: NeedsAnswer | None = Field(description="As last asked; null where nobody did.")
    measured: list[MeasuredKept] = Field(description="In order; of a set-up read again, the last one holds.")
    alignments: list[AlignmentKept] = Field([], description="Checks of the wheel alignment by itself, in order.")
    floors: list[FloorKept] = Field([], description="Of each survey of the site the last check kept, if there is any.")
    brought: list[BroughtKept]
    signed: list[SignedKept]
    entries: list[EntryLine]
    missing: list[str] = Field(description="What was not looked at, or not kept.")
    missing_coded: list[Coded]
    whole: bool
    wrong: list[str]
    wrong_coded: list[Coded]
    digest: str = Field(description="Of the job's last entry, which holds all before it.")
    head: HeadShape


def latest(measured: Sequence[MeasuredKept]) -> list[MeasuredKept]:
    """Of each set-up what was measured last, in the order of the entries."""
    last = {name_of(one): one for one in measured}
    return [one for one in measured if last[name_of(one)] is one]


def name_of(one: MeasuredKept) -> str:
    """The set-up that was measured; the entry itself where it does not say which."""
    return str(one.number) if one.answer.set_up is None else f"setup {one.answer.set_up.name}"


def deciding(measured: Sequence[MeasuredKept]) -> list[MeasuredKept]:
    """Of each card what was measured last, by whichever set-up: that holds; what does not say which card holds too."""
    last = {_card_of(one): one for one in measured}
    return [one for one in measured if last[_card_of(one)] is one]


def _card_of(one: MeasuredKept) -> str:
    return str(one.number) if one.answer.set_up is None else f"card {one.answer.set_up.card.key}"


def measured_for(need: NeedShape, measured: Sequence[MeasuredKept]) -> list[MeasuredKept]:
    """What was last measured by each of the cards that a need calls for."""
    cards = {*need.chain, *([] if need.procedure is None else [need.procedure])}
    return [one for one in deciding(measured) if one.answer.set_up is not None and one.answer.set_up.card.key in cards]


def is_dropped(need: NeedShape) -> bool:
    """Whether a person decided against it."""
    return need.overruled is not None and need.overruled.verdict == "drop"


def finished(need: NeedShape, needs: NeedsAnswer) -> tuple[str, str] | None:
    """When the calibration of a need was written down as done, and by whom; None where nobody wrote that."""
    done = [] if needs.job is None else needs.job.done
    return next(((one.at, one.by) for one in reversed(done) if one.what in (need.procedure, need.sensor)), None)
