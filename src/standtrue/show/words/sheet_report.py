"""The words of the page that tells what was measured, and against which limit."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from standtrue.aim.conditions import ConditionCheck, Standing
from standtrue.aim.setup import SetupAnswer
from standtrue.aim.stands import Part, TargetStands
from standtrue.model.reason import Angle, Length, Ref
from standtrue.model.verdict import Verdict
from standtrue.show.words import near
from standtrue.show.words.aim import (
    correction_steps,
    figure,
    met_word,
    overall_word,
    question_words,
    standing_word,
    verdict_word,
)
from standtrue.show.words.catalog import N_
from standtrue.show.words.reader import Reader
from standtrue.show.words.sheet_card import allowed_words
from standtrue.show.words.sheet_limits import limit_words
from standtrue.show.words.texts import as_sentence
from standtrue.work.aim.aiming import MeasuredAnswer

Row = tuple[str, ...]
MARKS: Mapping[Verdict | None, str] = {
    Verdict.ACCEPT: "yes", Verdict.REJECT: "no", Verdict.CANNOT_TELL: "open", None: "open",
}  # fmt: skip
"""The shape that stands beside each verdict's word."""

MEANS: Mapping[str, str] = {
    "along": N_("nearer or farther"),
    "across": N_("to the car's left or right"),
    "height": N_("of its middle"),
    "turn": N_("seen from above"),
    "lean": N_("forward or back"),
}
"""What each direction is, beside its word."""


def title(setup: SetupAnswer, reader: Reader) -> str:
    return reader.say(
        "What was measured: {card} for {car}",
        card=Ref("card", setup.scene.card.key), car=Ref("vehicle", setup.scene.vehicle.name),
    )  # fmt: skip


def target_title(target: TargetStands, reader: Reader) -> str:
    name = Ref("target", target.place.name)
    return reader.say("How far off is {target:the}, and how far off might it be?", target=name)


def target_says(target: TargetStands, reader: Reader) -> str:
    return overall_word(target.verdict, reader)


def part_rows(target: TargetStands, reader: Reader) -> Iterator[Row]:
    """Each direction: off by, known to, at most, limit, verdict in words."""
    for part in target.parts:
        if part.measured or part.limit is not None:
            means = reader.say(MEANS[part.name])
            yield reader.term(part.name), means, *_figures(part, reader), *_verdict(part, reader)


def _figures(part: Part, reader: Reader) -> Row:
    limit = "–" if part.limit is None else _limit(part.limit, part.is_angle, reader)
    if not part.measured:
        return "–", "–", "–", limit
    off, u, most = abs(part.deviation), part.u, part.at_most
    return (
        figure(off, part.is_angle, reader, "fine-up"),
        figure(u, part.is_angle, reader, "fine-up"),
        figure(most, part.is_angle, reader, "fine-up"),
        limit,
    )


def _limit(limit: float, is_angle: bool, reader: Reader) -> str:
    return reader.write(Angle(limit), "fine-down") if is_angle else limit_words(limit, reader)


def _verdict(part: Part, reader: Reader) -> Row:
    if part.limit is None:
        return "open", reader.say("the card sets no limit")
    return MARKS[part.verdict], verdict_word(part.verdict, reader)


def to_do(target: TargetStands, setup: SetupAnswer, reader: Reader) -> Iterator[str]:
    """What to shift, where it is not in tolerance and nothing is suspected."""
    steps = correction_steps(target.correct, reader)
    if target.verdict is Verdict.ACCEPT or not steps or setup.suspects:
        return
    yield reader.say("To do to {target:the}: {steps}.", target=Ref("target", target.place.name), steps=steps)


def reading_rows(answer: MeasuredAnswer, asked: Mapping[int, str], reader: Reader) -> Iterator[Row]:
    """Each reading as given, also where it was left out, and whether it was questioned; a target alone is not named in
    each. `asked` are the questions by reading."""
    targets = [t.place.name for t in answer.setup.targets]
    whose = targets[0] if len(targets) == 1 else ""
    kinds = len({c[0] for r in answer.read for p in (*r.start, *r.end) if (c := near.corner_of(p)) is not None})
    suspects = answer.setup.suspects
    for number, reading in enumerate(answer.read, start=1):
        value = Angle(reading.value) if reading.is_angle else Length(reading.value)
        said = asked.get(number, "")
        if reading in suspects:
            said = reader.say("suspected")
        what = near.reading_words(reading, targets, kinds, reader, whose)
        yield str(number), what, reader.write(value, "fine" if reading.is_angle else ""), said


def questions(setup: SetupAnswer, reader: Reader) -> list[str]:
    return [as_sentence(question_words(q, reader)) for q in setup.questions]


def questioned(reader: Reader) -> str:
    return reader.say("questioned")


def looked_rows(answer: MeasuredAnswer, reader: Reader) -> Iterator[Row]:
    """Alignment, floor, conditions, and where the car stands: found, asked, verdict."""
    for check in answer.alignment.checks:
        low, high = (Angle(limit) for limit in check.limits_rad)
        asked = reader.say("{low:fine} to {high:fine}", low=low, high=high)
        found = "–" if check.tested is None else reader.write(Angle(check.tested.value), "fine")
        yield reader.term(check.reading), found, asked, MARKS[check.verdict], verdict_word(check.verdict, reader)
    if answer.setup.scene.card.floor_level is not None:
        yield _floor(answer, reader)
    for condition in answer.conditions:
        yield _condition(condition, reader)
    yield _stance(answer, reader)


def _floor(answer: MeasuredAnswer, reader: Reader) -> Row:
    floor, asked = answer.floor, answer.setup.scene.card.floor_level
    what = reader.say("floor under wheels and target")
    limits = []
    if asked is not None and asked.within_m is not None:
        limits.append(limit_words(asked.within_m, reader))
    if asked is not None and asked.within_rad is not None:
        limits.append(reader.write(Angle(asked.within_rad), "fine-down"))
    within = reader.say("within {limits}", limits=tuple(limits))
    if floor is None or floor.level is None or floor.verdict is None:
        return what, reader.say("not surveyed"), within, "open", met_word(Verdict.CANNOT_TELL, reader)
    differs = reader.write(Length(floor.level.difference_m), "fine-up")
    return what, differs, within, MARKS[floor.verdict], met_word(floor.verdict, reader)


def _condition(check: ConditionCheck, reader: Reader) -> Row:
    marks = {Standing.MET: "yes", Standing.NOT_MET: "no"}
    found = "–" if check.found is None else f"{check.found.value:g} {check.found.unit}".strip()
    if check.found is not None and check.condition.low is None and check.condition.high is None:
        found = reader.say("looked at")
    asked, standing = allowed_words(check.condition, reader), check.standing
    return reader.term(check.condition.what), found, asked, marks.get(standing, "open"), standing_word(standing, reader)


def _stance(answer: MeasuredAnswer, reader: Reader) -> Row:
    """The car's room where it stands."""
    stance = answer.stance
    what = reader.say("room at the car where it was measured")
    if answer.setup.car is None:
        what = reader.say("room at the car, as planned: no reading ties it to the floor")
    words = {
        Verdict.ACCEPT: reader.say("fits"), Verdict.REJECT: reader.say("does not fit"),
        Verdict.CANNOT_TELL: reader.say("cannot tell"),
    }  # fmt: skip
    margin = stance.answer.margin_m
    spare = "–" if margin is None or margin < 0.0 else reader.say("{margin:down} to spare", margin=Length(margin))
    return what, spare, reader.say("as the card says"), MARKS[stance.verdict], words[stance.verdict]


def documents(names: Sequence[str], reader: Reader) -> str:
    """What it rests on, by name."""
    return reader.say("These documents: {names}.", names=tuple(names))


def digest_words(digest: str, reader: Reader) -> str:
    """One digest of all documents that it rests on, whole."""
    return reader.say("Digest of them all (SHA-256): {digest}.", digest=digest)


def checked_how(reader: Reader) -> str:
    return reader.say(
        "Whoever has the documents can have the program compute it again: if one character differs, one of them was "
        "changed."
    )
