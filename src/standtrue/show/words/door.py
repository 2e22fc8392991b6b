"""What the Python door says where a name is asked for that it does not have."""

from __future__ import annotations

from collections.abc import Iterable

from standtrue.model.reason import because
from standtrue.show.words.preference import personal
from standtrue.show.words.reader import Reader


def no_such_name(name: str, known: Iterable[str]) -> str:
    """That there is no such verb or noun, and the nearest."""
    import difflib

    reader, there = Reader(language=personal().language or "en"), tuple(known)
    near = difflib.get_close_matches(name, there, n=1) or difflib.get_close_matches(name.title(), there, n=1)
    what = reader.reason(because("no-such-word", word=name, of=None))
    remedy = reader.reason(because("there-are", near=near[0] if near else None, words=there))
    return reader.say("{what}. {remedy}", what=what, remedy=remedy)
