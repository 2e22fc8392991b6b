"""The record as a terminal shows it: what was kept and signed, whether it is whole, what was found, its head."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from standtrue.model.cautions import cautions_for
from standtrue.seal import Head, Kept, head_text
from standtrue.show.answers.record import RecordAnswer
from standtrue.show.words.blocks import Block, Lines, Rows
from standtrue.show.words.catalog import N_
from standtrue.show.words.kept import INVENTED, content_words, kind_words, short_words
from standtrue.show.words.reader import Reader
from standtrue.show.words.sheet_record import answer, missing_lines
from standtrue.work.records.exporting import Handed
from standtrue.work.records.searching import Looked
from standtrue.work.records.verifying import Verified

_JOB, _ORDER, _PLATE, _CAR = N_("job"), N_("order number"), N_("plate"), N_("car")
_ENTRIES, _FIRST, _LAST = N_("entries"), N_("first"), N_("last")


def kept_blocks(kept: Kept, reader: Reader) -> tuple[Block, ...]:
    """That an entry was kept, and what it says."""
    one = kept.entry
    title = reader.say(
        "Kept as entry {number} of {job}: {what}",
        number=one.number + 1,
        job=one.job or reader.say("the shop itself"),
        what=kind_words(one.kind, reader),
    )
    return (Lines(tuple(content_words(one.kind, one.shape, kept.content, reader)), title),)


def verified_blocks(verified: Verified, reader: Reader) -> Iterator[Block]:
    """Whether the record is whole, first; then all that is wrong, by what it was proven, and what no proof covers."""
    wrong = tuple(reader.reasons(verified.wrong))
    size = verified.head.size
    if wrong:
        yield Lines(wrong, reader.say("The record is not whole."))
    elif verified.job is None:
        yield Lines((), reader.say_n("The record is whole: {n} entry.", "The record is whole: {n} entries.", size))
    else:
        yield Lines((), reader.say("The record of {job} is whole.", job=verified.job))
    looked = reader.say(
        "Looked at with them: {files} files, {versions} versions of documents.",
        files=verified.files,
        versions=verified.versions,
    )
    held = [one.head.size for one in verified.anchors if one.holds]
    told = [reader.say("It begins with the anchor of {n} entries.", n=n) for n in held]
    if not verified.anchors:
        told.append(reader.say("Held against no anchor: a log that was rewritten as a whole is told by one alone."))
    if verified.removed:
        told.insert(0, reader.say_n(
            "Of {n} entry what it held was taken out by the shop's rule; its digest holds the chain.",
            "Of {n} entries what they held was taken out by the shop's rule; their digests hold the chain.",
            verified.removed,
        ))  # fmt: skip
    yield Lines((looked, *told))
    yield Lines((reader.say("Head: {head}", head=head_text(verified.head)),))


def anchor_blocks(head: Head, reader: Reader) -> Iterator[Block]:
    """The head, to print and hand out."""
    yield Lines((head_text(head),))
    said = reader.say(
        "Keep this line where nobody can change it; {command} holds the record against it.",
        command="standtrue verify --against",
    )
    yield Lines((said,))


def looked_blocks(looked: Looked, reader: Reader) -> Iterator[Block]:
    """The jobs that were found, a row each."""
    if not looked.found:
        yield Lines((reader.say("No job was found; {n} have entries.", n=looked.jobs),))
        return
    columns = tuple(map(reader.say, (_JOB, _ORDER, _PLATE, _CAR, _ENTRIES, _FIRST, _LAST)))
    rows = tuple(
        (
            one.job or reader.say("the shop itself"),
            one.order_number,
            one.plate,
            one.vehicle,
            str(one.entries),
            one.first_at[:10],
            one.last_at[:10],
        )
        for one in looked.found
    )
    yield Rows(columns, rows)


def job_blocks(kept: Sequence[Kept], reader: Reader, *, why: bool) -> Iterator[Block]:
    """Every entry of a job, in words: what it comes to, or (`why`) all that it says."""
    stamp, stamped = reader.say(INVENTED), False
    for one in kept:
        entry = one.entry
        said = content_words(entry.kind, entry.shape, one.content, reader)
        stamped = stamped or stamp in said
        if not why:
            said = short_words(entry.kind, entry.shape, one.content, reader)
        yield Lines(tuple(said), _title(one, reader))
    if not why:
        last = reader.say("{option} tells all that each entry says.", option="--why")
        yield Lines((stamp, last) if stamped else (last,))


def _title(one: Kept, reader: Reader) -> str:
    entry = one.entry
    return reader.say(
        "{number}. {what}, {at}, {who}",
        number=entry.number + 1,
        what=kind_words(entry.kind, reader),
        at=entry.at,
        who=entry.who or reader.say("nobody named"),
    )


def handed_blocks(kept: Sequence[Kept], reader: Reader) -> Iterator[Block]:
    """What the record of a job that is handed out holds, a line an entry, and whose word governs."""
    yield Lines(tuple(_title(one, reader) for one in kept))
    yield _governs(reader)


def record_blocks(record: RecordAnswer, reader: Reader) -> Iterator[Block]:
    """What is missing in the record of a job, and whose word governs."""
    if missing := missing_lines(record, reader):
        yield Lines(tuple(missing), reader.say("What is missing, or was not looked at?"))
    yield _governs(reader)


def recorded_blocks(record: RecordAnswer, reader: Reader) -> tuple[Block, ...]:
    """What the record of a job says first."""
    return (Lines(tuple(answer(record, reader))),)


def _governs(reader: Reader) -> Block:
    (caution,) = cautions_for(frozenset())
    return Lines((reader.say("Caution: {caution}", caution=caution.reason),))


def handed_words(handed: Handed, reader: Reader) -> str:
    """Where a job's record was written."""
    return reader.say_n(
        "Record: {file} ({n} entry, proven by the head of {size} entries)",
        "Record: {file} ({n} entries, proven by the head of {size} entries)",
        handed.entries, file=str(handed.out), size=handed.head.size,
    )  # fmt: skip
