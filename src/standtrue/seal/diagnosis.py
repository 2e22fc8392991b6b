"""What is wrong with a record: every entry altered, lost, moved or inserted, by its place; or that it is whole.

Four things hold an entry: its own digest; the digest of the job's entry before it, named in the next; the root of the
log before it, named in each; and the head. The entries are put back where their digests say that they stood, then the
log is grown again, leaf by leaf, and held against what each entry says of all before it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence, Set
from enum import Enum

from attrs import define, evolve, field, frozen

from standtrue.seal.digests import NOTHING
from standtrue.seal.entry import Kept
from standtrue.seal.head import Head
from standtrue.seal.tree import Range, leaf_of

LOOKED_FOR = 300
"""So many entries out of their places are held against each other; of more only those that moved alike are told."""


class How(Enum):
    """In which way an entry, or the log, is not what it was."""

    ALTERED = "altered"
    CONTENT_ALTERED = "content altered"
    REPLACED = "replaced"
    LOST = "lost"
    MOVED = "moved"
    INSERTED = "inserted"
    TAIL_CUT = "tail cut"
    HEAD_ALTERED = "head altered"
    REWRITTEN = "rewritten"


@frozen
class Broken:
    """One thing that is wrong. `index` is where in the log, from 0; of several in a row the first, `count` of them.

    `job` and `number` are told where they are known; `was` is where an entry stood that was moved.
    """

    how: How
    index: int
    job: str = ""
    number: int | None = None
    count: int = 1
    was: int | None = None


@frozen
class Diagnosis:
    """`size` entries were looked at, `root` is over them as they are; nothing `broken`: the record is whole."""

    size: int
    root: bytes | None
    broken: tuple[Broken, ...] = ()


@define
class _Line:
    """What is left to know of an entry once its own digest and content were looked at."""

    index: int
    job: str
    number: int
    before: bytes
    log: bytes
    digest: bytes
    found: bytes
    """Its digest as it is now; `digest` is the one kept with it."""
    true: int = field(init=False)

    def __attrs_post_init__(self) -> None:
        self.true = self.index

    @property
    def sound(self) -> bool:
        return self.found == self.digest

    @property
    def moved(self) -> bool:
        return self.true != self.index

    def broken(self, how: How, was: int | None = None) -> Broken:
        return Broken(how, self.index, self.job, self.number, was=was)


def diagnose(entries: Iterable[Kept], head: Head, kept: Range | None = None, anchors: Sequence[Head] = ()) -> Diagnosis:
    """What is wrong with these entries, given in the order of their indexes.

    `head` is the head that was kept, `kept` the parts of the log that were kept with it (None: they make up no log of
    its size); `anchors` are heads that somebody else kept.
    """
    lines: list[_Line] = []
    broken: list[Broken] = []
    off: list[tuple[_Line, Kept]] = []
    for one in entries:
        line = _line(one)
        lines.append(line)
        if not line.sound:
            off.append((line, one))
        if not one.whole:
            broken.append(line.broken(How.CONTENT_ALTERED))
    gaps = _gaps(lines, head.size)
    _put_back(off, gaps)
    walk = _Walk(lines, head, anchors)
    walk.go()
    broken += [*walk.broken, *_of_chains(walk), *_of_the_end(walk, head, kept), *_of_anchors(walk, head, anchors)]
    return Diagnosis(len(lines), walk.range.root if walk.known else None, _told(broken))


def _line(one: Kept) -> _Line:
    entry = one.entry
    try:
        found = entry.digest
    except ValueError:  # text that is no Unicode has no digest
        found = b""
    return _Line(entry.index, entry.job, entry.number, entry.before, entry.log, one.digest, found)


def _gaps(lines: Sequence[_Line], size: int) -> list[int]:
    """Indexes that no entry has, the first of many."""
    there = {line.index for line in lines}
    gaps: list[int] = []
    for index in range(max(size, max(there, default=-1) + 1)):
        if index not in there:
            gaps.append(index)
        if len(gaps) == LOOKED_FOR:
            break
    return gaps


def _put_back(off: Sequence[tuple[_Line, Kept]], gaps: Sequence[int]) -> None:
    """Find where entries stood that are not what their digest says, as if they had only been moved."""
    few = len(off) <= LOOKED_FOR
    elsewhere = [line.index for line, _ in off] + list(gaps) if few else []
    moved_by = 0
    for line, one in off:
        near = (line.index - moved_by, line.index - 1, line.index + 1)
        for index in (*near, *elsewhere):
            if index >= 0 and index != line.index and _digest_at(one, index) == line.digest:
                line.true, moved_by = index, line.index - index
                break


def _digest_at(one: Kept, index: int) -> bytes | None:
    try:
        return evolve(one.entry, index=index).digest
    except ValueError:
        return None


class _Walk:
    """The log grown again. `known`: its range is that of the entries as they stood, as far as anybody can tell."""

    def __init__(self, lines: Sequence[_Line], head: Head, anchors: Sequence[Head]) -> None:
        self.head = head
        self.at: dict[int, list[_Line]] = {}
        for line in lines:
            self.at.setdefault(line.true, []).append(line)
        self.size = max(head.size, max(self.at, default=-1) + 1)
        self.range, self.known = Range(), True
        self.roots: dict[int, bytes] = {}
        self.step = 0
        self.wanted = {anchor.size for anchor in anchors}
        self.broken: list[Broken] = []
        self.chosen: dict[int, _Line] = {}
        self.digests = {line.digest for line in lines}
        self.orphans = _orphans(lines, self.digests)

    def go(self) -> None:
        last = max(self.at, default=-1)
        for index in range(last + 1):
            if index in self.wanted and self.known:
                self.roots[index] = self.range.root
            self._step(index, self.at.get(index, []), self._said_after(index))
        if self.known:
            self.roots[last + 1] = self.range.root
        if self.size > last + 1:
            self.broken.append(Broken(How.TAIL_CUT, last + 1, count=self.size - last - 1))

    def _said_after(self, index: int) -> bytes | None:
        """The root that the log should have behind this entry: as the next entry says, or the head."""
        after = [line for line in self.at.get(index + 1, ()) if line.sound or line.moved]
        if after:
            return after[0].log if len({line.log for line in after}) == 1 else None
        return self.head.root if index + 1 == self.head.size and index + 1 not in self.at else None

    def _step(self, index: int, lines: Sequence[_Line], said: bytes | None) -> None:
        """Grow the log by the entry of this index, and tell what is wrong with it."""
        fitting = self._fitting(lines, said)
        line = fitting[0] if fitting else None
        if not lines:
            job, number = self.orphans.get(fitting[1], ("", None)) if fitting else ("", None)
            self.broken.append(Broken(How.LOST, index, job, number))
        chosen = line or min(lines, key=self._less_moved, default=None)
        self.broken += [other.broken(How.INSERTED) for other in lines if other is not chosen]
        if chosen is not None:
            self.chosen[index], self.step = chosen, chosen.index - index
            self._tell(chosen, replaced=line is None)
        self.known = self.known and fitting is not None
        if fitting is not None and self.known:
            self.range = fitting[2]

    def _fitting(self, lines: Sequence[_Line], said: bytes | None) -> tuple[_Line | None, bytes, Range] | None:
        """The entry and the digest with which the log becomes what is said of it; None if none does."""
        for line in sorted(lines, key=self._less_moved):
            for digest in (line.digest, line.found):
                grown = self.range.grown(leaf_of(digest))
                if not self.known or said is None or grown.root == said:
                    return line, digest, grown
        for digest in self.orphans if self.known and said is not None else ():
            grown = self.range.grown(leaf_of(digest))
            if grown.root == said:
                return None, digest, grown
        return None

    def _less_moved(self, line: _Line) -> tuple[bool, bool, int]:
        """Of several that claim one place that comes first which moved as the one before it did, or did not move."""
        return line.index - line.true != self.step, line.moved, line.index

    def _tell(self, line: _Line, *, replaced: bool) -> None:
        if line.moved:
            self.broken.append(line.broken(How.MOVED, was=line.true))
        elif not line.sound:
            self.broken.append(line.broken(How.ALTERED))
        elif replaced:
            self.broken.append(line.broken(How.REPLACED))


def _orphans(lines: Sequence[_Line], there: Set[bytes]) -> dict[bytes, tuple[str, int]]:
    """Digests of entries that a job's next one names and no entry has: by them lost entries are known again."""
    named = ((line.before, (line.job, line.number - 1)) for line in lines if line.sound and line.number > 0)
    return dict([(digest, who) for digest, who in named if digest not in there][:LOOKED_FOR])


def _of_chains(walk: _Walk) -> Iterator[Broken]:
    """Entries that are not what the next one of their job says, or that a job lacks, where the log did not show it."""
    last: dict[str, _Line | None] = {}
    told = {(one.job, one.number) for one in walk.broken}
    nameless = any(one.how is How.LOST and one.number is None for one in walk.broken)
    for _, line in sorted(walk.chosen.items()):
        begins = line.job not in last
        before = last.get(line.job)
        last[line.job] = line if line.sound or line.moved else None
        if last[line.job] is None or (before is None and not begins):
            continue
        expected = 0 if before is None else before.number + 1
        if line.number != expected:
            there = line.before in walk.digests
            if not there and not nameless and (line.job, line.number - 1) not in told:
                yield Broken(How.LOST, line.index, line.job, line.number - 1)
        elif line.before != (NOTHING if before is None else before.digest):
            one = before or line
            if (one.job, one.number) not in told:
                yield one.broken(How.REPLACED)


def _of_the_end(walk: _Walk, head: Head, kept: Range | None) -> Iterator[Broken]:
    """What is wrong with the head, or behind it."""
    of_more = walk.known and walk.range.size > head.size and walk.range.root == head.root
    if kept is None or kept.size != head.size or kept.root != head.root or of_more:
        yield Broken(How.HEAD_ALTERED, head.size)
        return
    behind = [line for index, line in sorted(walk.chosen.items()) if index >= head.size]
    yield from (line.broken(How.INSERTED) for line in behind)


def _of_anchors(walk: _Walk, head: Head, anchors: Sequence[Head]) -> Iterator[Broken]:
    """Heads that somebody kept, and with which this log does not begin."""
    for anchor in anchors:
        if anchor.size > head.size:
            yield Broken(How.TAIL_CUT, head.size, count=anchor.size - head.size)
        elif walk.roots.get(anchor.size, anchor.root) != anchor.root:
            yield Broken(How.REWRITTEN, 0, count=anchor.size)


def _told(broken: Iterable[Broken]) -> tuple[Broken, ...]:
    """Each once, in the order of the log; entries that were moved alike, or lost in a row, as one."""
    found: list[Broken] = []
    for one in sorted(dict.fromkeys(broken), key=lambda b: (b.index, b.how.value)):
        last = next((b for b in reversed(found) if b.how is one.how), None)
        if last is not None and _same_run(last, one):
            found[found.index(last)] = evolve(last, count=last.count + 1)
        else:
            found.append(one)
    return tuple(found)


def _same_run(last: Broken, one: Broken) -> bool:
    """Whether one goes on with the other: nameless lost ones, or more than two moved by the same step."""
    if last.index + last.count != one.index:
        return False
    if one.how is How.LOST:
        return last.number is None and one.number is None
    if one.how is How.MOVED and last.was is not None and one.was is not None:
        return one.index - one.was == last.index - last.was
    return False
