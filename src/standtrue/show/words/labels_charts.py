"""What charts say: of the sizes of a bay, of time, and of the strip of floor pictures."""

from __future__ import annotations

from collections.abc import Mapping

from standtrue.show.words.catalog import N_
from standtrue.show.words.reader import Reader, Said

STEP_KINDS: Mapping[str, str] = {
    "enter": N_("move"),
    "move": N_("move"),
    "leave": N_("move"),
    "lift": N_("lift travel"),
    "set up": N_("set up, carry, put away"),
    "carry": N_("set up, carry, put away"),
    "put away": N_("set up, carry, put away"),
    "wait": N_("wait"),
    "scan": N_("scan"),
    "work": N_("work"),
    "confirm": N_("confirm"),
    "calibration": N_("calibration"),
    "drive": N_("drive on the road"),
    "sent out": N_("sent out"),
}
"""What the legend of a chart of time says of each kind of step."""


def step_kind(kind: str, reader: Reader) -> str:
    """What the legend says of a kind of step."""
    return reader.term(STEP_KINDS[kind])


def time_note(why: str, reader: Reader) -> str:
    """What the reader of a chart must know, and why it has no clock, if so: the chart says so unless it is bare."""
    if not why:
        return reader.say("To scale, at the midpoint of every range, by the shop's clock.")
    return reader.say("To scale, at the midpoint of every range. No times of day: {why}.", why=why)


def closed(reader: Reader) -> str:
    """What closed time is called that is drawn to scale."""
    return reader.say("closed")


def folded(reader: Reader) -> str:
    """What a night is called that is drawn narrow."""
    return reader.say("closed, not to scale")


def as_long(reader: Reader) -> str:
    """The scale of a chart of time."""
    return reader.say("time, to scale")


def time_question(reader: Reader) -> str:
    """What a chart of time answers."""
    return reader.say("When is what done?")


def bar_words(reader: Reader, **bar: Said) -> str:
    """One bar: its number, what it is, and when."""
    return reader.say("{number}: {what}, {start} to {end}", **bar)


def bar_sentence(reader: Reader, place: str, **bar: Said) -> str:
    """One bar in a sentence, with where it is."""
    return reader.say("Step {number}: {what}, {start} to {end}, {place}.", place=place, **bar)


def page_title(title: str, number: int, count: int, reader: Reader) -> str:
    """The title of one page of several; a single one has the title alone."""
    if count == 1:
        return title
    return reader.say("{title}, page {number} of {count}", title=title, number=number, count=count)


def scene_sentence(numbers: str, title: str, reader: Reader) -> str:
    """Which steps a floor picture shows."""
    return reader.say("Steps {numbers}: {what}.", numbers=numbers, what=title)


def sizes_title(site: str, reader: Reader) -> str:
    """The title of the chart of bay sizes."""
    return reader.say("How large a bay must be: {site}", site=site)


def sizes_question(reader: Reader) -> str:
    """What the chart of bay sizes answers."""
    return reader.say("How large must a bay be?")


def sizes_scale(reader: Reader) -> str:
    """The scale of the chart of bay sizes."""
    return reader.say("length and width alike")


def invented_chart(reader: Reader) -> str:
    """What stands over the chart of bay sizes where the data are invented."""
    return reader.say("INVENTED DEMONSTRATION DATA: do not plan a real shop by this chart")


def axis_titles(reader: Reader) -> tuple[str, str]:
    """What stands at the axes: length, and width."""
    if reader.units == "us":
        return reader.say("inside length of the room, feet"), reader.say("inside width of the room, feet")
    return reader.say("inside length of the room, meters"), reader.say("inside width of the room, meters")


def contour_words(share: str, reader: Reader) -> str:
    """What a contour is of."""
    return reader.say("{share} of the work", share=share)


def today_label(reader: Reader) -> str:
    """Beside the mark of the room as it is."""
    return reader.say("today")


def today_meaning(reader: Reader) -> str:
    """What the mark of the room as it is means."""
    return reader.say("the room as it is today")


def today_size(size: str, reader: Reader) -> str:
    """How large the room is, where it lies outside the chart."""
    return reader.say("Today: {size}.", size=size)


def contours_meaning(reader: Reader) -> str:
    """What a contour says of the sizes beside it."""
    return reader.say("On each line, and above and to the right of it, a room covers at least that share.")
