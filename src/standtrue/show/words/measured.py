"""What `measured` says: how car and targets stand, what to shift, and how sure that is."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from standtrue.aim.corrections import LEAST_M, LEAST_RAD
from standtrue.aim.doubt_told import told_of
from standtrue.aim.setup import SetupAnswer
from standtrue.aim.stands import CarStands, Part, TargetStands
from standtrue.aim.titles import title_of
from standtrue.model.fits import Fits
from standtrue.model.reason import Angle, Length, Ref, Share, Term
from standtrue.model.verdict import Verdict
from standtrue.show.words.aim import (
    correction_steps,
    facing,
    figure,
    overall_word,
    question_words,
    verdict_word,
)
from standtrue.show.words.blocks import Block, Lines, Table, Told
from standtrue.show.words.catalog import N_
from standtrue.show.words.gate import gate_line
from standtrue.show.words.place import touch_words
from standtrue.show.words.reader import Reader
from standtrue.work.aim.aiming import MeasuredAnswer


def measured_told(answer: MeasuredAnswer, reader: Reader) -> Told:
    """What may be done, what to shift and whether the car fits; then every deviation; at length also where all goes."""
    setup = answer.setup
    mend = [_target(target, reader) for target in setup.targets if target.verdict is not Verdict.ACCEPT]
    car = (Lines((_car(setup.car, reader),)),) if setup.car is not None else ()
    gate, doubts, settling = gate_line(answer.gate, reader), _doubts(setup, reader), _settling(answer, reader)
    first = (Lines((), gate), *mend, *settling, *car, _stance(answer, reader), *doubts)
    return Told(first, tuple(_tables(setup, reader)), (*_tables(setup, reader), *_after(answer, reader)))


def measured_blocks(answer: MeasuredAnswer, reader: Reader) -> Iterator[Block]:
    """What may be done, and then what a set-up's readings say."""
    setup = answer.setup
    yield Lines((), gate_line(answer.gate, reader))
    if setup.car is not None:
        yield Lines((_car(setup.car, reader),))
    yield from _doubts(setup, reader)
    yield _stance(answer, reader)
    yield from _tables(setup, reader)
    yield from _after(answer, reader)


def _settling(answer: MeasuredAnswer, reader: Reader) -> Iterator[Block]:
    """What to read where it cannot be told, and how likely that is to settle it."""
    setup = answer.setup
    settled = tuple(
        reader.say(
            "{target}: to settle it, read the {reading} ({share:down} likely to do)",
            target=Ref("target", s.target),
            reading=title_of(s.reading, setup.scene),
            share=Share(s.probability),
        )
        for s in answer.settling
    )
    if settled:
        yield Lines(settled)


def _after(answer: MeasuredAnswer, reader: Reader) -> Iterator[Block]:
    """Each target's verdict and what to do, what would settle it, and where all goes for the car as it stands."""
    setup = answer.setup
    for target in setup.targets:
        yield _target(target, reader)
    yield from _settling(answer, reader)
    if setup.car is not None:
        yield _corrected(setup, reader)


def target_words(target: TargetStands, reader: Reader) -> str:
    """The verdict on one target."""
    return reader.say(
        "{target}: {verdict}",
        target=Ref("target", target.place.name),
        verdict=overall_word(target.verdict, reader),
    )


def _car(car: CarStands, reader: Reader) -> str:
    """How far the car stands off its planned stance."""
    off = []
    if abs(car.forward_m) >= LEAST_M:
        ahead = car.forward_m > 0.0
        off.append(reader.say(N_("{by} forward") if ahead else N_("{by} rearward"), by=Length(abs(car.forward_m))))
    if abs(car.left_m) >= LEAST_M:
        left = car.left_m > 0.0
        off.append(reader.say(N_("{by} to its left") if left else N_("{by} to its right"), by=Length(abs(car.left_m))))
    if abs(car.turn_rad) >= LEAST_RAD:
        back = car.turn_rad > 0.0
        by = Angle(abs(car.turn_rad))
        turned = N_("turned {by:fine} counter-clockwise") if back else N_("turned {by:fine} clockwise")
        off.append(reader.say(turned, by=by))
    if not off:
        return reader.say("The car stands where it was planned.")
    return reader.say("The car stands off its plan: {off}.", off=tuple(off))


def _doubts(setup: SetupAnswer, reader: Reader) -> Iterator[Block]:
    again = [question_words(question, reader) for question in setup.questions]
    again += reader.reasons(told_of(setup))
    if again:
        yield Lines(tuple(again), reader.say("Look again:"), 2)
    if setup.refused:
        yield Lines(tuple(reader.reasons(setup.refused)), reader.say("Not fixed:"), 2)


def _stance(answer: MeasuredAnswer, reader: Reader) -> Block:
    """Whether the car fits where it stands, and what it comes near."""
    stance, found = answer.stance, answer.setup.car is not None
    near = stance.answer.touches
    if stance.answer.fits is not Fits.YES or stance.answer.margin_m is None:
        no = N_("The car does not fit where it stands:") if found else N_("The car does not fit as planned:")
        against = [touch_words(t, reader) for t in near if t.margin_m < 0.0]
        return Lines((*reader.reasons(stance.answer.because), *against), reader.say(no), 2)
    margin = Length(stance.answer.margin_m)
    said = [reader.say("The car fits where it stands, least margin {margin:down}.", margin=margin)]
    if not found:
        said = [reader.say("The car fits as planned, least margin {margin:down}.", margin=margin)]
    if near:
        said.append(reader.say("Nearest: {touch}", touch=touch_words(near[0], reader)))
    if stance.u_m is not None:
        said.append(reader.say("The margin is known to {u:fine-up}.", u=Length(stance.u_m)))
    if stance.verdict is Verdict.ACCEPT:
        return Lines(tuple(said))
    return Lines(tuple(said), reader.say("Too close to be sure that the car fits:"), 2)


def _tables(setup: SetupAnswer, reader: Reader) -> Iterator[Table]:
    """The targets as they stand; in doubt as they would stand without each suspect, and not by all readings."""
    if setup.doubt is None:
        yield _parts(setup.targets, reader.say("The targets as they stand"), reader)
        return
    suspects = {suspect.readings for suspect in setup.doubt.suspects} if setup.doubt.explained else set()
    solved = [result for result in setup.doubt.results if result.found is not None]
    for result, stands in zip(solved, setup.without, strict=True):
        if result.left in suspects:
            numbers = tuple(setup.numbers[i] for i in result.left if setup.numbers[i])
            if not numbers:
                what = tuple(title_of(setup.tested[i], setup.scene) for i in result.left)
                title = reader.say("The targets without what is stated: {what}", what=what)
                yield _parts(stands.targets, title, reader)
                continue
            title = reader.say_n(
                "The targets by the other readings, without reading {numbers}",
                "The targets by the other readings, without readings {numbers}",
                len(numbers),
                numbers=numbers,
            )
            yield _parts(stands.targets, title, reader)


def _parts(targets: Sequence[TargetStands], title: str, reader: Reader) -> Table:
    rows = tuple(
        (target.place.name, *_part(part, reader))
        for target in targets
        for part in target.parts
        if part.measured or part.limit is not None
    )
    columns = (
        reader.say("target"),
        "",
        reader.say("off by"),
        reader.say("known to"),
        reader.say("at most"),
        reader.say("verdict"),
    )
    return Table(title, columns, rows)


def _part(part: Part, reader: Reader) -> tuple[str, ...]:
    name = reader.write(Term(part.name))
    limit = "" if part.limit is None else figure(part.limit, part.is_angle, reader, "fine-down")
    if not part.measured:
        return name, reader.say("not measured"), "", limit, ""
    off = figure(part.deviation, part.is_angle, reader, "fine-up")
    u = figure(part.u, part.is_angle, reader, "fine-up")
    return name, off, u, limit, "" if part.verdict is None else verdict_word(part.verdict, reader)


def _target(target: TargetStands, reader: Reader) -> Lines:
    lines = reader.reasons(target.because)
    steps = correction_steps(target.correct, reader)
    if target.verdict is not Verdict.ACCEPT and steps:
        first = N_("from the other readings: {steps}") if target.from_others else N_("to do: {steps}")
        lines.append(reader.say(first, steps=steps))
    return Lines(tuple(lines), target_words(target, reader), 2)


def _corrected(setup: SetupAnswer, reader: Reader) -> Table:
    rows = tuple(
        (p.name, *(reader.write(Length(c)) for c in p.center), facing(p.facing_rad, reader)) for p in setup.corrected
    )
    columns = (reader.say("target"), reader.say("x"), reader.say("y"), reader.say("height"), reader.say("faces"))
    return Table(reader.say("Where the targets go for the car as it stands (from the site's origin)"), columns, rows)
