"""Days and times of day in words: all are the shop's own, none has a time zone."""

from __future__ import annotations

from datetime import datetime

from standtrue.show.words.catalog import N_
from standtrue.show.words.reader import Reader

WEEKDAYS: tuple[str, ...] = (
    N_("Monday"),
    N_("Tuesday"),
    N_("Wednesday"),
    N_("Thursday"),
    N_("Friday"),
    N_("Saturday"),
    N_("Sunday"),
)
MONTHS: tuple[str, ...] = (
    N_("January"),
    N_("February"),
    N_("March"),
    N_("April"),
    N_("May"),
    N_("June"),
    N_("July"),
    N_("August"),
    N_("September"),
    N_("October"),
    N_("November"),
    N_("December"),
)


def of_day(when: datetime, reader: Reader) -> str:
    """The time of a day: `3:50 p.m.` for US readers of English, `15:50` for all others."""
    if reader.language != "en" or reader.units != "us":
        return f"{when:%H:%M}"
    if not when.minute and when.hour in (0, 12):
        return reader.say("noon") if when.hour else reader.say("midnight")
    hour = when.hour % 12 or 12
    clock = f"{hour}:{when.minute:02d}" if when.minute else str(hour)
    return reader.say("{clock} a.m.", clock=clock) if when.hour < 12 else reader.say("{clock} p.m.", clock=clock)


def day_words(when: datetime, reader: Reader, *, dated: bool = False) -> str:
    """A day by its name, with its date where the name alone could be another week's."""
    name = reader.term(WEEKDAYS[when.weekday()])
    if not dated:
        return name
    return reader.say("{weekday}, {month} {day}", weekday=name, month=reader.term(MONTHS[when.month - 1]), day=when.day)


def moment_words(when: datetime, reader: Reader, *, dated: bool = False) -> str:
    """A day and a time of day: `Tuesday 3:50 p.m.`."""
    day, clock = day_words(when, reader, dated=dated), of_day(when, reader)
    return reader.say("{day}, {clock}", day=day, clock=clock) if dated else f"{day} {clock}"
