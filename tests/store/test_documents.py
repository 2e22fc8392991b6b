"""Versions of documents: kept, never overwritten; a stale save is refused; what is not as it was saved is found."""

from __future__ import annotations

import random
from contextlib import suppress
from pathlib import Path

import pytest
from sqlalchemy import text

from standtrue.model.basics import UnansweredError
from standtrue.store.database import Store, open_store
from standtrue.store.documents import Draft, Saving, StaleError, Version, history, latest_versions, save, wrong_with
from standtrue.work.records.verifying import verify_store

ANA = Saving("Ana", "2026-03-02T10:00:00.000Z", "standtrue 0.1.0")


def keep(store: Store, content: bytes | None, before: Version | None = None, path: str = "car.toml") -> Version:
    number, based_on = (None, 0) if before is None else (before.document, before.version)
    with store.writing() as connection:
        return save(connection, Draft(number, based_on, "vehicle", "Tavlin Corrow", path, content, ""), ANA)


def latest(store: Store) -> tuple[Version, ...]:
    with store.reading() as connection:
        return latest_versions(connection)


def wrong(store: Store) -> list[str]:
    with store.reading() as connection:
        return [reason.code for reason in wrong_with(connection)]


def test_every_version_stays(store: Store) -> None:
    first = keep(store, b"length = 1 # one")
    second = keep(store, b"length = 2", first)
    keep(store, None, second)
    with store.reading() as connection:
        kept = history(connection, "vehicle", "Tavlin Corrow")
    assert [(one.version, one.content, one.based_on) for one in kept] == [
        (1, b"length = 1 # one", 0),
        (2, b"length = 2", 1),
        (3, None, 2),
    ]
    assert {(one.saved_by, one.saved_at) for one in kept} == {("Ana", ANA.at)}
    assert [one.version for one in latest(store)] == [3]
    assert wrong(store) == []


def test_a_stale_save_is_refused_and_tells_both(store: Store) -> None:
    first = keep(store, b"length = 1")
    second = keep(store, b"length = 2", first)
    with pytest.raises(StaleError) as refused:
        keep(store, b"length = 3", first)
    assert (refused.value.draft.content, refused.value.latest.content) == (b"length = 3", b"length = 2")
    assert latest(store) == (second,)


@pytest.mark.parametrize("path", ["../car.toml", "/etc/car.toml", "a/../../car.toml", ".", "a//car.toml", ""])
def test_no_path_leads_out_of_the_folder(store: Store, path: str) -> None:
    with pytest.raises(UnansweredError) as refused:
        keep(store, b"", path=path)
    assert refused.value.faults[0].what.code == "path-leads-out"
    assert latest(store) == ()


@pytest.mark.parametrize(
    ("alteration", "code"),
    [
        ("UPDATE document_version SET saved_by = 'Bo' WHERE version = 1", "version-altered"),
        ("UPDATE document_version SET saved_at = '2026-03-02T10:00:01.000Z' WHERE version = 2", "version-altered"),
        ("UPDATE document_version SET path = 'b.toml' WHERE version = 3", "version-altered"),
        ("UPDATE document_version SET mark = 'f' WHERE version = 2", "version-altered"),
        ("UPDATE document_version SET content = salt WHERE version = 2", "version-altered"),
        ("UPDATE document_version SET salt = NULL WHERE version = 3", "version-altered"),
        ("UPDATE document_version SET based_on = 1 WHERE version = 3", "version-altered"),
        ("DELETE FROM document_version WHERE version = 2", "version-lost"),
        ("DELETE FROM document_version WHERE version = 3", "version-lost"),
        ("UPDATE document SET version = 2", "version-lost"),
        ("DELETE FROM document_version", "document-lost"),
    ],
)
def test_what_is_altered_or_lost_is_found(store: Store, alteration: str, code: str) -> None:
    keep(store, b"length = 3", keep(store, b"length = 2", keep(store, b"length = 1")))
    with store.writing() as connection:
        connection.execute(text(alteration))
    assert code in wrong(store)


def test_an_altered_document_is_not_answered_from(store: Store) -> None:
    keep(store, b"length = 1")
    with store.writing() as connection:
        connection.execute(text("UPDATE document_version SET content = salt"))
    with pytest.raises(UnansweredError) as refused:
        latest(store)
    assert refused.value.faults[0].what.code == "version-altered"


def test_what_was_taken_away_for_a_customer_s_sake_is_no_alteration(store: Store) -> None:
    keep(store, None, keep(store, b"plate = 'ABC 123'"))
    with store.writing() as connection:
        connection.execute(text("UPDATE document_version SET content = NULL, salt = NULL, mark = '' WHERE version = 1"))
    assert wrong(store) == []


def test_a_document_with_any_name_can_be_kept(store: Store) -> None:
    """One with a fault may call itself by half a character (JSON lets it), or by a NUL that PostgreSQL refuses."""
    with store.writing() as connection:
        save(connection, Draft(None, 0, "site", "a\0b\ud800", "a.json", b"{}", ""), ANA)
    assert [one.name for one in latest(store)] == ["a\N{REPLACEMENT CHARACTER}b?"]
    assert wrong(store) == []


def test_a_flipped_bit_anywhere_in_the_file_is_a_fault_or_changes_no_document(tmp_path: Path) -> None:
    """Nowhere does it end in an error of the program's own; `verify` finds it, or it lies where nothing is kept."""
    with open_store(tmp_path, make=True) as made:
        for number in range(4):
            keep(made, b"# a car and what is known of it\n" * 40, path=f"{number}.toml")
        contents = [one.content for one in latest(made)]
    file, draw = tmp_path / "standtrue.db", random.Random(7)
    sound = file.read_bytes()
    for _ in range(60):
        at, bit = draw.randrange(len(sound)), 1 << draw.randrange(8)
        file.write_bytes(sound[:at] + bytes([sound[at] ^ bit]) + sound[at + 1 :])
        for beside in tmp_path.glob("standtrue.db-*"):
            beside.unlink()
        with suppress(UnansweredError):
            verify_store(str(tmp_path))
        with suppress(UnansweredError), open_store(tmp_path) as damaged:
            assert [one.content for one in latest(damaged)] == contents, (at, bit)


def test_a_flipped_bit_in_a_version_s_content_is_found(tmp_path: Path) -> None:
    """A bit in every 97th byte of what one version holds."""
    content = b"# " + b"a car of the shop, and what is known of it; " * 40
    with open_store(tmp_path, make=True) as made:
        keep(made, content)
    file = tmp_path / "standtrue.db"
    sound = file.read_bytes()
    begins = sound.index(content)
    for at in range(begins, begins + len(content), 97):
        file.write_bytes(sound[:at] + bytes([sound[at] ^ (1 << (at % 8))]) + sound[at + 1 :])
        with open_store(tmp_path) as damaged:
            assert wrong(damaged) == ["version-altered"], at
