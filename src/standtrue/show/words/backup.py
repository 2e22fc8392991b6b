"""What was copied, and what was taken out, as a terminal shows it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from standtrue.model.reason import Number
from standtrue.seal import head_text
from standtrue.show.words.blocks import Block, Lines
from standtrue.show.words.catalog import N_
from standtrue.show.words.reader import Reader
from standtrue.work.backup.copies import Copied
from standtrue.work.backup.removing import Removed, Rule

_COPIED: Mapping[str, str] = {
    "backup": N_("Backup of {source}: {target}"),
    "restore": N_("Restored from {source}: {target}"),
    "move": N_("Moved from {source} to {target}; nothing is written into the old store any more."),
}


def copied_blocks(copied: Copied, reader: Reader) -> Iterator[Block]:
    """What was copied, that it was proven, and what is wrong with it."""
    yield Lines((), reader.say(_COPIED[copied.what], source=copied.source, target=copied.target))
    wrong = tuple(reader.reasons(copied.wrong))
    if wrong:
        yield Lines(wrong, reader.say("The record is not whole, and so is the copy:"))
    else:
        size = copied.head.size
        yield Lines((reader.say_n("Proven: {n} entry is whole.", "Proven: {n} entries are whole.", size),))
    yield Lines((reader.say("Head: {head}", head=head_text(copied.head)),))
    if copied.what == "move":
        yield Lines((reader.say("To use it: {command}", command=f"standtrue set --store {copied.target}"),))


def rule_blocks(rule: Rule, reader: Reader) -> Iterator[Block]:
    """The rule as it was set."""
    yield Lines((rule_line(rule.years, rule.by, reader),))


def rule_line(years: float, by: str, reader: Reader) -> str:
    shown = Number(years, 0 if years == round(years) else 2)
    return reader.say("Years that a job is kept after its last entry: {years}. Said by {by}.", years=shown, by=by)


def removed_blocks(removed: Removed, reader: Reader) -> Iterator[Block]:
    """What was taken out, what stays, and where it may still be."""
    yield Lines(tuple(removal_lines(removed.job, removed.by, removed.because, _counts(removed), reader)))
    yield Lines(tuple(still_lines(removed, reader)), reader.say("Where it may still be:"))


def _counts(removed: Removed) -> tuple[int, int, int]:
    taken = removed.taken
    return len(taken.entries), len(taken.files), len(taken.documents)


def removal_lines(job: str, by: str, why: str, counts: tuple[int, int, int], reader: Reader) -> Iterator[str]:
    """Who took what out of a job, and why."""
    entries, files, documents = counts
    yield reader.say(
        "Taken out of {job} by {by}. Entries: {entries}; files: {files}; versions of documents: {documents}.",
        job=job, by=by, entries=entries, files=files, documents=documents,
    )  # fmt: skip
    yield reader.say("Because: {why}", why=why)
    yield reader.say("Their digests stay, and so do the names of the job and its documents.")


def still_lines(removed: Removed, reader: Reader) -> Iterator[str]:
    """Where it may still be."""
    if not removed.written_over:
        yield reader.say("In unused room of the store itself: whoever opens it next writes that over.")
    yield reader.say("In backups that were made before, in records that were handed out, and in files of the folder.")
    if removed.server:
        yield reader.say("In the server's own log (WAL), until that is recycled, and in copies that the server made.")
