"""What people type that is no TOML, and how it is written."""

from __future__ import annotations

from typing import TYPE_CHECKING

from standtrue.show.words.catalog import N_

if TYPE_CHECKING:
    from standtrue.model.reason import Reason
    from standtrue.show.words.reader import Reader
    from standtrue.show.words.reasons import Sentences


def _add_or_name(reason: Reason, reader: Reader) -> str:
    near, there = reason["near"], reason["there"]
    assert isinstance(there, tuple)
    if near is not None:
        return reader.say("Did you mean {near}?", near=near)
    kind = reason["kind"]
    if not there:
        return reader.say("Add a {kind} document of that name.", kind=kind)
    return reader.say(
        "Add a {kind} document of that name, or name one that is there: {there:or}.", kind=kind, there=there
    )


SENTENCES: Sentences = {
    "line-left-open": N_("a list or a table that is opened here is never closed"),
    "close-bracket": N_("Close it with ] or }}, as often as it is opened."),
    "stands-twice": N_("{field} stands here twice"),
    "write-section-doubled": N_("Keep one of the two; of several things of a kind, each begins with [[ and ]]."),
    "not-read-there": N_("this cannot be read: {why}"),
    "look-at-line": N_("Look at the line from column {at} on: text and lengths with a unit go in quotes."),
    "quantity-without-quotes": N_("{value} stands without quotes"),
    "text-without-quotes": N_("text stands without quotes"),
    "time-without-quotes": N_("a time of day stands without quotes"),
    "write-in-quotes-as": N_("Write it in quotes: {example}."),
    "time-without-seconds": N_("a date and time stands without its seconds"),
    "date-in-other-order": N_("a date is written year, month, day"),
    "range-as-list": N_("a range is written as a list of two"),
    "comma-for-point": N_("a comma stands for the decimal point"),
    "write-one-number": N_("Write {ways:or}."),
    "no-true-or-false": N_("this is not the word for it"),
    "curved-quotes": N_("these are the curved quotes of a word processor"),
    "write-straight-quotes": N_('Write straight quotes: ".'),
    "line-without-equals": N_("no equals sign stands between a field and its value"),
    "write-equals": N_("Write it as in length = 4620."),
    "comment-by-other-sign": N_("a remark begins with another sign than #"),
    "write-hash": N_("Write # before a remark."),
    "backslash-in-text": N_("a backslash in double quotes means something else"),
    "write-backslash-twice": N_("Write each backslash twice, or the text in single quotes."),
    "quote-left-open": N_("a quote is opened and not closed"),
    "close-quote": N_("Write a quote at both ends of the text."),
    "number-begins-with-zero": N_("a number begins with a zero"),
    "sign-behind-value": N_("a sign stands behind the value"),
    "list-without-brackets": N_("several numbers stand without their brackets"),
    "field-of-two-words": N_("the name of a field is one word"),
    "no-such-day": N_("there is no such day or time"),
    "numbers-without-comma": N_("two numbers stand without a comma between them"),
    "write-comma-between": N_("Write a comma between them."),
    "file-of-two-bytes": N_("the file is saved with two bytes for each sign, not as UTF-8"),
    "document-empty": N_("the file is empty"),
    "write-document-or-remove": N_("Write a document in it, or take the file away."),
    "file-not-read": N_("the file looks like a document and is not read, for its name does not end in .toml"),
    "let-it-end-in-toml": N_("Let its name end in .toml, or in something else if it is none."),
    "kind-not-used": N_("this version does not read documents of kind {kind}"),
    "leave-it-for-later": N_("It may stay: nothing is taken from it."),
    "asked-for-by-several": N_("{what} (asked for in {files} too)"),
    "add-or-name-document": _add_or_name,
}
