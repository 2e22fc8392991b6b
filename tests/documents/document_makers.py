"""Whole documents, one of each kind with every field, and a way to change one value in them."""

from __future__ import annotations

import copy
import re
import tomllib
from pathlib import Path
from typing import Any

WHOLE = Path(__file__).parent / "whole"
KINDS = ("site", "lift", "vehicle", "procedure", "rules", "job", "mix", "study", "survey", "setup")
GONE = object()
"""Put in place of a value: takes the field out."""

TOGETHER = (*KINDS, "older-card")
"""The documents of a sound folder: one of each kind, and the card that the whole card supersedes."""

_DOCUMENTS = {name: tomllib.loads((WHOLE / f"{name}.toml").read_text(encoding="utf-8")) for name in TOGETHER}


def whole(kind: str) -> dict[str, Any]:
    """A sound document with every field of its kind."""
    return copy.deepcopy(_DOCUMENTS[kind])


def parts(path: str) -> list[str | int]:
    return [int(p) if p.isdigit() else p for p in re.findall(r"[^.\[\]]+", path)]


def put(document: dict[str, Any], path: str, value: object) -> dict[str, Any]:
    """The document with the value at a path such as `obstacles[2].top` set, added, or taken out."""
    changed = copy.deepcopy(document)
    at: Any = changed
    *way, last = parts(path)
    for part in way:
        at = at[part]
    if value is GONE:
        del at[last]
    elif isinstance(at, list) and last == len(at):
        at.append(value)
    else:
        at[last] = value
    return changed
