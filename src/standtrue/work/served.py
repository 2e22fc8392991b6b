"""A shop as it is served: read anew only where the store holds another version of a document."""

from __future__ import annotations

import threading
from collections.abc import Callable
from datetime import date
from pathlib import Path

from attrs import define, field, frozen

from standtrue.documents import Document, Folder
from standtrue.model.shop import Shop
from standtrue.store.database import Store, open_store
from standtrue.store.documents import Version, identity, latest_versions, revision
from standtrue.work.exchange.folders import TakenIn, take_in
from standtrue.work.keep.answers import Said
from standtrue.work.stored import documents_of, gathered
from standtrue.work.where import Where


@frozen(eq=False)
class Read:
    """The documents of the shop at a revision of its store: sound if there are no faults.

    `documents` are those that are there, in the order of `versions`, which are the latest of each.
    """

    revision: int
    day: str
    folder: Folder
    versions: tuple[Version, ...]
    documents: tuple[Document, ...]

    def version(self, kind: str, name: str) -> Version | None:
        """The latest version of a document that is there."""
        return next((one for one in self.versions if (one.kind, one.name) == (kind, name)), None)


@define(eq=False)
class Served:
    """A folder's shop in its store. Made once a server; used by many threads at once."""

    folder: Path
    where: Where
    place: str
    store: Store
    by: str = ""
    """Who serves it: whoever asks without having signed in, at the same machine."""
    _read: Read | None = field(default=None, init=False)
    _lock: threading.Lock = field(factory=threading.Lock, init=False, repr=False)

    def read(self) -> Read:
        """The documents as they are stored now. Raises UnansweredError where the store cannot be read."""
        with self.store.reading() as connection:
            now = revision(connection)
        today = date.today().isoformat()
        with self._lock:
            if self._read is None or (self._read.revision, self._read.day) != (now, today):
                self._read = self._anew(today)
            return self._read

    def _anew(self, today: str) -> Read:
        with self.store.reading() as connection:
            now, versions, name = revision(connection), latest_versions(connection), identity(connection)
        live = tuple(one for one in versions if one.content is not None)
        documents = documents_of(live, () if self._read is None else self._read.documents)
        return Read(now, today, gathered(self.folder, self.place, documents, versions, name, today), live, documents)

    def shop(self) -> Shop:
        """The shop for one question, of the sound documents; `read().folder.faults` are those of the others."""
        return self.read().folder.shop()

    def close(self) -> None:
        """End every connection to the store."""
        self.store.close()


def serve_folder(folder: Path, where: Where, by: str, said: Callable[[TakenIn], Said]) -> Served:
    """The shop of a folder, kept in a store: where there is none yet, one is made and the folder's files taken in, and
    `said` writes that down as an entry.

    Raises UnansweredError where the store cannot be made or opened, or a file cannot be read.
    """
    if where.place(folder) is None:
        take_in(folder, where, by, {}, said)
    place = where.place(folder)
    assert place is not None  # just made
    return Served(folder, where, place, open_store(place), by)
