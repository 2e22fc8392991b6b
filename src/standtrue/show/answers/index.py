"""The shape of every answer that `--json` gives, as JSON Schemas. The answers themselves are written by `work`."""

from __future__ import annotations

from typing import Any

from standtrue.documents.schemas import DIALECT
from standtrue.show.answers.ahead import AheadShape
from standtrue.show.answers.alignment import AlignmentAnswer
from standtrue.show.answers.cards import CardAnswer
from standtrue.show.answers.drive import DRIVE_ANSWERS
from standtrue.show.answers.faults import Faults
from standtrue.show.answers.floor import FloorAnswer
from standtrue.show.answers.loads import LoadsAnswer
from standtrue.show.answers.measured import MeasuredAnswer
from standtrue.show.answers.mix import MixShape
from standtrue.show.answers.needs import NeedsAnswer
from standtrue.show.answers.parts import Shape
from standtrue.show.answers.place import JobShape, PlaceAnswer
from standtrue.show.answers.plan import PlanShape
from standtrue.show.answers.read import ReadAnswer
from standtrue.show.answers.reflector import ReflectorAnswer
from standtrue.show.answers.sheet import SheetAnswer
from standtrue.show.answers.sizes import SizesShape
from standtrue.show.answers.study import StudyShape
from standtrue.show.answers.targets import TargetsAnswer

ANSWERS: dict[str, type[Shape]] = {
    "faults": Faults,
    "read": ReadAnswer,
    "card": CardAnswer,
    "needs": NeedsAnswer,
    "place": PlaceAnswer,
    "job": JobShape,
    "plan": PlanShape,
    "study": StudyShape,
    **DRIVE_ANSWERS,
    "sizes": SizesShape,
    "ahead": AheadShape,
    "mix": MixShape,
    "targets": TargetsAnswer,
    "measured": MeasuredAnswer,
    "floor": FloorAnswer,
    "alignment": AlignmentAnswer,
    "loads": LoadsAnswer,
    "reflector": ReflectorAnswer,
    "sheet": SheetAnswer,
}


def answer_schemas() -> dict[str, dict[str, Any]]:
    """The JSON Schema of each command's answer, by command; `faults` is what bad input gets."""
    return {
        name: {"$schema": DIALECT, **shape.model_json_schema(mode="serialization"), "title": name}
        for name, shape in ANSWERS.items()
    }
