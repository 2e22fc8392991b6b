"""Where the documents of cards and jobs are kept: found by kind and name, and written anew field by field.

In files the file is changed; in a store a version is added, based on the one that was read, and an entry says why.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from attrs import evolve, frozen

from standtrue.documents import Document, load_text, read_files
from standtrue.documents.rewriting import ChangedMeanwhileError, NotChangedError, rewrite
from standtrue.model.basics import Fault, UnansweredError
from standtrue.model.reason import Term, because
from standtrue.work.card.life import CardsAnswer, refused
from standtrue.work.stored import stored_documents
from standtrue.work.where import IN_FOLDER, Where

if TYPE_CHECKING:  # what a store takes is loaded only where there is one
    from sqlalchemy import Connection

    from standtrue.store.documents import Saving
    from standtrue.work.keep.answers import Said
    from standtrue.work.keep.versions import Saved


@frozen
class Write:
    """A document to be written anew: how its bytes are changed, and the fields that a person writes where they cannot
    be changed field by field."""

    document: Document
    change: Callable[[bytes, str], bytes]
    by_hand: str


@frozen
class Keeper:
    """The documents of a shop, for whoever changes some of them: its folder, where it is kept, and who changes them;
    `said` writes down what was done, for the record of a store."""

    folder: Path
    where: Where = IN_FOLDER
    by: str = ""
    said: Callable[[CardsAnswer], Said] | None = None

    def document(self, kind: str, name: str) -> Document:
        """The document of a kind and name. Raises UnansweredError where there is none."""
        every = stored_documents(self.folder, self.where)
        for document in read_files(self.folder) if every is None else every:
            if document.mark is not None and (document.mark.kind, document.mark.name) == (kind, name):
                return document
        raise refused("unknown-name", "card-file-elsewhere", "look-at-folder", value=name)

    def write(self, writes: Sequence[Write], answer: CardsAnswer) -> CardsAnswer:
        """Write documents anew for an answer; that, with their files. Raises UnansweredError, and writes nothing: in a
        store not one of several, in files not the one that is refused."""
        answer = evolve(answer, written=tuple(one.document.file for one in writes))
        place = self.where.place(self.folder)
        changed = [(one.document, _changed(one)) for one in writes]
        if place is not None:
            return self._save(place, changed, answer)
        for document, now in changed:
            try:
                rewrite(self.folder / document.file, document.source, now)
            except ChangedMeanwhileError:
                raise _meanwhile(document) from None
            except OSError as error:
                why = because("folder-unwritable", why=Term((error.strerror or "it cannot be opened").lower()))
                fault = Fault("unwritable", why, document.file, "", "", because("look-at-permissions"))
                raise UnansweredError([fault]) from None
        return answer

    def _save(self, place: str, changed: Sequence[tuple[Document, bytes]], answer: CardsAnswer) -> CardsAnswer:
        """Further versions in the store, each based on the one that was read, and the entry of the record with them."""
        from standtrue.store.database import open_store
        from standtrue.work.keep.answers import SHOP, saving_now, stored_marks
        from standtrue.work.keep.versions import note_saved

        assert self.said is not None  # whoever writes into a store tells its record
        saving = saving_now(self.by)
        with open_store(place) as store, store.writing() as connection:
            rests_on = tuple(stored_marks(connection, answer.basis.marks))
            answer = evolve(answer, saved=tuple(_versions(connection, changed, saving)))
            note_saved(connection, answer.saved, self.said(answer), saving, answer.remembered or SHOP, rests_on)
        return answer


def _changed(one: Write) -> bytes:
    """What a document is to be. Raises UnansweredError where it cannot be changed field by field."""
    try:
        return one.change(one.document.source, one.document.file)
    except NotChangedError:
        remedy = because("write-it-by-hand", fields=one.by_hand)
        fault = Fault("file-changed", because("field-not-changed"), one.document.file, "", "", remedy)
        raise UnansweredError([fault]) from None


def _versions(connection: Connection, changed: Sequence[tuple[Document, bytes]], saving: Saving) -> Iterator[Saved]:
    """Save what is to be. Raises UnansweredError where a document is not the one that was read."""
    from standtrue.store.documents import Draft, latest_versions, save
    from standtrue.work.keep.versions import Saved

    there = {one.path: one for one in latest_versions(connection)}
    for document, now in changed:
        latest, new = there.get(document.file), load_text(now, document.file)
        if latest is None or latest.content != document.source or new.mark is None:
            raise _meanwhile(document)
        mark = new.mark
        draft = Draft(latest.document, latest.version, mark.kind, mark.name, latest.path, now, mark.digest)
        yield Saved("changed", save(connection, draft, saving))


def _meanwhile(document: Document) -> UnansweredError:
    return refused("file-changed", "card-changed-meanwhile", "try-again", file=document.file)
