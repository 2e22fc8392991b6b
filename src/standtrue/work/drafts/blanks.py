"""A draft's document as blanks to be filled: each is a value of it, written as people say it.

What cannot be read, or is not there yet, stays in the draft and is told as its document's fault: nothing typed is lost.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from typing import Any

from standtrue.work.drafts.draft import no_such

WORDS = frozenset({"vehicles", "skills", "equipment", "after", "supports", "over"})
"""Fields that are lists of words."""

TEXTS = frozenset(
    {"name", "what", "unit", "road", "weather", "title", "edition", "transcribed_by", "kind", "side", "method", "needs",
     "anchor", "line", "says", "code", "status", "read_on", "transcribed_on", "units"}
)  # fmt: skip
"""Fields that are one text."""

SHORT: Mapping[str, str] = {"minutes": "run", "sensor": "kind", "floor_level": "within"}
"""Tables of which the main field may stand alone, and that field."""

Path = tuple[str | int, ...]
Content = Mapping[str, Any]
Changing = Callable[[Content], dict[str, Any]]
"""From what a draft says to the fields that change."""


def path_of(said: str) -> Path:
    """A path as the blanks name it, such as `zones.0.box.2`; one that begins with `-` is of a length that is told to
    the right, where the document has it to the left."""
    return tuple(int(part) if part.isdigit() else part for part in said.lstrip("-").split("."))


def filled(content: Content, typed: Mapping[str, str]) -> dict[str, Any]:
    """The fields of the document that change once these blanks are filled (None: no longer there)."""
    now: Any = json.loads(json.dumps(dict(content), default=str))
    for said, text in typed.items():
        path = path_of(said)
        value = value_of(path, _turned(text) if said.startswith("-") else text)
        now = _put(now, path, value)
    return {key: now.get(key) for key in {str(path_of(said)[0]) for said in typed}}


def value_of(path: Path, text: str) -> Any:
    """What a text means at a blank: words, a text, a number in the card's own unit, or a quantity with its unit.

    None for an empty text: nothing is said there.
    """
    said = " ".join(text.split())
    named = next(str(part) for part in reversed(path) if isinstance(part, str))
    if not said:
        return None
    if named in WORDS and not (named == "equipment" and path[0] == "targets"):
        return [word.strip() for word in said.split(",") if word.strip()]
    if named in TEXTS or named == "equipment":
        return said
    if said in ("yes", "no"):
        return said == "yes"
    try:
        number = float(said.replace(",", "."))
    except ValueError:
        return said
    return int(number) if number == int(number) else number


def _turned(text: str) -> str:
    said = text.strip()
    if not said or said in ("0", "-0"):
        return said
    return said[1:].strip() if said.startswith("-") else f"-{said}"


def _put(there: Any, path: Path, value: Any) -> Any:
    """A value put where a path leads; a list keeps its places, a table loses a field that is nothing."""
    if not path:
        return value
    key, rest = path[0], path[1:]
    if isinstance(key, int):
        items = list(there) if isinstance(there, list) else ["" if there is None else there] * max(2, key + 1)
        items += [""] * (key + 1 - len(items))
        items[key] = _put(items[key], rest, value)
        if items[key] is None:
            items[key] = ""
        return None if all(item == "" for item in items) and not rest else items
    table = dict(there) if isinstance(there, Mapping) else {}
    inner = table.get(key)
    if rest and isinstance(rest[0], str) and key in SHORT and inner is not None and not isinstance(inner, Mapping):
        inner = {SHORT[key]: inner}
    found = _put(inner, rest, value)
    if found is None or found == {}:
        table.pop(key, None)
    else:
        table[key] = found
    return table


def added(content: Content, where: str, new: Mapping[str, Mapping[str, Any]]) -> dict[str, Any]:
    """One more item of a list. Raises UnansweredError for a list to which nothing is added."""
    if where not in new:
        raise no_such(where)
    return {where: [*content.get(where, ()), dict(new[where])]}


def without(content: Content, where: str, number: int) -> dict[str, Any]:
    """Without one item of a list. Raises UnansweredError where there is none."""
    items = list(content.get(where, ()))
    if not 0 <= number < len(items):
        raise no_such(where)
    del items[number]
    return {where: items or None}
