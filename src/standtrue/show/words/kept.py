"""An entry of the record in words, from what was kept alone: in any language, whatever release answered."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from typing import Any

from standtrue.model.reason import Duration, Length, Ref, Term
from standtrue.model.verdict import Verdict
from standtrue.needs import sensor_ref
from standtrue.show.answers.alignment import AlignmentAnswer
from standtrue.show.answers.backup import RemovalAnswer, RuleAnswer
from standtrue.show.answers.car import HandedAnswer, HappenedAnswer
from standtrue.show.answers.cards import CardAnswer
from standtrue.show.answers.exchange import SavedAnswer, TakenInAnswer
from standtrue.show.answers.floor import FloorAnswer
from standtrue.show.answers.handed import HandedToAnswer
from standtrue.show.answers.keep import KeepAnswer
from standtrue.show.answers.kept import read_again
from standtrue.show.answers.measured import MeasuredAnswer
from standtrue.show.answers.needs import DroppedShape, NeedsAnswer, NeedShape, Standing
from standtrue.show.answers.parts import AnswerShape, Shape
from standtrue.show.answers.place import JobShape
from standtrue.show.answers.plan import PlanShape
from standtrue.show.answers.sheet import SheetAnswer
from standtrue.show.answers.sign import SignAnswer
from standtrue.show.answers.targets import TargetsAnswer
from standtrue.show.answers.uncoded import told_again
from standtrue.show.words.aim import overall_word
from standtrue.show.words.backup import removal_lines, rule_line
from standtrue.show.words.car_kept import handed_lines, happened_lines
from standtrue.show.words.cards import card_line
from standtrue.show.words.catalog import N_
from standtrue.show.words.exchange import saved_lines, taken_in_line
from standtrue.show.words.reader import Reader

KINDS = {
    "needs": N_("what must be calibrated"),
    "job": N_("what must be calibrated, and where the car can stand"),
    "plan": N_("the order of work"),
    "sheet": N_("the job's sheet"),
    "targets": N_("where the targets go"),
    "measured": N_("what was measured"),
    "floor": N_("the floor"),
    "alignment": N_("the wheel alignment"),
    "keep": N_("what was brought"),
    "sign": N_("the sign-off"),
    "handed": N_("to whom it was handed"),
    "import": N_("documents taken in"),
    "saved": N_("a document saved"),
    "card": N_("the life of a card"),
    "removal": N_("what was taken out"),
    "keep-rule": N_("how long jobs are kept"),
    "car-steps": N_("the order of work, handed over"),
    "car": N_("at the car"),
}
"""What an entry of each kind is, as its title; a kind that only a later release knows has its own name."""

BROUGHT = {
    "scan before": N_("scan before the repair"),
    "scan after": N_("scan after the repair"),
    "photo": N_("photo"),
    "file": N_("file"),
    "note": N_("note"),
}


INVENTED = N_("Invented demonstration data.")
"""How the words of an entry begin that rests on invented documents."""


def kind_words(kind: str, reader: Reader) -> str:
    """What an entry of this kind is."""
    return reader.say(KINDS[kind]) if kind in KINDS else kind


def content_words(kind: str, version: int, content: bytes | None, reader: Reader) -> list[str]:
    """What an entry says, in a few lines."""
    if content is None:
        return [reader.say("Its content was removed by the shop's rule; that it was there is still proven.")]
    try:
        answer = read_again(kind, version, content)
    except ValueError:
        return [reader.say("What it holds cannot be read.")]
    if answer is None:
        return [reader.say("A newer release of the program wrote it, and can read it.")]
    return list(_lines(answer, reader))


def short_words(kind: str, version: int, content: bytes | None, reader: Reader) -> list[str]:
    """What an entry comes to, in a line: which calibrations, or what it says first."""
    said = [line for line in content_words(kind, version, content, reader) if line != reader.say(INVENTED)]
    with suppress(ValueError):  # what cannot be read was said already
        answer = None if content is None else read_again(kind, version, content)
        if isinstance(answer, JobShape | NeedsAnswer):
            return [_called_for(answer, reader)]
    return said[:1]


def _called_for(answer: JobShape | NeedsAnswer, reader: Reader) -> str:
    sensors = tuple(sensor_ref(need.sensor, need.side) for need in answer.needs if not _is_dropped(need))
    if not sensors:
        return reader.say("No calibration is called for.")
    return reader.say_n("{n} calibration: {sensors}.", "{n} calibrations: {sensors}.", len(sensors), sensors=sensors)


def _lines(answer: Shape, reader: Reader) -> Iterator[str]:
    if isinstance(answer, AnswerShape) and answer.demonstration:
        yield reader.say(INVENTED)
    if isinstance(answer, Standing):
        for question in answer.open_questions:
            yield reader.say("Open question: {what}", what=_again([question.what_coded], [question.what], reader)[0])
        yield from (_dropped(one, reader) for one in answer.dropped)
    say = next((say for shape, say in _SAY.items() if isinstance(answer, shape)), None)
    if say is not None:
        yield from say(answer, reader)


def _again(coded: Sequence[Any], english: Sequence[str], reader: Reader) -> list[str]:
    return told_again(coded, english, reader) or list(english)


def _dropped(one: DroppedShape, reader: Reader) -> str:
    sensor = sensor_ref(one.sensor, one.side)
    by = one.by if one.on is None else reader.say("{by} on {day}", by=one.by, day=one.on)
    return reader.say("Dropped by {by}: {sensor} ({because})", by=by, sensor=sensor, because=one.because)


def _needs(answer: NeedsAnswer, reader: Reader) -> Iterator[str]:
    for need in answer.needs:
        yield _need(need, reader)


def _need(need: NeedShape, reader: Reader) -> str:
    sensor, how = sensor_ref(need.sensor, need.side), Term(_how(need))
    why = "; ".join(_again(need.because_coded, need.because, reader))
    if need.procedure is None:
        return reader.say("{sensor}: {how}, no card. {why}", sensor=sensor, how=how, why=why)
    return reader.say("{sensor}: {how}, card {card}. {why}", sensor=sensor, how=how, card=need.procedure, why=why)


def _how(need: NeedShape) -> str:
    if _is_dropped(need):
        return "dropped"
    return "look first" if need.how == "conditional" else need.how


def _is_dropped(need: NeedShape) -> bool:
    return need.overruled is not None and need.overruled.verdict == "drop"


def _job(answer: JobShape, reader: Reader) -> Iterator[str]:
    yield from _needs(answer, reader)
    for one in answer.answers:
        card = one.procedure or ""
        if one.fits is True and one.margin_m is not None:
            room = Length(one.margin_m)
            yield reader.say("{card}: fits, with {room:down} to spare.", card=card, room=room)
        elif one.fits is False:
            why = "; ".join(_again(one.because_coded, one.because, reader))
            yield reader.say("{card}: does not fit. {why}", card=card, why=why)
        else:
            yield reader.say("{card}: cannot tell whether it fits.", card=card)


def _plan(answer: PlanShape, reader: Reader) -> Iterator[str]:
    if answer.elapsed_min is None:
        yield reader.say("No order of work was found.")
    else:
        least, most = (Duration(60.0 * minutes) for minutes in answer.elapsed_min)
        yield reader.say("{n} steps, {least} to {most}.", n=len(answer.steps), least=least, most=most)
    if answer.ready is not None:
        yield reader.say("Ready {earliest} to {latest}.", earliest=answer.ready.earliest, latest=answer.ready.latest)
    for one in answer.undone:
        why = "; ".join(_again(one.because_coded, one.because, reader))
        yield reader.say("Left out: {card}. {why}", card=one.procedure, why=why)


def _sheet(answer: SheetAnswer, reader: Reader) -> Iterator[str]:
    yield reader.say("Printed into {file}: {n} stances.", file=answer.file, n=len(answer.stances))
    if answer.fits_nowhere:
        yield reader.say("Fits nowhere: {cards}.", cards=tuple(answer.fits_nowhere))


def _targets(answer: TargetsAnswer, reader: Reader) -> Iterator[str]:
    names = tuple(Ref("target", one.target) for one in answer.targets)
    yield reader.say("Laid out: {targets}.", targets=names)


def _measured(answer: MeasuredAnswer, reader: Reader) -> Iterator[str]:
    why = "; ".join(_again(answer.gate.because_coded, answer.gate.because, reader))
    verdict = reader.term(answer.gate.verdict.value)
    if why:
        yield reader.say("{verdict}: {why}.", verdict=_capital(verdict), why=why)
    else:
        yield reader.say("{verdict}.", verdict=_capital(verdict))
    yield from _again(answer.gate.told_coded, [], reader)
    for target in answer.targets:
        named, word = Ref("target", target.target), overall_word(target.verdict, reader)
        yield reader.say("{target}: {verdict}", target=named, verdict=word)


def _capital(word: str) -> str:
    return word[:1].upper() + word[1:]


def _floor(answer: FloorAnswer, reader: Reader) -> Iterator[str]:
    yield reader.say("By the survey {survey}.", survey=answer.survey)
    yield from _again(answer.questions_coded, answer.questions, reader)


def _alignment(answer: AlignmentAnswer, reader: Reader) -> Iterator[str]:
    held = _again(answer.holds_coded, answer.holds, reader)
    if answer.verdict is Verdict.ACCEPT:
        yield reader.say("The wheel alignment is in tolerance.")
    yield from held


def _keep(answer: KeepAnswer, reader: Reader) -> Iterator[str]:
    what = reader.say(BROUGHT[answer.what])
    if answer.files:
        yield reader.say("{what}: {files}", what=_capital(what), files=tuple(one.name for one in answer.files))
    if answer.text:
        yield reader.say("Said with it: {text}", text=answer.text)


def _sign(answer: SignAnswer, reader: Reader) -> Iterator[str]:
    if answer.told_apart == "PIN":
        yield reader.say("Signed by {by}, told apart by a PIN.", by=answer.by)
    elif answer.told_apart == "name":
        yield reader.say("Signed by {by}, by name only: nothing told that it was that person.", by=answer.by)
    else:
        yield reader.say("Signed by {by}.", by=answer.by)
    yield from _again(answer.says_coded, answer.says, reader)
    for one in answer.covers:
        sensor, card = sensor_ref(one.sensor, one.side), one.procedure
        yield reader.say("Covers {sensor}: card {card}, set-up {setup}.", sensor=sensor, card=card, setup=one.setup)
    for out in answer.outside:
        sensor, why = sensor_ref(out.sensor, out.side), "; ".join(_again(out.because_coded, out.because, reader))
        yield reader.say("Does not cover {sensor}: {why}", sensor=sensor, why=why)


def _removal(answer: RemovalAnswer, reader: Reader) -> Iterator[str]:
    counts = len(answer.entries), len(answer.files), len(answer.documents)
    yield from removal_lines(answer.job, answer.by, answer.because, counts, reader)


def _saved(answer: SavedAnswer, reader: Reader) -> Iterator[str]:
    yield reader.say("Saved by {by}, on what was there before.", by=answer.by)
    yield from saved_lines(answer.saved, reader)


def _import(answer: TakenInAnswer, reader: Reader) -> Iterator[str]:
    yield taken_in_line(len(answer.saved), answer.by, reader)
    yield from saved_lines(answer.saved, reader)


def _card(answer: CardAnswer, reader: Reader) -> Iterator[str]:
    yield card_line(answer, reader)
    yield from saved_lines(answer.saved, reader)


def _rule(answer: RuleAnswer, reader: Reader) -> Iterator[str]:
    yield rule_line(answer.years, answer.by, reader)
    yield reader.say("Because: {why}", why=answer.because)


def _handed(answer: HandedToAnswer, reader: Reader) -> Iterator[str]:
    yield reader.say("Handed to {to}, to be done by the plan of entry {number}.", to=answer.to, number=answer.plan + 1)


_SAY: dict[type[Any], Callable[[Any, Reader], Iterator[str]]] = {
    JobShape: _job,
    NeedsAnswer: _needs,
    PlanShape: _plan,
    SheetAnswer: _sheet,
    TargetsAnswer: _targets,
    MeasuredAnswer: _measured,
    FloorAnswer: _floor,
    AlignmentAnswer: _alignment,
    KeepAnswer: _keep,
    SignAnswer: _sign,
    HandedToAnswer: _handed,
    TakenInAnswer: _import,
    SavedAnswer: _saved,
    CardAnswer: _card,
    RemovalAnswer: _removal,
    RuleAnswer: _rule,
    HandedAnswer: handed_lines,
    HappenedAnswer: happened_lines,
}
"""The shapes and how each is told; one that rests on another stands before it."""
