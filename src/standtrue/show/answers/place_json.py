"""What answers that are still dictionaries share; each goes when its answer has a shape with both converters."""

from __future__ import annotations

from collections.abc import Iterable
from importlib.metadata import version
from typing import Any

from standtrue.model.basics import DocumentMark
from standtrue.model.cautions import Caution
from standtrue.model.reason import Note
from standtrue.place.question.answer import Touch
from standtrue.show.answers.place import of_touch
from standtrue.show.words.reader import ENGLISH

Json = dict[str, Any]


def envelope(marks: Iterable[DocumentMark], warnings: Iterable[Note], cautions: Iterable[Caution]) -> Json:
    """What every answer carries: the program, the documents it used, warnings and cautions."""
    documents = [{"kind": m.kind, "name": m.name, "digest": m.digest} for m in marks]
    return {
        "program": f"standtrue {version('standtrue')}",
        "documents": documents,
        "demonstration": any(m.demonstration for m in marks),
        "warnings": ENGLISH.reasons(warnings),
        "cautions": ENGLISH.reasons(c.reason for c in cautions),
    }


def touch_json(touch: Touch) -> Json:
    """What comes near what."""
    return of_touch(touch).to_json()
