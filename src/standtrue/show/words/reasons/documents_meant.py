"""What can be read in a document and cannot be meant, and how to mend it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from standtrue.model.reason import Length
from standtrue.show.words.catalog import N_
from standtrue.show.words.reasons.documents import either

if TYPE_CHECKING:
    from standtrue.model.reason import Reason
    from standtrue.show.words.reader import Reader
    from standtrue.show.words.reasons import Sentences


def _doubted(reason: Reason, reader: Reader) -> str:
    count = reason["count"]
    assert isinstance(count, int)
    return reader.say_n(
        "{n} value of these documents can hardly be meant: {command} tells it",
        "{n} values of these documents can hardly be meant: {command} tells them",
        count,
        command=reason["command"],
    )


def _outside(reason: Reason, reader: Reader) -> str:
    count = reason["count"]
    assert isinstance(count, int)
    blanks = {"of": reason["of"], "first": reason["first"]}
    return reader.say_n(
        "{n} of {of} points lies off the floor of the site: points[{first}]",
        "{n} of {of} points lie off the floor of the site, points[{first}] first",
        count,
        **blanks,
    )


def _unusual(reason: Reason, reader: Reader) -> str:
    values = dict(reason.values)
    least, most = _round(values.get("least"), reader), _round(values["most"], reader)
    blanks = {"what": values["what"], "value": values["value"], "most": most}
    if least is None:
        return reader.say("{what}: {value}, and it is at most {most} as a rule", **blanks)
    return reader.say("{what}: {value}, and it lies between {least} and {most} as a rule", least=least, **blanks)


def _round(limit: Any, reader: Reader) -> Any:
    """A limit of a rule that nobody measured: in half feet, or half inches below three feet."""
    if not isinstance(limit, Length) or reader.units == "metric":
        return limit
    step = 0.1524 if abs(limit.metres) > 0.9 else 0.0127
    return Length(round(limit.metres / step) * step)


TERMS = (
    N_("turning circle between walls"),
    N_("mass"),
    N_("height of the sensor"),
    N_("length of the lift"),
    N_("width of the lift"),
    N_("height of the decks"),
    N_("travel"),
    N_("distance of the target"),
    N_("height of the target"),
    N_("reach of the zone"),
    N_("top of the zone"),
    N_("tolerance"),
    N_("duration"),
    N_("number of orders a year"),
    N_("height of the floor"),
    N_("wheel angle"),
    N_("reading"),
    N_("length of the room"),
    N_("width of the room"),
    N_("clear height"),
    N_("width of the door"),
    N_("height of the door"),
    N_("pace of a car in the shop"),
    N_("gap"),
)
"""What a size is of; further ones are said elsewhere."""

SENTENCES: Sentences = {
    "doubt-told": either("line", N_("{file} line {line}, {field}: {what}. {remedy}"), N_("{file}: {what}. {remedy}")),
    "file-doubt-told": N_("{file}: {what}. {remedy}"),
    "documents-doubted": _doubted,
    # What cannot be meant
    "size-unusual": _unusual,
    "sizes-unusual": N_("several sizes are far from what they are as a rule: {sizes}"),
    "one-size": lambda reason, reader: f"{reader.write(reason['what'])} {reader.write(reason['value'])}",
    "mass-in-pounds": N_("a bare mass is in kilograms, and {mass} is more than this can be: it may be in pounds"),
    "stands-in-wall": N_("{thing} reaches {by} outside the floor"),
    "points-outside-floor": _outside,
    "stands-over-void": N_("{thing} stands partly over {void}"),
    "cover-beyond-void": N_("{cover} reaches far beside its pit"),
    "same-place": N_("{thing} stands where {other} stands"),
    "height-above-ceiling": N_("{thing} reaches {height} under a ceiling of {ceiling}"),
    "nobody-has-hours": N_("people are listed, and neither they nor the shop have hours"),
    "decks-too-narrow": N_("over both decks it is {span}, and no car stands on less than {least}"),
    "lock-out-of-reach": N_("a lock at {lock}, and the decks reach {highest}"),
    "sensor-off-car": N_("{sensor:the} sits {off} outside the car"),
    "sensor-on-other-side": N_("{sensor:the} is called {side}, and sits on the other side"),
    "sensor-without-side": N_("{sensor:the} sits on the left or on the right, and its side is not told"),
    "sensor-twice": N_("{sensor:the} is listed already, as sensors[{index}]"),
    "raised-without-decks": N_("{state} is raised, and has no decks on which wheels could stand"),
    "skill-nearly-known": N_("nobody has this skill"),
    "taped-otherwise": N_("the two points lie {apart} apart as they are written, {off:up} off what was taped"),
    "year-ahead": N_("the model year {year} lies ahead"),
    "date-ahead": N_("{date} lies ahead of today"),
    "target-looks-away": N_("the printed side of {target} looks away from the car"),
    "event-nearly-known": N_("no rule knows this event"),
    "order-says-nothing": N_("the order says neither what was done to the car nor what is still to do"),
    "vin-length": N_("a vehicle identification number has {asked} signs, and this has {count}"),
    "shares-not-whole": N_("the shares add up to {total}"),
    "point-nearly-known": N_("no point of a car is called {point}"),
    "point-to-itself": N_("a reading from {point} to itself"),
    # How to mend it
    "look-at-value-and-unit": N_("Look at the value and its unit."),
    "look-at-the-units": N_("Look at units: it says what all bare numbers of this document are in."),
    "circle-is-diameter": N_("Write the diameter of the circle, not its radius."),
    "write-pounds": N_("Write {example} if it is in pounds."),
    "travel-in-seconds": N_('A bare duration is in minutes: write it as in "50 s".'),
    "look-at-place-and-units": N_("Look at its place and its size, and at units."),
    "look-at-both-places": N_("Look at both places, and correct the wrong one."),
    "look-at-both-heights": N_("Look at both heights, and correct the wrong one."),
    "write-hours": N_('Write the hours of the shop, as in [hours] "monday-friday" = ["08:00", "17:00"].'),
    "decks-lie-beside": N_("Write both decks, to the left and to the right of the lift's own middle line, y = 0."),
    "look-at-locks-and-states": N_("Look at the locks, and at the deck_height of the states."),
    "write-side-of-sensor": N_('Write side = "left" or side = "right", and the other one on a line of its own.'),
    "keep-one-sensor": N_("Look at its side, and keep one of the two if they are the same."),
    "write-decks-or-body": N_('Write its decks, or carries = "body" if it takes the car by its lift points.'),
    "measure-corners-again": N_("Measure the corners and this length again, and correct the one that is wrong."),
    "left-is-positive": N_("Write y above zero on the left of the car and below zero on the right."),
    "tolerance-of-nothing": N_("no reading can ever lie within a tolerance of nothing"),
    "look-at-card": N_("Look at what the maker's page says; leave it out where it says nothing."),
    "limit-never-read": N_("no wheel alignment reading is called {name}: this limit would never be looked at"),
    "look-at-date": N_("Look at the date: it is written year, month, day."),
    "facing-is-printed-side": N_(
        "Write facing as the way the printed side looks: 180 is back toward a car that faces it."
    ),
    "did-you-mean": N_("Did you mean {near}?"),
    "write-what-was-done": N_('Write [[events]] with event = "windshield replaced" and the like, or [[work]].'),
    "look-at-vin": N_("Look at it: the plate goes into plate."),
    "shares-add-up-to-one": N_("Write shares that add up to 1, or how many of each came."),
    "look-at-points-and-units": N_("Look at the points, and at units: they are in the site's own frame."),
    "look-at-value": N_("Look at the value."),
    "write-other-point": N_("Write the point to which it was read."),
}
