"""What is wrong with one line that is no TOML, in words that a person knows, and how it is written."""

from __future__ import annotations

import re

from attrs import frozen

from standtrue.documents.quantities import SCALES
from standtrue.model.reason import Reason, Term, because

_NUMBER = r"-?\d+(?:\.\d+)?"
_UNIT = "|".join(
    sorted((re.escape(u) for s in SCALES.values() for u in s.units if u.isalpha() or "/" in u), key=len, reverse=True)
)
_FRACTION = r"\d+[ -]\d+/\d+|\d+/\d+"
_FEET = re.compile(
    rf"({_NUMBER})\s*(?:['’′]|ft\b|feet\b)[\s-]*(?:({_FRACTION}|{_NUMBER})\s*(?:[\"”″]|''|in\b|inches\b)?)?"
)
_INCHES = re.compile(rf"({_FRACTION}|{_NUMBER})\s*[\"”″]")
_WITH_UNIT = re.compile(rf"({_FRACTION}|{_NUMBER})\s*({_UNIT})(?:\s.*)?", re.IGNORECASE)
_LONE_FRACTION = re.compile(_FRACTION)
_COMMA = re.compile(r"(-?\d{1,3}),(\d+)")
_DAY = re.compile(r"(\d{1,2})[./-](\d{1,2})[./-](\d{4})")
_CLOCK = re.compile(r"(\d{1,2}):(\d\d)(?::\d\d)?(?:\s*[ap]m)?", re.IGNORECASE)
_SHORT_MOMENT = re.compile(r"\d{4}-\d\d-\d\d[T ]\d{1,2}:\d\d")
_YEARS = re.compile(r"(\d{4})\s*(?:-|–|to)\s*(\d{4})")
_SEVERAL = re.compile(rf"\(?\s*({_NUMBER}(?:\s*,\s*{_NUMBER})+)\s*\)?")
_ZEROS = re.compile(r"0+(\d+(?:\.\d+)?)")
_BEHIND = re.compile(r"([^,;\s]+)\s*[,;]")
_FIELD = re.compile(r"\s*([A-Za-z]+(?: [A-Za-z]+)+)\s*=")
_BETWEEN = re.compile(rf"{_NUMBER}(?:\s*;\s*{_NUMBER}|\s+{_NUMBER})+")
_FLAGS = {"yes": "true", "no": "false", "on": "true", "off": "false"}
_QUOTE = '"'
_SMART = "“”„«»‘’"
_UNITS_LINE = re.compile(r"""^\s*units\s*=\s*["'](\w+)["']""", re.MULTILINE)


@frozen
class Mend:
    """What is wrong on a line, what stands there, and how it is written."""

    what: Reason
    value: str
    remedy: Reason


def mend_of(line: str, column: int, why: str, text: str) -> Mend:
    """What to say of a line that went wrong at a column, from 0; below 0: something that it opened is never closed.

    `why` is what the parser said; `text` is the whole file, for the unit of its bare numbers.
    """
    if column < 0:
        return Mend(because("line-left-open"), line.strip(), because("close-bracket"))
    if re.match(r"Cannot (?:overwrite|declare|mutate)", why):
        name = re.match(r"\s*(?:\[+\s*([^\]]+?)\s*\]+|([^=\s]+))", line)
        remedy = because("write-section-doubled" if line.lstrip().startswith("[") else "keep-one-of-two")
        return Mend(
            because("stands-twice", field=(name and (name[1] or name[2])) or line.strip()), line.strip(), remedy
        )
    if field := _FIELD.match(line):
        return _write(field[1], field[1].replace(" ", "_"), "field-of-two-words")
    value, at = _value(line, column)
    if why.startswith("Invalid date"):
        return Mend(because("no-such-day"), value, because("look-at-date"))
    mended = _shaped(value, text) or _marked(line, value)
    if mended is not None:
        return mended
    return Mend(because("not-read-there", why=Term(why)), value or line.strip(), because("look-at-line", at=at + 1))


def _value(line: str, column: int) -> tuple[str, int]:
    """The value about a column, and where it begins: all behind the equals sign, or one item of a list or a table."""
    bare = re.sub(r"\"[^\"]*\"", lambda found: "_" * len(found[0]), line)
    equals = bare.find("=")
    if equals < 0:
        return line.strip(), 0
    comment = re.search(r"\s#", bare)
    end = comment.start() if comment else len(line)
    first = bare[equals + 1 :].lstrip()[:1]
    if first not in ("[", "{"):
        return line[equals + 1 : end].strip(), equals + 1
    left = max((bare.rfind(sign, 0, max(column, equals + 1)) for sign in "[{,="), default=equals) + 1
    right = min((at for sign in "]},#" if (at := bare.find(sign, max(column, left))) >= 0), default=end)
    return line[left:right].strip(), left


def _shaped(value: str, text: str) -> Mend | None:
    """A value whose shape tells what was meant."""
    units = _UNITS_LINE.search(text)
    unit = units[1] if units else "in"
    written = _quantity(value, unit)
    if written:
        return Mend(
            because("quantity-without-quotes", value=value),
            value,
            because("write-in-quotes-as", example=f'"{written}"'),
        )
    if comma := _COMMA.fullmatch(value):
        return _comma(value, comma[1], comma[2])
    if years := _YEARS.fullmatch(value):
        return _write(value, f"[{years[1]}, {years[2]}]", "range-as-list")
    if _DAY.fullmatch(value):
        return Mend(because("date-in-other-order"), value, because("write-as-in", examples=("2026-01-15",)))
    if _SHORT_MOMENT.fullmatch(value):
        return Mend(because("time-without-seconds"), value, because("write-seconds"))
    if clock := _CLOCK.fullmatch(value):
        hour = f"{int(clock[1]):02d}:{clock[2]}"
        return Mend(because("time-without-quotes"), value, because("write-in-quotes-as", example=f'"{hour}"'))
    if several := _SEVERAL.fullmatch(value):
        return _write(value, f"[{several[1]}]", "list-without-brackets")
    if zeros := _ZEROS.fullmatch(value):
        return _write(value, zeros[1], "number-begins-with-zero")
    if behind := _BEHIND.fullmatch(value):
        return _write(value, behind[1], "sign-behind-value")
    flag = _FLAGS.get(value.lower(), value.lower())
    if flag in ("true", "false"):
        return Mend(because("no-true-or-false"), value, because("write-true-or-false"))
    return None


def _quantity(value: str, unit: str) -> str | None:
    """A quantity that was written without quotes, as it is written in them."""
    if feet := _FEET.fullmatch(value):
        return " ".join((feet[1], "ft", *((feet[2], "in") if feet[2] else ())))
    if inches := _INCHES.fullmatch(value):
        return " ".join((inches[1], "in"))
    if _LONE_FRACTION.fullmatch(value):
        return f"{value} {unit}"
    return value if _WITH_UNIT.fullmatch(value) else None


def _comma(value: str, whole: str, part: str) -> Mend:
    """A comma in a number: a decimal sign, or one between thousands."""
    if len(part) == 3:
        either = (f"{whole}{part}", f"{whole}.{part}")
        return Mend(because("comma-in-number"), value, because("write-one-number", ways=either))
    return _write(value, f"{whole}.{part}", "comma-for-point")


def _write(value: str, written: str, what: str) -> Mend:
    return Mend(because(what), value, because("write-form", form=written))


def _marked(line: str, value: str) -> Mend | None:
    """A line with a sign that TOML has not, or without one that it has."""
    shown = line.strip()
    if any(sign in line for sign in _SMART):
        return Mend(because("curved-quotes"), shown, because("write-straight-quotes"))
    if "=" not in re.sub(r"\"[^\"]*\"", "", line) and not shown.startswith("["):
        return Mend(because("line-without-equals"), shown, because("write-equals"))
    if re.search(r"\s//|\s/\*|\s;|\s--", line):
        return Mend(because("comment-by-other-sign"), shown, because("write-hash"))
    if "\\" in line:
        return Mend(because("backslash-in-text"), shown, because("write-backslash-twice"))
    if line.count(_QUOTE) % 2:
        return Mend(because("quote-left-open"), shown, because("close-quote"))
    if _BETWEEN.fullmatch(value):
        return Mend(because("numbers-without-comma"), value, because("write-comma-between"))
    if re.fullmatch(r"[^\W\d_][\w .,&/#'-]*", value) and "[" not in value:
        return Mend(because("text-without-quotes"), value, because("write-in-quotes-as", example=f'"{value}"'))
    return None
