"""What `floor` says: how level and how flat a floor is, for a card, and under a car."""

from __future__ import annotations

import math
from collections.abc import Iterator

from standtrue.aim.floor_standards import Flatness, FloorNumbers
from standtrue.aim.ground_under import FloorUnder
from standtrue.aim.leveling import Closure
from standtrue.aim.tilt import off_aim
from standtrue.model.reason import Length, Number, Ref, Term
from standtrue.show.words.aim import area_words, facing, slope_words
from standtrue.show.words.blocks import Block, Lines, Table, Told
from standtrue.show.words.catalog import N_
from standtrue.show.words.level import level_word
from standtrue.show.words.reader import Reader
from standtrue.show.words.texts import as_sentence
from standtrue.work.aim.floors import FloorAnswer, SensorTilt, StandingFloor

Row = tuple[str, ...]

_WAYS: tuple[str, ...] = (
    N_("along the datum's line"),
    N_("to the left of the datum's line"),
    N_("back along the datum's line"),
    N_("to the right of the datum's line"),
)
"""The way in which a floor rises, by quarter turns counter-clockwise from the datum's direction."""


def floor_told(answer: FloorAnswer, reader: Reader) -> Told:
    """How level the floor is, and whether it is level enough where the car stands; then every figure."""
    lines = [floor_words(answer, reader), *(as_sentence(said) for said in standing_notes(answer.standing, reader))]
    return Told((Lines(tuple(lines)),), tuple(floor_blocks(answer, reader)))


def floor_blocks(answer: FloorAnswer, reader: Reader) -> Iterator[Block]:
    """A surveyed floor, judged."""
    if answer.questions:
        yield Lines(tuple(as_sentence(said) for said in reader.reasons(answer.questions)))
    title = reader.say("The floor: {survey}", survey=Ref("survey", answer.survey.name))
    yield Table(title, ("", ""), tuple(_floor(answer, reader)))
    if answer.band is not None:
        yield Lines(
            (
                reader.say(
                    "Level enough for the card: {area} of the floor; the rest: {why}.",
                    area=area_words(float(answer.band.level.area), reader),
                    why=answer.band.because,
                ),
            )
        )
    if answer.standing is not None:
        yield Table(reader.say("The car there"), ("", ""), tuple(_standing(answer.standing, reader)))


def _floor(answer: FloorAnswer, reader: Reader) -> Iterator[Row]:
    plane = answer.plane
    slope = slope_words(plane.slope, reader)
    yield reader.say("slope"), reader.say("{slope} ({angle}°)", slope=slope, angle=_degrees(plane.slope_rad))
    turned = facing(plane.uphill_rad - answer.site.datum.direction_rad, reader)
    yield (
        reader.say("uphill"),
        reader.say("{way} ({angle} to the datum's line)", way=uphill(answer, reader), angle=turned),
    )
    yield reader.say("greatest off its plane"), reader.write(Length(plane.greatest_m), "fine-up")
    for loop in answer.read.closures:
        yield reader.say("loop {name}", name=loop.loop), _closure(loop, reader)
    for name, height, u in answer.leveled:
        told = reader.say("{height:fine}, known to {u:fine-up}", height=Length(height), u=Length(u))
        yield reader.say("height of {name} by the loops", name=name), told
    for name, numbers in answer.numbers:
        yield reader.say("{line} (for comparison)", line=name), _numbers(numbers, reader)
    for row, worst in answer.worst:
        if worst is not None:
            yield reader.say("DIN 18202 table 3 row {row}", row=row), _flatness(worst, reader)


def _numbers(numbers: FloorNumbers, reader: Reader) -> str:
    """FF and FL of a line, as far as it is long enough; a perfect line has no number."""
    told = [
        reader.say(said, value=Number(value, 1))
        for said, value in ((N_("FF {value}"), numbers.ff), (N_("FL {value}"), numbers.fl))
        if value is not None and math.isfinite(value)
    ]
    return ", ".join(told) or reader.say("too short")


def _closure(loop: Closure, reader: Reader) -> str:
    said = N_("closes to {off:fine-up}, at most {allowed:fine-down} by its readings")
    if not loop.closes:
        said = N_("does not close: off by {off:fine-up}, at most {allowed:fine-down} by its readings")
    return reader.say(said, off=Length(abs(loop.misclosure_m)), allowed=Length(loop.allowed_m))


def _flatness(worst: Flatness, reader: Reader) -> str:
    said = N_("met: off by {off:fine-up}, at most {limit:fine-down}")
    if not worst.ok:
        said = N_("not met: off by {off:fine-up}, at most {limit:fine-down}")
    return reader.say(said, off=Length(abs(worst.off_m)), limit=Length(worst.limit_m))


def _standing(told: StandingFloor, reader: Reader) -> Iterator[Row]:
    if told.under is not None:
        yield from _tilt(told.under, reader)
    if told.sensor is not None:
        yield reader.say("so the {sensor} looks", sensor=Term(told.sensor.sensor)), _looks(told.sensor, reader)
    for wheel, shim, u in told.shims_m:
        height = reader.say("{by:fine}, known to {u:fine-up}", by=Length(shim), u=Length(u))
        yield reader.say("shim under {wheel}", wheel=Term(wheel)), height
    for target, rise, u in told.stands_m:
        way = (
            N_("{by:fine} higher, known to {u:fine-up}") if rise >= 0.0 else N_("{by:fine} lower, known to {u:fine-up}")
        )
        what = reader.say(
            "floor under {target} against the plane of the wheels, prolonged", target=Ref("target", target)
        )
        yield what, reader.say(way, by=Length(abs(rise)), u=Length(u))
    if told.level is not None:
        what, off = reader.say("difference in height over what the card names"), Length(told.level.difference_m)
        yield what, reader.say("{by:fine-up}, known to {u:fine-up}", by=off, u=Length(told.level.u_m))
    if told.told is not None:
        yield reader.say("level as the card asks"), level_word(told.told, reader)
        yield from ((reader.say("because"), why) for why in reader.reasons(told.told.because))
    if told.unknown:
        yield reader.say("not surveyed"), ", ".join(reader.write(part) for part in told.unknown)


def _tilt(under: FloorUnder, reader: Reader) -> Iterator[Row]:
    (pitch, pitch_u), (roll, roll_u) = under.pitch, under.roll
    pitched = N_("{by}° nose down, known to {u}°") if pitch > 0 else N_("{by}° nose up, known to {u}°")
    rolled = N_("{by}° left side up, known to {u}°") if roll > 0 else N_("{by}° right side up, known to {u}°")
    yield reader.say("pitch"), reader.say(pitched, by=_degrees(abs(pitch)), u=_degrees(pitch_u))
    yield reader.say("roll"), reader.say(rolled, by=_degrees(abs(roll)), u=_degrees(roll_u))
    far = _range(reader)
    yield reader.say("at {range}", range=far), reader.write(Length(abs(off_aim(pitch, far.metres))))


def _looks(sensor: SensorTilt, reader: Reader) -> str:
    said = N_("{by}° lower, {far} at {range}") if sensor.pitch_rad > 0 else N_("{by}° higher, {far} at {range}")
    away = _range(reader)
    by, far = _degrees(abs(sensor.pitch_rad)), Length(abs(off_aim(sensor.pitch_rad, away.metres)))
    return reader.say(said, by=by, far=far, range=away)


def _range(reader: Reader) -> Length:
    """How far away it is told how far off a sensor looks: a round figure in the reader's units."""
    return Length(300 * 0.3048 if reader.units == "us" else 100.0)


def floor_words(answer: FloorAnswer, reader: Reader) -> str:
    """The floor in one or two sentences: its slope, how near a plane it is, what of it a card can use."""
    plane = answer.plane
    said = reader.say(
        "The floor rises by {slope} {way}, and lies within {off:fine-up} of a plane.",
        slope=slope_words(plane.slope, reader),
        way=uphill(answer, reader),
        off=Length(plane.greatest_m),
    )
    if answer.band is None or answer.card is None:
        return said
    level = reader.say(
        "{area} lie in one band of heights that is level enough for {card}.",
        area=area_words(float(answer.band.level.area), reader),
        card=Ref("card", answer.card.key),
    )
    return f"{said} {level}"


def uphill(answer: FloorAnswer, reader: Reader) -> str:
    """The way in which the floor rises: toward what one sees there, else as the datum's line goes."""
    if answer.uphill is not None:
        return reader.say("toward {thing:the}", thing=answer.uphill)
    quarter = round((answer.plane.uphill_rad - answer.site.datum.direction_rad) / (math.pi / 2)) % 4
    return reader.term(_WAYS[quarter])


def standing_notes(told: StandingFloor | None, reader: Reader) -> tuple[str, ...]:
    """How a car stands on the floor."""
    if told is None:
        return ()
    said = []
    if told.level is not None:
        off = Length(told.level.difference_m)
        said.append(reader.say("under what the card names the height differs by {off:fine-up}", off=off))
    if told.told is not None:
        said.append(reader.say("level as the card asks: {met}", met=level_word(told.told, reader)))
    if told.unknown:
        said.append(reader.say("not surveyed: {parts}", parts=told.unknown))
    return tuple(said)


def _degrees(angle_rad: float) -> Number:
    """A tilt, to a thousandth of a degree."""
    return Number(math.degrees(angle_rad), 3)
