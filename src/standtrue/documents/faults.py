"""What can be wrong with a document: the stable codes, and the exception that carries one of them.

A fault is a value (`standtrue.model.basics.Fault`); `RefusedError` only travels inside this package, from
the place that finds something wrong to the place that knows the file and the field.
"""

from __future__ import annotations

import difflib
import json
from collections.abc import Iterable

from standtrue.model.reason import Reason, Term, because

FAULT_CODES: tuple[str, ...] = (
    "unknown-field",
    "missing-field",
    "field-repeated",
    "fields-conflict",
    "wrong-type",
    "not-finite",
    "not-a-quantity",
    "units-missing",
    "unknown-unit",
    "unknown-word",
    "value-impossible",
    "range-reversed",
    "list-empty",
    "outline-crosses-itself",
    "outline-no-area",
    "outline-repeats-point",
    "not-on-outline",
    "outside-floor",
    "name-repeated",
    "unknown-reference",
    "demonstration-mixed",
    "kind-unknown",
    "schema-unknown",
    "toml-syntax",
    "json-syntax",
    "not-utf8",
    "control-character",
    "too-large",
    "too-deep",
    "unreadable",
)
"""Every code that a fault of a document can carry. Codes are stable: they are never reused or renamed.

What each means stands in `show.words.faults`.
"""


class RefusedError(ValueError):
    """One thing wrong, found where the file is not known; `field` is a path below the place that found it."""

    def __init__(self, code: str, what: Reason, remedy: Reason, field: tuple[str | int, ...] = ()) -> None:
        super().__init__(what.code)
        self.code = code
        self.what = what
        self.remedy = remedy
        self.field = field


def path_text(path: Iterable[str | int]) -> str:
    """A field path as people read it: `obstacles[2].outline` (indices count from 0)."""
    text = ""
    for part in path:
        if isinstance(part, int):
            text += f"[{part}]"
        else:
            text += f".{part}" if text else part
    return text


def value_text(value: object, limit: int = 80) -> str:
    """A value as it would stand in a file, shortened to about `limit` characters."""
    if isinstance(value, str):
        return shorten(json.dumps(value[: 2 * limit], ensure_ascii=False), limit)
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int) and abs(value) >= 10**limit:
        return f"{'-' if value < 0 else ''}1e{limit}…"
    if isinstance(value, dict):
        inner = _joined((f"{key} = {value_text(item, limit)}" for key, item in value.items()), limit)
        return shorten(f"{{ {inner} }}" if inner else "{}", limit)
    if isinstance(value, (list, tuple)):
        return shorten(f"[{_joined((value_text(item, limit) for item in value), limit)}]", limit)
    return shorten(str(value), limit)


def _joined(parts: Iterable[str], limit: int) -> str:
    """The parts with commas, as far as they can be shown: a long list is not written out to be cut."""
    text = ""
    for part in parts:
        text += f", {part}" if text else part
        if len(text) > limit:
            break
    return text


def shorten(text: str, limit: int = 80) -> str:
    """Text of at most `limit` characters on one line, cut with an ellipsis."""
    line = " ".join(text.encode("utf-8", "backslashreplace").decode().split())
    return line if len(line) <= limit else line[: limit - 1] + "…"


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word nearest to what was written, if any is near."""
    found = difflib.get_close_matches(word[:80], list(known), n=1, cutoff=0.6)
    return found[0] if found else None


def choice_remedy(word: str, known: Iterable[str]) -> Reason:
    """A remedy that offers the nearest known word, if one is near, and all of them."""
    words = tuple(known)
    return because("write-one-of", near=nearest(word, words), words=words)


def type_name(value: object) -> Term:
    """What kind of value stands there."""
    return Term(_type_name(value))


def _type_name(value: object) -> str:
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "true or false"
    if isinstance(value, str):
        return "text"
    if isinstance(value, (int, float)):
        return "a number"
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, (list, tuple)):
        return "a list"
    return "a date or time"


def wrong_type(value: object, asked: Term | str, remedy: Reason) -> RefusedError:
    """A value of one type stands where another is asked: a term, or a form to write it in."""
    return RefusedError("wrong-type", because("stands-where-asked", found=type_name(value), asked=asked), remedy)
