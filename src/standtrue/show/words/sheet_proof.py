"""The words of the proof behind a job's record: each set-up as it was last measured, from what was kept alone."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from standtrue.aim.conditions import Standing
from standtrue.model.procedure import Condition
from standtrue.model.reason import Angle, Length, Ref, Term
from standtrue.model.verdict import Verdict
from standtrue.show.answers.measured import ConditionShape, MeasuredAnswer
from standtrue.show.answers.record import (
    MeasuredKept,
    RecordAnswer,
)
from standtrue.show.answers.set_up import CardShape, HeldShape, ReadShape
from standtrue.show.answers.stands import AnglePart, LengthPart, TargetStandsShape
from standtrue.show.answers.uncoded import told_again
from standtrue.show.words.aim import figure, met_word, overall_word, standing_word, verdict_word
from standtrue.show.words.moments import moment
from standtrue.show.words.reader import Reader
from standtrue.show.words.sheet_card import allowed_words
from standtrue.show.words.sheet_limits import limit_words
from standtrue.show.words.sheet_record import capital, who
from standtrue.show.words.sheet_report import MARKS, MEANS
from standtrue.show.words.texts import as_sentence

Row = tuple[str, ...]


def setup_title(one: MeasuredKept, reader: Reader) -> str:
    found = one.answer.set_up
    if found is None:
        return reader.say("What was measured, entry {number}", number=one.number)
    return reader.say("What was measured: {card}", card=found.card.key)


def setup_says(one: MeasuredKept, record: RecordAnswer, reader: Reader) -> Iterator[str]:
    """When, by whom, what may be done by it, and what stands against it; what was measured before it."""
    at, by = moment(one.at, reader), who(one, reader)
    if one.answer.set_up is None:
        yield reader.say("Entry {number}, {at}, {who}.", number=one.number, at=at, who=by)
    else:
        name = one.answer.set_up.name
        yield reader.say("Set-up {setup}: entry {number}, {at}, {who}.", setup=name, number=one.number, at=at, who=by)
    gate = one.answer.gate
    yield as_sentence(capital(reader.term(gate.verdict.value)))
    yield from map(as_sentence, told_again(gate.because_coded, gate.because, reader))
    yield from map(as_sentence, told_again(gate.told_coded, [], reader))
    earlier = [m for m in record.measured if m.number < one.number and _same(m, one)]
    for before in earlier:
        yield reader.say(
            "Measured before, entry {number}, {at}: {verdict}.",
            number=before.number, at=moment(before.at, reader), verdict=Term(before.answer.gate.verdict.value),
        )  # fmt: skip


def _same(one: MeasuredKept, other: MeasuredKept) -> bool:
    a, b = one.answer.set_up, other.answer.set_up
    return a is not None and b is not None and a.name == b.name


def card_line(card: CardShape, reader: Reader) -> str:
    """The card, its edition, when its source was read, and how far it is to be trusted."""
    return reader.say(
        "Card {card}: {title}, edition {edition}, read on {on}; {status}.",
        card=card.key,
        title=card.title or reader.say("source not told"),
        edition=card.edition or reader.say("not told"),
        on=card.read_on or reader.say("a date not told"),
        status=Term(card.status),
    )


def target_title(target: TargetStandsShape, reader: Reader) -> str:
    name = Ref("target", target.target)
    return reader.say("How far off is {target:the}, and how far off might it be?", target=name)


def target_says(target: TargetStandsShape, reader: Reader) -> str:
    return overall_word(target.verdict, reader)


def part_rows(target: TargetStandsShape, reader: Reader) -> Iterator[Row]:
    """Each direction: off by, known to, at most, limit, verdict in words."""
    for part in target.parts:
        off, u, most, limit = _figures(part)
        if not part.measured and limit is None:
            continue
        angle = isinstance(part, AnglePart)
        known = (None if off is None else abs(off), u, most)
        yield (
            reader.term(part.name),
            reader.say(MEANS[part.name]),
            *("–" if value is None else figure(value, angle, reader, "fine-up") for value in known),
            _limit(limit, angle, reader),
            *_verdict(part.verdict, limit, reader),
        )


def _figures(part: LengthPart | AnglePart) -> tuple[float | None, float | None, float | None, float | None]:
    """Off by, known to, at most, limit: metres or radians; None for what was not measured, or is not asked."""
    if isinstance(part, LengthPart):
        return part.deviation_m, part.u_m, part.at_most_m, part.limit_m
    degrees = (part.deviation_deg, part.u_deg, part.at_most_deg, part.limit_deg)
    off, u, most, limit = (None if one is None else _angle(one).radians for one in degrees)
    return off, u, most, limit


def _limit(limit: float | None, angle: bool, reader: Reader) -> str:
    if limit is None:
        return "–"
    return reader.write(Angle(limit), "fine-down") if angle else limit_words(limit, reader)


def _verdict(verdict: Verdict | None, limit: float | None, reader: Reader) -> Row:
    if limit is None:
        return "open", reader.say("the card sets no limit")
    return MARKS[verdict], verdict_word(verdict, reader)


def reading_rows(readings: Sequence[ReadShape], reader: Reader) -> Iterator[Row]:
    """Each reading as given: what, its value, what it is known to, and what is to be said of it."""
    for one in readings:
        angle = one.unit == "rad"
        what = one.title if one.title_coded is None else told_again([one.title_coded], [one.title], reader)[0]
        said = reader.term(one.said) if one.said else ""
        if one.unchecked and not said:
            said = reader.say("checked by no other")
        value = Angle(one.value) if angle else Length(one.value)
        shown = reader.write(value, "fine" if angle else "")
        yield str(one.number), what, shown, figure(one.u, angle, reader, "fine-up"), said


def looked_rows(answer: MeasuredAnswer, reader: Reader) -> Iterator[Row]:
    """Alignment, floor, conditions, and the room at the car: found, asked, verdict."""
    for held in [] if answer.set_up is None else answer.set_up.alignment:
        yield _held(held, reader)
    floor = answer.floor
    if floor is not None and floor.verdict is not None and floor.difference_m is not None:
        differs = reader.write(Length(floor.difference_m), "fine-up")
        within = "–" if floor.within_m is None else limit_words(floor.within_m, reader)
        yield (
            reader.say("floor under wheels and target"),
            differs,
            within,
            MARKS[floor.verdict],
            met_word(floor.verdict, reader),
        )
    elif floor is not None:
        yield (
            reader.say("floor under wheels and target"),
            reader.say("not surveyed"),
            "–",
            "open",
            met_word(Verdict.CANNOT_TELL, reader),
        )
    for condition in answer.conditions:
        yield _condition(condition, reader)
    yield _room(answer, reader)


def _held(held: HeldShape, reader: Reader) -> Row:
    low, high = (_angle(limit) for limit in (held.low_deg, held.high_deg))
    asked = reader.say("{low:fine} to {high:fine}", low=low, high=high)
    verdict = held.standing if isinstance(held.standing, Verdict) else None
    found = "–" if held.value_deg is None else reader.write(_angle(held.value_deg), "fine")
    if held.value_deg is not None and held.u_deg is not None:
        known = figure(_angle(held.u_deg).radians, True, reader, "fine-up")
        found = reader.say("{found}, known to {known}", found=found, known=known)
    return reader.term(held.reading), found, asked, MARKS[verdict], verdict_word(verdict, reader)


def _condition(one: ConditionShape, reader: Reader) -> Row:
    marks = {Standing.MET: "yes", Standing.NOT_MET: "no"}
    found = "–" if one.found is None else f"{one.found:g} {one.found_unit}".strip()
    if one.found is not None and one.low is None and one.high is None:
        found = reader.say("looked at")
    asked = allowed_words(Condition(one.what, one.low, one.high, one.unit), reader)
    return reader.term(one.what), found, asked, marks.get(one.standing, "open"), standing_word(one.standing, reader)


def _room(answer: MeasuredAnswer, reader: Reader) -> Row:
    stance = answer.stance
    what = reader.say("room at the car where it was measured")
    if stance.planned:
        what = reader.say("room at the car, as planned: no reading ties it to the floor")
    words = {
        Verdict.ACCEPT: reader.say("fits"), Verdict.REJECT: reader.say("does not fit"),
        Verdict.CANNOT_TELL: reader.say("cannot tell"),
    }  # fmt: skip
    margin = stance.margin_m
    spare = "–" if margin is None or margin < 0.0 else reader.say("{margin:down} to spare", margin=Length(margin))
    return what, spare, reader.say("as the card says"), MARKS[stance.verdict], words[stance.verdict]


def document_names(answer: MeasuredAnswer) -> tuple[str, ...]:
    return tuple(f"{one.name} ({one.digest[:8]})" for one in answer.documents)


def rests_line(answer: MeasuredAnswer, reader: Reader) -> str:
    return reader.say("It rests on these documents: {names}.", names=document_names(answer))


def _angle(degrees: float) -> Angle:
    return Angle(math.radians(degrees))
