"""A record of one job that was handed out, checked without a store: a folder or a single file that `hand_out` wrote."""

from __future__ import annotations

import hashlib
import json
import zipfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from standtrue.documents import load_text
from standtrue.model.basics import Fault, UnansweredError
from standtrue.model.reason import Reason, because
from standtrue.seal import NOTHING, Head, attachment_digest, consistent, content_digest, leaf_of, root_by_path
from standtrue.seal.digests import ENTRY
from standtrue.store.attachments import PIECE_BYTES
from standtrue.work.records.exporting import DOCUMENTS, FILES, FORMAT, RECORD, vouched
from standtrue.work.records.verifying import Anchored, Verified, anchor_said

MOST_RECORD = 1 << 28
"""A record is read into memory: one that says it is larger is refused, bytes."""


class _Packed:
    """What a single file or a folder holds, by name."""

    def __init__(self, place: Path, packed: zipfile.ZipFile | None) -> None:
        self.place, self.packed = place, packed

    def pieces(self, name: str) -> Iterator[bytes]:
        """A member's bytes. Raises OSError or KeyError where there is none."""
        with (self.place / name).open("rb") if self.packed is None else self.packed.open(name) as opened:
            while piece := opened.read(PIECE_BYTES):
                yield piece

    def size(self, name: str) -> int:
        """Its size, as far as it is told, bytes."""
        return (self.place / name).stat().st_size if self.packed is None else self.packed.getinfo(name).file_size


def is_handed_out(place: Path) -> bool:
    """Whether this looks like a record of one job that was handed out, and no shop."""
    return (place / RECORD).is_file() if place.is_dir() else place.suffix.lower() == ".zip"


def check_handed_out(place: Path, against: Sequence[str] = ()) -> Verified:
    """Check a record that was handed out. Raises UnansweredError where it cannot be read, and for no anchor."""
    anchors = tuple(map(anchor_said, against))
    with _opened(place) as packed:
        try:
            if packed.size(RECORD) > MOST_RECORD:
                raise ValueError("too large")
            record = json.loads(b"".join(packed.pieces(RECORD)))
            if record["format"] != FORMAT:
                raise ValueError("another format")
            return _checked(record, packed, anchors)
        except (KeyError, TypeError, ValueError, AttributeError, OSError, zipfile.BadZipFile) as error:
            raise _unreadable(place) from error


@contextmanager
def _opened(place: Path) -> Iterator[_Packed]:
    if place.is_dir():
        yield _Packed(place, None)
        return
    try:
        opened = zipfile.ZipFile(place)
    except (OSError, zipfile.BadZipFile) as error:
        raise _unreadable(place) from error
    with opened:
        yield _Packed(place, opened)


def _unreadable(place: Path) -> UnansweredError:
    what, remedy = because("no-record-handed-out"), because("ask-for-it-again")
    return UnansweredError([Fault("unreadable", what, str(place), "", "", remedy)])


def _checked(record: dict[str, Any], packed: _Packed, anchors: Sequence[Head]) -> Verified:
    head = Head(record["head"]["size"], bytes.fromhex(record["head"]["root"]), record["head"]["at"])
    headers = [json.loads(one["header"]) for one in record["entries"]]
    wrong: list[Reason] = []
    before = NOTHING
    for number, (one, header) in enumerate(zip(record["entries"], headers, strict=True)):
        wrong += _of_entry(one, header, number, before, record["job"], head)
        before = bytes.fromhex(one["digest"])
    salts = {one["digest"]: bytes.fromhex(one["salt"]) for one in record["files"]}
    named = list(dict.fromkeys(digest for header in headers for digest in header["attachments"]))
    wrong += _of_files(named, salts, packed)
    wrong += _of_documents(record, packed)
    proven = {(one["size"], one["root"]): tuple(map(bytes.fromhex, one["path"])) for one in record["earlier"]}
    for (size, root), path in proven.items():
        if not consistent(size, head.size, bytes.fromhex(root), head.root, path):
            wrong.append(because("earlier-not-begun-with", count=size))
    held = tuple(Anchored(one, _holds(one, head, proven)) for one in anchors)
    wrong += [because("anchor-not-proven", count=one.head.size) for one in held if not one.holds]
    return Verified(head, len(named), len(record["documents"]), tuple(wrong), held, record["job"])


def _holds(anchor: Head, head: Head, proven: dict[tuple[int, str], tuple[bytes, ...]]) -> bool:
    """Whether the record proves that its head's log begins as this anchor says."""
    if anchor.size == head.size:
        return anchor.root == head.root
    path = proven.get((anchor.size, anchor.root.hex()))
    return path is not None and consistent(anchor.size, head.size, anchor.root, head.root, path)


def _of_entry(
    one: dict[str, Any], header: dict[str, Any], number: int, before: bytes, job: str, head: Head
) -> Iterator[Reason]:
    """What is wrong with one entry, told by its place in the job."""
    told: dict[str, str | int] = {"job": str(job), "number": number + 1}
    digest = hashlib.sha256(ENTRY + one["header"].encode()).digest()
    if digest.hex() != one["digest"] or header["job"] != job:
        yield because("handed-entry-altered", **told)
        return
    if header["number"] != number or bytes.fromhex(header["before"]) != before:
        yield because("handed-entry-out-of-order", **told)
    path = tuple(map(bytes.fromhex, one["path"]))
    if root_by_path(leaf_of(digest), header["index"], head.size, path) != head.root:
        yield because("handed-entry-not-in-log", **told)
    if one["content"] is None and one["salt"] is None:
        return
    if content_digest(bytes.fromhex(one["salt"]), one["content"].encode()).hex() != header["content"]:
        yield because("handed-content-altered", **told)


def _of_files(named: Sequence[str], salts: dict[str, bytes], packed: _Packed) -> Iterator[Reason]:
    """Files that are not what an entry names. One without salt was removed by the shop's rule before."""
    for digest in named:
        if digest not in salts:
            continue
        try:
            same = attachment_digest(salts[digest], packed.pieces(f"{FILES}/{digest}")).hex() == digest
        except (KeyError, OSError):
            yield because("handed-file-lost", digest=digest[:16])
            continue
        if not same:
            yield because("handed-file-altered", digest=digest[:16])


def _of_documents(record: dict[str, Any], packed: _Packed) -> Iterator[Reason]:
    """Documents that do not say what the entries rest on, by the digests that stand in the entries' contents."""
    used: dict[tuple[str, str, int], set[str]] = {}
    for one in record["entries"]:
        content = None if one["content"] is None else one["content"].encode()
        for version, digest in vouched(content, json.dumps(json.loads(one["header"])["documents"])).items():
            used.setdefault(version, set()).add(digest)
    for one in record["documents"]:
        told = {"kind": one["kind"], "name": one["name"], "version": one["version"]}
        try:
            text = b"".join(packed.pieces(f"{DOCUMENTS}/{one['file']}"))
        except (KeyError, OSError):
            yield because("handed-document-lost", **told)
            continue
        mark = load_text(text, one["file"]).mark
        said = used.get((one["kind"], one["name"], one["version"]), set())
        if mark is None or said != {mark.digest}:
            yield because("handed-document-altered", **told)
