"""The words and figures of the job sheet."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import Protocol

from standtrue.aim.alignment import LimitCheck
from standtrue.aim.bodies import Reading
from standtrue.aim.conditions import conditions_of
from standtrue.aim.layout import Measure, Offset, TargetLayout, TargetPlace
from standtrue.model.basics import Range
from standtrue.model.fits import Fits
from standtrue.model.job import Job
from standtrue.model.procedure import Condition, FloorLevel, Procedure, Tolerance
from standtrue.model.reason import Angle, Length, Number, Reason
from standtrue.model.site import Datum, from_datum
from standtrue.model.vehicle import Vehicle
from standtrue.needs import NeedsAnswer, WorkStep
from standtrue.place.question.answer import Answer
from standtrue.show.words.aim import chalk_end, verdict_word
from standtrue.show.words.drawing import ended, offset_words
from standtrue.show.words.place import carried, standing, touch_words
from standtrue.show.words.quantities import small_length
from standtrue.show.words.reader import Reader

Row = tuple[str, ...]

NEAREST = 2
"""From how many floor marks beside the datum a point is laid out: the nearest, for a short tape."""

MILE_M = 1609.344

_SQUARE = (
    ("rear left", "rear right"),
    ("front left", "front right"),
    ("front left", "rear left"),
    ("front right", "rear right"),
    ("front left", "rear right"),
    ("front right", "rear left"),
)
"""Between which wheels is taped to prove their marks square."""


Needed = tuple[list[Row], str, list[str]]
"""Calibrations with the same reasons: each with its card, how sure they are needed, and why."""


class _HasSensor(Protocol):
    @property
    def sensor(self) -> str: ...

    @property
    def side(self) -> str | None: ...


class _HasAnswer(Protocol):
    @property
    def answer(self) -> Answer: ...


def title(job: Job, vehicle: Vehicle, reader: Reader) -> str:
    return reader.say("Job sheet: {order}, {car}", order=job.order_number or job.name, car=vehicle.name)


def facts(job: Job, vehicle: Vehicle, reader: Reader) -> list[Row]:
    """What names the car and the order; what the order does not tell is left to be written in."""
    say = reader.say
    return [
        (say("Repair order"), job.order_number or job.name),
        (say("Car"), vehicle.name),
        (say("VIN"), job.vin),
        (say("Plate"), job.plate),
        (say("Odometer"), job.odometer),
        (say("Payer"), job.payer),
        (say("Site"), job.site),
        (say("May be driven"), _drivable(job.drivable, reader)),
        (say("Arrives"), _clock(job.arrives)),
        (say("Promised"), _clock(job.promised)),
    ]


def _drivable(drivable: str, reader: Reader) -> str:
    if drivable == "yes":
        return reader.say("yes")
    return reader.say("no") if drivable == "no" else reader.say("after: {work}", work=drivable)


def _clock(when: str) -> str:
    """A date and time as people write it, without idle seconds."""
    return when.replace("T", " ").removesuffix(":00")


def found(job: Job, reader: Reader) -> list[str]:
    """The events, scans and readings of the order, one sentence each."""
    said = []
    for event in job.events:
        told = (reader.term(event.event), reader.term(event.where or ""), event.part)
        what = ", ".join(part for part in told if part)
        said.append(f"{what}: {reader.text(event.note)}" if event.note else what)
    for scan in job.scans:
        said.extend(_scan(scan.when, finding, reader) for finding in scan.findings)
    for reading in job.readings:
        what, value = reader.term(reading.what), f"{reading.value:g} {reading.unit}".rstrip()
        if reading.u is None:
            said.append(f"{what}: {value}")
        else:
            said.append(reader.say("{what}: {value} (known to {u})", what=what, value=value, u=f"{reading.u:g}"))
    return said


def _scan(when: str, finding: str, reader: Reader) -> str:
    if when == "before":
        return reader.say("scan before the work: {finding}", finding=finding)
    return reader.say("scan after the work: {finding}", finding=finding)


def needed(needs: NeedsAnswer, reader: Reader) -> list[Needed]:
    """What must be calibrated, with which card, and every reason; what has the same reasons stands together."""
    alike: dict[tuple[str, tuple[str, ...]], list[Row]] = {}
    for need in needs.needs:
        if not need.dropped:
            card = reader.say("no card is there for it")
            if need.procedure:
                card = reader.say("by the card {card}", card=need.procedure)
            why = tuple(ended(said) for said in reader.reasons(need.because))
            alike.setdefault((_how(need.how, need.option, reader), why), []).append((_sensor(need, reader), card))
    return [(cards, how, list(because)) for (how, because), cards in alike.items()]


def _sensor(need: _HasSensor, reader: Reader) -> str:
    """A sensor with its side, in the reader's words."""
    sensor = reader.term(need.sensor)
    return sensor if need.side is None else reader.say("{side} {sensor}", side=reader.term(need.side), sensor=sensor)


def _how(how: str, option: str | None, reader: Reader) -> str:
    if option is not None:
        return reader.say("look first whether it is fitted ({option})", option=option)
    return reader.say("required") if how == "required" else reader.say("look first")


def decided(needs: NeedsAnswer, reader: Reader) -> list[str]:
    """What is not done, and who or what says so."""
    said = [
        reader.say(
            "{sensor}: left out by {person}, because {reason}",
            sensor=_sensor(need, reader),
            person=need.overruled.by,
            reason=need.overruled.because,
        )
        for need in needs.needs
        if need.dropped and need.overruled is not None
    ]
    return [*said, *(reader.say("{sensor}: not fitted", sensor=_sensor(s, reader)) for s in needs.not_fitted)]


def order_rows(order: Sequence[WorkStep], reader: Reader) -> list[Row]:
    return [(str(step.order), reader.reason(step.what), reader.term(step.stage)) for step in order]


def with_steps(name: str, steps: Sequence[int], reader: Reader) -> str:
    """A card's name, with its steps in the order of work where there are any."""
    if not steps:
        return name
    listed = ", ".join(map(str, steps))
    return reader.say_n("{name} (step {steps})", "{name} (steps {steps})", len(steps), name=name, steps=listed)


def stance_title(number: int, place: int | None, parts: Sequence[_HasAnswer], reader: Reader) -> str:
    """What heads a stance: its number, its place in the order of work, and what carries the car there."""
    carries = "; ".join(dict.fromkeys(carried(p.answer, reader) for p in parts))
    if place is None:
        return reader.say("Stance {number}: {carried}", number=number, carried=carries)
    return reader.say("Stance {number}: place {place}, {carried}", number=number, place=place, carried=carries)


def picture_title(number: int, answer: Answer, reader: Reader) -> str:
    return reader.say("Stance {number}: {car} for {cards}", number=number, car=answer.vehicle.name, cards=answer.name)


def limit_rows(limits: Iterable[LimitCheck], reader: Reader) -> list[Row]:
    """The car's own alignment limits, and what the order's readings come to so far."""
    return [
        (
            reader.term(c.reading),
            reader.say("{low} to {high}", low=_deg(c.limits_rad[0], reader), high=_deg(c.limits_rad[1], reader)),
            verdict_word(c.verdict, reader),
        )
        for c in limits
    ]


def stands(answer: Answer, reader: Reader) -> str:
    assert answer.place is not None
    said = standing(answer.place, answer.ground.site.datum, reader)
    return f"{said[:1].upper()}{said[1:]}."


def verdict(answer: Answer, reader: Reader) -> list[str]:
    """The least margin and what it is to, or everything that stands against the stance."""
    if answer.fits is not Fits.YES:
        against = (touch_words(t, reader) for t in answer.touches if t.margin_m < 0.0)
        return [*reader.reasons(answer.because), *against]
    if answer.margin_m is None:
        return [reader.say("Nothing limits it.")]
    if not answer.touches:
        return [reader.say("Least margin {margin:down}.", margin=Length(answer.margin_m))]
    first = touch_words(answer.touches[0], reader)
    return [reader.say("Least margin {margin:down}, first at {touch}.", margin=Length(answer.margin_m), touch=first)]


def wheel_rows(vehicle: Vehicle, wheels: Sequence[tuple[str, tuple[Offset, ...]]], reader: Reader) -> list[Row]:
    """Each wheel's center on the floor from the datum and the nearest marks; then what proves them square."""
    rows: list[Row] = [
        (reader.term(wheel), mark_name(one.mark, reader), offset_words(one.along_m, one.left_m, reader),
         reader.write(Length(one.plan_m)))
        for wheel, seen in wheels
        for one in _nearest(seen)
    ]  # fmt: skip
    for one, two in (tuple(f"wheel {corner}" for corner in pair) for pair in _SQUARE):
        apart = math.dist(vehicle.wheel_center(one), vehicle.wheel_center(two))
        square = reader.say("to prove it square")
        rows.append((reader.term(one), reader.term(two), square, reader.write(Length(apart))))
    return rows


def mark_name(mark: str, reader: Reader) -> str:
    """A floor mark by its own name; the datum by the language's."""
    return reader.say("datum") if mark == "datum" else mark


def _nearest(seen: Sequence[Offset]) -> list[Offset]:
    """The datum, and the marks nearest to the point."""
    marks = sorted((o for o in seen if o.mark != "datum"), key=lambda o: o.plan_m)[:NEAREST]
    return [*(o for o in seen if o.mark == "datum"), *marks]


def card_facts(card: Procedure, answer: Answer, reader: Reader) -> list[Row]:
    """What the card asks for beside space."""
    low, high = (sum(part[i] for part in _minutes(card)) / 60 for i in (0, 1))
    skilled = reader.say("{people} ({skills})", people=card.people, skills=", ".join(card.skills))
    minutes = reader.say("{low} to {high}", low=Number(low), high=Number(high))
    told = [
        (reader.say("Calibrates"), _sensor(card, reader)),
        (reader.say("Variant"), next((v for v in answer.variants if v), "")),
        (reader.say("Car stands"), carried(answer, reader)),
        (reader.say("Equipment"), ", ".join(card.equipment)),
        (reader.say("People"), skilled if card.skills else str(card.people)),
        (reader.say("Minutes"), minutes if high > 0 else ""),
        (reader.say("After"), ", ".join(map(reader.term, card.after))),
    ]
    return [(name, value) for name, value in told if value]


def _minutes(card: Procedure) -> tuple[Range, ...]:
    return card.minutes.set_up_s, card.minutes.run_s, card.minutes.put_away_s


def condition_rows(card: Procedure, reader: Reader) -> list[Row]:
    """Each condition with what the card allows; light and level floor are conditions, too."""
    rows: list[Row] = [(reader.term(c.what), _allowed(c, reader)) for c in conditions_of(card)]
    if card.floor_level is not None:
        over = ", ".join(map(reader.term, card.floor_level.over)) or reader.say("wheels and stands")
        rows.append((reader.say("floor level over {what}", what=over), _level(card.floor_level, reader)))
    wheels = reader.say("wheels")
    if card.wheels_on == "plates":
        rows.append((wheels, reader.say("on plates")))
    if card.wheels_hanging is not None:
        rows.append((wheels, reader.say("hanging") if card.wheels_hanging else reader.say("carrying the car")))
    return rows


def _allowed(condition: Condition, reader: Reader) -> str:
    """What the card allows, in the unit that it was transcribed in."""
    low, high, unit = condition.low, condition.high, condition.unit
    if low is not None and high is not None:
        return reader.say("{low} to {high}", low=f"{low:g}", high=f"{high:g} {unit}".strip())
    if low is not None:
        return reader.say("{low} at least", low=f"{low:g} {unit}".strip())
    return (
        reader.say("as the card says")
        if high is None
        else reader.say("{high} at most", high=f"{high:g} {unit}".strip())
    )


def _level(level: FloorLevel, reader: Reader) -> str:
    parts = []
    if level.within_m is not None:
        parts.append(reader.say("within {limit}", limit=small_length(level.within_m, reader.units, "down")))
    if level.within_rad is not None:
        parts.append(reader.say("sloping by {slope} at most", slope=_deg(level.within_rad, reader)))
    return ", ".join(parts)


def target_row(tag: str, place: TargetPlace, datum: Datum, reader: Reader) -> Row:
    return (
        tag,
        place.name,
        offset_words(*from_datum(place.center[:2], datum), reader),
        reader.write(Length(place.center[2])),
        reader.write(Angle(place.facing_rad - datum.direction_rad), "heading"),
        reader.term(place.line),
        _tolerance(place.tolerance, reader),
    )


def _tolerance(tolerance: Tolerance, reader: Reader) -> str:
    lengths = (("along", tolerance.along_m), ("across", tolerance.across_m), ("height", tolerance.height_m))
    turns = (("turn", tolerance.turn_rad), ("lean", tolerance.lean_rad))
    said = [(way, small_length(limit, reader.units, "down")) for way, limit in lengths if limit is not None]
    said += [(way, _deg(limit, reader)) for way, limit in turns if limit is not None]
    return ", ".join(f"{reader.term(way)} ±{limit}" for way, limit in said) or reader.say("the card states none")


def layout_rows(layout: TargetLayout, reader: Reader) -> list[Row]:
    """What to tape: from marks, wheel hubs and the sensor to the center, and the diagonals to the chalk line's ends."""
    rows: list[Row] = [
        (mark_name(o.mark, reader), layout.place.name, reader.write(Length(o.plan_m)), "–")
        for o in _nearest(layout.offsets)
    ]
    measures = (*layout.hubs, *(() if layout.sensor is None else (layout.sensor,)))
    rows.extend(_taped(m, reader) for m in measures)
    return [
        *rows,
        *(
            (reader.term(m.start), reader.write(chalk_end(layout, m.end)), reader.write(Length(m.plan_m)), "–")
            for m in layout.diagonals
        ),
    ]


def _taped(measure: Measure, reader: Reader) -> Row:
    plan, straight = (reader.write(Length(metres)) for metres in (measure.plan_m, measure.straight_m))
    return reader.term(measure.start), reader.term(measure.end), plan, straight


def path_rows(targets: Iterable[TargetLayout], datum: Datum, reader: Reader) -> list[Row]:
    """The corners of the paths along which targets are moved."""
    return [
        (layout.place.name, str(number), offset_words(*from_datum(point, datum), reader))
        for layout in targets
        for number, point in enumerate(layout.place.swept, start=1)
    ]


def reading_row(number: int, reading: Reading, title: Reason, planned: float, reader: Reader) -> Row:
    said = reader.reason(title)
    if reading.is_angle:
        return str(number), said, _deg(planned, reader), _deg(reading.u, reader)
    return str(number), said, reader.write(Length(planned)), small_length(reading.u, reader.units, "up")


def without_place(card: Procedure, reader: Reader) -> list[str]:
    """What a card that needs no place in the shop asks for."""
    if card.drive is None:
        return [reader.say("{method}: it needs no place in the shop", method=reader.term(card.method))]
    drive = card.drive
    speed = (MILE_M / 3600, "mph") if reader.units == "us" else (1 / 3.6, "km/h")
    distance = (MILE_M, "mi") if reader.units == "us" else (1000.0, "km")
    told = [
        (reader.say("speed"), _span(drive.speed_mps, *speed, reader)),
        (reader.say("distance"), _span(drive.distance_m, *distance, reader)),
        (reader.say("minutes"), _span(drive.minutes_s, 60.0, "", reader)),
        (reader.say("road"), drive.road),
        (reader.say("weather"), drive.weather),
        (reader.say("people"), str(drive.people)),
    ]
    return [f"{name}: {value}" for name, value in told if value]


def _span(span: Range | None, unit: float, name: str, reader: Reader) -> str:
    """A range in a unit that only drives have."""
    if span is None:
        return ""
    low, high = (f"{round(value / unit, 1):g}" for value in span)
    most = f"{high} {name}".strip()
    return most if low == high else reader.say("{low} to {high}", low=low, high=most)


def _deg(angle_rad: float, reader: Reader) -> str:
    return reader.say("{degrees}°", degrees=Number(math.degrees(angle_rad), 2))
