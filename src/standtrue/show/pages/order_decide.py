"""What only a person can decide about an order: each question with what comes of either answer, and what helps."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Literal

from attrs import frozen

from standtrue.model.fits import Fits
from standtrue.needs import Need
from standtrue.place.question.answer import Answer
from standtrue.show.words.clock import step_moments
from standtrue.show.words.pages import order as words
from standtrue.show.words.pages import order_labels as labels
from standtrue.show.words.place import verdict
from standtrue.show.words.plan import undone_because
from standtrue.show.words.plan_first import least_words, undone_name
from standtrue.show.words.reader import Reader
from standtrue.show.words.remedies import remedy_words
from standtrue.show.words.texts import as_sentence
from standtrue.work.needs.jobs import Needs
from standtrue.work.orders.asked import change_id
from standtrue.work.plan.answer import PlanAnswer
from standtrue.work.plan.ordered import Undone
from standtrue.work.today.standing import UNREAD

Act = Literal["fitted", "decision", "event", "card", ""]
Stands = Literal["yes", "no", "unsure", ""]


@frozen
class Help:
    """A single change that helps, and by what it is planned with: a change of the room, or an alternative."""

    said: str
    change: str = ""
    otherwise: str = ""


@frozen
class Question:
    """A question. `act` is how it is answered, about `what`; `fits` how it stands at its place: yes, no, unsure, ""."""

    title: str
    lines: tuple[str, ...]
    act: Act = ""
    what: str = ""
    side: str = ""
    fits: Stands = ""
    fits_words: str = ""
    why: tuple[str, ...] = ()
    helps: tuple[Help, ...] = ()
    no_help: str = ""


def questions_of(needs: Needs, plan: PlanAnswer | None, reader: Reader) -> tuple[Question, ...]:
    """All that must be decided, in the order in which the page asks it."""
    undone = () if plan is None else tuple(u for u in plan.ordered.undone if not u.waits_for)
    asked = [need for need in needs.answer.needs if need.how == "conditional" and not need.dropped]
    looked = {key for need in asked for key in need.chain}
    return (
        *(_open(str(q.of.event), as_sentence(reader.reason(q.reason)), reader) for q in needs.answer.open_questions),
        *(_look(need, undone, plan, reader) for need in asked),
        *(_left_out(one, reader) for one in undone if one.draft.name.removesuffix(" (drive)") not in looked),
        *_unread(needs, plan, reader),
    )


def _open(event: str, said: str, reader: Reader) -> Question:
    return Question(words.unknown_event(event, reader), (said,), "event", event)


def _look(need: Need, undone: Sequence[Undone], plan: PlanAnswer | None, reader: Reader) -> Question:
    """A calibration that somebody must look at first: is the sensor fitted, or was it touched."""
    out = next((u for u in undone if u.draft.name.removesuffix(" (drive)") in need.chain), None)
    fits, said = _fits(need, out, plan, reader)
    why, helps, no_help = ((), (), "") if out is None else _stopped(out, reader)
    lines: tuple[str, ...]
    act: Act
    if need.option is not None:
        lines = (words.nobody_looked(reader),)
        act, what, title = "fitted", need.sensor, words.has_it(need.ref, reader)
    else:
        lines = tuple(as_sentence(one) for one in reader.reasons(need.because)[:2])
        act, what, title = "decision", need.title, words.must_it(need.ref, reader)
    return Question(title, lines, act, what, need.side or "", fits, said, why, helps, no_help)


def _fits(need: Need, out: Undone | None, plan: PlanAnswer | None, reader: Reader) -> tuple[Stands, str]:
    status = labels.status_words(reader)
    if plan is None or not need.chain:
        return "", ""
    if out is not None:
        return "no", status["not"]
    return "yes", status["fits"]


def _left_out(undone: Undone, reader: Reader) -> Question:
    why, helps, no_help = _stopped(undone, reader)
    title = words.not_done_question(undone_name(undone, reader), reader)
    return Question(title, (), fits="no", fits_words=labels.status_words(reader)["not"], why=why, helps=helps,
                    no_help=no_help)  # fmt: skip


def _stopped(undone: Undone, reader: Reader) -> tuple[tuple[str, ...], tuple[Help, ...], str]:
    """What stops something, each single change that helps, and what is said where none does."""
    why = [as_sentence(one) for one in reader.reasons(undone_because(undone))]
    tried = [(answer, remedies) for answer, remedies in undone.answers if answer.fits is Fits.NO]
    why += [_verdict(answer, reader) for answer, _ in tried]
    changes = {change_id(change): change for _, found in tried for change in found.single}
    told = [Help(_upper(remedy_words(change, reader)), change=name) for name, change in changes.items()]
    if out := words.send_out_words(undone, reader):
        told.append(Help(out, otherwise="part-sent-out"))
    if told:
        return tuple(dict.fromkeys(why)), tuple(told), ""
    least = least_words(undone, reader)
    return tuple(dict.fromkeys(why)), (), _upper(least) if least else words.no_change_helps(reader)


def _verdict(answer: Answer, reader: Reader) -> str:
    return as_sentence(verdict(answer, reader))


def _upper(said: str) -> str:
    return said[:1].upper() + said[1:]


def _unread(needs: Needs, plan: PlanAnswer | None, reader: Reader) -> Iterator[Question]:
    """Each card that one person has read and no second."""
    for name in dict.fromkeys(card.name for card in needs.cards if card.source.status in UNREAD):
        keys = {card.key for card in needs.cards if card.name == name}
        said = words.not_verified(name, _before(keys, plan, reader), reader)
        status = labels.status_words(reader)["unverified"]
        yield Question(words.second_reader(reader), (said,), "card", name, fits="unsure", fits_words=status)


def _before(keys: set[str], plan: PlanAnswer | None, reader: Reader) -> str:
    """When the first step by a card begins at the earliest; "" without clock times."""
    if plan is None or plan.plan is None:
        return ""
    operations = plan.ordered.problem.operations
    for number, step in enumerate(plan.plan.steps):
        if step.operation is not None and operations[step.operation].name in keys:
            moments = step_moments(plan, number)
            return "" if moments is None else words.moment_at(moments[0][0], plan, reader)
    return ""
