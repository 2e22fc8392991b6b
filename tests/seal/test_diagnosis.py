"""A thousand random alterations of a record, each found and the entry named; and what only an anchor can tell."""

from __future__ import annotations

import random
from collections.abc import Callable
from typing import Any

import pytest
from attrs import evolve
from seal_makers import appended, made

from standtrue.seal import Broken, Diagnosis, Head, How, Kept, Range, Tree, content_digest, diagnose, leaf_of

JOBS = [f"order {i * i % 7}" for i in range(60)]
ENTRIES, HEAD, LOG = made(JOBS)
TEXTS = ("job", "kind", "who", "at", "program", "documents", "attachments")

Altered = tuple[list[Kept], set[int], set[How]]
"""The entries, which of them must be named, and as what."""


def _flip(data: bytes, chance: random.Random) -> bytes:
    at = chance.randrange(len(data))
    return data[:at] + bytes([data[at] ^ 1 << chance.randrange(8)]) + data[at + 1 :]


def _letter(text: str, chance: random.Random) -> str:
    at = chance.randrange(len(text))
    return text[:at] + chr(ord(text[at]) ^ 1) + text[at + 1 :]


def _byte(chance: random.Random) -> Altered:
    """A byte of any field changed."""
    entries, at = list(ENTRIES), chance.randrange(len(ENTRIES))
    one = entries[at]
    assert one.salt is not None
    assert one.content is not None
    field = chance.choice((*TEXTS, "number", "shape", "before", "log", "content digest", "digest", "salt", "content"))
    if field in ("salt", "content"):
        flipped: dict[str, Any] = {field: _flip(getattr(one, field), chance)}
        entries[at] = evolve(one, **flipped)
        return entries, {at}, {How.CONTENT_ALTERED}
    if field == "digest":
        entries[at] = evolve(one, digest=_flip(one.digest, chance))
    else:
        name = field.split()[0]
        value = getattr(one.entry, name)
        new = (
            value + 1 if isinstance(value, int) else _letter(value, chance) if field in TEXTS else _flip(value, chance)
        )
        changes: dict[str, Any] = {name: new}
        entries[at] = evolve(one, entry=evolve(one.entry, **changes))
    return entries, {at}, {How.ALTERED}


def _removed(chance: random.Random) -> Altered:
    at = chance.randrange(len(ENTRIES) - 1)
    return ENTRIES[:at] + ENTRIES[at + 1 :], {at}, {How.LOST}


def _closed(entries: list[Kept]) -> list[Kept]:
    """The same with indexes from 0 up, as one would number them anew to hide a gap."""
    return [evolve(one, entry=evolve(one.entry, index=i)) for i, one in enumerate(entries)]


def _removed_and_closed(chance: random.Random) -> Altered:
    entries, which, how = _removed(chance)
    return _closed(entries), which, how


def _swapped(chance: random.Random) -> Altered:
    entries, (a, b) = list(ENTRIES), chance.sample(range(len(ENTRIES)), 2)
    entries[a], entries[b] = entries[b], entries[a]
    return _closed(entries), {a, b}, {How.MOVED}


def _contents_swapped(chance: random.Random) -> Altered:
    entries, (a, b) = list(ENTRIES), chance.sample(range(len(ENTRIES)), 2)
    one, two = entries[a], entries[b]
    entries[a] = evolve(one, content=two.content, salt=two.salt)
    entries[b] = evolve(two, content=one.content, salt=one.salt)
    return entries, {a, b}, {How.CONTENT_ALTERED}


def _forged(at: int, chance: random.Random) -> Kept:
    """An entry true in itself: its digests agree, it names the job's last entry and the log before it."""
    log = Range()
    for one in ENTRIES[:at]:
        log = log.grown(leaf_of(one.digest))
    job = chance.choice(JOBS)
    before = next((one for one in reversed(ENTRIES[:at]) if one.entry.job == job), None)
    return appended(at, job, before, log, "forged ")


def _inserted(chance: random.Random) -> Altered:
    at = chance.randrange(len(ENTRIES) + 1)
    entries = [*ENTRIES[:at], _forged(at, chance), *ENTRIES[at:]]
    return _closed(entries), {at}, {How.INSERTED}


def _copied(chance: random.Random) -> Altered:
    at, of = chance.randrange(len(ENTRIES) + 1), chance.randrange(len(ENTRIES))
    said = {at + 1 if of == at else at}  # right before itself: which of the two is the copy nobody can tell
    return _closed([*ENTRIES[:at], ENTRIES[of], *ENTRIES[at:]]), said, {How.INSERTED}


def _replaced(chance: random.Random) -> Altered:
    """One entry forged anew with all its digests."""
    at = chance.randrange(len(ENTRIES))
    one = ENTRIES[at]
    assert one.salt is not None
    content = b'{"forged":true}'
    entry = evolve(one.entry, content=content_digest(one.salt, content))
    return [*ENTRIES[:at], Kept(entry, entry.digest, one.salt, content), *ENTRIES[at + 1 :]], {at}, {How.REPLACED}


def _cut(chance: random.Random) -> Altered:
    at = chance.randrange(len(ENTRIES))
    return ENTRIES[:at], {at}, {How.TAIL_CUT}


WAYS: tuple[Callable[[random.Random], Altered], ...] = (
    _byte,
    _byte,
    _removed,
    _removed_and_closed,
    _swapped,
    _contents_swapped,
    _inserted,
    _copied,
    _replaced,
    _cut,
)


def _named(broken: Broken) -> range:
    return range(broken.index, broken.index + broken.count)


def test_a_thousand_random_alterations_are_found_and_the_entry_is_named() -> None:
    chance = random.Random(20260302)
    for n in range(1000):
        way = WAYS[n % len(WAYS)]
        entries, which, how = way(chance)
        told = diagnose(entries, HEAD, LOG).broken
        for at in which:
            assert any(one.how in how and at in _named(one) for one in told), (n, way.__name__, at, told)


def test_nothing_but_what_was_altered_is_named() -> None:
    chance = random.Random(7)
    for way in (_byte, _removed, _swapped, _contents_swapped, _replaced, _cut):
        for _ in range(25):
            entries, which, how = way(chance)
            told = diagnose(entries, HEAD, LOG).broken
            assert {one.how for one in told} == how, (way.__name__, which, told)
            assert {one.index for one in told} == which, (way.__name__, which, told)


def test_a_whole_record_is_whole() -> None:
    assert diagnose(ENTRIES, HEAD, LOG) == Diagnosis(60, HEAD.root, ())
    assert diagnose([], Head(0, Range().root), Range()).broken == ()


def test_a_content_removed_with_its_salt_is_no_alteration_and_one_without_it_is() -> None:
    entries = list(ENTRIES)
    entries[5] = evolve(entries[5], salt=None, content=None)
    assert diagnose(entries, HEAD, LOG).broken == ()
    entries[5] = evolve(ENTRIES[5], content=None)
    assert [(one.how, one.index) for one in diagnose(entries, HEAD, LOG).broken] == [(How.CONTENT_ALTERED, 5)]


def test_a_lost_entry_is_named_by_its_job_where_the_next_one_tells() -> None:
    told = diagnose(ENTRIES[:7] + ENTRIES[8:], HEAD, LOG).broken
    assert told == (Broken(How.LOST, 7, JOBS[7], ENTRIES[7].entry.number),)


def test_all_of_a_job_removed_is_found_against_the_head() -> None:
    gone = [i for i, job in enumerate(JOBS) if job == JOBS[3]]
    for entries in (left := [one for one in ENTRIES if one.entry.job != JOBS[3]], _closed(left)):
        told = diagnose(entries, HEAD, LOG).broken
        lost = {i for one in told if one.how in (How.LOST, How.TAIL_CUT) for i in _named(one)}
        assert lost == set(gone), told


@pytest.mark.parametrize("cut", [1, 13])
def test_a_tail_cut_with_its_head_is_found_against_an_anchor_alone(cut: int) -> None:
    entries, head, log = made(JOBS[:-cut])
    assert diagnose(entries, head, log).broken == ()
    assert diagnose(entries, head, log, [HEAD]).broken == (Broken(How.TAIL_CUT, 60 - cut, count=cut),)


def test_a_log_rewritten_as_a_whole_is_found_against_an_anchor_alone() -> None:
    entries, head, log = made(JOBS, tag="rewritten ")
    assert diagnose(entries, head, log).broken == ()
    tree = Tree(leaf_of(one.digest) for one in ENTRIES)
    for size in (1, 30, 60):
        told = diagnose(entries, head, log, [Head(size, tree.root(size))]).broken
        assert told == (Broken(How.REWRITTEN, 0, count=size),)
        assert diagnose(ENTRIES, HEAD, LOG, [Head(size, tree.root(size))]).broken == ()


@pytest.mark.parametrize(
    ("head", "log"),
    [
        (Head(60, bytes(32)), LOG),
        (Head(59, HEAD.root), LOG),
        (HEAD, None),
        (HEAD, Range(60, (bytes(32), *LOG.peaks[1:]))),
    ],
)
def test_an_altered_head_is_found(head: Head, log: Range | None) -> None:
    assert How.HEAD_ALTERED in {one.how for one in diagnose(ENTRIES, head, log).broken}


def test_several_alterations_at_once_are_all_named() -> None:
    entries = list(ENTRIES)
    entries[50] = evolve(entries[50], entry=evolve(entries[50].entry, who="Person B"))
    entries[20] = evolve(entries[20], content=b"{}")
    del entries[30]
    told = {(one.how, one.index) for one in diagnose(entries, HEAD, LOG).broken}
    assert told == {(How.CONTENT_ALTERED, 20), (How.LOST, 30), (How.ALTERED, 50)}
