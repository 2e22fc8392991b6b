"""Sentences of doubt: which reading does not go with the others, and what slip would explain it."""

from __future__ import annotations

from standtrue.model.reason import Reason
from standtrue.show.words.catalog import N_
from standtrue.show.words.reader import Reader
from standtrue.show.words.reasons import Sentences


def _cause(reason: Reason, reader: Reader) -> str:
    numbers = reason["numbers"]
    count = len(numbers) if isinstance(numbers, tuple) else 1
    return reader.say_n("reading {numbers}: {why}", "readings {numbers}: {why}", count, **dict(reason.values))


def _board_sides(reason: Reason, reader: Reader) -> str:
    values = dict(reason.values)
    if "target" in values:
        return reader.say(
            "the two sides of {target} swapped would explain it: left and right are as you look at the printed side",
            **values,
        )
    return reader.say("it would be explained if it was read to {meant}, and not to {typed}", **values)


SENTENCES: Sentences = {
    "numbered-reading": N_("reading {number} ({reading})"),
    "readings-together": N_("{readings} together"),
    "reading-too-large": N_("{reading}, {by:fine} too much"),
    "reading-too-small": N_("{reading}, {by:fine} too little"),
    "reading-does-not-go": N_("this does not go with the others: {reading}"),
    "readings-do-not-go": N_("these do not go with the others: {readings}"),
    "one-of-readings-does-not-go": N_("one of these does not go with the others: {readings:or}"),
    "no-slip-explains": N_("no single slip explains it: take all readings again"),
    "hangs-on-doubt": N_("it hangs on which reading is wrong: take that again first"),
    # what would explain it
    "cause-of": _cause,
    "slip-digits-swapped": N_("two digits swapped would explain it, {typed} for {meant}"),
    "slip-digit-wrong": N_("one wrong digit would explain it, {typed} for {meant}"),
    "slip-other-point": N_("it would be explained if it was read at {meant}, not at {typed}"),
    "slip-board-sides": _board_sides,
    "slip-sign": N_("the other sign would explain it"),
    "slip-other-unit": N_("it would be explained if it was read in {read} and typed as {typed}"),
    "slip-miscount": N_("a miscount by {by} would explain it"),
    "slip-exchanged": N_("the two values exchanged would explain it"),
}
