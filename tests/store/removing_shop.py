"""A store with a customer's data in everything, and that taken out of it."""

from __future__ import annotations

from pathlib import Path

from record_makers import import_said

from standtrue.model.shop import Shop, Written
from standtrue.seal import canonical
from standtrue.show.answers.backup import of_removed, of_rule
from standtrue.show.answers.kept import said_of
from standtrue.store import attachments
from standtrue.store.database import Store
from standtrue.store.documents import Draft as Document
from standtrue.store.documents import Saving, save
from standtrue.store.journal import Draft, append
from standtrue.store.seeking import About
from standtrue.work.backup.removing import Removed, remove, set_rule
from standtrue.work.exchange.folders import TakenIn
from standtrue.work.keep.versions import Saved, note_saved

SECRET = "Quillonia-7731"
AT = "2016-03-04T10:00:00.000Z"


def fill(store: Store, tmp_path: Path, jobs: int = 3) -> None:
    """Jobs with entries, a file each, and their documents; all of them say the secret."""
    photo = tmp_path / "photo.bin"
    saved, saving = [], Saving("Ana", AT, "p")
    with store.writing() as connection:
        for job in (f"job {n}" for n in range(jobs)):
            photo.write_bytes((f"{SECRET} {job} " * 90_000).encode())
            file = attachments.keep(connection, photo, job)
            content = canonical({"owner": f"{SECRET} {job}"})
            document = Document(None, 0, "job", job, f"{job}.toml", content, "ab")
            saved.append(Saved("new", save(connection, document, saving)))
            about = About(plate=f"{SECRET} {job}")
            append(connection, Draft(job, "keep", 1, "Ana", "p", content, attachments=(file,), about=about), AT)
            append(connection, Draft(job, "note", 1, "Ana", "p", content, about=about), AT)
        note_saved(connection, saved, import_said(TakenIn("", "Ana", (), 0, tuple(saved))), saving)


def take_out(place: str, job: str) -> Removed:
    """Take a job's data out, by a rule that allows it."""
    set_rule(place, 7, "by law", "Owner", lambda rule: said_of(of_rule(rule)))
    return remove(place, Shop(Written()), job, "the owner asked", "Ana", lambda one: said_of(of_removed(one)))[0]
