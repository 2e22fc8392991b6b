"""What can be wrong with a document's values, and how to mend it: the sentences of `documents`."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from standtrue.show.words.catalog import N_

if TYPE_CHECKING:
    from standtrue.model.reason import Reason
    from standtrue.show.words.reader import Reader
    from standtrue.show.words.reasons import Sentences


def either(name: str, given: str, absent: str) -> Callable[[Reason, Reader], str]:
    """The sentence `given` where the reason tells a value of this name, and `absent` where it does not."""

    def sentence(reason: Reason, reader: Reader) -> str:
        values = dict(reason.values)
        return reader.say(absent if values.get(name) is None else given, **values)

    return sentence


def _few_points(reason: Reason, reader: Reader) -> str:
    count = reason["count"]
    assert isinstance(count, int)
    return reader.say_n("an outline of {n} point encloses nothing", "an outline of {n} points encloses nothing", count)


def _items(reason: Reason, reader: Reader) -> str:
    needed = reason["needed"]
    assert isinstance(needed, int)
    return reader.say_n("Write at least {n} item.", "Write at least {n} items.", needed)


TERMS = (
    N_("nothing"),
    N_("true or false"),
    N_("text"),
    N_("a number"),
    N_("a whole number"),
    N_("a word"),
    N_("a table"),
    N_("a table of days"),
    N_("a list"),
    N_("a list of words"),
    N_("a date or time"),
    N_("a time of day"),
    N_("a date"),
    N_("a date and time"),
    N_("a time zone"),
    N_("a list of dates"),
    N_("a length"),
    N_("an angle"),
    N_("a mass"),
    N_("a duration"),
    N_("a speed"),
    N_("a light level"),
    N_("an outline"),
    N_("a place"),
    N_("a document"),
    N_("a kind"),
    N_("another value"),
    N_("no such file or directory"),
    N_("permission denied"),
    N_("not a directory"),
    N_("is a directory"),
    N_("it cannot be opened"),
    N_("Invalid value"),
    N_("Invalid statement"),
    N_("Expected '=' after a key in a key/value pair"),
    N_("Expected newline or end of document after a statement"),
    N_("Unterminated string"),
    N_("Illegal character '\\n'"),
    N_("Cannot overwrite a value"),
    N_("Expecting value"),
    N_("Expecting property name enclosed in double quotes"),
    N_("Expecting ',' delimiter"),
    N_("Expecting ':' delimiter"),
    N_("Extra data"),
)
"""What stands somewhere, or is asked there; and what the system and the readers of TOML and JSON say."""

SENTENCES: Sentences = {
    # Single values: what is wrong
    "stands-where-asked": N_("{found} stands where {asked} is asked"),
    "number-not-finite": N_("the number is not finite"),
    "number-too-large": N_("the number is too large to be meant"),
    "no-number-with-unit": N_("this is no number with a unit"),
    "bare-length-without-units": N_("a bare length, but nothing says its unit"),
    "quantity-too-long": N_("this is too long for a quantity"),
    "comma-in-number": N_("a comma in a number can mean two things"),
    "quantity-without-unit": N_("the quoted quantity has no unit"),
    "quantity-unread": N_("{text} cannot be read as {asked}"),
    "quantity-parts-wrong": N_("the parts of {text} do not add up"),
    "quantity-empty": N_("an empty quantity"),
    "fraction-over-zero": N_("a fraction over zero"),
    "unit-unknown": N_("{unit} is not a unit that is known here"),
    "unit-of-another-kind": N_("{unit} is a unit of {found}, not of {asked}"),
    "value-not-above-zero": N_("the value must be above zero"),
    "value-below-zero": N_("the value must not be below zero"),
    "value-too-low": N_("the value is too low"),
    "value-too-large": N_("the value is too large to be meant"),
    "number-outside": N_("the number must lie between {least} and {most}"),
    "first-above-second": N_("the first value is above the second"),
    "list-of-other-length": N_("a list of {count} stands where {asked} is asked"),
    "list-empty": N_("the list is empty"),
    "list-too-short": N_("the list holds {count} of at least {needed} items"),
    "text-empty": N_("the text is empty"),
    "text-too-long": N_("the text has more than {most} characters"),
    "language-unknown": N_("{language} is no language of these documents"),
    "write-a-language": N_("Write the code of a language, such as en or es."),
    "name-holds-divider": N_("a name must hold no / and no @"),
    "word-unknown": N_("this word is not known here"),
    "no-date-and-time": N_("this is no date and time of day"),
    "no-time-with-date": N_("a time of day is missing beside the date"),
    "no-date": N_("this is no date"),
    "no-such-time-zone": N_("{zone} is no time zone that is known here"),
    "time-zone-written": N_("this names a time zone: all times are the shop's own"),
    "leave-time-zone-out": N_("Leave the time zone out, and write the time on the shop's clock."),
    "promised-before-it-comes": N_("it is promised before it comes"),
    "done-before-it-comes": N_("it is done before the car comes"),
    "look-at-both-times": N_("Look at both times, and correct the wrong one."),
    "no-time-of-day": N_("this is no time of day"),
    "no-day-of-the-week": N_("{word} is no day of the week"),
    "no-two-times": N_("{days}: not two times"),
    "closes-before-it-opens": N_("{days}: it closes before it opens"),
    "days-run-backward": N_("{days}: the days run backward"),
    "first-year-after-last": N_("the first year is after the last"),
    "outline-missing": N_("the outline is missing"),
    "outline-of-few-points": _few_points,
    "outline-crosses": either(
        "x",
        N_("the outline crosses or touches itself at x {x}, y {y}"),
        N_("the outline crosses or touches itself"),
    ),
    "outline-encloses-nothing": N_("the outline encloses nothing"),
    "outline-closed-by-point": N_("the last point repeats the first"),
    "point-repeats": N_("point {index} repeats the one before it"),
    "in-point": N_("point {index}: {why}"),
    "no-one-shape": N_("the table gives no one shape"),
    "circle-without-radius": N_("a circle needs a radius above zero"),
    "sector-radii-wrong": N_("the outer radius must be above the inner one, and neither below zero"),
    "ring-not-simple": N_("a full ring is not one simple outline"),
    "both-given": N_("{one} and {other} are both given"),
    "place-not-named": N_("this names no bay, lift or mark"),
    "place-has-a-heading": N_("which way the car looks there is chosen with the place"),
    # Single values: how to mend it
    "write-a-number": N_("Write a number."),
    "write-whole-number": N_("Write a whole number."),
    "write-measured-number": N_("Write the measured number."),
    "write-measured-value": N_("Write the measured value."),
    "write-greatest-difference": N_("Write the greatest difference allowed."),
    "write-again": N_("Write it again."),
    "write-number-with-unit": N_('Write it as in "2.3 bar", or as a number.'),
    "write-quantity-as-in": N_("Write a number, or a quoted quantity such as {examples:or}."),
    "write-as-in": N_("Write it as in {examples:or}."),
    "write-unit-too": N_("Write the unit too, as in {examples:or}, or leave the quotes out."),
    "write-decimal-point": N_("Write a point for decimals and nothing between thousands."),
    "write-larger-unit-first": N_("Write the larger unit first and carry full units over, as in {examples:or}."),
    "write-fraction-again": N_("Write the fraction again, as in 1/16."),
    "use-a-unit": either("near", N_("Did you mean {near}? Use {units:or}."), N_("Use {units:or}.")),
    "look-at-unit": N_("Write the measured value, and look whether its unit is right."),
    "write-form": N_("Write {form}."),
    "write-field": N_("Write {field} = {value}."),
    "write-in-quotes": N_("Write it in quotes."),
    "write-what-is-meant": N_("Write what is meant."),
    "write-shorter": N_("Write it shorter."),
    "write-text-or-languages": N_('Write it in quotes, or as {{ en = "…", es = "…" }}.'),
    "write-another-sign": N_("Write another sign: these divide names."),
    "write-true-or-false": N_("Write true or false, without quotes."),
    "write-one-of": either(
        "near", N_("Did you mean {near}? Write one of: {words:or}."), N_("Write one of: {words:or}.")
    ),
    "write-one-word-or-nothing": N_("Write at least one word in it, or leave the field out."),
    "write-earlier-time-first": N_("Write the earlier time first."),
    "give-three-points": N_("Give at least three."),
    "list-corners-in-order": N_("List the corners in the order in which one walks round."),
    "give-corners-off-one-line": N_("Give corners that do not lie on one line."),
    "leave-out-last-point": N_("Leave it out: an outline closes by itself."),
    "leave-out-one-point": N_("Leave one of the two out."),
    "write-two-half-rings": N_("Write it as two zones of half a ring each."),
    "write-one-shape": N_("Write {{ box = … }}, {{ circle = … }} or {{ outline = … }}."),
    "write-points": N_("Write a list of points, as in [[0, 0], [4, 0], [4, 3]]."),
    "write-sector": N_("Write {form}: two radii and two angles."),
    "write-place-or-outline": N_("Write [x, y] or [x, y, heading], or an outline."),
    "keep-one": N_("Keep one."),
    "leave-heading-out": N_("Leave heading out, or write where the car stands as a point."),
    # A file and its fields: what is wrong
    "field-missing": N_("{field} is missing"),
    "no-such-field": N_("no such field here"),
    "field-in-two-spellings": N_("{field} is given twice, in two spellings"),
    "field-twice-in-table": N_("{field} stands twice in one table"),
    "kind-missing": N_("the document does not say its kind"),
    "kind-unknown": N_("no document is of this kind"),
    "schema-unknown": N_("this version of the schema is not known here"),
    "no-unit-for-lengths": N_("this is no unit for bare lengths"),
    "lengths-without-units": N_("the document holds lengths, but no units"),
    "document-without-name": N_("the document has no name"),
    "name-no-text": N_("the name is no text, or empty"),
    "name-holds-unseen-character": N_("the name holds a character that nobody sees, or a new line"),
    "text-holds-control-character": N_("the text holds a control character"),
    "text-holds-half-a-character": N_("the text holds half a character"),
    "nested-deeper-than": N_("tables and lists are nested more than {most} deep"),
    "nested-too-deeply": N_("tables and lists are nested too deeply"),
    "not-toml": either("line", N_("line {line} is not TOML: {why}"), N_("this is not TOML: {why}")),
    "not-json": either("line", N_("line {line} is not JSON: {why}"), N_("this is not JSON: {why}")),
    "file-holds-nul": N_("the file holds NUL bytes: it is no text"),
    "line-not-utf8": N_("line {line} is not valid UTF-8"),
    "file-larger-than": N_("the file is larger than {megabytes} MB"),
    "file-unreadable": N_("the file cannot be read: {why}"),
    "folder-unreadable": N_("the folder cannot be read: {why}"),
    "no-regular-file": N_("this is no regular file"),
    # A file and its fields: how to mend it
    "write-it": N_("Write {field}."),
    "write-items": _items,
    "write-list": N_("Write [[{field}]], or a list."),
    "write-table": N_("Write a table: [{field}], or {{ … }}."),
    "take-out-or-write-one-of": either(
        "near",
        N_("Did you mean {near}? Take it out, or write one of: {words:or}."),
        N_("Take it out, or write one of: {words:or}."),
    ),
    "take-it-out": N_("Take it out."),
    "write-document-head": N_("Write a table with kind, schema and name."),
    "write-units": N_('Write units = "mm", or what bare lengths are in.'),
    "write-unique-name": N_("Write a name, unique within its kind."),
    "write-name-in-quotes": N_("Write a name in quotes."),
    "write-text-again": N_("Write the text again."),
    "write-flatter": N_("Write the document flatter."),
    "write-seconds": N_("Write the time with its seconds, as in 2026-03-02T08:10:00, or in quotes."),
    "mend-line": N_("Mend the line named; text goes in quotes."),
    "save-as-utf8": N_("Save the file as text in UTF-8."),
    "look-whether-document": N_("A document is a few kilobytes: look whether the file is one."),
    "look-at-permissions": N_("Look at its permissions."),
    "name-folder-that-exists": N_("Name a folder that exists."),
    "put-text-file": N_("Put a text file here, or take it out."),
    "keep-one-of-two": N_("Keep one of the two."),
}
