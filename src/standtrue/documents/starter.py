"""A small invented shop to start from, written out as commented documents."""

from __future__ import annotations

import os
from collections.abc import Mapping
from importlib import resources
from pathlib import Path

from standtrue.documents.default_rules import default_rules_text
from standtrue.model.reason import Reason, because

RULES_FILE = "rules.toml"
"""What the default rules are called in a shop's own folder."""


class NotWrittenError(FileExistsError):
    """Something is in the way of documents that were to be written; nothing was written. `reason` says what."""

    def __init__(self, reason: Reason, path: Path) -> None:
        super().__init__(f"{path}: {reason.code}")
        self.reason = reason
        self.path = path


def starter_files() -> dict[str, str]:
    """The starter documents and the default rules: file name and text, in the order of their names."""
    found = resources.files("standtrue.documents") / "starter"
    texts = {item.name: item.read_text(encoding="utf-8") for item in found.iterdir() if item.name.endswith(".toml")}
    return dict(sorted((texts | {RULES_FILE: default_rules_text()}).items()))


def write_starter(folder: str | os.PathLike[str]) -> tuple[Path, ...]:
    """Write the starter documents into a folder (made if need be); returns the files written.

    Raises NotWrittenError, and writes nothing, if one of the files is there already.
    """
    return write_new(folder, starter_files())


def write_rules(folder: str | os.PathLike[str]) -> tuple[Path, ...]:
    """Write the default rules into a folder, to be changed there; returns the file written.

    Raises NotWrittenError, and writes nothing, if it is there already.
    """
    return write_new(folder, {RULES_FILE: default_rules_text()})


def write_new(folder: str | os.PathLike[str], texts: Mapping[str, str]) -> tuple[Path, ...]:
    """Write texts by file name into a folder (made if need be); returns the files written.

    Raises NotWrittenError, and writes nothing, if one of the files is there already.
    """
    root = Path(folder)
    files = {root / name: text for name, text in texts.items()}
    there = [file for file in files if file.exists() or file.is_symlink()]
    if there:
        raise NotWrittenError(because("file-there-already"), there[0])
    root.mkdir(parents=True, exist_ok=True)
    for file, text in files.items():
        with file.open("x", encoding="utf-8") as out:
            out.write(text)
    return tuple(files)
