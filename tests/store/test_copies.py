"""Backup, restore and move on both kinds of store: one moment, nothing written over; and a customer's data gone."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest
from sqlalchemy import select, text

from removing_shop import AT, SECRET, fill, take_out
from standtrue.model.basics import UnansweredError
from standtrue.model.shop import Shop, Written
from standtrue.show.answers.backup import of_removed, of_rule
from standtrue.show.answers.kept import said_of
from standtrue.store import attachments, tables
from standtrue.store.database import Store, open_store
from standtrue.store.journal import Draft, append, entries
from standtrue.work.backup.copies import back_up, move, restore
from standtrue.work.backup.removing import remove, set_rule
from standtrue.work.records.verifying import verify_store


def rows(place: str) -> dict[str, list[tuple[object, ...]]]:
    """Everything in a store."""
    with open_store(place) as store, store.reading() as connection:
        tables_ = tables.metadata.sorted_tables
        return {
            t.name: [tuple(r) for r in connection.execute(select(t).order_by(*t.primary_key.columns))] for t in tables_
        }


def codes(refused: pytest.ExceptionInfo[UnansweredError]) -> list[str]:
    return [fault.what.code for fault in refused.value.faults]


def test_a_backup_restored_is_the_same_row_for_row(place: str, store: Store, tmp_path: Path) -> None:
    fill(store, tmp_path)
    copied = back_up(place, tmp_path / "backup.db")
    assert (copied.wrong, copied.head.size, copied.files) == ((), 7, 3)
    assert not [f.name for f in tmp_path.iterdir() if f.name.startswith(".backup")]
    assert rows(str(tmp_path / "backup.db")) == rows(place)
    restored = restore(tmp_path / "backup.db", str(tmp_path / "again"))
    assert restored.head == copied.head
    assert rows(str(tmp_path / "again" / "standtrue.db")) == rows(place)


def test_nothing_is_written_over(place: str, store: Store, tmp_path: Path) -> None:
    fill(store, tmp_path, 1)
    back_up(place, tmp_path / "backup.db")
    with pytest.raises(UnansweredError) as refused:
        back_up(place, tmp_path / "backup.db")
    assert codes(refused) == ["store-there-already"]
    with pytest.raises(UnansweredError) as refused:
        restore(tmp_path / "backup.db", place)
    assert codes(refused)[0] in ("store-there-already", "store-not-empty")


def test_a_backup_that_is_not_whole_is_not_restored_and_a_damaged_store_is_still_copied(
    place: str, store: Store, tmp_path: Path
) -> None:
    fill(store, tmp_path, 1)
    with store.writing() as connection:
        connection.execute(text("UPDATE entry SET who = 'Eve' WHERE number = 0"))
    assert back_up(place, tmp_path / "backup.db").wrong
    with pytest.raises(UnansweredError):
        restore(tmp_path / "backup.db", str(tmp_path / "again"))
    assert not (tmp_path / "again").exists()
    with pytest.raises(UnansweredError):
        move(place, str(tmp_path / "other.db"))


def test_a_backup_under_load_is_one_moment_of_it(place: str, store: Store, tmp_path: Path) -> None:
    fill(store, tmp_path, 1)
    stop, failed = threading.Event(), []

    def write(name: str) -> None:
        with open_store(place) as own:
            while not stop.is_set():
                try:
                    with own.writing() as connection:
                        append(connection, Draft(name, "note", 1, name, "p", b'{"n":1}'), AT)
                        append(connection, Draft(name, "note", 1, name, "p", b'{"n":2}'), AT)
                except UnansweredError as error:
                    failed.append(error)

    writers = [threading.Thread(target=write, args=(f"writer {n}",)) for n in range(3)]
    for one in writers:
        one.start()
    try:
        copies = [back_up(place, tmp_path / f"backup {n}.db") for n in range(3)]
    finally:
        stop.set()
        for one in writers:
            one.join()
    assert not failed
    with store.reading() as connection:
        whole = [one.digest for one in entries(connection)]
    for n, copied in enumerate(copies):
        assert not copied.wrong
        with open_store(tmp_path / f"backup {n}.db") as backup, backup.reading() as connection:
            there = [one.digest for one in entries(connection)]
        assert len(there) == copied.head.size
        assert len(there) % 2 == 1, "a transaction is there as a whole, or not at all"
        assert there == whole[: len(there)]


def test_a_store_moves_to_a_server_and_back_with_the_same_head(database: str, tmp_path: Path) -> None:
    start = str(tmp_path / "standtrue.db")
    with open_store(start, make=True) as store:
        fill(store, tmp_path)
        before = rows(start)
        there = move(start, database)
        assert rows(database) == before
        with pytest.raises(UnansweredError) as refused, store.writing():
            pass
        assert codes(refused) == ["store-moved"]
    assert "***" in there.target or "@" in there.target
    back = move(database, str(tmp_path / "back.db"))
    assert back.head == there.head
    assert rows(str(tmp_path / "back.db")) == before
    assert not verify_store(str(tmp_path / "back.db")).wrong


def test_a_removal_leaves_no_byte_of_what_was_there_and_the_chain_is_proven(
    place: str, store: Store, tmp_path: Path
) -> None:
    fill(store, tmp_path)
    with store.reading() as connection:
        digests = [one.digest for one in entries(connection)]
    take_out(place, "job 1")
    verified = verify_store(place)
    assert verified.wrong == ()
    assert verified.removed == 2
    with store.reading() as connection:
        assert [one.digest for one in entries(connection)][: len(digests)] == digests
        (*_, last) = entries(connection, "job 1")
    assert last.entry.kind == "removal"
    assert b"the owner asked" in (last.content or b"")
    everything = str(rows(place))
    assert f"{SECRET} job 0" in everything
    assert f"{SECRET} job 1" not in everything
    store.close()
    if "://" not in place:
        for file in (Path(place), *Path(place).parent.glob("*.db-*")):
            held = file.read_bytes()
            assert f"{SECRET} job 1".encode() not in held, file
            assert f"{SECRET} job 0".encode() in held or file.suffix != ".db"


def test_what_is_gone_without_an_entry_that_says_so_is_told(place: str, store: Store, tmp_path: Path) -> None:
    fill(store, tmp_path)
    take_out(place, "job 1")
    with store.writing() as connection:
        connection.execute(text("UPDATE entry SET salt = NULL, content = NULL WHERE job = 'job 0' AND number = 1"))
        connection.execute(text("UPDATE document_version SET salt = NULL, content = NULL WHERE name = 'job 2'"))
        named = connection.execute(
            text("SELECT attachments FROM entry WHERE job = 'job 2' AND number = 0")
        ).scalar_one()
        (digest,) = attachments.named(named)
        connection.execute(text("DELETE FROM attachment_piece WHERE attachment = :d"), {"d": digest})
        connection.execute(text("UPDATE attachment SET salt = NULL WHERE digest = :d"), {"d": digest})
    found = {one.code for one in verify_store(place).wrong}
    assert found == {"content-removed-unsaid", "version-removed-unsaid", "file-removed-unsaid"}


def test_the_shops_rule_says_what_may_go_and_when(place: str, store: Store, tmp_path: Path) -> None:
    fill(store, tmp_path, 1)

    def refused(job: str, why: str = "asked") -> list[str]:
        with pytest.raises(UnansweredError) as error:
            remove(place, Shop(Written()), job, why, "Ana", lambda removed: said_of(of_removed(removed)))
        return codes(error)

    before = rows(place)
    assert refused("job 0") == ["no-rule-of-keeping"]
    assert refused("job 9") == ["job-without-entries"]
    assert refused("job 0", " ") == ["removal-without-reason"]
    assert rows(place) == before
    set_rule(place, 50, "long", "Owner", lambda rule: said_of(of_rule(rule)))
    assert refused("job 0") == ["kept-until"]
