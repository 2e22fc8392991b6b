"""The files that cards and jobs lie in: found by kind and name, and written anew field by field."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from standtrue.documents import Document, read_files
from standtrue.documents.rewriting import ChangedMeanwhileError, NotChangedError, rewrite
from standtrue.model.basics import Fault
from standtrue.model.reason import Term, because
from standtrue.work.ask import UnansweredError
from standtrue.work.card.life import refused


def document_in(folder: Path, kind: str, name: str) -> Document:
    """The document of a kind and name in a folder. Raises UnansweredError where no file of it holds one."""
    for document in read_files(folder):
        if document.mark is not None and (document.mark.kind, document.mark.name) == (kind, name):
            return document
    raise refused("unknown-name", "card-file-elsewhere", "look-at-folder", value=name)


def write_anew(folder: Path, document: Document, change: Callable[[bytes, str], bytes], by_hand: str) -> str:
    """Change a document's file; its path below the folder. Raises UnansweredError, and writes nothing.

    `by_hand` are the fields that a person writes where the file cannot be changed field by field.
    """
    try:
        rewrite(folder / document.file, document.source, change(document.source, document.file))
    except NotChangedError:
        remedy = because("write-it-by-hand", fields=by_hand)
        fault = Fault("file-changed", because("field-not-changed"), document.file, "", "", remedy)
        raise UnansweredError([fault]) from None
    except ChangedMeanwhileError:
        raise refused("file-changed", "file-changed-meanwhile", "try-again", file=document.file) from None
    except OSError as error:
        why = because("folder-unwritable", why=Term((error.strerror or "it cannot be opened").lower()))
        fault = Fault("unwritable", why, document.file, "", "", because("look-at-permissions"))
        raise UnansweredError([fault]) from None
    return document.file
