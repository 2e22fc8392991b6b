"""The names in a shop folder, for who is typing one: quickly, and of whatever can be read."""

from __future__ import annotations

import json
import os
import tomllib
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any

from standtrue.model.basics import UnansweredError
from standtrue.work.where import IN_FOLDER, Where, stored_versions

LARGEST_BYTES = 1_000_000
"""Who is typing does not wait for a larger file to be read."""

PARTS = {"lift": "lifts", "bay": "bays", "door": "doors", "equipment": "equipment"}
"""What has its name inside a site, and in which list of it."""


def names_in(folder: Path, kind: str, where: Where = IN_FOLDER) -> list[str]:
    """The names of a kind of document, or of a kind of part of the sites, in order; faulty documents have none."""
    if kind not in PARTS:
        return sorted({str(d["name"]) for d in _documents(folder, where) if d.get("kind") == kind and "name" in d})
    sites = [d for d in _documents(folder, where) if d.get("kind") == "site"]
    parts = [part for site in sites for part in _listed(site.get(PARTS[kind]))]
    return sorted({str(part["name"]) for part in parts if "name" in part})


def _listed(parts: object) -> list[dict[str, Any]]:
    return [part for part in parts if isinstance(part, dict)] if isinstance(parts, list) else []


def _documents(folder: Path, where: Where) -> Iterator[dict[str, Any]]:
    for path, content in _texts(folder, where):
        try:
            text = content.decode("utf-8")
            document = tomllib.loads(text) if path.endswith(".toml") else json.loads(text)
        except (ValueError, RecursionError):
            continue
        if isinstance(document, dict):
            yield document


def _texts(folder: Path, where: Where) -> Iterator[tuple[str, bytes]]:
    try:
        stored = stored_versions(folder, where)
    except UnansweredError:  # whoever is typing a name is told nothing; the command will tell it
        return
    if stored is not None:
        yield from ((one.path, one.content) for one in stored[0] if one.content is not None)
        return
    for file in sorted(_files(folder)):
        with suppress(OSError):
            if file.is_file() and file.stat().st_size <= LARGEST_BYTES:
                yield file.name, file.read_bytes()


def _files(folder: Path) -> Iterator[Path]:
    """What may be a document below a folder, as the shop's own reading takes them: nothing hidden."""
    for root, folders, files in os.walk(folder):
        folders[:] = [name for name in folders if not name.startswith(".")]
        yield from (Path(root, name) for name in files if name.endswith((".toml", ".json")) and name[0] != ".")
