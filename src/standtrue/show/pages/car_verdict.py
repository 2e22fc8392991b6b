"""At the car: what the readings come to, the scan tool's word, and the signature."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from standtrue.aim.conditions import conditions_of
from standtrue.aim.corrections import WAYS
from standtrue.aim.stands import TargetStands
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Angle, Length, Reason, Ref
from standtrue.model.verdict import Verdict
from standtrue.show.pages.car import Act, Reading, Screen
from standtrue.show.pictures.at_car import measured_plate
from standtrue.show.words.aim import figure, question_words, verdict_word
from standtrue.show.words.gate import gate_line
from standtrue.show.words.pages import car as words
from standtrue.show.words.pages import car_read as read
from standtrue.show.words.reader import Reader
from standtrue.show.words.texts import as_sentence
from standtrue.work.aim.aiming import MeasuredAnswer
from standtrue.work.aim.gate import Hold, May


def judge_screen(r: Reading) -> Screen:
    """All is read, and not judged yet."""
    question, told, button = read.judge_question(r.reader)
    over = read.read_count(len(r.at.readings), r.reader)
    return Screen("judge", "work", question, over, lines=(told,), first=Act(button, {"what": "verdict"}), back="read")


def verdict_screen(r: Reading, card: Procedure, measured: MeasuredAnswer) -> Screen:
    """What the readings come to: in tolerance, what must move, or what stands against it."""
    if measured.gate.verdict is May.YES:
        return _good(r, card, measured)
    for target in measured.setup.targets:
        if target.verdict is not Verdict.ACCEPT and target.correct is not None and _steps(target):
            return _correct(r, target, measured)
    return _held(r, measured)


_PARTS: Mapping[str, tuple[str, ...]] = {
    "shift-forward": ("along", "across"),
    "shift-rearward": ("along", "across"),
    "shift-left": ("across", "along"),
    "shift-right": ("across", "along"),
    "shift-up": ("height",),
    "shift-down": ("height",),
    "turn-counter-clockwise": ("turn",),
    "turn-clockwise": ("turn",),
    "tip-down": ("lean",),
    "tip-up": ("lean",),
}


def _steps(target: TargetStands) -> list[tuple[float, Reason]]:
    """Each correction with how much of its limit the part is off: what is not within it first."""
    assert target.correct is not None
    found = []
    for step in target.correct.steps:
        part = target.part(_PARTS[step.code][0])
        share = 0.0 if not part.limit else part.at_most / part.limit
        found.append((share if part.verdict is not Verdict.ACCEPT else -1.0 / (1.0 + share), step))
    return sorted(found, key=lambda one: -one[0])


def _correct(r: Reading, target: TargetStands, measured: MeasuredAnswer) -> Screen:
    reader, name = r.reader, target.place.name
    assert target.correct is not None
    (_, first), *rest = _steps(target)
    part = target.part(_PARTS[first.code][0])
    word = read.out_word(reader) if target.verdict is Verdict.REJECT else read.too_close(reader)
    limit = "" if part.limit is None else figure(part.limit, part.is_angle, reader, "fine-down")
    over = words.off_words(word, reader.term(part.name), figure(abs(part.deviation), part.is_angle, reader, "fine-up"),
                           limit, reader)  # fmt: skip
    of_target = [one for one in r.at.readings.values() if one.part]
    of_car = len(r.at.readings) - len(of_target)
    rows = tuple((_way(step, reader), _by(step, reader)) for _, step in rest)
    told = read.shift_figure(name, _amount(first), reader)
    heading = _heading(first, measured)
    plate = measured_plate(measured, heading, name, reader, told)
    return Screen(
        "correct",
        "set",
        read.move_question(reader),
        over,
        read.shift_figure(name, _amount(first), reader),
        _way(first, reader),
        plates=((plate, read.shift_drawn(reader) if heading is not None else words.behind_the_car(reader)),),
        rows=rows,
        rows_title=read.while_there(reader) if rows else "",
        notes=(read.then_again(len(of_target), of_car, reader),),
        verdict="no" if target.verdict is Verdict.REJECT else "unsure",
        first=Act(read.it_is_moved(len(of_target), reader), {"what": "moved", "name": "target"}),
        back="?screen=read",
    )


def _amount(step: Reason) -> Length | Angle:
    by = step["by"]
    assert isinstance(by, (Length, Angle))
    return by


def _by(step: Reason, reader: Reader) -> str:
    by = _amount(step)
    return reader.write(by, "fine-up" if isinstance(by, Angle) else "up")


def _way(step: Reason, reader: Reader) -> str:
    toward = dict(step.values).get("toward")
    return read.shift_way(step.code, toward if isinstance(toward, Ref) else None, reader)


def _heading(step: Reason, measured: MeasuredAnswer) -> float | None:
    """Which way on the plan a shift goes, radians in the site frame; None for one that is no shift."""
    way = step.code.removeprefix("shift-")
    turn = next((rad for name, rad in WAYS.items() if name == way), None)
    scene = measured.setup.scene
    place = scene.place if measured.setup.car is None else measured.setup.car.place
    return None if turn is None else place.heading_rad + scene.thrust.value_rad + turn


def _good(r: Reading, card: Procedure, measured: MeasuredAnswer) -> Screen:
    reader = r.reader
    finished, failed = read.tool_choices(reader)
    told = r.at.tool is not None and r.at.tool.name == "finished"
    return Screen(
        "good",
        "good",
        read.in_tolerance(reader),
        read.read_count(len(r.at.readings), reader),
        lines=(read.run_it(card.minutes.run_s, reader), read.tool_question(reader)),
        plates=((measured_plate(measured, None, "", reader, read.as_measured(reader)), read.as_measured(reader)),),
        head=read.columns(reader),
        table=tuple(_rows(measured, reader)),
        notes=tuple(map(reader.reason, measured.gate.told)),
        verdict="yes",
        choices=(
            Act(finished, {"what": "tool", "name": "finished"}),
            Act(failed, where="?screen=failed"),
        ),
        first=Act(read.sign_bar(reader), where="?screen=photo" if told else ""),
        back="?screen=read",
        words={"pressed": "finished" if told else ""},
    )


def _rows(measured: MeasuredAnswer, reader: Reader) -> Iterator[tuple[str, ...]]:
    many = len(measured.setup.targets) > 1
    for target in measured.setup.targets:
        for part in target.parts:
            if part.limit is None or not part.measured:
                continue
            name = reader.term(part.name)
            yield (
                f"{target.place.name}: {name}" if many else name,
                figure(abs(part.deviation), part.is_angle, reader, "fine-up"),
                figure(part.u, part.is_angle, reader, "fine-up"),
                figure(part.at_most, part.is_angle, reader, "fine-up"),
                figure(part.limit, part.is_angle, reader, "fine-down"),
            )


def _held(r: Reading, measured: MeasuredAnswer) -> Screen:
    """What stands against it, and what mends or settles that."""
    reader, gate = r.reader, measured.gate
    again = [question_words(one, reader) for one in measured.setup.questions]
    rows = tuple((reader.reason(hold.what), "" if hold.do is None else reader.reason(hold.do)) for hold in gate.ordered)
    of_target = [one for one in r.at.readings.values() if one.part]
    return Screen(
        "held-back",
        "work",
        read.held_question(reader),
        gate_line(gate, reader).partition(":")[0],
        lines=tuple(again),
        rows=rows,
        verdict="unsure" if gate.verdict is May.CANNOT_TELL else "no",
        choices=(Act(read.target_read_again(reader), {"what": "moved", "name": "target"}),) if of_target else (),
        first=Act(read.read_again_button(reader), where="?screen=read"),
    )


def card_screen(r: Reading, holds: Sequence[Hold], address: str) -> Screen:
    """Nothing is calibrated by the card as it is: why, and what has to be done about it."""
    reader = r.reader
    lines = [line for hold in holds for line in _of_hold(hold, reader)]
    plan = Act(words.plan_from_here(reader), {}, words.plan_from_here_told(reader), where=f"{address}/plan")
    return Screen("card", "list", words.card_question(reader), words.called(r.at.step, reader),
                  lines=(*lines, words.card_told(reader)), choices=(plan,))  # fmt: skip


def _of_hold(hold: Hold, reader: Reader) -> Iterator[str]:
    yield as_sentence(reader.reason(hold.what))
    if hold.do is not None:
        yield words.card_do(hold.do, reader)


def tool_screen(r: Reading, card: Procedure) -> Screen:
    """The scan tool's word on a calibration that places nothing."""
    reader = r.reader
    finished, failed = read.tool_choices(reader)
    told = r.at.tool is not None and r.at.tool.name == "finished"
    return Screen(
        "tool",
        "good",
        read.tool_question(reader),
        words.called(r.at.step, reader),
        lines=(read.run_it(card.minutes.run_s, reader),),
        choices=(Act(finished, {"what": "tool", "name": "finished"}), Act(failed, where="?screen=failed")),
        first=Act(read.sign_bar(reader), where="?screen=sign" if told else ""),
        words={"pressed": "finished" if told else ""},
    )


def failed_screen(r: Reading, card: Procedure | None) -> Screen:
    """The tool's words and codes, as it gave them; what the card asks for beside."""
    reader = r.reader
    said, codes, keep = read.failed_fields(reader)
    asked = tuple((read.condition_name(c, reader), read.limit(c, reader)) for c in conditions_of(card)) if card else ()
    causes = _causes(card, reader)
    return Screen(
        "failed",
        "failed",
        read.failed_question(reader),
        words.called(r.at.step, reader),
        lines=(read.failed_kept(reader),),
        rows=causes or asked,
        rows_title=(read.causes_heading(reader) if causes else read.look_heading(reader)) if causes or asked else "",
        first=Act(keep, {"what": "tool", "name": "not finished"}),
        words={"said": said, "codes": codes},
        back="?",
    )


def _causes(card: Procedure | None, reader: Reader) -> tuple[tuple[str, str], ...]:
    """Why a calibration by a card may not finish, and the code of each."""
    return () if card is None else tuple((as_sentence(reader.write(one.says)), one.code) for one in card.causes)


def next_screen(r: Reading, card: Procedure | None = None) -> Screen:
    """What comes next where it did not finish, with the causes that its card names."""
    at, reader = r.at, r.reader
    last = at.attempts[-1].said
    choices = tuple(Act(word, {"what": "next", "name": name}, told) for name, word, told in read.next_choices(reader))
    over = read.next_over(last.text, last.codes, reader)
    causes = _causes(card, reader)
    return Screen("next", "list", read.next_question(reader), over, rows=causes,
                  rows_title=read.causes_heading(reader) if causes else "", choices=choices)  # fmt: skip


def waiting_screen(r: Reading, address: str) -> Screen:
    """A step that is sent out, or waits for a part."""
    question, told, button = read.waiting(r.at.waits, r.reader)
    fields = {"what": "done"} if r.at.waits == "send out" else {"what": "next", "name": "again"}
    plan = Act(words.plan_from_here(r.reader), {}, words.plan_from_here_told(r.reader), where=f"{address}/plan")
    return Screen(
        "waiting", "list", question, words.called(r.at.step, r.reader), lines=(told,), choices=(plan,),
        first=Act(button, fields),
    )  # fmt: skip


def photo_screen(r: Reading, address: str, refused: bool = False) -> Screen:
    """A photo of the set-up, or why there is none."""
    told = read.photo_words(r.reader)
    lines = (told["told"], *((told["refused"],) if refused else ()))
    return Screen("photo", "photo", read.photo_question(r.reader), lines=lines, words=told, back="?screen=verdict",
                  first=Act(told["keep"], where=f"/files{address}/photo"))  # fmt: skip


def sign_screen(r: Reading, people: Sequence[str], address: str, chosen: str = "", wrong: str = "") -> Screen:
    """Who vouches for it, with a PIN."""
    reader, count = r.reader, len(r.at.readings)
    vouch = read.vouch(count, reader) if count else read.vouch_alone(reader)
    return Screen(
        "sign",
        "sign",
        read.sign_question(reader),
        words.called(r.at.step, reader),
        lines=(vouch,),
        notes=(wrong,) if wrong else (),
        people=tuple(people),
        words={**read.sign_words(reader), "chosen": chosen},
        first=Act(read.sign_words(reader)["sign"], where=f"{address}/sign"),
        back="?screen=verdict",
    )


def verdict_name(measured: MeasuredAnswer, reader: Reader) -> str:
    """The verdict in a word, as the record keeps it."""
    worst = max((t.verdict for t in measured.setup.targets), key=_RANK.index, default=Verdict.CANNOT_TELL)
    return verdict_word(worst, reader)


_RANK = (Verdict.ACCEPT, Verdict.CANNOT_TELL, Verdict.REJECT)
