"""The words of a job's first page: what is done in which order, what may not be done yet, and what would help."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Protocol

from standtrue.aim.alignment import LimitCheck
from standtrue.drive.question.answer import Nearest
from standtrue.model.basics import Range
from standtrue.model.job import Job
from standtrue.model.order import OUTSIDE, Step
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Angle, Duration, Length, Ref, because
from standtrue.model.stance import Carrier
from standtrue.model.vehicle import Vehicle
from standtrue.needs import Need, NeedsAnswer
from standtrue.place.question.answer import Answer
from standtrue.show.words.aim import verdict_word
from standtrue.show.words.catalog import N_
from standtrue.show.words.needs import card_lines, dropped_words
from standtrue.show.words.place import carried, standing
from standtrue.show.words.reader import Reader
from standtrue.show.words.reasons.plan import alternative_name
from standtrue.show.words.texts import as_sentence
from standtrue.work.needs.jobs import Needs
from standtrue.work.plan.answer import PlanAnswer

Row = tuple[str, ...]

MILE_M = 1609.344
MOST_HELP = 2
"""So many changes that would make room are told for one card; the others stand in the answers of `job` and `plan`."""


class _HasSensor(Protocol):
    @property
    def sensor(self) -> str: ...

    @property
    def side(self) -> str | None: ...


def title(job: Job, vehicle: Vehicle, reader: Reader) -> str:
    return reader.say("Job sheet: {order}, {car}", order=order_name(job), car=vehicle.name)


def order_name(job: Job) -> str:
    """What an order is called at the shop."""
    return job.order_number or job.name


def question(reader: Reader) -> str:
    return reader.say("What is done, in which order?")


def car_words(job: Job, vehicle: Vehicle, reader: Reader) -> str:
    """The car, its plate, and what else names it."""
    named = [vehicle.name]
    named += [reader.say("plate {plate}", plate=job.plate)] if job.plate else []
    named += [reader.say("VIN {vin}", vin=job.vin)] if job.vin else []
    named += [job.odometer] if job.odometer else []
    named += [reader.say("{payer} pays", payer=job.payer)] if job.payer else []
    return ", ".join(named)


def car_words_short(job: Job, vehicle: Vehicle) -> str:
    return ", ".join(part for part in (vehicle.name, job.plate) if part)


def when_words(job: Job, reader: Reader) -> str:
    """When it comes and when it is promised; empty where the order tells neither."""
    told = (("job-arrives", job.arrives), ("job-promised", job.promised))
    return "; ".join(reader.reason(because(code, when=when)) for code, when in told if when)


def look_first(needs: NeedsAnswer, reader: Reader) -> Iterator[Row]:
    """What only a person can decide: what an unknown event touched, what is fitted, what must be calibrated."""
    for question in needs.open_questions:
        yield f"{as_sentence(reader.reason(question.event))[:-1]}?", reader.reason(question.reason)
    for need in needs.needs:
        if not need.dropped and need.how == "conditional":
            yield f"{as_sentence(_sensor(need, reader))[:-1]}?", _look(need, reader)


def _look(need: Need, reader: Reader) -> str:
    if need.option is not None:
        return reader.say("Nobody has looked whether it is fitted ({option}).", option=need.option)
    return reader.say("Nobody has looked whether it must be calibrated.")


def dropped(needs: NeedsAnswer, reader: Reader) -> Iterator[str]:
    """What is not done, and who or what says so."""
    yield from (dropped_words(need, reader) for need in needs.needs if need.dropped)
    for sensor in needs.not_fitted:
        yield reader.say("{sensor}: not fitted", sensor=_sensor(sensor, reader))


def no_card(needs: NeedsAnswer, reader: Reader) -> Iterator[Row]:
    """What must be calibrated and has no card."""
    for need in needs.needs:
        if not need.dropped and not need.procedure:
            yield f"{as_sentence(_sensor(need, reader))[:-1]}:", reader.say("no card is there for it.")


def _sensor(need: _HasSensor, reader: Reader) -> str:
    """A sensor with its side, in the reader's words."""
    sensor = reader.term(need.sensor)
    return sensor if need.side is None else reader.say("{side} {sensor}", side=reader.term(need.side), sensor=sensor)


def sensor_words(card: Procedure, reader: Reader) -> str:
    """What a card calibrates."""
    return _sensor(card, reader)


def helped(fit: str, help_words: Iterable[str]) -> str:
    """Why something is not done and what would help, as much as a first page has room for."""
    said = [s for s in dict.fromkeys(help_words) if s]
    return " ".join([fit, *said[:MOST_HELP], *(s for s in said[MOST_HELP:][-1:])]).strip()


def not_here(reader: Reader) -> str:
    return reader.say("It does not fit here.")


def of_cards(needs: Needs, reader: Reader) -> Iterator[Row]:
    """What changed of the cards since the job was planned, and which are drafts or old editions."""
    yield from ((said, "") for said in card_lines(needs, reader))


def unverified(card: Procedure, reader: Reader) -> Row:
    """A card that nobody has read a second time."""
    return reader.say("Card {card}:", card=card.key), reader.say("not verified. A second person reads it first.")


def left_out(name: str, reader: Reader) -> str:
    """What heads something that is not done here."""
    return reader.say("Not done here: {name}.", name=name)


def waits_for_that(names: tuple[str, ...], reader: Reader) -> str:
    """What is not done only because something else is not."""
    return reader.say("Not done, since it comes after that: {what}.", what=names)


def in_all(answer: PlanAnswer, time: str, reader: Reader) -> str:
    """What the order of work comes to."""
    plan = answer.plan
    assert plan is not None
    moves = reader.say_n("{n} move of the car", "{n} moves of the car", plan.moves)
    said = reader.say("{time} of work, {moves} between coming and leaving.", time=time, moves=moves)
    if answer.otherwise is not None:
        name = alternative_name(answer.otherwise.change, reader)
        return " ".join((reader.say("{name}: {what}.", name=name, what=answer.otherwise.change), said))
    return said


def place_title(place: int, reader: Reader) -> str:
    """What heads the lines at one place."""
    return reader.say("Outside") if place == OUTSIDE else reader.say("Place {number}", number=place)


def carried_words(carrier: Carrier, reader: Reader) -> str:
    """What carries the car from this line on."""
    if carrier.lift is None:
        return reader.say("On the floor.")
    if carrier.height_m > 0.0:
        return reader.say("On {lift} ({state}), {height} up.", lift=carrier.lift, state=carrier.state,
                          height=Length(carrier.height_m))  # fmt: skip
    return reader.say("On {lift} ({state}).", lift=carrier.lift, state=carrier.state)


def spare(answer: Answer, reader: Reader) -> str:
    """The least room to spare at a stance, and between what; that it does not fit there, where that is so."""
    if answer.margin_m is None:
        return ""
    if answer.margin_m < 0.0:
        return reader.say("It does not fit there.")
    margin = Length(answer.margin_m)
    if not answer.touches:
        return reader.say("To spare: {margin:down}.", margin=margin)
    near = answer.touches[0]
    return reader.say("To spare: {margin:down} ({zone} to {thing}).", margin=margin, zone=near.zone, thing=near.thing)


def nearest(found: Nearest, reader: Reader) -> str:
    """What comes nearest on a move."""
    part, apart = Ref(found.part), Length(found.separation_m)
    return reader.say("Nearest: {part} to {thing}, {apart:down}.", part=part, thing=found.thing, apart=apart)


def calibrates(card: Procedure, look: bool, reader: Reader) -> str:
    """What a calibration is called in the order of work."""
    sensor = _sensor(card, reader)
    if look:
        return reader.say("Look first: {sensor}; calibrate it if it must be", sensor=sensor)
    return reader.say("Calibrate the {sensor}", sensor=sensor)


def begins_heading(plan: PlanAnswer | None, reader: Reader) -> str:
    """Over when the steps begin: by the clock, or after the first; without an order of work, how long each takes."""
    if plan is None or plan.plan is None:
        return reader.say("takes")
    return reader.say("begins after") if plan.timed is None else reader.say("begins")


def span_lines(low_s: float, high_s: float, reader: Reader) -> list[str]:
    """A span of time over two lines: the least, then `to` the greatest."""
    low, high = (reader.write(Duration(s)) for s in (low_s, high_s))
    return [low] if low == high else [low, reader.say("to {high}", high=high)]


def no_place(reader: Reader) -> str:
    """What heads the cards that need no place in the shop."""
    return reader.say("Without a place in the shop")


def not_proven(reader: Reader) -> str:
    return reader.say("This order is not proven to be the best: not every order was looked at.")


def minutes_lines(card: Procedure, reader: Reader) -> list[str]:
    """How long a card takes with its setting up and putting away."""
    parts = (card.minutes.set_up_s, card.minutes.run_s, card.minutes.put_away_s)
    low, high = (sum(part[i] for part in parts) for i in (0, 1))
    return span_lines(low, high, reader) if high > 0.0 else []


_HANDLING: Mapping[tuple[str, bool], str] = {
    ("set up", True): N_("Set up the {equipment} first."),
    ("carry", True): N_("Carry the {equipment} over first."),
    ("put away", True): N_("Put the {equipment} away first."),
    ("put away", False): N_("Then put the {equipment} away."),
    ("set up", False): N_("Then set up the {equipment}."),
    ("carry", False): N_("Then carry the {equipment} over."),
}
"""What is done with equipment before or after a step, told in that step's own line."""


def handling(step: Step, reader: Reader, *, first: bool) -> str:
    """A step that is told in the line of another: equipment, or the lift."""
    if step.kind == "lift":
        height = Length(step.stand.carrier.height_m)
        if height.metres > 0.0:
            raised = N_("Raise the car to {height} first.") if first else N_("Then raise the car to {height}.")
            return reader.say(raised, height=height)
        return reader.say(N_("Lower the car first.") if first else N_("Then lower the car."))
    return reader.say(_HANDLING[step.kind, first], equipment=tuple(f.equipment for f in step.fittings))


def as_at(place: str, reader: Reader) -> str:
    """That the cautions of a place are those of one before."""
    return reader.say("The cautions as for: {place}.", place=place)


def stands(answer: Answer, reader: Reader) -> str:
    """Where the car stands at a place."""
    assert answer.place is not None
    return as_sentence(standing(answer.place, answer.ground.site.datum, reader))


def stance_title(answer: Answer, reader: Reader) -> str:
    """What heads the cards of a stance where there is no order of work."""
    return as_sentence(carried(answer, reader))


def limit_rows(limits: Iterable[LimitCheck], reader: Reader) -> list[Row]:
    """The car's own alignment limits, and what the readings come to so far."""
    return [
        (
            reader.term(c.reading),
            reader.say("{low:fine} to {high:fine}", low=Angle(c.limits_rad[0]), high=Angle(c.limits_rad[1])),
            verdict_word(c.verdict, reader),
        )
        for c in limits
    ]


def without_place(card: Procedure, reader: Reader) -> str:
    """What a card that needs no place in the shop asks for."""
    if card.drive is None:
        return reader.say("{method}: it needs no place in the shop", method=reader.term(card.method))
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
    return ", ".join(f"{name} {value}" for name, value in told if value)


def _span(span: Range | None, unit: float, name: str, reader: Reader) -> str:
    """A range in a unit that only drives have."""
    if span is None:
        return ""
    low, high = (f"{round(value / unit, 1):g}" for value in span)
    most = f"{high} {name}".strip()
    return most if low == high else reader.say("{low} to {high}", low=low, high=most)
