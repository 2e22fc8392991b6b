"""The store: a record of 10,000 jobs with 50 entries each appended to, looked through and proven, in both databases."""

from __future__ import annotations

import random
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy import insert, text

from standtrue.seal import NOTHING, Entry, Kept, Mark, Range, canonical, content_digest, leaf_of, listed
from standtrue.store.database import Store, open_store
from standtrue.store.journal import Draft, append, read_head, row_of, write_head
from standtrue.store.seeking import About, Wanted, search
from standtrue.store.tables import entry, sought
from standtrue.work.records.verifying import verify_store

Row = tuple[str, str]

JOBS, ENTRIES, PROVEN = 10_000, 50, 100_000
CONTENT = {"because": ["the windshield was replaced"] * 20, "figures_m": [n / 7 for n in range(30)]}
"""About 1 kB, as a short answer takes."""

APPEND_S, SEARCH_S, VERIFY_S = 0.02, 0.1, 10.0
"""What was aimed at."""

TIMES = 200


def measure() -> list[Row]:
    """The table's rows."""
    rows: list[Row] = []
    with tempfile.TemporaryDirectory() as folder:
        rows += _measured("SQLite", str(Path(folder) / "standtrue.db"))
    with postgresql() as place:
        rows += _measured("PostgreSQL", place)
    return rows


@contextmanager
def postgresql() -> Iterator[str]:
    """The server that the tests start."""
    sys.path.insert(0, str(Path(__file__).parents[1] / "tests" / "store"))
    from store_fixtures import new_server

    with new_server() as server:
        yield server.new_place()


def _measured(name: str, place: str) -> list[Row]:
    rows: list[Row] = []
    with open_store(place, make=True) as store:
        fill(store, 0, PROVEN // ENTRIES)
        begun = time.perf_counter()
        verified = verify_store(place)
        assert not verified.wrong
        assert verified.head.size == PROVEN
        taken = time.perf_counter() - begun
        rows.append((f"{name}: {PROVEN:,} entries proven", f"{taken:.1f} s ({VERIFY_S:.0f} s aimed at)"))
        fill(store, PROVEN // ENTRIES, JOBS)
        what = f"{name}: an entry appended to {JOBS * ENTRIES:,}, 95 of 100 at most"
        rows.append((what, _percentile(lambda n: _append(store, n), APPEND_S)))
        what = f"{name}: a job found by its words among {JOBS:,}, 95 of 100 at most"
        rows.append((what, _percentile(lambda n: _search(store, n), SEARCH_S)))
        size = _size(store, place)
        each = size / (JOBS * ENTRIES)
        content = len(canonical(CONTENT))
        rows.append(
            (f"{name}: size", f"{size / 1e6:,.0f} MB, {each:,.0f} bytes an entry, of which {content:,} content")
        )
    return rows


def _percentile(ask: Callable[[int], None], aim_s: float) -> str:
    times = []
    for n in range(TIMES):
        begun = time.perf_counter()
        ask(n)
        times.append(time.perf_counter() - begun)
    worst = sorted(times)[int(0.95 * TIMES)]
    return f"{1000 * worst:.1f} ms ({1000 * aim_s:.0f} ms aimed at)"


def _append(store: Store, n: int) -> None:
    job = _job(n * 7919 % JOBS)
    draft = Draft(
        job, "needs", 1, "Person A", "standtrue", canonical({**CONTENT, "n": n}), about=_about(n * 7919 % JOBS)
    )
    with store.writing() as connection:
        append(connection, draft, "2026-05-01T00:00:00.000Z")


def _search(store: Store, n: int) -> None:
    job = n * 104729 % JOBS
    asked = ([f"abc{job:05d}"], ["plover", f"{job:05d}"], [f"ro {job}"], ["2026-03-0", "person b"])[n % 4]
    with store.reading() as connection:
        assert search(connection, Wanted(tuple(asked)))


def _size(store: Store, place: str) -> int:
    with store.reading() as connection:
        if store.engine.name == "sqlite":
            return Path(place).stat().st_size
        tables = "SELECT sum(pg_total_relation_size(c.oid)) FROM pg_class c WHERE relkind = 'r' AND relnamespace = "
        return int(connection.execute(text(f"{tables} current_schema()::regnamespace")).scalar_one())


def _job(number: int) -> str:
    return f"RO {number}"


def _about(number: int) -> About:
    words = ("forward camera wide board", "front radar reflector", "Person C", "VIN0000000000" + f"{number:04d}")
    return About(f"RO {number}", f"ABC {number:05d}", "Tavlin Plover", words)


def fill(store: Store, first: int, last: int) -> None:
    """Jobs with all their entries at once, entry by entry over the jobs, as a bulk load would."""
    with store.writing() as connection:
        _, log = read_head(connection)
        assert log is not None
        for begin in range(first, last, 40):
            jobs = range(begin, min(begin + 40, last))
            log, rows = _rows(log, jobs)
            connection.execute(insert(entry), rows)
            connection.execute(insert(sought), [_sought(job) for job in jobs])
        write_head(connection, log, "2026-04-30T00:00:00.000Z")


def _rows(log: Range, jobs: range) -> tuple[Range, list[dict[str, object]]]:
    rows, before, chance = [], dict.fromkeys(jobs, NOTHING), random.Random(jobs[0])
    for number in range(ENTRIES):
        for job in jobs:
            salt, content = chance.randbytes(16), canonical({**CONTENT, "n": [number, job]})
            one = Entry(
                log.size,
                _job(job),
                number,
                "needs",
                1,
                "Person B",
                f"2026-03-{1 + number % 28:02d}T00:00:00.000Z",
                "standtrue 0.1.0",
                listed([Mark("job", _job(job), 0), Mark("vehicle", "Tavlin Plover", 0)]),
                "[]",
                content_digest(salt, content),
                before[job],
                log.root,
            )
            before[job] = one.digest
            rows.append(row_of(Kept(one, one.digest, salt, content)))
            log = log.grown(leaf_of(one.digest))
    return log, rows


def _sought(job: int) -> dict[str, object]:
    about = _about(job)
    said = (about.order_number, about.plate, about.plate.replace(" ", ""), about.vehicle, "Person B", *about.words)
    days = [f"2026-03-{1 + number % 28:02d}" for number in range(min(ENTRIES, 28))]
    return {
        "job": _job(job),
        "order_number": about.order_number,
        "plate": about.plate,
        "vehicle": about.vehicle,
        "words": "\n".join(word.casefold() for word in (*said, *days)),
        "entries": ENTRIES,
        "first_at": "2026-03-01T00:00:00.000Z",
        "last_at": "2026-03-28T00:00:00.000Z",
    }
