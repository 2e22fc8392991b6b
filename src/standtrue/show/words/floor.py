"""What `floor` says: how level and how flat a floor is, for a card, and under a car."""

from __future__ import annotations

import math
from collections.abc import Iterator

from standtrue.aim.floor_standards import Flatness, FloorNumbers
from standtrue.aim.tilt import Tilt, off_aim
from standtrue.model.reason import Length, Number, Ref, Term
from standtrue.show.words.aim import area_words, facing, met_word, slope_words
from standtrue.show.words.blocks import Block, Lines, Table
from standtrue.show.words.catalog import N_
from standtrue.show.words.reader import Reader
from standtrue.work.aim.floors import FloorAnswer, SensorTilt, StandingFloor

Row = tuple[str, ...]


def floor_blocks(answer: FloorAnswer, reader: Reader) -> Iterator[Block]:
    """A surveyed floor, judged."""
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
    yield reader.say("uphill"), facing(plane.uphill_rad, reader)
    yield reader.say("greatest off its plane"), reader.write(Length(plane.greatest_m), "fine-up")
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


def _flatness(worst: Flatness, reader: Reader) -> str:
    said = N_("met: off by {off:fine-up}, at most {limit:fine-down}")
    if not worst.ok:
        said = N_("not met: off by {off:fine-up}, at most {limit:fine-down}")
    return reader.say(said, off=Length(abs(worst.off_m)), limit=Length(worst.limit_m))


def _standing(told: StandingFloor, reader: Reader) -> Iterator[Row]:
    if told.tilt is not None:
        yield from _tilt(told.tilt, reader)
    if told.sensor is not None:
        yield reader.say("so the {sensor} looks", sensor=Term(told.sensor.sensor)), _looks(told.sensor, reader)
    for wheel, shim in told.shims_m:
        yield reader.say("shim under {wheel}", wheel=Term(wheel)), reader.write(Length(shim), "fine")
    for target, rise, u in told.stands_m:
        way = (
            N_("{by:fine} higher, known to {u:fine-up}") if rise >= 0.0 else N_("{by:fine} lower, known to {u:fine-up}")
        )
        what = reader.say(
            "floor under {target} against the plane of the wheels, prolonged", target=Ref("target", target)
        )
        yield what, reader.say(way, by=Length(abs(rise)), u=Length(u))
    if told.level is not None:
        what = reader.say("difference in height over what the card names")
        yield what, reader.write(Length(told.level.difference_m), "fine-up")
    if told.verdict is not None:
        yield reader.say("level as the card asks"), met_word(told.verdict, reader)
    if told.unknown:
        yield reader.say("not surveyed"), ", ".join(reader.write(part) for part in told.unknown)


def _tilt(tilt: Tilt, reader: Reader) -> Iterator[Row]:
    pitched = N_("{by}° nose down") if tilt.pitch_rad > 0 else N_("{by}° nose up")
    rolled = N_("{by}° left side up") if tilt.roll_rad > 0 else N_("{by}° right side up")
    yield reader.say("pitch"), reader.say(pitched, by=_degrees(abs(tilt.pitch_rad)))
    yield reader.say("roll"), reader.say(rolled, by=_degrees(abs(tilt.roll_rad)))
    far = _range(reader)
    yield reader.say("at {range}", range=far), reader.write(Length(abs(off_aim(tilt.pitch_rad, far.metres))))


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
    uphill = facing(plane.uphill_rad - answer.site.datum.direction_rad, reader)
    said = reader.say(
        "The floor rises by {slope} toward {uphill}, and lies within {off:fine-up} of a plane.",
        slope=slope_words(plane.slope, reader),
        uphill=uphill,
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


def standing_notes(told: StandingFloor | None, reader: Reader) -> tuple[str, ...]:
    """How a car stands on the floor."""
    if told is None:
        return ()
    said = []
    if told.level is not None:
        off = Length(told.level.difference_m)
        said.append(reader.say("under what the card names the height differs by {off:fine-up}", off=off))
    if told.verdict is not None:
        said.append(reader.say("level as the card asks: {met}", met=met_word(told.verdict, reader)))
    if told.unknown:
        said.append(reader.say("not surveyed: {parts}", parts=told.unknown))
    return tuple(said)


def _degrees(angle_rad: float) -> Number:
    """A tilt, to a thousandth of a degree."""
    return Number(math.degrees(angle_rad), 3)
