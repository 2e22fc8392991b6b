"""Hours and moments: when a shop is open, who is away on which day, when a car comes. All in the shop's local time."""

from __future__ import annotations

import datetime
import re
import zoneinfo
from typing import Annotated, Any

from standtrue.documents.faults import RefusedError, shorten, wrong_type
from standtrue.documents.fields import Clock
from standtrue.documents.leaves import BROKEN, Context, Leaf
from standtrue.model.reason import Term, because

DAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")

Hours = tuple[tuple[str, str, str], ...]

_TWO_TIMES = because("write-as-in", examples=('monday = ["08:00", "17:00"]',))
_MOMENT = because("write-as-in", examples=("2026-03-02T08:30:00", '"2026-03-02 08:30"'))
_DATES = because("write-as-in", examples=("[2026-07-03, 2026-12-25]",))
_ZONES = because("write-as-in", examples=('"America/Chicago"', '"Etc/UTC"'))
_ISO_DATE = re.compile(r"\d{4}-\d{2}-\d{2}")


def _hours(value: object, context: Context) -> Hours:
    """`{ "monday-friday" = ["08:00", "17:00"], saturday = [] }`: a row for each day and stretch of time."""
    if not isinstance(value, dict):
        raise wrong_type(value, Term("a table of days"), _TWO_TIMES)
    if BROKEN in value.values():
        return ()
    rows: list[tuple[str, str, str]] = []
    for days, stretches in value.items():
        if not isinstance(stretches, list):
            raise RefusedError("wrong-type", because("no-two-times", days=shorten(days, 40)), _TWO_TIMES)
        pairs = stretches if all(isinstance(pair, list) for pair in stretches) else [stretches]
        for pair in pairs:
            if len(pair) != 2:
                raise RefusedError("wrong-type", because("no-two-times", days=shorten(days, 40)), _TWO_TIMES)
            opens, closes = (Clock.parse(item, context) for item in pair)
            if opens >= closes:
                what = because("closes-before-it-opens", days=shorten(days, 40))
                raise RefusedError("range-reversed", what, because("write-earlier-time-first"))
            rows.extend((day, opens, closes) for day in _days(days))
    return tuple(sorted(rows, key=lambda row: (DAYS.index(row[0]), row[1])))


def _days(text: str) -> tuple[str, ...]:
    first, dash, last = (part.strip().lower() for part in text.partition("-"))
    indices = [_day_index(first), _day_index(last) if dash else _day_index(first)]
    if indices[0] > indices[1]:
        remedy = because("write-as-in", examples=('"monday-friday"',))
        raise RefusedError("range-reversed", because("days-run-backward", days=shorten(text, 40)), remedy)
    return DAYS[indices[0] : indices[1] + 1]


def _day_index(word: str) -> int:
    for index, day in enumerate(DAYS):
        if word in (day, day[:3], day[:4]):
            return index
    remedy = because("write-one-of", near=None, words=DAYS)
    raise RefusedError("unknown-word", because("no-day-of-the-week", word=shorten(word, 40)), remedy)


def _moment(value: object, context: Context) -> str:
    """A date, or a date and time of day: TOML's own, or text. A date alone means the whole day."""
    if isinstance(value, str) and _ISO_DATE.fullmatch(value.strip()):
        return _date(value, context)
    if isinstance(value, datetime.date) and not isinstance(value, datetime.datetime):
        return value.isoformat()
    return _to_the_minute(value, context)


def _to_the_minute(value: object, _context: Context) -> str:
    """A date and time of day."""
    found = value
    if isinstance(value, str):
        try:
            found = datetime.datetime.fromisoformat(value.strip())
        except ValueError:
            raise RefusedError("value-impossible", because("no-date-and-time"), _MOMENT) from None
        if _ISO_DATE.fullmatch(value.strip()):
            raise RefusedError("value-impossible", because("no-time-with-date"), _MOMENT)
    if isinstance(found, datetime.date) and not isinstance(found, datetime.datetime):
        raise RefusedError("value-impossible", because("no-time-with-date"), _MOMENT)
    if not isinstance(found, datetime.datetime):
        raise wrong_type(value, Term("a date and time"), _MOMENT)
    if found.tzinfo is not None:
        raise RefusedError("value-impossible", because("time-zone-written"), because("leave-time-zone-out"))
    return found.isoformat(timespec="seconds")


def _date(value: object, _context: Context) -> str:
    """A day of the calendar."""
    if isinstance(value, datetime.date) and not isinstance(value, datetime.datetime):
        return value.isoformat()
    if not isinstance(value, str):
        raise wrong_type(value, Term("a date"), _DATES)
    try:
        return datetime.date.fromisoformat(value.strip()).isoformat()
    except ValueError:
        raise RefusedError("value-impossible", because("no-date"), _DATES) from None


def _dates(value: object, context: Context) -> tuple[str, ...]:
    """Days, in their order."""
    if not isinstance(value, list):
        raise wrong_type(value, Term("a list of dates"), _DATES)
    return tuple(sorted({_date(item, context) for item in value}))


def _zone(value: object, _context: Context) -> str:
    """The name of a time zone as the IANA's time zone database has it."""
    if not isinstance(value, str):
        raise wrong_type(value, Term("a time zone"), _ZONES)
    try:
        return zoneinfo.ZoneInfo(value.strip()).key
    except (ValueError, OSError, zoneinfo.ZoneInfoNotFoundError):
        raise RefusedError("value-impossible", because("no-such-time-zone", zone=shorten(value, 40)), _ZONES) from None


_HOURS_SCHEMA: dict[str, Any] = {"type": "object", "additionalProperties": {"type": "array"}}
_DAY_SCHEMA: dict[str, Any] = {"type": "string", "format": "date"}
_LOCAL: dict[str, Any] = {"type": "string", "description": "A local date and time, in ISO 8601, without a time zone."}
_EITHER: dict[str, Any] = {"type": "string", "description": "A local date and time, in ISO 8601, or a date alone."}

_ZONE_SCHEMA: dict[str, Any] = {"type": "string", "description": "A name of the IANA time zone database."}

OpenHours = Annotated[Hours, Leaf(_hours, _HOURS_SCHEMA, ())]
Dates = Annotated[tuple[str, ...], Leaf(_dates, {"type": "array", "items": _DAY_SCHEMA}, ())]
TimeZone = Annotated[str, Leaf(_zone, _ZONE_SCHEMA, "")]
Moment = Annotated[str, Leaf(_to_the_minute, _LOCAL, "")]
DayOrMoment = Annotated[str, Leaf(_moment, _EITHER, "")]
