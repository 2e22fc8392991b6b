"""A long answer as a task: the same question on the same documents is one task, whoever asks it, page or program.

What it comes to is kept by its number. Whoever asked with a key may send the same again, also when the server was ended
meanwhile: then it is given what was answered, or the answer is begun again, under the number that it had.
"""

from __future__ import annotations

from attrs import evolve

from standtrue.model.asking import Asking
from standtrue.show.answers.kept import is_kept, said_of
from standtrue.show.answers.served import TaskAnswer, answered_task
from standtrue.web.api.asked import Asked
from standtrue.web.api.questions import Found, Question
from standtrue.web.api.shared import as_bytes
from standtrue.web.state import State
from standtrue.web.tasks import Task, new_number
from standtrue.work.keep.answers import keep_answer_in
from standtrue.work.keep.once import Request, keep_answered, kept_answered, once_in


def ask_once(
    state: State, question: Question, asked: Asked, by: str, key: str | None, *, keep: bool = True
) -> Task | bytes:
    """The task that answers a question, or what it came to. Raises UnansweredError for a key of another question."""
    number = new_number()
    if key is not None:
        said = f"{question.name} {keep}\n{asked.model_dump_json()}".encode()
        at_work = state.tasks.known(_key(state, question, asked, keep))
        if at_work is not None and not at_work.was_cut_short:
            number = at_work.number
        given = once_in(state.served.store, Request(by, key, "", said), lambda _: (202, number.encode()))
        number = given.content.decode()
        known = state.tasks.find(number)
        if known is not None:
            return known
        kept = kept_answered(state.served.store, number)
        if kept is not None:
            return kept
    return ask_long(state, question, asked, by, number, keep=keep)


def ask_long(
    state: State, question: Question, asked: Asked, by: str, number: str | None = None, *, keep: bool = True
) -> Task:
    """The task that answers a question; its result is a `Found`. What it comes to is kept with its job by `by`."""
    number = number or new_number()

    def answer(asking: Asking) -> Found:
        found = question.answer(state, asked, asking)
        found = evolve(found, stopped=asking.stopped())
        told = answered_task(number, question.name, found.shape, stopped=found.stopped)
        keep_found(state, found, by, told, with_job=keep)
        return found

    return state.tasks.ask(_key(state, question, asked, keep), answer, number)


def _key(state: State, question: Question, asked: Asked, keep: bool) -> tuple[object, ...]:
    read = state.served.read()
    return question.name, asked.model_dump_json(), read.revision, read.day, keep


def keep_found(state: State, found: Found, by: str, told: TaskAnswer, *, with_job: bool) -> None:
    """Keep what a task came to, and with its job an answer about one, as its command does. Raises UnansweredError where
    the store cannot be written."""
    shop, job = state.served.shop(), found.job
    with state.served.store.writing() as connection:
        if with_job and job is not None and is_kept(found.shape):
            keep_answer_in(connection, shop, job, said_of(found.shape), found.basis.marks, by)
        keep_answered(connection, told.number, job or "", as_bytes(told))
