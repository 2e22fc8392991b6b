"""One job of the record, handed out: its entries, files and documents, and the proof that they are in the shop's log.

The format is described in `docs/explanation/record-format.md`, with a script by which anybody checks it. What is
digested stands in it as text, to the byte, so that nobody need write JSON the same way.
"""

from __future__ import annotations

import json
import zipfile
from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from pathlib import Path
from typing import Any

from attrs import frozen
from sqlalchemy import Connection, select

from standtrue.model.basics import Fault, UnansweredError
from standtrue.model.reason import Reason, because
from standtrue.seal import Head, Kept, Tree, leaf_of
from standtrue.store import attachments, journal
from standtrue.store.database import Store, opened
from standtrue.store.tables import document_version
from standtrue.whole_file import beside
from standtrue.work.records.searching import read_job
from standtrue.work.records.verifying import anchor_said

FORMAT = "standtrue record 1"
RECORD = "record.json"
FILES = "files"
DOCUMENTS = "documents"
STILL = (2020, 1, 1, 0, 0, 0)
"""The time of every member of a single file, so that the same record gives the same bytes."""


@frozen
class Handed:
    """A job's record as it was written: where, how many entries and files, and the head that it is proven by."""

    job: str
    out: Path
    entries: int
    files: int
    head: Head


def hand_out(place: str | Store, job: str, out: Path, against: Sequence[str] = ()) -> Handed:
    """Write one job into a folder, or a single file (.zip); with a proof for each anchor in `against` that is given.

    Raises UnansweredError: no such job, an anchor of more entries than there are, or nothing can be written there.
    """
    anchors = tuple(map(anchor_said, against))
    kept = read_job(place, job)
    with opened(place) as store, store.reading() as connection:
        head = journal.read_head(connection)[0]
        tree = Tree(map(leaf_of, journal.digests(connection)))
        if longer := next((one for one in anchors if not 0 < one.size <= tree.size), None):
            what, remedy = because("anchor-of-another-log", count=longer.size), because("verify-first")
            raise UnansweredError([Fault("no-anchor", what, "", "--against", "", remedy)])
        names = [d for one in kept for d in attachments.named(one.entry.attachments)]
        files = {digest: attachments.salt_of(connection, digest) for digest in dict.fromkeys(names)}
        documents = tuple(_documents(connection, kept))
        record = _record(job, kept, head, tree, anchors, files)
        record["documents"] = [one for one, _ in documents]
        try:
            _write(out, record, _members(connection, files, documents))
        except OSError as error:
            why = because("file-unwritable", error=error.strerror or str(error))
            raise UnansweredError([_unwritable(out, why)]) from error
    return Handed(job, out, len(kept), len(files), head)


def _unwritable(out: Path, what: Reason) -> Fault:
    return Fault("unwritable", what, str(out), "", "", because("name-a-writable-file"))


def _record(
    job: str,
    kept: Sequence[Kept],
    head: Head,
    tree: Tree,
    anchors: Sequence[Head],
    files: Mapping[str, bytes | None],
) -> dict[str, Any]:
    """What `record.json` says."""
    earlier = [Head(kept[-1].entry.index, kept[-1].entry.log), *anchors]
    return {
        "format": FORMAT,
        "job": job,
        "head": {"size": head.size, "root": head.root.hex(), "at": head.at},
        "entries": [_entry(one, tree) for one in kept],
        "earlier": [
            {"size": one.size, "root": one.root.hex(), "path": [part.hex() for part in tree.consistency(one.size)]}
            for one in earlier
            if one.size
        ],
        "files": [{"digest": digest, "salt": salt.hex()} for digest, salt in files.items() if salt is not None],
    }


def _entry(one: Kept, tree: Tree) -> dict[str, Any]:
    return {
        "header": one.entry.header.decode("utf-8"),
        "digest": one.digest.hex(),
        "salt": None if one.salt is None else one.salt.hex(),
        "content": None if one.content is None else one.content.decode("utf-8"),
        "path": [part.hex() for part in tree.path(one.entry.index)],
    }


def _documents(connection: Connection, kept: Sequence[Kept]) -> Iterator[tuple[dict[str, Any], bytes]]:
    """The stored versions of the documents that the entries vouch for, and their bytes as they were written."""
    told = document_version.c
    wanted = dict.fromkeys(v for one in kept for v in vouched(one.content, one.entry.documents) if v[2])
    for kind, name, version in wanted:
        query = select(told.content, told.path).where(told.kind == kind, told.name == name, told.version == version)
        row = connection.execute(query).first()
        if row is not None and row.content is not None:
            yield {"kind": kind, "name": name, "version": version, "file": f"{version}/{row.path}"}, row.content


def vouched(content: bytes | None, documents: str) -> Mapping[tuple[str, str, int], str]:
    """The digests of documents that stand in an entry's content, by kind, name and the version that its header names.

    What an import brought or a removal took out is named without a digest: so nobody can try guesses once it is gone.
    """
    digests: dict[tuple[str, str], str] = {}
    with suppress(ValueError, KeyError, TypeError, AttributeError):  # altered: its own digest says so
        told = json.loads(content or b"{}").get("documents", ())
        digests = {(one["kind"], one["name"]): one["digest"] for one in told if "digest" in one}
    named = journal.documents_of(documents)
    return {one: digests[one[:2]] for one in named if one[:2] in digests}


def _members(
    connection: Connection, files: Mapping[str, bytes | None], documents: Sequence[tuple[dict[str, Any], bytes]]
) -> Iterator[tuple[str, Iterator[bytes]]]:
    """The files beside `record.json`: those that were brought, and the documents as they were."""
    for digest, salt in files.items():
        if salt is not None:
            yield f"{FILES}/{digest}", attachments.read(connection, digest)
    for one, content in documents:
        yield f"{DOCUMENTS}/{one['file']}", iter((content,))


def _write(out: Path, record: Mapping[str, Any], members: Iterator[tuple[str, Iterator[bytes]]]) -> None:
    """Into a single file, or a folder that is new or empty."""
    text = json.dumps(record, ensure_ascii=False, indent=1).encode("utf-8") + b"\n"
    if out.suffix.lower() == ".zip":
        out.parent.mkdir(parents=True, exist_ok=True)
        part = beside(out)
        with zipfile.ZipFile(part, "w", zipfile.ZIP_DEFLATED) as packed:
            for name, pieces in ((RECORD, iter((text,))), *members):
                with packed.open(zipfile.ZipInfo(name, STILL), "w", force_zip64=True) as member:
                    for piece in pieces:
                        member.write(piece)
        part.replace(out)
        return
    if out.exists() and (not out.is_dir() or any(out.iterdir())):
        raise UnansweredError([_unwritable(out, because("something-is-there"))])
    for name, pieces in ((RECORD, iter((text,))), *members):
        file = out / name
        file.parent.mkdir(parents=True, exist_ok=True)
        with file.open("wb") as opened:
            for piece in pieces:
                opened.write(piece)
