"""The words of a card's page: where its targets go, what must be so, what to chalk and read, how far off it may be."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from standtrue.aim.chalk import ChalkLine
from standtrue.aim.conditions import conditions_of
from standtrue.aim.layout import ACROSS, TargetPlace
from standtrue.aim.planning import Planned
from standtrue.model.condition_units import converted
from standtrue.model.procedure import Condition, FloorLevel, Procedure
from standtrue.model.reason import Angle, Length, Ref
from standtrue.model.setup import FLOOR_START, WHEELS_START
from standtrue.model.vehicle import WHEELS
from standtrue.place.question.answer import Answer
from standtrue.show.words import near
from standtrue.show.words.catalog import N_
from standtrue.show.words.reader import Reader
from standtrue.show.words.sheet_limits import limit_words
from standtrue.show.words.texts import as_sentence
from standtrue.work.card_notes import standing_of
from standtrue.work.sheet.content import CardPart

Row = tuple[str, ...]

LEAST_M, LEAST_RAD = 5e-4, math.radians(0.05)
"""What is nearer than this to a line, or to straight, is said to be on it."""


def question(part: CardPart, reader: Reader) -> str:
    """What a card's page answers."""
    names = list(dict.fromkeys(layout.place.target for layout in part.targets))
    if not names:
        return reader.say("What must be so for {card}?", card=part.card.key)
    if len(names) > 1:
        return reader.say("Where do the targets go?")
    return reader.say("Where does {target:the} go?", target=Ref("target", names[0]))


def answers(part: CardPart, reader: Reader) -> Iterator[str]:
    """Where each target goes, in one sentence."""
    for layout in part.targets:
        place = layout.place
        said = (_across(part, place, reader), _along(part, place, reader), _height(part, place, reader))
        where = ", ".join((*said, _faces(part, place, reader)))
        if len(part.targets) == 1:
            yield as_sentence(where)
        else:
            yield as_sentence(reader.say("{target}: {where}", target=Ref("target", place.name), where=where))


def own(part: CardPart, place: TargetPlace) -> tuple[float, float]:
    """A target's middle in the vehicle frame."""
    stance = part.answer.place
    assert stance is not None
    c, s = math.cos(stance.heading_rad), math.sin(stance.heading_rad)
    dx, dy = place.center[0] - stance.x_m, place.center[1] - stance.y_m
    return c * dx + s * dy, c * dy - s * dx


def _across(part: CardPart, place: TargetPlace, reader: Reader) -> str:
    """How far to the side: of the chalked line, or of the centerline for what is measured from a point of the car."""
    if place.anchor not in ACROSS:
        across = own(part, place)[1]
        to = N_("{far} to the left of the car's centerline")
        to = to if across > 0.0 else N_("{far} to the right of the car's centerline")
        return reader.say(to, far=Length(abs(across)))
    across, line = place.at[1], reader.term(place.line)
    if abs(across) < LEAST_M:
        return reader.say("on the chalked {line}", line=line)
    left = N_("{far} to the car's left of the chalked {line}")
    right = N_("{far} to the car's right of the chalked {line}")
    return reader.say(left if across > 0.0 else right, far=Length(abs(across)), line=line)


def _along(part: CardPart, place: TargetPlace, reader: Reader) -> str:
    car, x = part.answer.vehicle, own(part, place)[0]
    if x > car.front_x_m:
        return reader.say("{far} ahead of the car's front", far=Length(x - car.front_x_m))
    if x < car.rear_x_m:
        return reader.say("{far} behind the car's rear", far=Length(car.rear_x_m - x))
    way = N_("{far} ahead of the rear axle") if x >= 0.0 else N_("{far} behind the rear axle")
    return reader.say(way, far=Length(abs(x)))


def _height(part: CardPart, place: TargetPlace, reader: Reader) -> str:
    """How high its middle goes, as it is read: the floor there need not be that at the wheels."""
    heights = (r for r in part.readings if r.reading.what == "height" and r.reading.end == (place.name,))
    taped = next(heights, None)
    value = place.center[2] if taped is None else taped.value
    if value < LEAST_M:
        return reader.say("on the floor")
    if taped is not None and taped.reading.start == (FLOOR_START,):
        return reader.say("its middle {height} above the floor right below it", height=Length(value))
    if taped is not None and taped.reading.start == (WHEELS_START,):
        return reader.say("its middle {height} above the ground at the wheels", height=Length(value))
    return reader.say("its middle {height} above the floor", height=Length(value))


def _faces(part: CardPart, place: TargetPlace, reader: Reader) -> str:
    """The way the printed side looks: to the car, or turned from that."""
    stance = part.answer.place
    assert stance is not None
    x, _ = own(part, place)
    straight = stance.heading_rad + (part.thrust_rad if place.line == "thrust line" else 0.0)
    toward = straight + (math.pi if x > 0.0 else 0.0)
    off = math.remainder(place.facing_rad - toward, math.tau)
    back = x > 0.0
    if abs(off) < LEAST_RAD:
        return (
            reader.say("its printed side looks straight back")
            if back
            else reader.say("its printed side looks straight ahead")
        )
    turned = N_("its printed side turned {by:fine} counter-clockwise from straight back, seen from above")
    if off < 0.0:
        turned = N_("its printed side turned {by:fine} clockwise from straight back, seen from above")
    if not back:
        turned = N_("its printed side turned {by:fine} counter-clockwise from straight ahead, seen from above")
        if off < 0.0:
            turned = N_("its printed side turned {by:fine} clockwise from straight ahead, seen from above")
    return reader.say(turned, by=Angle(abs(off)))


def before_rows(part: CardPart, answer: Answer, reader: Reader) -> list[str]:
    """What must be so before it starts, one line each."""
    card = part.card
    standing = standing_of(card)
    said = [] if standing is None else [reader.say("do not calibrate: {why}", why=standing)]
    said += [reader.say("door open: {door}", door=door) for door in answer.doors_open]
    said += [_condition(c, reader) for c in conditions_of(card)]
    if card.floor_level is not None:
        over = _over_what(card.floor_level, reader)
        said.append(reader.say("floor level over {what}: {limit}", what=over, limit=_level(card.floor_level, reader)))
    if card.wheels_on == "plates":
        said.append(reader.say("wheels on plates"))
    if card.wheels_hanging is not None:
        said.append(reader.say("wheels hanging") if card.wheels_hanging else reader.say("wheels carrying the car"))
    said += [reader.say("screened: {seen}", seen=s) for s in reader.reasons(answer.in_view)]
    if card.source.status == "transcribed":
        said.append(reader.say("card read by a second person"))
    return said


def _over_what(level: FloorLevel, reader: Reader) -> str:
    """What the floor is level over; the four wheels as one."""
    named = [reader.term(name) for name in level.over if name not in WHEELS or not set(WHEELS) <= set(level.over)]
    if set(WHEELS) <= set(level.over):
        named.append(reader.say("all wheels"))
    return ", ".join(named) or reader.say("wheels and stands")


def _condition(condition: Condition, reader: Reader) -> str:
    what = reader.term(condition.what)
    if condition.low is None and condition.high is None:
        return what
    return reader.say("{what}: {allowed}", what=what, allowed=allowed_words(condition, reader))


def allowed_words(condition: Condition, reader: Reader) -> str:
    """What a card allows, in the unit that it was transcribed in, and a pressure in the reader's gauge, too."""
    allowed = _between(condition.low, condition.high, condition.unit, reader)
    gauge = GAUGES[reader.units]
    low, high = (None if v is None else converted(v, condition.unit, gauge) for v in (condition.low, condition.high))
    if condition.unit == gauge or (low is None and high is None):
        return allowed
    # Rounded inward: what the gauge shows within these is within the card's limits.
    low = None if low is None else math.ceil(low * 10 - 1e-9) / 10
    high = None if high is None else math.floor(high * 10 + 1e-9) / 10
    return reader.say("{allowed} ({gauge})", allowed=allowed, gauge=_between(low, high, gauge, reader))


GAUGES: Mapping[str, str] = {"us": "psi", "metric": "bar"}
"""What a pressure gauge shows, by the reader's units."""


def _between(low: float | None, high: float | None, unit: str, reader: Reader) -> str:
    if low is not None and high is not None:
        return reader.say("{low} to {high}", low=f"{low:g}", high=f"{high:g} {unit}".strip())
    if low is not None:
        return reader.say("{low} at least", low=f"{low:g} {unit}".strip())
    if high is not None:
        return reader.say("{high} at most", high=f"{high:g} {unit}".strip())
    return reader.say("as the card says")


def _level(level: FloorLevel, reader: Reader) -> str:
    parts = []
    if level.within_m is not None:
        parts.append(reader.say("within {limit}", limit=limit_words(level.within_m, reader)))
    if level.within_rad is not None:
        parts.append(reader.say("sloping by {slope:fine-down} at most", slope=Angle(level.within_rad)))
    return ", ".join(parts)


def chalk_title(chalk: ChalkLine, reader: Reader) -> str:
    return reader.say("Chalk the {line}", line=reader.term(chalk.name))


def chalk_angle(chalk: ChalkLine, reader: Reader) -> str:
    if chalk.name == "centerline":
        return reader.say("The card asks for the centerline.")
    if abs(chalk.heading_rad) < math.radians(0.005):
        return reader.say("along the centerline")
    side = N_("{angle:fine} to the car's left") if chalk.heading_rad > 0.0 else N_("{angle:fine} to the car's right")
    return reader.say(side, angle=Angle(abs(chalk.heading_rad)))


def strings_words(reader: Reader) -> str:
    """Where the two strings run."""
    names = {corner: reader.say(short) for corner, short in near.CORNERS.items()}
    return reader.say(
        "Strings over {rear_left}, {front_left} and {rear_right}, {front_right}, prolonged. From them to the line:",
        rear_left=names["rear left"], front_left=names["front left"], rear_right=names["rear right"],
        front_right=names["front right"],
    )  # fmt: skip


def fold_words(part: CardPart, reader: Reader) -> str:
    if len(part.readings) < 2:
        return reader.say("Fold back along this line, and keep it folded until all is written")
    first, last = part.readings[0].number, part.readings[-1].number
    return reader.say(
        "Fold back along this line, and keep it folded until {first} to {last} are written", first=first, last=last
    )


def group_title(target: str, reader: Reader) -> str:
    """What heads the readings of a target, or of the car."""
    if not target:
        return reader.say("Read the car")
    return reader.say("Read {target:the}", target=Ref("target", target))


def group_beside(target: str, reader: Reader) -> str:
    return reader.say("heavy lines") if target else reader.say("light lines, before the target comes in")


def pit_words(readings: Sequence[Planned], reader: Reader) -> Iterator[str]:
    """Which tapes pass an open pit."""
    over: dict[Ref, list[int]] = {}
    for planned in readings:
        for ref in () if planned.candidate.view is None else planned.candidate.view.over:
            over.setdefault(ref, []).append(planned.number)
    for ref, numbers in over.items():
        yield reader.say_n(
            "Tape {numbers} runs over the open {pit}: guard its edge.",
            "Tapes {numbers} run over the open {pit}: guard its edge.",
            len(numbers), numbers=tuple(numbers), pit=ref,
        )  # fmt: skip


def side_letters(planned: Planned, reader: Reader) -> Row:
    """What to circle where a sign matters."""
    if not near.to_circle(planned):
        return ()
    if planned.reading.what == "lean":
        return reader.say("F"), reader.say("B")
    return tuple(reader.say(letter) for letter in near.SIDES)


def letters_words(readings: Sequence[Planned], reader: Reader) -> Iterator[str]:
    """What the letters to circle mean, and how a reading is taken again."""
    if any(r.candidate.again for r in readings):
        yield reader.say("again: by another person, or with another instrument.")
    yield from near.heights_words([r.reading for r in readings], reader)
    kinds = {r.reading.what for r in readings if near.to_circle(r)}
    if any(r.reading.what == "offset" and near.signed(r.reading) for r in readings):
        yield reader.say("L or R of a line: to the car's left or right.")
    if "angle" in kinds:
        yield reader.say("Circle L for counter-clockwise seen from above, R for clockwise.")
    if "lean" in kinds:
        yield reader.say("F: the top leans the way the printed side looks; B: back.")


def does_not_fit(reader: Reader) -> str:
    return reader.say("The car does not fit here. Choose another place before you go on.")


def card_cell(card: Procedure, digest: str) -> str:
    """The card and the first digits of its digest."""
    return ", ".join(part for part in (card.key, digest[:4]) if part)


def step_words(order: str, step: int | None, reader: Reader) -> str:
    return order if step is None else reader.say("{order}, step {step}", order=order, step=step)
