"""On which line of a TOML file a field stands, and what the head of a file that cannot be read says."""

from __future__ import annotations

import re
from functools import lru_cache

from attrs import evolve

from standtrue.documents.parts import Path
from standtrue.model.basics import Fault

HEADER = re.compile(r"\s*(\[\[?)\s*([^\[\]]+?)\s*\]\]?\s*(?:#.*)?$")
"""A section's line: `[datum]`, `[[doors]]`."""

STATEMENT = re.compile(r"""\s*("[^"]*"|'[^']*'|[\w.\-]+)\s*=""")
"""Where a field begins."""

LOOSE = re.compile(r"\s*([\w\-]+)\s*[: ]\s*[^\s=]")
"""Where a field begins that has no equals sign."""

_HEAD = re.compile(r"""^\s*"?(kind|name)"?\s*[=:]\s*["']([^"'\n]+)["']""", re.MULTILINE)


def with_line(fault: Fault, source: bytes) -> Fault:
    """The same, with its line in the TOML file that it was found in, where one can be told."""
    if fault.line is not None or not fault.field or fault.file.lower().endswith(".json") or not source:
        return fault
    path = [int(p) if p.isdigit() else p for p in re.findall(r"[^.\[\]]+", fault.field)]
    return evolve(fault, line=line_of(source, tuple(path)))


def line_of(source: bytes, path: Path) -> int | None:
    """The line, from 1, on which the deepest part of a path stands that has a line of its own; None where none has."""
    found: int | None = None
    depth = 0
    for number, at in _lines(source):
        if len(at) > depth and tuple(path[: len(at)]) == at:
            found, depth = number, len(at)
        elif depth < len(path) < len(at) and at[: len(path)] == tuple(path):
            found, depth = number, len(path)  # the first of several sections
    return found


@lru_cache(maxsize=4)
def _lines(source: bytes) -> tuple[tuple[int, Path], ...]:
    """The lines of a TOML file on which a section or a field begins, with its path."""
    here: Path = ()
    counts: dict[Path, int] = {}
    found = []
    for number, line in enumerate(source.decode("utf-8", "replace").splitlines(), start=1):
        if header := HEADER.match(line):
            here = _section(header[1], header[2], counts)
            found.append((number, here))
        elif statement := STATEMENT.match(line):
            found.append((number, (*here, *_keys(statement[1]))))
    return tuple(found)


def _section(brackets: str, name: str, counts: dict[tuple[str | int, ...], int]) -> tuple[str | int, ...]:
    """The path of a section; those in double brackets are counted."""
    at: tuple[str | int, ...] = ()
    keys = _keys(name)
    for i, key in enumerate(keys):
        at = (*at, key)
        last = i == len(keys) - 1
        if last and brackets == "[[":
            counts[at] = counts.get(at, -1) + 1
        if at in counts:
            at = (*at, counts[at])
    return at


def _keys(name: str) -> list[str]:
    return [part.strip().strip("\"'") for part in re.findall(r"""\s*("[^"]*"|'[^']*'|[^.]+)""", name)]


def head_of(data: bytes) -> dict[str, str]:
    """What a file that cannot be read says of its kind and its name before its first section."""
    two_bytes = data[:2] in (b"\xff\xfe", b"\xfe\xff")
    text = data[:20_000].decode("utf-16" if two_bytes else "utf-8", "replace")
    first = re.search(r"^\s*\[", text, re.MULTILINE)
    return {key: value.strip() for key, value in _HEAD.findall(text[: first.start()] if first else text)}
