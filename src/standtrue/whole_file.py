"""Files written whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path


def beside(file: Path) -> Path:
    """A name beside a file that no other writer has: what is written there takes the file's name once it is whole."""
    return file.with_name(f".{file.name}.{os.urandom(4).hex()}.part")


def write_whole(file: Path, content: bytes) -> None:
    """Into a file beside it, which then takes its name. Raises OSError, and leaves nothing behind then."""
    part = beside(file)
    try:
        part.write_bytes(content)
        part.replace(file)
    except OSError:
        part.unlink(missing_ok=True)
        raise
