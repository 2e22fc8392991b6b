"""A long answer as a task: the same question on the same documents is one task, whoever asks it, page or program."""

from __future__ import annotations

from standtrue.model.asking import Asking
from standtrue.show.answers.kept import is_kept, said_of
from standtrue.web.api.asked import Asked
from standtrue.web.api.questions import Found, Question
from standtrue.web.state import State
from standtrue.web.tasks import Task
from standtrue.work.keep.answers import keep_answer_in


def ask_long(state: State, question: Question, asked: Asked, by: str, *, keep: bool = True) -> Task:
    """The task that answers a question; its result is a `Found`. What it comes to is kept with its job by `by`."""
    read = state.served.read()
    key = (question.name, asked.model_dump_json(), read.revision, read.day, keep)

    def answer(asking: Asking) -> Found:
        found = question.answer(state, asked, asking)
        if keep:
            keep_found(state, found, by)
        return found

    return state.tasks.ask(key, answer)


def keep_found(state: State, found: Found, by: str) -> None:
    """Keep an answer about a job, as its command does. Raises UnansweredError where the store cannot be written."""
    if found.job is None or not is_kept(found.shape):
        return
    shop = state.served.shop()
    with state.served.store.writing() as connection:
        keep_answer_in(connection, shop, found.job, said_of(found.shape), found.basis.marks, by)
