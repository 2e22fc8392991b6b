"""Answers about a job are kept: in a shop with a store each is an entry of the record by itself, unless --unkept."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from pathlib import Path
from typing import Annotated

import typer
import typer.core
from attrs import frozen

from standtrue.cli.interrupt import unbroken
from standtrue.cli.reader import unexposed
from standtrue.cli.where import by, where
from standtrue.model.basics import Fault
from standtrue.model.basis import Basis
from standtrue.model.shop import Shop
from standtrue.show.answers.parts import Shape
from standtrue.work.ask import UnansweredError

SHOP = ""
"""The job of what belongs to none, such as a survey of the floor."""

_unkept: ContextVar[bool] = ContextVar("unkept", default=False)


@frozen(eq=False)
class About:
    """What an answer is about: a job of a folder's shop; "" for the shop itself."""

    folder: Path
    shop: Shop
    job: str


def keep(answer: Callable[[], Shape], basis: Basis, about: About) -> tuple[Fault, ...]:
    """Keep an answer where the shop is in a store; why it could not be."""
    place = where().place(about.folder)
    if place is None or _unkept.get():
        return ()
    # What a store takes is loaded only where there is one.
    from standtrue.show.answers.kept import said_of
    from standtrue.work.keep.answers import keep_answer

    try:
        with unbroken():
            keep_answer(place, about.shop, about.job, said_of(answer()), basis.marks, by())
    except UnansweredError as refused:
        return refused.faults
    return ()


@contextmanager
def kept_anew() -> Iterator[None]:
    """What one run of the program said of keeping does not outlive it."""
    token = _unkept.set(False)
    try:
        yield
    finally:
        _unkept.reset(token)


def keeping_options() -> list[typer.core.TyperOption]:
    """The option of every command whose answer is kept."""

    def ask(unkept: Annotated[bool, typer.Option("--unkept", callback=_ask_unkept)] = False) -> None:
        del unkept

    return unexposed(ask)


def _ask_unkept(value: bool) -> bool:
    _unkept.set(value)
    return value
