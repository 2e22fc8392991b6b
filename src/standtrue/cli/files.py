"""Files that a command is asked to write."""

from __future__ import annotations

from pathlib import Path

from standtrue.cli import output
from standtrue.model.basics import Fault
from standtrue.model.reason import because
from standtrue.work.ask import UnansweredError


def known_ending(file: Path | None, endings: tuple[str, ...], option: str) -> None:
    """Refuse a file that ends in none of these, before any work is done. Raises UnansweredError."""
    if file is not None and file.suffix.lower() not in endings:
        what, remedy = because("file-of-unknown-kind"), because("let-it-end-in", endings=endings)
        raise UnansweredError([Fault("unknown-format", what, str(file), option, "", remedy)])


def write_file(file: Path, content: bytes, told: str) -> None:
    """Write a file that was asked for, and say so. Raises UnansweredError if it cannot be written."""
    fault = output.write_bytes(file, content)
    if fault:
        raise UnansweredError([fault])
    output.err().print(told, markup=False, soft_wrap=True)
