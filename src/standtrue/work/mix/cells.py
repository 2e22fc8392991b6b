"""The cells of a table as programs save them: its divider, its encoding, and the numbers that a cell may mean."""

from __future__ import annotations

import csv
import io
import re

DIVIDERS = (",", ";", "\t")
_TWO_BYTES = (b"\xff\xfe", b"\xfe\xff")
_DIVIDER_LINE = re.compile(r"sep=(.)\r?\n", re.IGNORECASE)
"""A first line that says nothing but the divider."""

_TEXT_MARK = re.compile(r"^'(?=[=+\-@])")
"""What marks as text, in a table that was written to be opened safely, a cell that looks like a formula."""

_SPACED = re.compile(r"(?<=[0-9])[ '’\u00a0\u202f](?=[0-9]{3}(?![0-9]))")
_NUMBER = re.compile(r"([0-9]+(?:[.,][0-9]+)*|[.,][0-9]+)\s*([^\W\d_]*)")
_THOUSANDS = re.compile(r"[1-9][0-9]{0,2}([.,])[0-9]{3}(\1[0-9]{3})*")


def decoded(data: bytes) -> str:
    """The text of a table: UTF-8, or what begins with the mark of two bytes a sign. Raises UnicodeDecodeError."""
    return data.decode("utf-16" if data[:2] in _TWO_BYTES else "utf-8-sig")


def rows_of(text: str) -> list[tuple[int, list[str]]]:
    """The rows that are not blank, with their line in the file. Raises csv.Error; `line_num` stands in its args."""
    plain = text.lstrip("\ufeff")
    told = _DIVIDER_LINE.match(plain)
    before = 1 if told else 0
    plain = plain[told.end() :] if told else plain
    reader = csv.reader(io.StringIO(plain), delimiter=told[1] if told else divider_of(plain), strict=True)
    try:
        return [
            (reader.line_num + before, [_TEXT_MARK.sub("", cell) for cell in row])
            for row in reader
            if any(cell.strip() for cell in row)
        ]
    except csv.Error:
        raise csv.Error(reader.line_num + before) from None


def divider_of(text: str) -> str:
    """What divides the cells: whatever divides the heading line into the most of them."""
    heading = next((line for line in text.splitlines() if line.strip()), "")
    bare = re.sub(r"\"[^\"]*\"", "", heading)
    return max(DIVIDERS, key=bare.count)


def numbers_of(cell: str) -> tuple[str, ...]:
    """The ways to read a cell that holds one number, with or without a unit: with a decimal point, nothing between
    thousands. A cell that holds anything else is as it stands."""
    found = _NUMBER.fullmatch(_SPACED.sub("", cell.strip()))
    if found is None:
        return (cell.strip(),)
    number, unit = found[1], f" {found[2]}" if found[2] else ""
    return tuple(way + unit for way in _ways(number))


def _ways(number: str) -> tuple[str, ...]:
    last = max(number.rfind("."), number.rfind(","))
    if last < 0:
        return (number,)
    sign = number[last]
    decimal = re.sub("[.,]", "", number[:last]) + "." + number[last + 1 :]
    if _THOUSANDS.fullmatch(number):
        whole = re.sub("[.,]", "", number)
        if number.count(sign) > 1:
            return (whole,)
        return (decimal, whole) if sign == "." else (whole, decimal)
    return (decimal,) if number.count(sign) == 1 else (number,)
