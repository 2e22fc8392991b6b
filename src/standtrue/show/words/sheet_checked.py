"""The words of what was checked by itself, from what was kept alone: a car's wheel alignment, the site's floor."""

from __future__ import annotations

import math
from collections.abc import Iterator

from standtrue.model.reason import Angle, Length, Number, Ref, Term
from standtrue.model.verdict import Verdict
from standtrue.show.answers.aim_parts import StandingShape
from standtrue.show.answers.alignment import AlignmentAnswer, AngleShape, LimitShape
from standtrue.show.answers.floor import FlatnessShape, FloorAnswer, LoopShape
from standtrue.show.answers.record import AlignmentKept, EntryLine, FloorKept
from standtrue.show.answers.uncoded import told_again
from standtrue.show.words.aim import area_words, figure, met_word, slope_words, verdict_word
from standtrue.show.words.moments import moment
from standtrue.show.words.reader import Reader
from standtrue.show.words.sheet_limits import limit_words
from standtrue.show.words.sheet_record import who
from standtrue.show.words.sheet_report import MARKS
from standtrue.show.words.texts import as_sentence

Row = tuple[str, ...]
NONE = "–"


def alignment_title(one: AlignmentKept, reader: Reader) -> str:
    return reader.say("Wheel alignment: {car}", car=Ref("vehicle", one.answer.vehicle))


def alignment_says(one: AlignmentKept, reader: Reader) -> Iterator[str]:
    """When and by whom, and what of it stands against a calibration."""
    yield _kept(one, reader)
    holds = told_again(one.answer.holds_coded, one.answer.holds, reader)
    if not holds:
        yield reader.say("Nothing of it stands against calibrating.")
    yield from map(as_sentence, holds)


def alignment_rows(answer: AlignmentAnswer, reader: Reader) -> Iterator[Row]:
    """Each reading, also one that has no limit, and each limit that nothing was read for: found, asked, verdict."""
    limits = {one.reading: one for one in answer.checks}
    for value in answer.values:
        yield _angle(value, limits.pop(value.name, None), reader)
    for limit in limits.values():
        yield reader.term(limit.reading), NONE, _asked(limit, reader), *_judged(limit, reader)


def _angle(value: AngleShape, limit: LimitShape | None, reader: Reader) -> Row:
    known = figure(math.radians(value.u_deg), True, reader, "fine-up")
    found = reader.say("{found:fine}, known to {known}", found=Angle(math.radians(value.value_deg)), known=known)
    if value.length_m is not None:
        found = f"{found} ({reader.write(Length(value.length_m), 'fine')})"
    if limit is None:
        return reader.term(value.name), found, NONE, "open", reader.say("no limit is asked")
    return reader.term(value.name), found, _asked(limit, reader), *_judged(limit, reader)


def _asked(limit: LimitShape, reader: Reader) -> str:
    low, high = (Angle(math.radians(one)) for one in (limit.low_deg, limit.high_deg))
    return reader.say("{low:fine} to {high:fine}", low=low, high=high)


def _judged(limit: LimitShape, reader: Reader) -> Row:
    verdict = limit.standing if isinstance(limit.standing, Verdict) else None
    return MARKS[verdict], verdict_word(verdict, reader)


def floor_title(one: FloorKept, reader: Reader) -> str:
    return reader.say("The floor: {survey}", survey=Ref("survey", one.answer.survey))


def floor_says(one: FloorKept, reader: Reader) -> Iterator[str]:
    """When and by whom, what of the survey must be read again, and how much of the floor a card can use."""
    yield _kept(one, reader)
    answer, plane = one.answer, one.answer.plane
    yield reader.say(
        "The floor falls or rises by {slope}, and lies within {off:fine-up} of a plane.",
        slope=slope_words(math.hypot(plane.bx, plane.cy), reader), off=Length(plane.greatest_m),
    )  # fmt: skip
    if answer.level is not None:
        coded = [] if answer.level.because_coded is None else [answer.level.because_coded]
        why = "; ".join(told_again(coded, [answer.level.because], reader))
        area = area_words(answer.level.area_m2, reader)
        yield reader.say("Level enough for the card: {area} of the floor; the rest: {why}.", area=area, why=why)
    yield from map(as_sentence, told_again(answer.questions_coded, answer.questions, reader))


def floor_rows(answer: FloorAnswer, reader: Reader) -> Iterator[Row]:
    """How the survey closes, how flat the floor is, and how the car stood there: found, asked, verdict."""
    yield from (_loop(one, reader) for one in answer.loops)
    yield from (_flat(one, reader) for one in answer.flatness if one.worst_m is not None)
    if answer.standing is not None:
        yield from _standing(answer.standing, reader)


def _loop(loop: LoopShape, reader: Reader) -> Row:
    found = reader.write(Length(abs(loop.misclosure_m)), "fine-up")
    asked = reader.say("within {limits}", limits=(reader.write(Length(loop.allowed_m), "fine-down"),))
    return reader.say("loop {name}", name=loop.loop), found, asked, *_met(loop.closes, reader)


def _flat(one: FlatnessShape, reader: Reader) -> Row:
    assert one.worst_m is not None
    asked = NONE if one.limit_m is None else reader.say("within {limits}", limits=(limit_words(one.limit_m, reader),))
    found = reader.write(Length(abs(one.worst_m)), "fine-up")
    line = reader.say("DIN 18202 table 3 row {row}", row=one.row)
    return reader.say("{line} (for comparison)", line=line), found, asked, *_met(one.ok, reader)


def _standing(told: StandingShape, reader: Reader) -> Iterator[Row]:
    for name, by, u in (
        (reader.say("pitch"), told.pitch_deg, told.pitch_u_deg), (reader.say("roll"), told.roll_deg, told.roll_u_deg),
    ):  # fmt: skip
        if by is not None and u is not None:
            said = reader.say("{by}°, known to {u}°", by=Number(by, 3), u=Number(u, 3))
            yield name, said, NONE, "open", reader.say("no limit is asked")
    for one in told.shims:
        by_m = reader.write(Length(one.shim_m), "fine")
        yield (
            reader.say("shim under {wheel}", wheel=Term(one.wheel)),
            by_m,
            NONE,
            "open",
            reader.say("no limit is asked"),
        )
    if told.difference_m is not None:
        asked = NONE if told.within_m is None else reader.say(
            "within {limits}", limits=(limit_words(told.within_m, reader),)
        )  # fmt: skip
        found = reader.write(Length(told.difference_m), "fine-up")
        verdict = Verdict.CANNOT_TELL if told.verdict is None else told.verdict
        yield reader.say("floor under wheels and target"), found, asked, MARKS[verdict], met_word(verdict, reader)
    if told.unknown:
        yield (
            reader.say("not surveyed"),
            ", ".join(map(reader.term, told.unknown)),
            NONE,
            "open",
            met_word(Verdict.CANNOT_TELL, reader),
        )


def _met(ok: bool | None, reader: Reader) -> Row:
    verdict = Verdict.CANNOT_TELL if ok is None else Verdict.ACCEPT if ok else Verdict.REJECT
    return MARKS[verdict], met_word(verdict, reader)


def _kept(one: EntryLine, reader: Reader) -> str:
    return reader.say(
        "Entry {number}, {at}, {who}.", number=one.number, at=moment(one.at, reader), who=who(one, reader)
    )
