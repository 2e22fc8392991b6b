"""Who reads: every command takes --units and --language; the environment and the site say what they leave open."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Annotated

import typer
import typer.core
import typer.main
from attrs import evolve

from standtrue.model.basics import Fault, UnansweredError
from standtrue.model.reader_units import Paper, System
from standtrue.model.reason import because
from standtrue.model.shop import Shop
from standtrue.model.site import Site
from standtrue.show.words.preference import Preference, personal
from standtrue.show.words.reader import LANGUAGES, Reader

_SHOWN = f"<{'|'.join(LANGUAGES)}>"
_asked: ContextVar[Preference] = ContextVar("asked", default=Preference())  # noqa: B039 - frozen


def reader(shop: Shop | None = None) -> Reader:
    """Who reads the answer: by options, the environment, the person, the shop; else US English, metric."""
    told = asked().over(personal())
    for site in () if shop is None else shop.written.sites.values():
        told = told.over(Preference(site.reader.units, site.reader.language))
    return Reader(told.units or "metric", told.language or "en")


def asked() -> Preference:
    """What the options of this command said."""
    return _asked.get()


def paper_for(asked: Paper | None, site: Site | None = None) -> Paper:
    """The paper to print on: as asked, else as the environment, the person or the site says; else letter."""
    return asked or personal().paper or (None if site is None else site.reader.paper) or "letter"


@contextmanager
def asked_anew() -> Iterator[None]:
    """What one run of the program asked for does not outlive it."""
    token = _asked.set(Preference())
    try:
        yield
    finally:
        _asked.reset(token)


def options() -> list[typer.core.TyperOption]:
    """The two options, to be added to every command. What they say is kept for `reader`."""

    def ask(
        units: Annotated[System | None, typer.Option("--units", callback=_ask_units)] = None,
        language: Annotated[str | None, typer.Option("--language", callback=_ask_language, metavar=_SHOWN)] = None,
    ) -> None:
        del units, language

    return unexposed(ask)


def unexposed(ask: Callable[..., None]) -> list[typer.core.TyperOption]:
    """The options of a function, as those of a command that does not take them: their callbacks keep what they say."""
    app = typer.Typer(add_completion=False)
    app.command()(ask)
    made = [p for p in typer.main.get_command(app).params if isinstance(p, typer.core.TyperOption) and p.name != "help"]
    for option in made:
        option.expose_value = False
    return made


def _ask_units(value: System | None) -> System | None:
    _asked.set(evolve(_asked.get(), units=value))
    return value


def _ask_language(value: str | None) -> str | None:
    if value is not None and value not in LANGUAGES:
        what, remedy = because("no-such-language"), because("languages-are", languages=LANGUAGES)
        raise UnansweredError([Fault("unknown-word", what, "", "--language", value, remedy)])
    _asked.set(evolve(_asked.get(), language=value))
    return value
