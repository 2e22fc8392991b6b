"""The sentences of a car mix made of a table: what a column cannot mean, and why a row does not count."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

from standtrue.show.words.catalog import N_

if TYPE_CHECKING:
    from standtrue.model.reason import Reason
    from standtrue.show.words.reader import Reader


def _no_row_counts(reason: Reason, reader: Reader) -> str:
    return reader.say("no row of the table counts: {first}", first=_in_turn(reason["first"], reader))


def _row_refused(reason: Reason, reader: Reader) -> str:
    return _in_turn(reason["faults"], reader)


def _in_turn(parts: object, reader: Reader) -> str:
    return "; ".join(reader.write(part) for part in parts) if isinstance(parts, tuple) else reader.write(parts)


SENTENCES: Mapping[str, str | Callable[[Reason, Reader], str]] = {
    "csv-line-broken": N_("line {line} is no CSV: a quoted cell does not end, or something follows its quote"),
    "save-as-csv": N_("save it as CSV"),
    "save-as-csv-utf8": N_("save it as CSV in UTF-8"),
    "table-unreadable": N_("the table cannot be read: {why}"),
    "table-not-utf8": N_("the table is no text in UTF-8"),
    "table-too-large": N_("the table is too large to be meant"),
    "give-at-most-bytes": N_("give at most {bytes} bytes"),
    "name-readable-file": N_("name a file that you may read"),
    "mix-unwritable": N_("the documents cannot be written: {why}"),
    "mix-files-there": N_("the folder holds some of these files already; nothing was written"),
    "name-other-mix": N_("give the mix another {option}, or a folder that you may write to"),
    "table-without-rows": N_("a heading line and at least one row are needed"),
    "table-of-too-many-rows": N_("these are too many rows"),
    "give-rows": N_("give 1 to {most} rows"),
    "column-without-unit": N_("in which unit is the column {heading}?"),
    "say-for-example": N_("say so, for example: {example}"),
    "heading-repeated": N_("several columns have the heading {heading}"),
    "give-own-heading": N_("give each its own"),
    "no-column-names-cars": N_("no column names the cars"),
    "say-name-column": N_("say which column names the car: {example}, one of {headings:or}, or several with + between"),
    "no-column-means-this": N_("no column can mean this"),
    "column-fields-are": N_("write {form}, a field being {fields:or}"),
    "no-such-heading": N_("the table has no such heading"),
    "headings-are": N_("the headings are: {headings}"),
    "column-did-you-mean": N_("did you mean {near}?"),
    "column-unit-refused": N_("column {heading}: {why}"),
    "no-row-counts": _no_row_counts,
    "mend-rows-or-units": N_("mend the rows or units"),
    # Why a row is set aside.
    "row-set-aside": N_("line {line}: {why}"),
    "row-too-long": N_("it has more cells than there are headings"),
    "row-names-no-car": N_("it names no car"),
    "row-count-wrong": N_("its count is no number above 0: {count}"),
    "row-field-unreadable": N_("its {field}: {why}"),
    "row-number-ambiguous": N_("its {field} may be {ways:or}: write it without a comma"),
    "row-implausible": N_("its {field} of {value} is beyond what road cars have ({least} to {most})"),
    "row-lacks": N_("it lacks {fields}, and the shop folder has no such car"),
    "row-refused": _row_refused,
    "row-field-refused": N_("{field}: {why}"),
    "row-differs": N_("line {line} gives this car other dimensions: give the two different names"),
    "unit-doubtful": N_("{rows} of {of} rows have an implausible {field}: look whether its unit is right"),
}
