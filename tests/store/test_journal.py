"""The journal in both databases: appended, read, looked for; altered by SQL behind its back, and found."""

from __future__ import annotations

import random
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from attrs import evolve
from sqlalchemy import Connection, delete, insert, select, text, update

from standtrue.model.basics import UnansweredError
from standtrue.seal import Diagnosis, How, Mark, canonical, diagnose
from standtrue.store import attachments
from standtrue.store.attachments import PIECE_BYTES, State
from standtrue.store.database import Store
from standtrue.store.journal import (
    Draft,
    append,
    append_new,
    entries,
    last_of,
    read_head,
    read_rows,
)
from standtrue.store.tables import attachment_piece, entry, head

AT = "2026-03-02T10:11:12.000000Z"
JOBS = ("order 1", "order 2", "order 1", "order 3", "order 1", "order 2", "order 4", "order 1", "order 3", "order 2")


def draft(job: str, figure: int = 0, **told: Any) -> Draft:
    content = canonical({"figure": figure})
    return Draft(job, "needs", 1, "Person A", "standtrue 0.1.0", content, (Mark("job", job, 1),), **told)


def fill(store: Store) -> None:
    for i, job in enumerate(JOBS):
        with store.writing() as connection:
            append(connection, draft(job, i), AT)


def diagnosed(store: Store) -> Diagnosis:
    with read_rows(store) as connection:
        return diagnose(entries(connection), *read_head(connection))


def test_what_is_appended_is_read_back_and_is_whole(store: Store) -> None:
    fill(store)
    with store.reading() as connection:
        kept = list(entries(connection))
        of_one = list(entries(connection, "order 1"))
        last = last_of(connection, "order 2", "needs")
    assert [one.entry.job for one in kept] == list(JOBS)
    assert [one.entry.number for one in of_one] == [0, 1, 2, 3]
    assert [one.content for one in kept] == [canonical({"figure": i}) for i in range(len(JOBS))]
    assert last == kept[-1]
    told = diagnosed(store)
    assert (told.size, told.broken) == (10, ())


def test_an_empty_journal_is_whole(store: Store) -> None:
    assert (diagnosed(store).size, diagnosed(store).broken) == (0, ())


def test_the_same_again_is_not_kept_twice_in_a_row(store: Store) -> None:
    with store.writing() as connection:
        assert append_new(connection, draft("order 1", 1), AT) is not None
        assert append_new(connection, draft("order 1", 1), AT) is None
        assert append_new(connection, draft("order 2", 1), AT) is not None
        assert append_new(connection, draft("order 1", 2), AT) is not None
        assert append_new(connection, draft("order 1", 1), AT) is not None
        other = evolve(draft("order 1", 5), documents=(Mark("setup", "camera", 1),))
        assert append_new(connection, other, AT) is not None
        assert append_new(connection, draft("order 1", 1), AT) is None
        assert append_new(connection, evolve(other, documents=(Mark("setup", "camera", 2),)), AT) is not None
    assert diagnosed(store).size == 6


def _set(leaf: int, **values: Any) -> Callable[[Connection], None]:
    return lambda connection: void(connection.execute(update(entry).where(entry.c.leaf == leaf).values(values)))


def void(_done: object) -> None:
    """What a statement returns is of no interest."""


def _removed(leaf: int) -> Callable[[Connection], None]:
    return lambda connection: void(connection.execute(delete(entry).where(entry.c.leaf == leaf)))


def _swapped(one: int, two: int) -> Callable[[Connection], None]:
    def swap(connection: Connection) -> None:
        for was, now in ((one, 1000), (two, one), (1000, two)):
            connection.execute(update(entry).where(entry.c.leaf == was).values(leaf=now))

    return swap


def _inserted(of: int) -> Callable[[Connection], None]:
    def copy(connection: Connection) -> None:
        row = dict(connection.execute(select(entry).where(entry.c.leaf == of)).mappings().one())
        connection.execute(insert(entry).values({**row, "leaf": len(JOBS), "number": 77}))

    return copy


def _cut(leaf: int) -> Callable[[Connection], None]:
    return lambda connection: void(connection.execute(delete(entry).where(entry.c.leaf >= leaf)))


ALTERATIONS: dict[str, tuple[Callable[[Connection], None], How, set[int]]] = {
    "a figure": (_set(3, content=b'{"figure":4}'), How.CONTENT_ALTERED, {3}),
    "the salt": (_set(3, salt=bytes(16)), How.CONTENT_ALTERED, {3}),
    "a short salt": (_set(3, salt=b"x"), How.CONTENT_ALTERED, {3}),
    "content alone removed": (_set(3, content=None), How.CONTENT_ALTERED, {3}),
    "who": (_set(4, who="Person B"), How.ALTERED, {4}),
    "when": (_set(4, at="2026-03-02T10:11:13.000000Z"), How.ALTERED, {4}),
    "kind": (_set(0, kind="plan"), How.ALTERED, {0}),
    "the shape's version": (_set(9, shape=2), How.ALTERED, {9}),
    "documents, a space": (_set(9, documents=' [{"kind":"job","name":"order 2","version":1}]'), How.ALTERED, {9}),
    "attachments": (_set(9, attachments="[1]"), How.ALTERED, {9}),
    "number": (_set(5, number=40), How.ALTERED, {5}),
    "job": (_set(5, job="order 9"), How.ALTERED, {5}),
    "digest": (_set(5, digest="00" * 32), How.ALTERED, {5}),
    "digest, no digits": (_set(5, digest="zz"), How.ALTERED, {5}),
    "the content's digest": (_set(5, content_digest="00" * 32), How.ALTERED, {5}),
    "the log before it": (_set(5, log="00" * 32), How.ALTERED, {5}),
    "removed": (_removed(4), How.LOST, {4}),
    "swapped": (_swapped(2, 6), How.MOVED, {2, 6}),
    "inserted": (_inserted(2), How.INSERTED, {10}),
    "the tail cut": (_cut(8), How.TAIL_CUT, {8}),
    "all of it": (_cut(0), How.TAIL_CUT, {0}),
}


def test_each_alteration_by_sql_is_found_and_the_entry_named(store: Store) -> None:
    fill(store)
    for name, (alter, how, which) in ALTERATIONS.items():
        with store.reading() as connection:
            rows = [dict(row) for row in connection.execute(select(entry)).mappings()]
        with store.writing() as connection:
            alter(connection)
        told = {one.index for one in diagnosed(store).broken if one.how is how}
        assert which <= told, (name, diagnosed(store).broken)
        with store.writing() as connection:
            connection.execute(delete(entry))
            connection.execute(insert(entry), rows)
    assert diagnosed(store).broken == ()


def test_digits_in_other_letters_are_an_alteration_too(store: Store) -> None:
    fill(store)
    with store.writing() as connection:
        digest = connection.execute(select(entry.c.digest).where(entry.c.leaf == 3)).scalar_one()
        connection.execute(update(entry).where(entry.c.leaf == 3).values(digest=str(digest).upper()))
    assert [(one.how, one.index) for one in diagnosed(store).broken] == [(How.ALTERED, 3)]


@pytest.mark.parametrize("values", [{"root": "00" * 32}, {"size": 9}, {"peaks": "00"}])
def test_an_altered_head_is_found(store: Store, values: dict[str, Any]) -> None:
    fill(store)
    with store.writing() as connection:
        connection.execute(update(head).values(values))
    assert How.HEAD_ALTERED in {one.how for one in diagnosed(store).broken}


def test_a_byte_of_the_file_changed_at_random_is_found(tmp_path: Path) -> None:
    """Where an entry's text lies in SQLite's file, any bit changed is told: as no text, or as another one."""
    from standtrue.store.database import open_store

    file = tmp_path / "standtrue.db"
    with open_store(file, make=True) as made:
        fill(made)
        with made.reading() as connection:
            who = [one.entry.at for one in entries(connection)]
    data, chance = file.read_bytes(), random.Random(3)
    places = [i for i in range(len(data)) if data[i : i + 8] == b"Person A"]
    assert len(places) >= len(who)
    for _ in range(40):
        at = chance.choice(places) + chance.randrange(8)
        file.write_bytes(data[:at] + bytes([data[at] ^ 1 << chance.randrange(8)]) + data[at + 1 :])
        with open_store(file) as opened:
            told = diagnosed(opened).broken
        assert [one.how for one in told] == [How.ALTERED], told


def test_a_file_is_kept_in_pieces_and_read_back(store: Store, tmp_path: Path) -> None:
    file = tmp_path / "scan.bin"
    for size in (0, 1, PIECE_BYTES, 2 * PIECE_BYTES + 5):
        file.write_bytes(random.Random(size).randbytes(size))
        with store.writing() as connection:
            digest = attachments.keep(connection, file, "order 1")
            assert b"".join(attachments.read(connection, digest)) == file.read_bytes()
            assert attachments.state(connection, digest) is State.WHOLE
        with store.reading() as connection:
            pieces = connection.execute(
                select(attachment_piece.c.number).where(attachment_piece.c.attachment == digest)
            ).all()
        assert len(pieces) == -(-size // PIECE_BYTES)


def test_the_same_file_of_a_job_is_kept_once_and_of_another_job_by_itself(store: Store, tmp_path: Path) -> None:
    file = tmp_path / "photo.jpg"
    file.write_bytes(b"not decoded")
    with store.writing() as connection:
        first = attachments.keep(connection, file, "order 1")
        append(connection, draft("order 1", attachments=(first,)), AT)
        assert attachments.keep(connection, file, "order 1") == first
        assert attachments.keep(connection, file, "order 2") != first


def test_each_flipped_bit_of_a_file_is_found(store: Store, tmp_path: Path) -> None:
    file, chance = tmp_path / "photo.jpg", random.Random(5)
    content = chance.randbytes(PIECE_BYTES + 100)
    file.write_bytes(content)
    with store.writing() as connection:
        digest = attachments.keep(connection, file, "order 1")
    piece = attachment_piece.c
    for number, size in ((0, PIECE_BYTES), (1, 100)) * 4:
        where = (piece.attachment == digest, piece.number == number)
        whole = content[number * PIECE_BYTES :][:size]
        at = chance.randrange(size)
        flipped = whole[:at] + bytes([whole[at] ^ 1 << chance.randrange(8)]) + whole[at + 1 :]
        with store.writing() as connection:
            connection.execute(update(attachment_piece).where(*where).values(content=flipped))
            assert attachments.state(connection, digest) is State.ALTERED
            connection.execute(update(attachment_piece).where(*where).values(content=whole))
            assert attachments.state(connection, digest) is State.WHOLE
    with store.writing() as connection:
        connection.execute(delete(attachment_piece).where(piece.number == 1))
        assert attachments.state(connection, digest) is State.ALTERED
        connection.execute(text("DELETE FROM attachment_piece"))
        connection.execute(text("DELETE FROM attachment"))
        assert attachments.state(connection, digest) is State.LOST


@pytest.mark.parametrize("name", ["nothing there", "."])
def test_what_is_no_file_is_refused(store: Store, tmp_path: Path, name: str) -> None:
    def keep() -> None:
        with store.writing() as connection:
            attachments.keep(connection, tmp_path / name, "order 1")

    with pytest.raises(UnansweredError) as refused:
        keep()
    assert refused.value.faults[0].what.code == "no-file-there"
