"""Jobs looked for by words and days, and a page at a time."""

from __future__ import annotations

import random
from pathlib import Path
from typing import Any

import pytest

from standtrue.model.basics import UnansweredError
from standtrue.seal import canonical
from standtrue.store.database import Store, open_store
from standtrue.store.journal import Draft, append
from standtrue.store.seeking import About, Found, Wanted, forget, search
from standtrue.work.records.searching import look_for, read_page

AT = "2026-03-02T10:11:12.000000Z"


def draft(job: str, **told: Any) -> Draft:
    return Draft(job, "needs", 1, "Person A", "standtrue 0.1.0", canonical({}), **told)


def test_a_job_is_found_by_its_words_and_by_nothing_once_they_are_forgotten(store: Store) -> None:
    about = About("RO-4711", "ABC 123", "Tavlin Corrow", ("Person C", "front camera, Tavlin"))
    with store.writing() as connection:
        append(connection, draft("corrow front", about=about), AT)
        append(connection, draft("corrow front"), "2026-04-05T10:00:00.000000Z")
        append(connection, draft("other"), AT)
    with store.reading() as connection:
        for words in (
            ["4711"],
            ["abc", "123"],
            ["abc123"],
            ["CORROW"],
            ["person c"],
            ["2026-03"],
            ["camera"],
            ["2026-04-05"],
        ):
            found = [one.job for one in search(connection, Wanted(tuple(words)))]
            assert found[0] == "corrow front", words
        assert [one.job for one in search(connection, Wanted())] == ["corrow front", "other"]
        assert (
            search(connection, Wanted(("abc%",)))
            == search(
                connection,
                Wanted(
                    (
                        "corrow",
                        "nobody",
                    )
                ),
            )
            == []
        )
        (one, _) = search(connection, Wanted(("person a",)))
        assert (one.order_number, one.plate, one.entries, one.first_at[:10], one.last_at[:10]) == (
            *("RO-4711", "ABC 123", 2),
            *("2026-03-02", "2026-04-05"),
        )
    with store.writing() as connection:
        forget(connection, "corrow front")
    with store.reading() as connection:
        assert search(connection, Wanted(("abc",))) == []
        assert [one.job for one in search(connection, Wanted(("corrow",)))] == ["corrow front"]


def days_of_jobs(store: Store, jobs: int, seed: int) -> dict[str, list[str]]:
    """Jobs with entries on chosen days of one spring, in the order in which they were kept."""
    draw = random.Random(seed)
    days = sorted(f"2026-0{draw.randint(3, 5)}-{draw.randint(1, 28):02d}" for _ in range(3 * jobs))
    kept: dict[str, list[str]] = {}
    with store.writing() as connection:
        for day in days:
            job = f"order {draw.randrange(jobs)}"
            append(connection, draft(job), f"{day}T{draw.choice(('00:00:00.000', '23:59:59.999'))}Z")
            kept.setdefault(job, []).append(day)
    return kept


def test_jobs_are_found_by_the_days_of_their_entries(store: Store) -> None:
    """Against all entries looked at one by one."""
    kept = days_of_jobs(store, 12, seed=3)
    draw = random.Random(4)
    for _ in range(40):
        first, last = sorted(f"2026-0{draw.randint(2, 6)}-{draw.randint(1, 28):02d}" for _ in range(2))
        for begin, end in ((first, last), (first, ""), ("", last), (first, first)):
            expected = {j for j, days in kept.items() if any(begin <= d <= (end or "9") for d in days)}
            with store.reading() as connection:
                found = search(connection, Wanted(first=begin, last=end))
            assert {one.job for one in found} == expected, (begin, end)


def test_pages_make_up_the_whole_each_job_once(place: str) -> None:
    with open_store(place, make=True) as store:
        days_of_jobs(store, 12, seed=5)
    whole = look_for(place, ["order"]).found
    after: tuple[str, str] | None = None
    paged: list[Found] = []
    for _ in range(len(whole)):
        page = look_for(place, ["order"], most=5, after=after)
        assert page.jobs == len(whole)
        paged += page.found
        after = page.after
        if after is None:
            break
    assert tuple(paged) == whole
    assert len(whole) > 10


def test_pages_of_a_job_make_up_its_entries(place: str) -> None:
    with open_store(place, make=True) as store, store.writing() as connection:
        for number in range(12):
            append(connection, draft("order 1" if number % 4 else "other"), AT)
    numbers, after, more = [], -1, True
    while more:
        page = read_page(place, "order 1", after=after, most=4)
        numbers += [one.entry.number for one in page.entries]
        after, more = numbers[-1], page.more
        assert page.count == 9
    assert numbers == list(range(9))
    assert read_page(place, "order 1", after=8).entries == ()


@pytest.mark.parametrize(
    ("first", "last", "code", "field"),
    [
        ("yesterday", "", "no-date", "--from"),
        ("", "2026-02-30", "no-date", "--to"),
        ("2026-03-02", "2026-03-01", "days-reversed", "--to"),
    ],
)
def test_what_are_no_days_is_refused(tmp_path: Path, first: str, last: str, code: str, field: str) -> None:
    open_store(tmp_path, make=True).close()
    with pytest.raises(UnansweredError) as refused:
        look_for(str(tmp_path), [], first, last)
    assert [(one.what.code, one.field) for one in refused.value.faults] == [(code, field)]
