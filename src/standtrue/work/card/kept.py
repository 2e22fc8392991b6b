"""Where the documents of cards and jobs are kept: found by kind and name, and written anew field by field.

In files the file is changed; in a store a version is added, based on the one that was read.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from attrs import frozen

from standtrue.documents import Document, load_text, read_files
from standtrue.documents.rewriting import ChangedMeanwhileError, NotChangedError, rewrite
from standtrue.model.basics import Fault, UnansweredError
from standtrue.model.reason import Term, because
from standtrue.work.card.life import refused
from standtrue.work.stored import stored_documents
from standtrue.work.where import IN_FOLDER, Where

Change = Callable[[bytes, str], bytes]


@frozen
class Keeper:
    """The documents of a shop, for whoever changes some of them: its folder, where it is kept, and who changes them."""

    folder: Path
    where: Where = IN_FOLDER
    by: str = ""

    def document(self, kind: str, name: str) -> Document:
        """The document of a kind and name. Raises UnansweredError where there is none."""
        every = stored_documents(self.folder, self.where)
        for document in read_files(self.folder) if every is None else every:
            if document.mark is not None and (document.mark.kind, document.mark.name) == (kind, name):
                return document
        raise refused("unknown-name", "card-file-elsewhere", "look-at-folder", value=name)

    def write(self, document: Document, change: Change, by_hand: str) -> str:
        """Write a document anew; its path below the folder. Raises UnansweredError, and writes nothing.

        `by_hand` are the fields that a person writes where it cannot be changed field by field.
        """
        try:
            now = change(document.source, document.file)
            place = self.where.place(self.folder)
            if place is None:
                rewrite(self.folder / document.file, document.source, now)
            else:
                self._save(place, document, now)
        except NotChangedError:
            remedy = because("write-it-by-hand", fields=by_hand)
            fault = Fault("file-changed", because("field-not-changed"), document.file, "", "", remedy)
            raise UnansweredError([fault]) from None
        except ChangedMeanwhileError:
            raise refused("file-changed", "card-changed-meanwhile", "try-again", file=document.file) from None
        except OSError as error:
            why = because("folder-unwritable", why=Term((error.strerror or "it cannot be opened").lower()))
            fault = Fault("unwritable", why, document.file, "", "", because("look-at-permissions"))
            raise UnansweredError([fault]) from None
        return document.file

    def _save(self, place: str, document: Document, now: bytes) -> None:
        """A further version in the store, based on the one that was read. Raises ChangedMeanwhileError."""
        from standtrue.store.database import open_store
        from standtrue.store.documents import Draft, latest_versions, save
        from standtrue.work.exchange.folders import saving_now

        new = load_text(now, document.file)
        with open_store(place) as store, store.writing() as connection:
            latest = next((v for v in latest_versions(connection) if v.path == document.file), None)
            if latest is None or latest.content != document.source or new.mark is None:
                raise ChangedMeanwhileError(document.file)
            mark = new.mark
            draft = Draft(latest.document, latest.version, mark.kind, mark.name, latest.path, now, mark.digest)
            save(connection, draft, saving_now(self.by))
