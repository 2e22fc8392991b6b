"""TOML as people type it: read line by line past what is no TOML, each mistake once, with how it is written."""

from __future__ import annotations

import re
import tomllib
from typing import Any

from attrs import frozen

from standtrue.documents.leaves import BROKEN
from standtrue.documents.lines import HEADER, LOOSE, STATEMENT
from standtrue.documents.toml_mend import Mend, mend_of

MOST_MISTAKES = 20
LONG_TEXT = 200_000
"""In a text longer than this, signs, only the first mistakes are looked for: each is a reading of the whole."""

_MARK = "\ue000broken\ue000"
_PLACE = re.compile(r"(.*) \(at (?:line ([0-9]+), column ([0-9]+)|end of document)\)", re.DOTALL)
"""How tomllib says where a text is no TOML."""


@frozen
class Mistake:
    """One place that is no TOML: its line, from 1, where it can be told, and what is wrong there."""

    line: int | None
    mend: Mend


def read_toml(text: str) -> tuple[dict[str, Any] | None, tuple[Mistake, ...]]:
    """What the text holds, and every mistake in it.

    A statement that cannot be read stands as `BROKEN`, so that whatever else is wrong can be told at once. None where
    the rest cannot be read either.
    """
    mistakes: list[Mistake] = []
    lines = text.split("\n")
    most = MOST_MISTAKES if len(text) <= LONG_TEXT else 2
    while len(mistakes) < most:
        try:
            return _broken(tomllib.loads("\n".join(lines))), tuple(mistakes)
        except (ValueError, OverflowError) as error:  # also a date that is none, or a number too long to read
            found = _PLACE.fullmatch(str(error)[:200])
            why = found[1] if found else str(error)[:200]
            at = int(found[2]) if found and found[2] else None if found is None else len(lines)
            column = int(found[3]) if found and found[3] else 1
        if at is None:
            return None, (*mistakes, Mistake(None, mend_of("", 0, why, text)))
        start, end = _statement(lines, at - 1)
        unclosed = (start < at - 1 and _is_new(lines[at - 1])) or at - 1 >= len(lines)
        line = start if unclosed else at - 1
        mend = mend_of(lines[line], -1 if unclosed else column - 1, why, text)
        mistakes.append(Mistake(line + 1, mend))
        if not _set_aside(lines, start, end, drop=why.startswith("Cannot")):
            break
    return None, tuple(mistakes)


def _is_new(line: str) -> bool:
    return bool(HEADER.match(line) or STATEMENT.match(line))


def _statement(lines: list[str], at: int) -> tuple[int, int]:
    """The first line of the statement that goes wrong at a line, and the line behind its last.

    A list or a text that was never closed goes wrong where the next statement begins: it is the one before.
    """
    at = min(at, len(lines) - 1)
    start = at
    if _left_open(lines, at):
        start = next((i for i in range(at - 1, -1, -1) if STATEMENT.match(lines[i])), at)
    end = start + 1
    while end < len(lines) and lines[end].strip() and not _is_new(lines[end]):
        end += 1
    return start, end


def _left_open(lines: list[str], at: int) -> bool:
    """Whether the statement above a line has more brackets opened than closed."""
    start = next((i for i in range(at - 1, -1, -1) if _is_new(lines[i])), None)
    if start is None or HEADER.match(lines[start]):
        return False
    bare = re.sub(r"\"[^\"]*\"|'[^']*'|#.*", "", "\n".join(lines[start:at]))
    return sum(map(bare.count, "[{")) > sum(map(bare.count, "]}"))


def _set_aside(lines: list[str], start: int, end: int, drop: bool) -> bool:
    """Put the mark of what is broken in place of a statement's value, or `drop` it; whether that changed anything.

    A section that goes is taken out to its end.
    """
    statement, loose = STATEMENT.match(lines[start]), LOOSE.match(lines[start])
    if HEADER.match(lines[start]):
        end = next((i for i in range(end, len(lines)) if HEADER.match(lines[i])), len(lines))
    before = lines[start:end]
    named = statement[0] if statement else f"{loose[1]} =" if loose and not HEADER.match(lines[start]) else ""
    drop = drop or not named or any(_MARK in line for line in before)
    lines[start:end] = ["" if drop else f'{named} "{_MARK}"', *[""] * (end - start - 1)]
    return lines[start:end] != before


def _broken(data: Any) -> Any:
    """The same, with `BROKEN` wherever the mark stands."""
    if isinstance(data, dict):
        return {key: _broken(value) for key, value in data.items()}
    if isinstance(data, list):
        return [_broken(value) for value in data]
    return BROKEN if data == _MARK else data
