"""The shape of the needs of a job."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from standtrue.show.answers.parts import Shape


class Overruled(Shape):
    verdict: Literal["keep", "drop"]
    because: str
    by: str


class NeedTold(Shape):
    procedure: str | None = Field(description="The card that finishes the calibration, NAME or NAME/left.")
    sensor: str
    side: Literal["left", "right"] | None
    how: Literal["required", "conditional"]
    because: list[str]
    before: list[str]
    card: bool
    overruled: Overruled | None
    alternatives: list[str]
    chain: list[str] = Field(description="The cards to run one after another; the last is `procedure`.")
    order: int
    remedy: str | None
