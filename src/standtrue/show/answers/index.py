"""The shape of every answer that `--json` gives, as JSON Schemas. The answers themselves are written by `work`."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from standtrue.documents.schemas import DIALECT
from standtrue.show.answers.ahead import AheadShape
from standtrue.show.answers.alignment import AlignmentAnswer
from standtrue.show.answers.backup import CopyAnswer, RemovalAnswer, RuleAnswer
from standtrue.show.answers.car import HandedAnswer, HappenedAnswer
from standtrue.show.answers.cards import CardAnswer
from standtrue.show.answers.drive import DRIVE_ANSWERS
from standtrue.show.answers.exchange import ExportAnswer, HistoryAnswer, ImportAnswer, SavedAnswer, TakenInAnswer
from standtrue.show.answers.faults import Faults
from standtrue.show.answers.floor import FloorAnswer
from standtrue.show.answers.handed import HandedToAnswer
from standtrue.show.answers.keep import KeepAnswer
from standtrue.show.answers.loads import LoadsAnswer
from standtrue.show.answers.measured import MeasuredAnswer
from standtrue.show.answers.mix import MixShape
from standtrue.show.answers.needs import NeedsAnswer
from standtrue.show.answers.parts import Shape
from standtrue.show.answers.place import JobShape, PlaceAnswer
from standtrue.show.answers.plan import PlanShape
from standtrue.show.answers.read import ReadAnswer
from standtrue.show.answers.record import RecordAnswer
from standtrue.show.answers.records import AnchorAnswer, RecordsAnswer, VerifyAnswer
from standtrue.show.answers.reflector import ReflectorAnswer
from standtrue.show.answers.sheet import SheetAnswer
from standtrue.show.answers.sign import SignAnswer
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
    "keep": KeepAnswer,
    "sign": SignAnswer,
    "verify": VerifyAnswer,
    "records": RecordsAnswer,
    "record": RecordAnswer,
    "backup": CopyAnswer,
    "remove": RemovalAnswer,
    "keep-rule": RuleAnswer,
    "anchor": AnchorAnswer,
    "import": ImportAnswer,
    "export": ExportAnswer,
    "history": HistoryAnswer,
}


KEPT = ("needs", "job", "plan", "sheet", "targets", "measured", "floor", "alignment", "keep", "sign")

RELEASED: Mapping[str, tuple[type[Shape], ...]] = {
    **{kind: (ANSWERS[kind],) for kind in KEPT},
    "handed": (HandedToAnswer,),
    "import": (TakenInAnswer,),
    "saved": (SavedAnswer,),
    "card": (CardAnswer,),
    "removal": (RemovalAnswer,),
    "keep-rule": (RuleAnswer,),
    "car-steps": (HandedAnswer,),
    "car": (HappenedAnswer,),
}
"""What the record can hold: by kind the shape of each version, from 1. The last is the one that answers have today.

A field that may be left out needs no new version. Any other change does: the shape as it was stays here, under a name
of its own, so that what was kept by any release can be read.
"""


def version_of(shape: type[Shape]) -> tuple[str, int]:
    """The kind and the version of a shape. Raises KeyError for one that is not kept."""
    for kind, shapes in RELEASED.items():
        if shape in shapes:
            return kind, 1 + shapes.index(shape)
    raise KeyError(shape.__name__)


def answer_schemas() -> dict[str, dict[str, Any]]:
    """The JSON Schema of each command's answer, by command; `faults` is what bad input gets."""
    return {
        name: {"$schema": DIALECT, **shape.model_json_schema(mode="serialization"), "title": name}
        for name, shape in ANSWERS.items()
    }
