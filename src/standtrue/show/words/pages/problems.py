"""What is refused by the app, by its code."""

from __future__ import annotations

from collections.abc import Mapping

from standtrue.show.words.catalog import N_
from standtrue.show.words.reader import Reader

PROBLEMS: Mapping[str, str] = {
    "wrong-host": N_("This server is not called by that name."),
    "cross-site": N_("This was sent by another site's page."),
    "bad-length": N_("The length of what was sent cannot be read."),
    "too-large": N_("What was sent is larger than is taken here."),
    "not-found": N_("There is nothing at this address."),
    "no-such-task": N_(
        "No answer is worked out under this number any more: it was long ago, or the server was ended meanwhile. Ask "
        "again."
    ),
    "not-allowed": N_("That cannot be done at this address."),
    "sign-in-first": N_("Sign in first."),
    "may-not": N_("Your role may not do that. An owner can."),
    "stale": N_("Somebody changed it since you read it. Nothing was lost: both are kept."),
    "say-which-version": N_("Say which version you changed."),
    "slow-down": N_("Too many requests. Wait a little."),
    "faults": N_("What was sent cannot be taken as it is."),
    "used-otherwise": N_("This key was used for something else."),
    "another-kind": N_("This kind of content is not taken here."),
    "say-which-request": N_("Give each request a key, so that it is done once however often it is sent."),
    "out-of-turn": N_("Another piece of the file is waited for."),
    "store-away": N_("The store cannot be read or written now."),
    "broken": N_("Something went wrong in the program. What was kept before is still there."),
}
"""A title each, in US English."""


def problem_title(code: str, reader: Reader) -> str:
    """What is wrong, for a person."""
    return reader.say(PROBLEMS[code])


def go_back(reader: Reader) -> str:
    """To where one can always go."""
    return reader.say("Go to today's orders")
