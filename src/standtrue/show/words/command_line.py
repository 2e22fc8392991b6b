"""What the command line says beside its answers."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
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


MOST_LINES = 3
"""More pictures than this of one file asked for are told in one line."""


def files_written(files: Sequence[Path], reader: Reader) -> Iterator[str]:
    """The files written for one that was asked for: a line each, or one line of all where they are many pictures."""
    if len(files) > MOST_LINES and {file.suffix.lower() for file in files} == {".svg"}:
        yield reader.say("Pictures: {files}", files=tuple(map(str, files)))
        return
    yield from (file_written(file, reader) for file in files)


def file_written(file: Path, reader: Reader, pages: int = 1) -> str:
    """A file was written: what it is, by its ending; its further pages lie beside it under their numbers."""
    ending, name = file.suffix.lower(), str(file)
    if pages > 1:
        second, last = (file.with_stem(f"{file.stem}-{n}").name for n in (2, pages))
        if pages > 2:
            second = reader.say("{second} to {last}", second=second, last=last)
        name = reader.all_of((name, second))
    if ending == ".pdf":
        return reader.say("Sheet: {file}", file=name)
    if ending in (".csv", ".parquet"):
        return reader.say("Table: {file}", file=name)
    if ending == ".json":
        return reader.say("Answer: {file}", file=name)
    return reader.say("Picture: {file}", file=name)


def ending_words(reader: Reader) -> str:
    """What stands under the help: where to begin, and what the exit statuses mean."""
    begin = reader.say(
        "Begin with {demo}, or with {new}; {help} behind any command tells the rest.",
        demo="standtrue demo",
        new="standtrue new my-shop",
        help="-h",
    )
    ends = reader.say(
        "Exit status: 0 answered; 2 bad input; 3 stopped without an answer; 4 no; 5 cannot tell ({always} always tell "
        "4 and 5, others with {option}); 130 ended by Ctrl-C.",
        always="measured, floor, alignment, loads, verify",
        option="--fail-on-no",
    )
    return f"{begin}\n\n{ends}"


def renamed_option(old: str, new: str, reader: Reader) -> str:
    """An option was given by its old name."""
    return reader.say("{old} is now {new}. The old name goes with the next release.", old=old, new=new)


def demo_written(count: int, folder: Path, reader: Reader) -> str:
    """The demonstration shop was written."""
    return reader.say("{n} documents of an invented shop are in {folder}", n=count, folder=str(folder))


def shop_begun(count: int, folder: Path, reader: Reader) -> Iterator[str]:
    """The starter documents were written: what to do with them."""
    yield reader.say(
        "{n} documents of a small shop are in {folder}, each with comments: make them your own.",
        n=count,
        folder=str(folder),
    )
    yield reader.say(
        "Begin with {file}: your walls, doors, lifts. Then: {command}",
        file="site.toml",
        command=f"standtrue read {folder}",
    )
    yield reader.say("It can be asked as it is: {command}", command=f"standtrue plan {folder}")


def rules_written(reader: Reader) -> str:
    """The default rules were written into a folder."""
    return reader.say("These rules count for this shop from now on, as you change them:")


def not_written_words(why: str, reader: Reader) -> str:
    """Standard output could not take the answer."""
    return reader.say("The answer could not be written: {why}", why=why)


def sheets_stopped(reader: Reader) -> str:
    """Only some of the sheets were made."""
    return reader.say("Stopped before every sheet was made.")


def renamed_reach(reader: Reader) -> str:
    """A command was called by its old name."""
    return reader.say("`reach` is now called `ahead`. The old name goes with the next release.")


def time_left(reader: Reader) -> str:
    """Before the time that the work still takes."""
    return reader.say("left:")


def served_at(address: str, reader: Reader) -> str:
    """The app can be opened."""
    return reader.say(
        "Open {address} in a browser on this machine. Ctrl-C ends it; all that was typed is kept.", address=address
    )


def network_lines(address: str, trust: tuple[str, str, str] | None, code: str | None, reader: Reader) -> Iterator[str]:
    """The app can be opened on the network. `trust` are the address of the steps, the digest of the authority and the
    address as a picture of characters; `code` is that of the first owner, if there is none yet."""
    yield reader.say("Open {address} on any device of the shop's network. Ctrl-C ends it.", address=address)
    if trust is not None:
        steps, digest, picture = trust
        yield reader.say(
            "On each device first: {steps} tells how it comes to trust this server. The browser warns until then.",
            steps=steps,
        )
        yield picture
        yield reader.say("It shows these characters; if one differs, stop:")
        yield " ".join(digest[i : i + 4] for i in range(0, len(digest), 4))
    if code is not None:
        yield reader.say(
            "The first owner signs up at {address} with this code, once, within a day: {code}",
            address=f"{address}sign-up",
            code=code,
        )


def address_moved(address: str, reader: Reader) -> str:
    """This machine is reached by another address than when the app was begun."""
    return reader.say(
        "This machine got another address: {address}. Open that on each tablet, and add it anew where it stood on the "
        "home screen; the certificate that a tablet trusts stays. What a tablet kept under the old address it sends "
        "once this machine has that again: let the router always give it the same.",
        address=address,
    )


def port_taken(wanted: int, found: int, reader: Reader) -> str:
    """Another program has the port."""
    return reader.say(
        "Port {wanted} is taken by another program: port {found} serves.", wanted=str(wanted), found=str(found)
    )
