"""The demonstration shop: ordinary documents of an invented shop, packaged, to be copied into a folder."""

from __future__ import annotations

import os
from importlib import resources
from pathlib import Path

from standtrue.documents.starter import NotWrittenError
from standtrue.model.reason import because

MAIN_JOB = "corrow front"
"""The job that shows most: a front-end collision, with calibrations from two places and one that fits nowhere."""


class DemoFolderError(NotWrittenError):
    """Something in the folder is in the way of the demonstration shop; nothing was written."""


def demo_files() -> dict[str, bytes]:
    """The demonstration documents: file name and content, in the order of their names."""
    shop = resources.files("standtrue.demo") / "shop"
    found = {item.name: item.read_bytes() for item in shop.iterdir() if item.name.endswith(".toml")}
    return dict(sorted(found.items()))


def write_demo(folder: str | os.PathLike[str]) -> tuple[Path, ...]:
    """Copy the demonstration shop into a folder (made if need be); returns the path of every document.

    Files that are there already with the same content are left alone, so writing twice does no harm. Raises
    DemoFolderError, and writes nothing, if one is there with other content or is no file. Raises OSError if
    the folder cannot be written.
    """
    root = Path(folder)
    files = {root / name: content for name, content in demo_files().items()}
    if root.exists() and not root.is_dir():
        raise DemoFolderError(because("path-is-no-folder"), root)
    missing = [file for file, content in files.items() if not _is_there(file, content)]
    root.mkdir(parents=True, exist_ok=True)
    for file in missing:
        with file.open("xb") as out:
            out.write(files[file])
    return tuple(files)


def _is_there(file: Path, content: bytes) -> bool:
    """Whether the file holds just this already. Raises DemoFolderError if it holds anything else."""
    if not (file.exists() or file.is_symlink()):
        return False
    if not file.is_file():
        raise DemoFolderError(because("file-there-is-no-file"), file)
    if file.read_bytes() != content:
        raise DemoFolderError(because("file-there-differs"), file)
    return True
