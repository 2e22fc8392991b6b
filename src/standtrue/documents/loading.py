"""The files of a shop folder: which are documents, and each of them read."""

from __future__ import annotations

import json
import stat
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from attrs import evolve

from standtrue.documents.faults import RefusedError, shorten
from standtrue.documents.leaves import BROKEN
from standtrue.documents.lines import head_of
from standtrue.documents.reading import Document, read_document
from standtrue.documents.toml_text import Mistake, read_toml
from standtrue.model.basics import Fault
from standtrue.model.reason import Reason, Term, because

LARGEST_BYTES = 5_000_000
SUFFIXES = (".toml", ".json")
HIDDEN_ENDINGS = (".toml.txt", ".json.txt", ".tml")
"""How a document ends whose own ending a system hid, or whose ending was mistyped: told, for it is not read."""


def load_files(root: Path) -> list[Document]:
    """Every document below a folder, in the order of paths. Raises OSError or ValueError for the folder itself."""
    found, documents = sources(root)
    documents.extend(load_text(data, path) for path, data in found.items())
    return sorted(documents, key=lambda document: document.file)


def sources(root: Path) -> tuple[dict[str, bytes], list[Document]]:
    """The documents below a folder, each byte for byte by its path, in the order of paths; and what stands for those
    that cannot be read or are not. Raises OSError or ValueError for the folder itself."""
    broken: list[Document] = []
    found: dict[str, bytes] = {}
    for file in sorted(_files(root, broken), key=lambda file: file.relative_to(root).as_posix()):
        shown = _shown(file.relative_to(root).as_posix())
        data = _source(file, shown)
        if isinstance(data, bytes):
            found[shown] = data
        else:
            broken.append(data)
    return found, broken


def unreadable_folder(root: Path, error: Exception) -> Document:
    """What stands for a folder that cannot be read."""
    what = because("folder-unreadable", why=_reason(error))
    return _broken(_shown(str(root)), "unreadable", what, because("name-folder-that-exists"))


def _files(root: Path, unreadable: list[Document]) -> Iterator[Path]:
    seen: set[tuple[int, int]] = set()
    waiting = [root]
    while waiting:
        folder = waiting.pop()
        try:
            status = folder.stat()
            entries = list(folder.iterdir()) if (status.st_dev, status.st_ino) not in seen else []
        except OSError as error:
            if folder == root:
                raise
            shown = _shown(folder.relative_to(root).as_posix())
            what = because("folder-unreadable", why=_reason(error))
            unreadable.append(_broken(shown, "unreadable", what, because("look-at-permissions")))
            continue
        seen.add((status.st_dev, status.st_ino))
        for entry in entries:
            if entry.name.startswith("."):
                continue
            if entry.suffix.lower() in SUFFIXES and not entry.is_dir():
                yield entry
            elif entry.is_dir():
                waiting.append(entry)
            elif entry.name.lower().endswith(HIDDEN_ENDINGS):
                unreadable.append(_not_read(_shown(entry.relative_to(root).as_posix())))


def _not_read(shown: str) -> Document:
    """What stands for a file that looks like a document and is not read."""
    doubt = Fault("file-not-read", because("file-not-read"), shown, "", "", because("let-it-end-in-toml"))
    return Document(shown, None, doubts=(doubt,))


def _source(path: Path, shown: str) -> bytes | Document:
    try:
        status = path.stat()
        if not stat.S_ISREG(status.st_mode):
            return _broken(shown, "unreadable", because("no-regular-file"), because("put-text-file"))
        if status.st_size > LARGEST_BYTES:
            return _too_large(shown)
        return path.read_bytes()
    except OSError as error:
        what = because("file-unreadable", why=_reason(error))
        return _broken(shown, "unreadable", what, because("look-at-permissions"))


def load_text(text: str | bytes, file: str) -> Document:
    """Read one document from the text of a TOML or JSON file; which of the two, the ending of `file` says."""
    data = text if isinstance(text, bytes) else text.encode("utf-8", "surrogatepass")
    if len(data) > LARGEST_BYTES:
        return _too_large(file)
    decoded = _decoded(data, file)
    if isinstance(decoded, Document):
        return decoded
    try:
        if file.lower().endswith(".json"):
            return evolve(read_document(_parse_json(decoded), file), source=data)
        return _read_toml(decoded, file, data)
    except RefusedError as refused:
        return evolve(_broken(file, refused.code, refused.what, refused.remedy), head=head_of(data))
    except RecursionError:
        return _broken(file, "too-deep", because("nested-too-deeply"), because("write-flatter"))


def _decoded(data: bytes, file: str) -> str | Document:
    """The text of a file; or what to say of bytes that are none."""
    if data[:2] in _TWO_BYTES:
        broken = _broken(file, "not-utf8", because("file-of-two-bytes"), because("save-as-utf8"))
        return evolve(broken, head=head_of(data))
    try:
        decoded = data.decode("utf-8").removeprefix("\ufeff")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        fault = Fault("not-utf8", because("line-not-utf8", line=line), file, "", "", because("save-as-utf8"), line)
        return Document(file, None, (fault,), head=head_of(data))
    if "\0" in decoded:
        return _broken(file, "control-character", because("file-holds-nul"), because("save-as-utf8"))
    return decoded


_TWO_BYTES = (b"\xff\xfe", b"\xfe\xff")
"""How a file begins that was saved with two bytes for each sign."""


def _read_toml(text: str, file: str, data: bytes) -> Document:
    """A document in TOML: what is no TOML in it, and whatever else is wrong with the rest."""
    parsed, mistakes = read_toml(text)
    told = tuple(_told(mistake, file) for mistake in mistakes)
    if parsed is None:
        return Document(file, None, told, head=head_of(data), source=data)
    if not parsed and not told:
        told = (
            Fault("missing-field", because("document-empty"), file, "kind", "", because("write-document-or-remove")),
        )
    if all(value is BROKEN for value in parsed.values()):  # nothing in it is a document: the first mistake says so
        return Document(file, None, told[:1], source=data)
    document = read_document(parsed, file)
    head = head_of(data) if document.mark is None else {}
    form = None if told else document.form
    return evolve(document, faults=(*told, *document.faults), form=form, head=head, source=data)


def _told(mistake: Mistake, file: str) -> Fault:
    mend = mistake.mend
    value = shorten(mend.value) if mend.value else ""
    return Fault("toml-syntax", mend.what, file, "", value, mend.remedy, mistake.line)


def _parse_json(text: str) -> Any:
    try:
        return json.loads(text, object_pairs_hook=_once)
    except RefusedError:
        raise
    except ValueError as error:
        why, line = (error.msg, error.lineno) if isinstance(error, json.JSONDecodeError) else (str(error)[:200], None)
        raise RefusedError("json-syntax", because("not-json", why=Term(why), line=line), because("mend-line")) from None


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    table = dict(pairs)
    if len(table) < len(pairs):
        keys = [key for key, _ in pairs]
        twice = next(key for key in keys if keys.count(key) > 1)
        what = because("field-twice-in-table", field=twice[:80])
        raise RefusedError("field-repeated", what, because("keep-one-of-two"))
    return table


def _too_large(file: str) -> Document:
    what = because("file-larger-than", megabytes=LARGEST_BYTES // 1_000_000)
    return _broken(file, "too-large", what, because("look-whether-document"))


def _broken(file: str, code: str, what: Reason, remedy: Reason) -> Document:
    return Document(file, None, (Fault(code, what, file, "", "", remedy),))


def _shown(path: str) -> str:
    """A path that can be printed, whatever bytes it is made of."""
    return path.encode("utf-8", "backslashreplace").decode()


def _reason(error: Exception) -> Term:
    """What the system says, in lower case."""
    return Term((error.strerror or "it cannot be opened").lower() if isinstance(error, OSError) else str(error))
