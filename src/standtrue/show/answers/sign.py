"""The answer of `sign`: who signed a job off, and what that covers."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from standtrue.show.answers.needs import DroppedShape, standing_fields
from standtrue.show.answers.parts import AnswerShape, Coded, Shape, coded, envelope
from standtrue.show.words.reader import ENGLISH
from standtrue.work.keep.signing import Covered, Signed, ToldApart


class CoveredShape(Shape):
    """A calibration that the sign-off covers."""

    sensor: str
    side: Literal["left", "right"] | None
    procedure: str = Field(description="The card that finishes it, NAME or NAME/left.")
    setup: str = Field(description="The set-up that may be calibrated by it.")
    entry: int = Field(description="The number, in the job, of the entry that says so.")


class OutsideShape(Shape):
    """A calibration that the job calls for and the sign-off does not cover."""

    sensor: str
    side: Literal["left", "right"] | None
    procedure: str | None
    because: list[str]
    because_coded: list[Coded]


class SignAnswer(AnswerShape):
    job: str
    by: str
    told_apart: ToldApart | None = Field(
        None, description="How whoever signed was told apart: by a PIN, or by name only; null: an older release."
    )
    covers: list[CoveredShape]
    outside: list[OutsideShape] = Field(description="What it does not cover: no targets to measure, or not looked at.")
    dropped: list[DroppedShape]
    entries: int = Field(description="How many entries of the job it covers: all before it.")
    last: str = Field(description="The digest of the last of them, which holds all before it.")
    says: list[str]
    says_coded: list[Coded]


def of_signed(signed: Signed) -> SignAnswer:
    """Who signed what."""
    return SignAnswer(
        **envelope(signed.basis),
        job=signed.job,
        by=signed.by,
        told_apart=signed.told_apart,
        covers=[_covered(one) for one in signed.covers],
        outside=[
            OutsideShape(
                sensor=one.need.sensor,
                side=one.need.side,
                procedure=one.need.procedure,
                because=[ENGLISH.reason(one.because)],
                because_coded=coded([one.because]),
            )
            for one in signed.outside
        ],
        dropped=standing_fields(signed.needs)["dropped"],
        entries=signed.entries,
        last=signed.last,
        says=ENGLISH.reasons(signed.says),
        says_coded=coded(signed.says),
    )


def _covered(one: Covered) -> CoveredShape:
    return CoveredShape(
        sensor=one.need.sensor,
        side=one.need.side,
        procedure=one.need.procedure or "",
        setup=one.setup,
        entry=one.entry,
    )
