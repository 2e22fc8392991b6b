"""Writes a small store of this release's schema as text, to be kept: `python -m released_schema FILE`.

It is run once for each schema, when that is released: what it wrote is never written again.
"""

from __future__ import annotations

import sqlite3
import sys
import tempfile
from pathlib import Path

from standtrue.seal import Mark, canonical
from standtrue.store import accounts, answered, attachments, journal
from standtrue.store.database import FILE, open_store
from standtrue.store.documents import Draft, Saving, save


def write(file: Path) -> None:
    """A document of two versions, two entries of a job, a file, an answer to a request, a person who is signed in."""
    with tempfile.TemporaryDirectory() as folder:
        photo = Path(folder) / "photo.jpg"
        photo.write_bytes(b"what a camera saw")
        with open_store(folder, make=True) as store, store.writing() as connection:
            for version, by in ((1, "Ana"), (2, "Bo")):
                content = f'kind = "mix"\nname = "last year"\n# {version}\n'.encode()
                draft = Draft(None if version == 1 else 1, version - 1, "mix", "last year", "mix.toml", content, "")
                save(connection, draft, Saving(by, f"2026-03-0{version}T10:00:00.000Z", "standtrue 0.1.0"))
            marks = (Mark("mix", "last year", 2),)
            content = canonical({"needs": []})
            needs = journal.Draft("order 1", "needs", 1, "Ana", "standtrue 0.1.0", content, marks)
            journal.append(connection, needs, "2026-03-03T10:00:00.000Z")
            kept = attachments.keep(connection, photo, "order 1")
            scan = journal.Draft("order 1", "scan", 1, "Bo", "standtrue 0.1.0", canonical({}), attachments=(kept,))
            journal.append(connection, scan, "2026-03-03T11:00:00.000Z")
            given = answered.Answered("0" * 64, 201, b"{}", "2026-03-03T11:00:00.000Z")
            answered.note(connection, "Bo", "key 1", "order 1", given)
            at, later = "2026-03-03T11:00:00.000Z", "2026-03-10T11:00:00.000Z"
            accounts.add_account(connection, accounts.Account("ana", "Ana", "owner", "", "", at))
            accounts.add_session(connection, accounts.Session("1" * 64, "ana", at, at, later, "192.0.2.7"))
            accounts.put_code(connection, accounts.Code("2" * 64, "ana", later))
            accounts.note(connection, accounts.Event(at, "signed in", "3" * 64, "Ana", "Ana", "192.0.2.7"))
        database = sqlite3.connect(Path(folder) / FILE)
        file.write_text("\n".join(database.iterdump()) + "\n", encoding="utf-8")
        database.close()


if __name__ == "__main__":
    write(Path(sys.argv[1]))
