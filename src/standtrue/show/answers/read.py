"""What was read from a shop folder, as data."""

from __future__ import annotations

from pydantic import Field

from standtrue.show.answers.faults import FaultShape, fault_shape
from standtrue.show.answers.parts import AnswerShape, Coded, Shape, coded, envelope
from standtrue.show.words.read import understood_words
from standtrue.show.words.reader import ENGLISH
from standtrue.work.shop.folders import ShopRead


class UnderstoodShape(Shape):
    kind: str
    name: str
    said: str = Field(description="What was understood of it, in one line.")
    said_coded: list[Coded]


class ReadAnswer(AnswerShape):
    faults: list[FaultShape]
    doubts: list[FaultShape] = Field(
        default=[], description="What can hardly be meant; each is told in `warnings` too."
    )
    understood: list[UnderstoodShape] = Field(default=[], description="Each document, in the order of `documents`.")


def of_read(shop: ShopRead) -> ReadAnswer:
    """The answer of `read` for a folder without faults: all of its documents, and what was understood of each."""
    return ReadAnswer(
        **envelope(shop.basis),
        faults=[],
        doubts=[fault_shape(doubt) for doubt in shop.doubts],
        understood=[
            UnderstoodShape(
                kind=one.mark.kind,
                name=one.mark.name,
                said=understood_words(one, ENGLISH),
                said_coded=coded(one.parts),
            )
            for one in shop.understood
        ],
    )
