"""What the picture of a floor says of each thing on it, and of its heights."""

from __future__ import annotations

from math import inf

from standtrue.model.ground import LiftSetting, Thing
from standtrue.model.reason import Length, Reason, Ref, Term
from standtrue.model.site import Door, Patch
from standtrue.show.words.labels import MeaningAndLabel
from standtrue.show.words.reader import Reader


def walls(reader: Reader) -> str:
    """The walls together."""
    return reader.say("wall: the floor ends at its inner face")


def door(told: Door, opened: bool, reader: Reader) -> MeaningAndLabel:
    """A door, shut or as it must stand: only then it is named."""
    height = Length(told.height_m)
    if opened:
        meaning = reader.say("door {door}, {height} high, open", door=told.name, height=height)
        return meaning, reader.say("{door}: must stand open", door=told.name)
    return reader.say("door {door}, {height} high, shut", door=told.name, height=height), ""


def outside(door: Door, reader: Reader) -> str:
    """The floor that a car crosses outside a door."""
    if door.apron_assumed:
        return reader.say("floor outside {door}, assumed", door=door.name)
    return reader.say("floor outside {door}", door=door.name)


def bay(name: str, reader: Reader) -> str:
    """A bay."""
    return reader.say("bay: {bay}", bay=name)


def mark(name: str, reader: Reader) -> str:
    """A mark on the floor."""
    return reader.say("mark {mark}", mark=name)


def datum(reader: Reader) -> MeaningAndLabel:
    """Where the site is measured from."""
    return reader.say("the datum, from which every measure is taken"), reader.say("datum")


def cover(name: str, pit: str, closed: bool, reader: Reader) -> MeaningAndLabel:
    """A pit's cover."""
    if closed:
        meaning = reader.say("cover {cover} of {pit}: closed, it is floor", cover=name, pit=pit)
        return meaning, reader.say("{cover}, closed", cover=name)
    return reader.say("cover {cover} of {pit}: open", cover=name, pit=pit), reader.say("{cover}, open", cover=name)


def patch(told: Patch, reader: Reader) -> MeaningAndLabel:
    """Floor on which nothing may stand, and why."""
    meaning = reader.say("{patch}: {why}, nothing may stand on it", patch=told.name, why=told.why)
    return meaning, reader.say("{patch}: {why}", patch=told.name, why=told.why)


def pit(ref: Ref, reader: Reader) -> str:
    """An open pit."""
    return reader.say("{pit}: open pit", pit=ref)


def slot(ref: Ref, reader: Reader) -> str:
    """An opening over which wheels roll."""
    return reader.say("{pit}: slot too narrow for a wheel, nothing may stand on it", pit=ref)


def uneven(ref: Ref, reader: Reader) -> str:
    """Floor that is not level with the part that a stance was kept to."""
    return reader.say("{floor}: at another height than what stands there", floor=ref)


def lift_fill(lift: str, reader: Reader) -> str:
    """What a lift closes when it is down."""
    return reader.say("{lift}: closed at floor level", lift=lift)


def lift_ramp(lift: str, reader: Reader) -> str:
    """A ramp onto a lift."""
    return reader.say("{lift}: ramp", lift=lift)


def lift_plate(lift: str, front: bool, reader: Reader) -> str:
    """A plate on which wheels turn, or slip."""
    return reader.say("{lift}: radius plate", lift=lift) if front else reader.say("{lift}: slip plate", lift=lift)


def lift_in_state(lift: str, state: str, reader: Reader) -> str:
    """A lift without decks."""
    return reader.say("lift {lift} in state {state}", lift=lift, state=state)


def decks(lift: str, setting: LiftSetting, reader: Reader) -> MeaningAndLabel:
    """A lift's decks, in one state at one height."""
    state, height = setting.state, Length(setting.height_m)
    if setting.height_m > 0.0:
        meaning = reader.say("lift {lift} in state {state}: decks at {height}", lift=lift, state=state, height=height)
        return meaning, reader.say("{lift}: decks at {height}", lift=lift, height=height)
    meaning = reader.say("lift {lift} in state {state}: decks at floor level", lift=lift, state=state)
    return meaning, reader.say("{lift}: decks at floor level", lift=lift)


def thing(told: Thing, reader: Reader) -> MeaningAndLabel:
    """What it is, how high it stands, whether it is metal, and whether it can be moved."""
    name = reader.write(told.ref)
    words = [name]
    bottom, top = Length(told.bottom_m), Length(told.top_m)
    if told.top_m < inf and told.bottom_m > 0:
        words.append(reader.say("from {bottom} up to {top}", bottom=bottom, top=top))
    elif told.top_m < inf:
        words.append(reader.say("{top} high", top=top))
    words.append(reader.say("metal") if told.metal else reader.say("no metal"))
    if told.movable:
        words.append(reader.say("can be moved"))
    over = told.bottom_m > 0.0
    return ", ".join(words), reader.say("{thing}, from {bottom} up", thing=name, bottom=bottom) if over else name


def heights_title(survey: str, reader: Reader) -> str:
    """The title of a surveyed floor."""
    return reader.say("Heights of the floor: {survey}", survey=Ref("survey", survey))


def survey_fact(survey: str, reader: Reader) -> tuple[str, str]:
    """The survey that is drawn."""
    return reader.say("Survey"), survey


def lines_apart(step_m: float, reader: Reader) -> str:
    """How the lines of equal height are to be read."""
    return reader.say(
        "The lines of equal height are {step} apart; heights count from the lowest point", step=Length(step_m)
    )


def contour(height_m: float, reader: Reader) -> str:
    """A line of equal height."""
    return reader.say("line of equal height, {height} above the lowest point", height=Length(height_m))


def lowest(reader: Reader) -> str:
    """The point from which heights count."""
    return reader.say("lowest")


def highest(height_m: float, reader: Reader) -> str:
    """The highest point."""
    return reader.say("highest, {height}", height=Length(height_m))


def surveyed(height_m: float, reader: Reader) -> str:
    """A point that was surveyed."""
    return reader.say("surveyed point, {height} above the lowest", height=Length(height_m))


def uphill(reader: Reader) -> str:
    """What stands where the floor rises to."""
    return reader.say("the floor rises toward this")


def not_level(because: Reason, reader: Reader) -> str:
    """Floor that is too uneven for a card, and why."""
    return reader.say("not level enough: {why}", why=because)


def unsurveyed(reader: Reader) -> str:
    """Floor between no points of a survey."""
    return reader.say("floor that was not surveyed")


def car_there(car: str, reader: Reader) -> str:
    """A car that is asked about."""
    return reader.say("{car} where it would stand", car=Ref("vehicle", car))


def wheel(name: str, shim_m: float | None, reader: Reader) -> MeaningAndLabel:
    """A wheel, and what must go under it; None where the floor was not surveyed."""
    shim = "" if shim_m is None else reader.say("shim {height:fine}", height=Length(shim_m))
    return reader.say("{wheel}: {told}", wheel=Term(name), told=shim or reader.say("not surveyed")), shim
