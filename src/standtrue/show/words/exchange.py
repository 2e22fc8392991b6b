"""What became of documents between a folder and a store, as a terminal shows it."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Iterator, Sequence

from standtrue.show.answers.exchange import SavedVersion
from standtrue.show.words.blocks import Block, Lines, Table
from standtrue.show.words.catalog import N_
from standtrue.show.words.reader import Reader
from standtrue.store.documents import Version
from standtrue.store.exchange import Step
from standtrue.work.exchange.folders import TakenIn, WrittenOut

BECAME = {
    "new": N_("new"),
    "changed": N_("changed"),
    "moved": N_("moved"),
    "removed": N_("removed"),
    "newer": N_("newer in the store"),
    "stale": N_("changed in both"),
    "found": N_("there before"),
}
"""What became of a document. One that is the same in both, or never was in this folder, is only counted."""

MOST_LINES = 12
"""How many documents, or lines in which two versions differ, are told; of more how many."""


def import_blocks(taken: TakenIn, reader: Reader) -> Iterator[Block]:
    """What was taken in, by whom; what was left; and both sides of what was changed in both."""
    if taken.stale:
        yield Lines((_refused(taken, reader),))
        for step in taken.stale:
            yield from _both(step, reader)
        return
    count = len(taken.of("new", "changed", "moved", "removed"))
    if count:
        yield Lines(
            (
                reader.say_n(
                    "Took {n} document into {store}, by {by}.",
                    "Took {n} documents into {store}, by {by}.",
                    count,
                    store=taken.store,
                    by=taken.by,
                ),
            )
        )
    else:
        yield Lines((reader.say("Nothing to take in: {store} has it all.", store=taken.store),))
    told = [f"{reader.term(BECAME[step.what])}: {step.path}" for step in taken.steps if step.what in BECAME]
    yield Lines(_most(told, reader), indent=2)
    yield from _left(taken, reader)


def export_blocks(written: WrittenOut, reader: Reader) -> Iterator[Block]:
    """What was written, and what was taken away."""
    said = [
        reader.say_n(
            "Wrote {n} document of {store}.",
            "Wrote {n} documents of {store}.",
            len(written.written),
            store=written.store,
        )
    ]
    if written.same:
        said.append(reader.say_n("{n} was there as it is stored.", "{n} were there as they are stored.", written.same))
    yield Lines((" ".join(said),))
    yield Lines(_most([reader.say("taken away: {file}", file=path) for path in written.taken_away], reader), indent=2)


def history_blocks(versions: Iterable[Version], reader: Reader) -> Iterator[Block]:
    """Every version in a line."""
    columns = (N_("document"), N_("version"), N_("based on"), N_("saved at (UTC)"), N_("by"), N_("file"))
    rows = tuple(_row(one, reader) for one in versions)
    if rows:
        yield Table("", tuple(reader.term(column) for column in columns), rows)
    else:
        yield Lines((reader.say("No such document is in the store."),))


def called(one: Version | SavedVersion, reader: Reader) -> str:
    """A document as one calls it: by kind and name, or by its file where these could not be told."""
    return f"{reader.term(one.kind)} {one.name}" if one.kind and one.name else one.path


def taken_in_line(count: int, by: str, reader: Reader) -> str:
    """How many versions of documents an import brought, as the record tells it."""
    return reader.say_n(
        "{n} version of a document was taken in by {by}.",
        "{n} versions of documents were taken in by {by}.",
        count,
        by=by,
    )


def saved_lines(saved: Sequence[SavedVersion], reader: Reader) -> Iterator[str]:
    """What became of each document whose version was saved."""
    for one in saved:
        what = reader.term(BECAME[one.what]) if one.what in BECAME else one.what
        named = called(one, reader)
        yield reader.say("{what}: {document}, version {version}", what=what, document=named, version=one.version)


def _refused(taken: TakenIn, reader: Reader) -> str:
    return reader.say_n(
        "Nothing was taken in: {n} document was changed in the folder and in {store}. Join the two in the "
        "file, then name the version that you saw with {option}.",
        "Nothing was taken in: {n} documents were changed in the folder and in {store}. Join the two in each "
        "file, then name the versions that you saw with {option}.",
        len(taken.stale), store=taken.store, option="--seen KIND/NAME=VERSION",
    )  # fmt: skip


def _both(step: Step, reader: Reader) -> Iterator[Block]:
    """The version in the store, the file in the folder, and the lines in which they differ."""
    latest = step.latest
    assert latest is not None
    what = reader.say("removed") if latest.content is None else reader.say("saved")
    store = reader.say(
        "in the store: version {version}, {what} by {who} at {when}",
        version=latest.version, what=what, who=latest.saved_by, when=latest.saved_at,
    )  # fmt: skip
    based = reader.say("based on version {version}", version=step.based_on) if step.based_on else None
    if step.file is None:
        folder = reader.say("in the folder: removed")
    else:
        folder = reader.say("in the folder: {file}", file=step.path)
    yield Lines((store, f"{folder}, {based}" if based else folder), heading=called(latest, reader), indent=2)
    if step.file is not None and latest.content is not None:
        yield Lines(_most(_differing(latest.content, step.file.content), reader), indent=4)


def _differing(stored: bytes, file: bytes) -> list[str]:
    """The lines in which two texts differ: `-` as stored, `+` as in the folder."""
    old, new = (content.decode("utf-8", "replace").splitlines() for content in (stored, file))
    return list(difflib.unified_diff(old, new, lineterm="", n=0))[2:]


def _most(lines: Sequence[str], reader: Reader) -> tuple[str, ...]:
    """The first lines, and how many there are more."""
    more = len(lines) - MOST_LINES
    return (*lines[:MOST_LINES], reader.say("and {n} more", n=more)) if more > 0 else tuple(lines)


def _left(taken: TakenIn, reader: Reader) -> Iterator[Block]:
    """What was not taken in, for it is the same; what is not in this folder; and how many have faults."""
    said = []
    if same := len(taken.of("same")):
        said.append(reader.say_n("{n} is as it is stored.", "{n} are as they are stored.", same))
    if elsewhere := len(taken.of("elsewhere")):
        said.append(
            reader.say_n(
                "{n} is in the store and was never in this folder.",
                "{n} are in the store and were never in it.",
                elsewhere,
            )
        )
    if taken.of("newer"):
        said.append(reader.say("Write what is newer into the folder with {command}.", command="standtrue export"))
    if taken.faulty:
        said.append(
            reader.say_n(
                "{n} file has faults; it is kept as it is: see {command}.",
                "{n} files have faults; they are kept as they are: see {command}.",
                taken.faulty,
                command="standtrue read",
            )
        )
    yield Lines((" ".join(said),))


def _row(one: Version, reader: Reader) -> tuple[str, ...]:
    what = reader.say("removed") if not one.digest else one.path
    based = str(one.based_on) if one.based_on else "-"
    return (called(one, reader), str(one.version), based, one.saved_at, one.saved_by, what)
