"""What the command line says beside its answers."""

from __future__ import annotations

from pathlib import Path

from standtrue.show.words.catalog import N_
from standtrue.show.words.reader import Reader

USAGE: tuple[str, ...] = (N_("Usage:"), N_("[OPTIONS]"), N_("COMMAND [ARGS]..."))
"""What the library that reads the command line writes into a usage, whatever the language."""


def usage_words(usage: str, reader: Reader) -> str:
    """A usage in the reader's language."""
    for said in USAGE:
        usage = usage.replace(said, reader.term(said))
    return usage


def help_option_words(reader: Reader) -> str:
    """What the option does that shows the help."""
    return reader.say("Show this message and exit.")


def picture_written(file: Path, reader: Reader) -> str:
    """A picture or page was written."""
    return reader.say("Picture: {file}", file=str(file))


def sheet_written(file: Path, reader: Reader) -> str:
    """A sheet was written."""
    return reader.say("Sheet: {file}", file=str(file))


def table_written(file: Path, reader: Reader) -> str:
    """A table was written."""
    return reader.say("Table: {file}", file=str(file))


def set_aside_written(file: Path, reader: Reader) -> str:
    """The rows that were set aside were written."""
    return reader.say("Set aside: {file}", file=str(file))


def demo_written(count: int, folder: Path, reader: Reader) -> str:
    """The demonstration shop was written."""
    return reader.say("{n} documents of an invented shop are in {folder}", n=count, folder=str(folder))


def sheets_stopped(reader: Reader) -> str:
    """Only some of the sheets were made."""
    return reader.say("Stopped before every sheet was made.")


def renamed_reach(reader: Reader) -> str:
    """A command was called by its old name."""
    return reader.say("`reach` is now called `ahead`. The old name goes with the next release.")


def time_left(reader: Reader) -> str:
    """Before the time that the work still takes."""
    return reader.say("left:")
