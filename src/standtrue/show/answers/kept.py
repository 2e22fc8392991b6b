"""Answers as the record keeps them: bytes with a kind and the version of its shape; and back, years later."""

from __future__ import annotations

import json

from standtrue.seal import canonical
from standtrue.show.answers.index import RELEASED, version_of
from standtrue.show.answers.parts import Shape
from standtrue.work.keep.answers import Said


def said_of(answer: Shape) -> Said:
    """An answer as an entry's content. Raises KeyError for one that is never kept."""
    kind, version = version_of(type(answer))
    return Said(kind, version, canonical(answer.to_json()))


def is_kept(answer: Shape) -> bool:
    """Whether the record takes such an answer."""
    return any(type(answer) in shapes for shapes in RELEASED.values())


def read_again(kind: str, version: int, content: bytes) -> Shape | None:
    """The answer that an entry holds; None for a kind or a version that only a later release knows."""
    shapes = RELEASED.get(kind, ())
    if not 1 <= version <= len(shapes):
        return None
    return shapes[version - 1].from_json(json.loads(content))
