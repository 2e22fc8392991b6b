"""Every version of a document is proven to be the one that an entry brought, and no other is there."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from attrs import evolve
from record_makers import import_said
from sqlalchemy import Connection, delete, update

from standtrue.model.shop import Shop, Written
from standtrue.show.answers.backup import of_removed, of_rule
from standtrue.show.answers.kept import said_of
from standtrue.show.words.kept import content_words
from standtrue.show.words.reader import ENGLISH
from standtrue.store.database import open_store
from standtrue.store.documents import Draft, digest_of, history, save, seal_of, wrong_with
from standtrue.store.journal import Draft as Entry
from standtrue.store.journal import append
from standtrue.store.tables import document, document_version
from standtrue.work.backup.removing import remove, set_rule
from standtrue.work.exchange.folders import take_in
from standtrue.work.keep.answers import saving_now
from standtrue.work.records.checking import check_handed_out
from standtrue.work.records.exporting import hand_out
from standtrue.work.records.searching import read_job
from standtrue.work.records.verifying import verify_store
from standtrue.work.where import Where

FILES = {name: f'kind = "mix"\nname = "{name}"\n'.encode() for name in ("one", "two")}


def bring(folder: Path, place: str, **files: bytes | None) -> None:
    """Write files, or remove them, and take them in."""
    for name, content in files.items():
        if content is None:
            (folder / f"{name}.toml").unlink()
        else:
            (folder / f"{name}.toml").write_bytes(content)
    take_in(folder, Where(store=place), "Ana", {}, import_said)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    made = tmp_path / "shop"
    made.mkdir()
    return made


@pytest.fixture
def kept(place: str, folder: Path) -> str:
    """A store with two documents, of which the one has three versions and the other was removed."""
    bring(folder, place, **FILES)
    bring(folder, place, one=FILES["one"] + b"# more\n")
    bring(folder, place, one=FILES["one"] + b"# still more\n", two=None)
    return place


def wrong(place: str) -> list[str]:
    return ENGLISH.reasons(verify_store(place).wrong)


def test_each_import_is_an_entry_that_says_what_it_brought(kept: str) -> None:
    assert wrong(kept) == []
    told = [content_words(one.entry.kind, one.entry.shape, one.content, ENGLISH) for one in read_job(kept, "")]
    assert told == [
        ["2 versions of documents were taken in by Ana.", "new: mix one, version 1", "new: mix two, version 1"],
        ["1 version of a document was taken in by Ana.", "changed: mix one, version 2"],
        ["2 versions of documents were taken in by Ana.", "changed: mix one, version 3", "removed: mix two, version 2"],
    ]


def test_an_import_of_nothing_new_is_no_entry(kept: str, folder: Path) -> None:
    bring(folder, kept)
    assert len(read_job(kept, "")) == 3


def cut_tail(connection: Connection) -> None:
    """The last version and the pointer to it: what is left says nothing of it."""
    one = document_version.c
    connection.execute(delete(document_version).where(one.document == 1, one.version == 3))
    connection.execute(update(document).where(document.c.id == 1).values(version=2))


def cut_document(connection: Connection) -> None:
    connection.execute(delete(document_version).where(document_version.c.document == 2))
    connection.execute(delete(document).where(document.c.id == 2))


def slip_in(connection: Connection) -> None:
    draft = Draft(1, 3, "mix", "one", "one.toml", b"nobody imported this", "")
    save(connection, draft, saving_now("Mallory"))


def rewrite(connection: Connection) -> None:
    """The last version with other content, digest and seal, as whoever may write all of the store can."""
    versions = {one.version: one for one in history(connection) if one.document == 1}
    old, content = versions[3], b"rewritten"
    assert old.salt is not None
    new = evolve(old, content=content, digest=digest_of(old.salt, old.mark, content))
    values = {"content": content, "digest": new.digest, "seal": seal_of(new, versions[2].seal)}
    one = document_version.c
    connection.execute(update(document_version).where(one.document == 1, one.version == 3).values(values))


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (cut_tail, ["entry 3 of the shop itself brought version 3 of mix/one, and that is lost"]),
        (
            cut_document,
            [
                "entry 1 of the shop itself brought version 1 of mix/two, and that is lost",
                "entry 3 of the shop itself brought version 2 of mix/two, and that is lost",
            ],
        ),
        (slip_in, ["no entry brought version 4 of mix/one"]),
        (rewrite, ["version 3 of mix/one is not the one that entry 3 of the shop itself brought"]),
    ],
)
def test_what_leaves_every_seal_whole_is_found_by_the_entries(
    kept: str, change: Callable[[Connection], None], said: list[str]
) -> None:
    with open_store(kept) as store, store.writing() as connection:
        change(connection)
        assert list(wrong_with(connection)) == []
    assert [line for line in wrong(kept) if " rests on " not in line] == said


def test_what_was_there_before_any_entry_is_told_by_the_first_import(place: str, folder: Path) -> None:
    with open_store(place, make=True) as store, store.writing() as connection:
        save(connection, Draft(None, 0, "mix", "old", "old.toml", b"before", ""), saving_now("Ana"))
    assert wrong(place) == ["no entry brought version 1 of mix/old"]
    bring(folder, place, **FILES)
    assert wrong(place) == []
    (entry,) = read_job(place, "")
    assert "there before: mix old, version 1" in content_words("import", 1, entry.content, ENGLISH)


def test_a_customers_data_goes_and_the_versions_are_proven_as_before(place: str, folder: Path) -> None:
    order = b'kind = "job"\nname = "order 1"\nsite = "s"\nvehicle = "v"\n'
    bring(folder, place, order=order, **FILES)
    set_rule(place, 0, "by law", "Owner", lambda rule: said_of(of_rule(rule)))
    with open_store(place) as store, store.writing() as connection:
        append(connection, Entry("order 1", "keep", 1, "Ana", "test", b"{}"), "2020-01-01T00:00:00.000Z")
    remove(place, Shop(Written()), "order 1", "asked", "Ana", lambda one: said_of(of_removed(one)))
    assert wrong(place) == []
    hand_out(place, "order 1", folder / "order.zip")
    assert check_handed_out(folder / "order.zip").wrong == ()
    with open_store(place) as store, store.reading() as connection:
        assert [(one.version, one.content) for one in history(connection, "job")] == [(1, None), (2, None)]
    bring(folder, place, **FILES)
    assert wrong(place) == []
