"""Files that a command is asked to write."""

from __future__ import annotations

from pathlib import Path

from standtrue.cli import output
from standtrue.work.ask import UnansweredError


def write_file(file: Path, content: bytes, told: str) -> None:
    """Write a file that was asked for, and say so. Raises UnansweredError if it cannot be written."""
    fault = output.write_bytes(file, content)
    if fault:
        raise UnansweredError([fault])
    output.tell(told)
