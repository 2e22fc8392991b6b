"""The words and figures of the job sheet, in the reader's units."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import Protocol

from standtrue.aim.alignment import LimitCheck
from standtrue.aim.bodies import Reading
from standtrue.aim.conditions import conditions_of
from standtrue.aim.layout import Measure, Offset, TargetLayout, TargetPlace
from standtrue.draw.backends.pdf import Data
from standtrue.model.basics import Range
from standtrue.model.fits import Fits
from standtrue.model.job import Job
from standtrue.model.procedure import Condition, FloorLevel, Procedure, Tolerance
from standtrue.model.reader_units import System, format_angle, format_length
from standtrue.model.reason import Reason
from standtrue.model.site import Datum, from_datum
from standtrue.model.vehicle import Vehicle
from standtrue.model.verdict import Verdict
from standtrue.needs import NeedsAnswer, WorkStep
from standtrue.place.question.answer import Answer
from standtrue.show.words.place import carried, offsets, standing, touch_words
from standtrue.show.words.quantities import small_length
from standtrue.show.words.reader import ENGLISH, Reader

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


class _HasAnswer(Protocol):
    @property
    def answer(self) -> Answer: ...


def title(job: Job, vehicle: Vehicle) -> str:
    return f"Job sheet: {job.order_number or job.name}, {vehicle.name}"


def facts(job: Job, vehicle: Vehicle) -> list[Row]:
    """What names the car and the order; what the order does not tell is left to be written in."""
    told = [
        ("Repair order", job.order_number or job.name),
        ("Car", vehicle.name),
        ("VIN", job.vin),
        ("Plate", job.plate),
        ("Odometer", job.odometer),
        ("Payer", job.payer),
        ("Site", job.site),
        ("May be driven", job.drivable if job.drivable in ("yes", "no") else f"after: {job.drivable}"),
        ("Arrives", _clock(job.arrives)),
        ("Promised", _clock(job.promised)),
    ]
    return [(name, value) for name, value in told]


def _clock(when: str) -> str:
    """A date and time as people write it, without idle seconds."""
    return when.replace("T", " ").removesuffix(":00")


def found(job: Job) -> list[str]:
    """The events, scans and readings of the order, one sentence each."""
    said = []
    for event in job.events:
        what = ", ".join(part for part in (event.event, event.where, event.part) if part)
        said.append(f"{what}: {ENGLISH.text(event.note)}" if event.note else what)
    for scan in job.scans:
        said.extend(f"scan {scan.when}: {finding}" for finding in scan.findings)
    for reading in job.readings:
        known = "" if reading.u is None else f" (known to {reading.u:g})"
        said.append(f"{reading.what}: {reading.value:g} {reading.unit}".rstrip() + known)
    return said


def need_rows(needs: NeedsAnswer) -> list[Data]:
    """What must be calibrated, with which card, and every reason; what has the same reasons stands together."""
    alike: dict[tuple[str, tuple[str, ...]], list[Row]] = {}
    for need in needs.needs:
        if not need.dropped:
            row = (need.title, f"by the card {need.procedure}" if need.procedure else "no card is there for it")
            alike.setdefault((_how(need.how, need.option), tuple(ENGLISH.reasons(need.because))), []).append(row)
    return [
        {"cards": cards, "how": how, "because": [_ended(b) for b in because]} for (how, because), cards in alike.items()
    ]


def _how(how: str, option: str | None) -> str:
    if option is not None:
        return f"look first whether it is fitted ({option})"
    return how


def decided(needs: NeedsAnswer) -> list[str]:
    """What is not done, and who or what says so."""
    said = [
        f"{need.title}: left out by {need.overruled.by}, because {need.overruled.because}"
        for need in needs.needs
        if need.dropped and need.overruled is not None
    ]
    return [*said, *(f"{sensor.sensor}{_side(sensor.side)}: not fitted" for sensor in needs.not_fitted)]


def _side(side: str | None) -> str:
    return "" if side is None else f", {side}"


def order_rows(order: Sequence[WorkStep]) -> list[Row]:
    return [(str(step.order), ENGLISH.reason(step.what), step.stage) for step in order]


def with_steps(name: str, steps: Sequence[int]) -> str:
    """A card's name, with its steps in the order of work where there are any."""
    if not steps:
        return name
    return f"{name} ({'step' if len(steps) == 1 else 'steps'} {', '.join(map(str, steps))})"


def at_place(place: int | None) -> str:
    return "" if place is None else f"place {place}, "


def limit_rows(limits: Iterable[LimitCheck]) -> list[Row]:
    """The car's own alignment limits, and what the order's readings come to so far."""
    return [(c.reading, f"{_deg(c.limits_rad[0])} to {_deg(c.limits_rad[1])}", _stand(c)) for c in limits]


def _stand(check: LimitCheck) -> str:
    if check.verdict is None:
        return "not measured"
    return {Verdict.ACCEPT: "accepted", Verdict.REJECT: "rejected"}.get(check.verdict, "cannot tell")


def carriers(parts: Sequence[_HasAnswer], units: System) -> str:
    return "; ".join(dict.fromkeys(carried(p.answer, Reader(units)) for p in parts))


def stands(answer: Answer, units: System) -> str:
    assert answer.place is not None
    said = standing(answer.place, answer.ground.site.datum, Reader(units))
    return f"{said[:1].upper()}{said[1:]}."


def verdict(answer: Answer, units: System) -> list[str]:
    """The least margin and what it is to, or everything that stands against the stance."""
    if answer.fits is not Fits.YES:
        return [
            *ENGLISH.reasons(answer.because),
            *(touch_words(t, Reader(units)) for t in answer.touches if t.margin_m < 0.0),
        ]
    margin = "no limit" if answer.margin_m is None else format_length(answer.margin_m, units)
    near = f", first at {touch_words(answer.touches[0], Reader(units))}" if answer.touches else ""
    return [f"Least margin {margin}{near}."]


def wheel_rows(vehicle: Vehicle, wheels: Sequence[tuple[str, tuple[Offset, ...]]], units: System) -> list[Row]:
    """Each wheel's center on the floor from the datum and the nearest marks; then what proves them square."""
    rows: list[Row] = [
        (wheel, one.mark, offsets(one.along_m, one.left_m, Reader(units)), format_length(one.plan_m, units))
        for wheel, seen in wheels
        for one in _nearest(seen)
    ]
    for one, two in _SQUARE:
        apart = math.dist(vehicle.wheel_center(f"wheel {one}"), vehicle.wheel_center(f"wheel {two}"))
        rows.append((f"wheel {one}", f"wheel {two}", "to prove it square", format_length(apart, units)))
    return rows


def _nearest(seen: Sequence[Offset]) -> list[Offset]:
    """The datum, and the marks nearest to the point."""
    marks = sorted((o for o in seen if o.mark != "datum"), key=lambda o: o.plan_m)[:NEAREST]
    return [*(o for o in seen if o.mark == "datum"), *marks]


def card_facts(card: Procedure, answer: Answer, units: System) -> list[Row]:
    """What the card asks for beside space."""
    low, high = (sum(part[i] for part in _minutes(card)) / 60 for i in (0, 1))
    told = [
        ("Calibrates", f"{card.sensor}{_side(card.side)}"),
        ("Variant", next((v for v in answer.variants if v), "")),
        ("Car stands", carried(answer, Reader(units))),
        ("Equipment", ", ".join(card.equipment)),
        ("People", f"{card.people} ({', '.join(card.skills)})" if card.skills else str(card.people)),
        ("Minutes", f"{low:.0f} to {high:.0f}" if high > 0 else ""),
        ("After", ", ".join(card.after)),
    ]
    return [(name, value) for name, value in told if value]


def _minutes(card: Procedure) -> tuple[Range, ...]:
    return card.minutes.set_up_s, card.minutes.run_s, card.minutes.put_away_s


def condition_rows(card: Procedure, units: System) -> list[Row]:
    """Each condition with what the card allows; light and level floor are conditions, too."""
    rows: list[Row] = [(c.what, _allowed(c)) for c in conditions_of(card)]
    if card.floor_level is not None:
        rows.append((f"floor level over {', '.join(card.floor_level.over) or 'wheels and stands'}",
                     _level(card.floor_level, units)))  # fmt: skip
    if card.wheels_on:
        rows.append(("wheels", f"on {card.wheels_on}"))
    if card.wheels_hanging is not None:
        rows.append(("wheels", "hanging" if card.wheels_hanging else "carrying the car"))
    return rows


def _allowed(condition: Condition) -> str:
    low, high, unit = condition.low, condition.high, condition.unit
    if low is not None and high is not None:
        return f"{low:g} to {high:g} {unit}".strip()
    if low is not None:
        return f"{low:g} {unit}".strip() + " at least"
    return f"{high:g} {unit}".strip() + " at most" if high is not None else "as the card says"


def _level(level: FloorLevel, units: System) -> str:
    parts = []
    if level.within_m is not None:
        parts.append(f"within {format_length(level.within_m, units)}")
    if level.within_rad is not None:
        parts.append(f"sloping by {_deg(level.within_rad)} at most")
    return ", ".join(parts)


def target_row(tag: str, place: TargetPlace, datum: Datum, units: System) -> Row:
    right, up = from_datum(place.center[:2], datum)
    return (
        tag,
        place.name,
        offsets(right, up, Reader(units)),
        format_length(place.center[2], units),
        format_angle(place.facing_rad - datum.direction_rad),
        place.line,
        _tolerance(place.tolerance, units),
    )


def _tolerance(tolerance: Tolerance, units: System) -> str:
    lengths = (("along", tolerance.along_m), ("across", tolerance.across_m), ("height", tolerance.height_m))
    turns = (("turn", tolerance.turn_rad), ("lean", tolerance.lean_rad))
    said = [f"{name} ±{small_length(limit, units, 'down')}" for name, limit in lengths if limit is not None]
    said += [f"{name} ±{_deg(limit)}" for name, limit in turns if limit is not None]
    return ", ".join(said) or "the card states none"


def layout_rows(layout: TargetLayout, units: System) -> list[Row]:
    """What to tape: from marks, wheel hubs and the sensor to the center, and the diagonals to the chalk line's ends."""
    rows: list[Row] = [
        (o.mark, layout.place.name, format_length(o.plan_m, units), "–") for o in _nearest(layout.offsets)
    ]
    measures = (*layout.hubs, *(() if layout.sensor is None else (layout.sensor,)))
    rows.extend(_taped(m, units) for m in measures)
    return [*rows, *((m.start, m.end, format_length(m.plan_m, units), "–") for m in layout.diagonals)]


def _taped(measure: Measure, units: System) -> Row:
    return (
        measure.start,
        measure.end,
        format_length(measure.plan_m, units),
        format_length(measure.straight_m, units),
    )


def path_rows(targets: Iterable[TargetLayout], datum: Datum, units: System) -> list[Row]:
    """The corners of the paths along which targets are moved."""
    rows: list[Row] = []
    for layout in targets:
        for number, point in enumerate(layout.place.swept, start=1):
            right, up = from_datum(point, datum)
            rows.append((layout.place.name, str(number), offsets(right, up, Reader(units))))
    return rows


def reading_row(number: int, reading: Reading, title: Reason, planned: float, units: System) -> Row:
    said = Reader(units).reason(title)
    if reading.is_angle:
        return str(number), said, _deg(planned), _deg(reading.u)
    return str(number), said, format_length(planned, units), small_length(reading.u, units, "up")


def without_place(card: Procedure, units: System) -> list[str]:
    """What a card that needs no place in the shop asks for."""
    if card.drive is None:
        return [f"{card.method}: it needs no place in the shop"]
    drive = card.drive
    told = [
        ("speed", _span(drive.speed_mps, (MILE_M / 3600, "mph") if units == "us" else (1 / 3.6, "km/h"))),
        ("distance", _span(drive.distance_m, (MILE_M, "mi") if units == "us" else (1000.0, "km"))),
        ("minutes", _span(drive.minutes_s, (60.0, ""))),
        ("road", drive.road),
        ("weather", drive.weather),
        ("people", str(drive.people)),
    ]
    return [f"{name}: {value}" for name, value in told if value]


def _span(span: Range | None, unit: tuple[float, str]) -> str:
    if span is None:
        return ""
    low, high = (round(value / unit[0], 1) for value in span)
    return (f"{low:g} to {high:g}" if low != high else f"{low:g}") + (f" {unit[1]}" if unit[1] else "")


def fine(length_m: float, units: System) -> str:
    """A small length: millimeters to a tenth, or sixteenths of an inch."""
    return small_length(length_m, units)


def _deg(angle_rad: float) -> str:
    return f"{math.degrees(angle_rad) + 0.0:.2f}°"


def _ended(sentence: str) -> str:
    return sentence if sentence[-1:] in (".", "!", "?") else f"{sentence}."
