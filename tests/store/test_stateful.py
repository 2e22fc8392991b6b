"""SQLite, PostgreSQL and a model in memory agree after every step, whatever is saved, refused, removed and noted."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest
from attrs import define, field
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule, run_state_machine_as_test

from standtrue.seal import canonical, diagnose
from standtrue.store import journal
from standtrue.store.database import Store, open_store
from standtrue.store.documents import Draft, Saving, StaleError, history, latest_versions, save, wrong_with
from standtrue.store.tables import metadata

NAMES = st.sampled_from(("a", "b", "añb", "", "a\0"))
JOBS = st.sampled_from(("order 1", "order 2"))
CONTENTS = st.one_of(st.none(), st.binary(max_size=40))
CALLED = {"a\0": "a\N{REPLACEMENT CHARACTER}"}
"""What a store calls a document that PostgreSQL has no text for."""

Told = tuple[str, str, bytes | None, int, str, str]
"""A version: name, path, content, what it is based on, who saved it and when."""


@define
class Model:
    """What a store should hold: the versions of each document in turn, and the entries of the journal."""

    documents: list[list[Told]] = field(factory=list)
    entries: list[tuple[str, int, bytes]] = field(factory=list)

    def save(self, draft: Draft, saving: Saving) -> bool:
        """Whether it is kept."""
        versions = [] if draft.document is None else self.documents[draft.document - 1]
        if versions and draft.based_on != len(versions):
            return False
        if not versions:
            self.documents.append(versions)
        name = CALLED.get(draft.name, draft.name)
        versions.append((name, draft.path, draft.content, draft.based_on, saving.by, saving.at))
        return True

    def note(self, job: str, content: bytes) -> None:
        self.entries.append((job, sum(one[0] == job for one in self.entries), content))


class Stores(RuleBasedStateMachine):
    """Both databases and the model, step by step."""

    stores: Sequence[Store] = ()

    def __init__(self) -> None:
        super().__init__()
        self.model, self.clock = Model(), 0

    @initialize()
    def empty(self) -> None:
        for store in self.stores:
            with store.writing() as connection:
                for table in reversed(metadata.sorted_tables):
                    connection.execute(table.delete())

    @rule(name=NAMES, content=CONTENTS)
    def save_new(self, name: str, content: bytes | None) -> None:
        self.save(Draft(None, 0, "mix" if name else "", name, f"{len(self.model.documents)}.toml", content, ""))

    @rule(data=st.data(), name=NAMES, content=CONTENTS)
    def save_change(self, data: st.DataObject, name: str, content: bytes | None) -> None:
        if self.model.documents:
            number = data.draw(st.integers(1, len(self.model.documents)))
            latest = len(self.model.documents[number - 1])
            based_on = data.draw(st.integers(max(latest - 1, 0), latest + 1))
            self.save(Draft(number, based_on, "mix", name, f"moved/{number}.toml", content, ""))

    @rule(job=JOBS, figure=st.integers(-5, 5))
    def note(self, job: str, figure: int) -> None:
        content, at = canonical({"figure": figure}), self.now()
        self.model.note(job, content)
        for store in self.stores:
            with store.writing() as connection:
                journal.append(connection, journal.Draft(job, "note", 1, "Ana", "test", content), at)

    @rule()
    def fail_in_the_middle(self) -> None:
        """A transaction that does not end well leaves nothing."""
        for store in self.stores:
            with pytest.raises(ZeroDivisionError):
                self.write_and_fail(store)

    @invariant()
    def all_agree(self) -> None:
        for store in self.stores:
            with store.reading() as connection:
                versions, latest = history(connection), latest_versions(connection)
                entries = list(journal.entries(connection))
                assert list(wrong_with(connection)) == []
                assert diagnose(entries, *journal.read_head(connection)).broken == ()
            found: dict[int, list[Told]] = {}
            for one in versions:
                told = (one.name, one.path, one.content, one.based_on, one.saved_by, one.saved_at)
                found.setdefault(one.document, []).append(told)
                assert one.version == len(found[one.document])
            assert found == {i + 1: kept for i, kept in enumerate(self.model.documents)}
            assert {one.document: one.version for one in latest} == {n: len(kept) for n, kept in found.items()}
            assert [(e.entry.job, e.entry.number, e.content) for e in entries] == self.model.entries

    def save(self, draft: Draft) -> None:
        saving = Saving("Ana", self.now(), "test")
        kept = self.model.save(draft, saving)
        for store in self.stores:
            try:
                with store.writing() as connection:
                    save(connection, draft, saving)
                assert kept
            except StaleError:
                assert not kept

    def write_and_fail(self, store: Store) -> None:
        with store.writing() as connection:
            save(connection, Draft(None, 0, "mix", "lost", "lost.toml", b"lost", ""), Saving("Ana", self.now(), "test"))
            journal.append(connection, journal.Draft("lost", "note", 1, "Ana", "test", b"{}"), self.now())
            raise ZeroDivisionError

    def now(self) -> str:
        self.clock += 1
        return f"2026-03-02T10:{self.clock // 60:02}:{self.clock % 60:02}.000Z"


def walk(sqlite: Path, database: str, examples: int, steps: int) -> None:
    with open_store(sqlite, make=True) as one, open_store(database, make=True) as two:
        Stores.stores = (one, two)
        how: Any = {"deadline": None, "derandomize": True, "suppress_health_check": list(HealthCheck)}
        run_state_machine_as_test(Stores, settings=settings(max_examples=examples, stateful_step_count=steps, **how))


def test_a_model_sqlite_and_postgresql_agree_after_every_step(tmp_path: Path, database: str) -> None:
    walk(tmp_path / "standtrue.db", database, examples=8, steps=12)


@pytest.mark.long
def test_they_agree_at_length(tmp_path: Path, database: str) -> None:
    walk(tmp_path / "standtrue.db", database, examples=150, steps=50)
