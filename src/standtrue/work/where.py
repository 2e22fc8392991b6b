"""Where a shop is kept: in the files of its folder, or in a store. Loads nothing that only a store takes."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from attrs import frozen

if TYPE_CHECKING:
    from standtrue.store.documents import Version

STORE_FILE = "standtrue.db"
"""What the store in a shop folder is called."""


@frozen
class Where:
    """Where the shop of a folder is looked for: in a store that is named, else in the folder's, else in its files.

    `files`: in the files whatever store there is. `fallback`: a store for folders that hold none.
    """

    store: str | None = None
    files: bool = False
    fallback: str | None = None

    def place(self, folder: Path) -> str | None:
        """The store in which the shop of a folder is kept; None for its files."""
        if self.files:
            return None
        if self.store is not None:
            return self.store
        own = folder if folder.suffix == ".db" else folder / STORE_FILE
        return str(own) if own.is_file() else self.fallback


IN_FOLDER = Where()
"""In the folder's own store, if it holds one; else in its files."""


def stored_versions(folder: Path, where: Where) -> tuple[tuple[Version, ...], str] | None:
    """The latest version of every document of a folder's shop, removed ones too, and the identity of its store.

    None where the shop is in no store. Raises UnansweredError where the store cannot be read.
    """
    place = where.place(folder)
    if place is None:
        return None
    from standtrue.store.database import open_store
    from standtrue.store.documents import identity, latest_versions

    with open_store(place) as store, store.reading() as connection:
        return latest_versions(connection), identity(connection)
