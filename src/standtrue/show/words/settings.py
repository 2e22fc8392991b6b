"""What `set` says: what a person has set, and what it still leaves open."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from standtrue.show.words.blocks import Block, Lines, Rows
from standtrue.show.words.preference import VARIABLES, Preference
from standtrue.show.words.reader import Reader


def settings_blocks(own: Preference, environment: Preference, file: Path, reader: Reader) -> Iterator[Block]:
    """What counts for this person, from where, and in which order who wins."""
    rows = (
        (reader.say("units"), *_told(own.units, environment.units, reader.say("as the shop says"), reader)),
        (reader.say("language"), *_told(own.language, environment.language, reader.say("as the shop says"), reader)),
        (reader.say("paper"), *_told(own.paper, environment.paper, reader.say("as the shop says"), reader)),
        (reader.say("who you are"), *_told(own.by, environment.by, reader.say("as you are logged in"), reader)),
        (reader.say("the store"), *_told(own.store, environment.store, reader.say("that of the folder"), reader)),
    )
    yield Rows((), rows)
    yield Lines((reader.say("Your settings are in {file}", file=str(file)),))
    yield Lines(
        (
            reader.say(
                "Options win over the environment ({variables}), that over your settings, and they over what the "
                "shop's site says under {table}.",
                variables=", ".join(VARIABLES.values()),
                table="[reader]",
            ),
        )
    )


def _told(own: str | None, environment: str | None, otherwise: str, reader: Reader) -> tuple[str, str]:
    if environment is not None:
        return environment, reader.say("by the environment")
    if own is not None:
        return own, reader.say("by your settings")
    return "-", otherwise
