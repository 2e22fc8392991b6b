"""Who reads what the Python door says: units and language, set once, or said for one answer."""

from __future__ import annotations

from contextvars import ContextVar
from typing import get_args

from attrs import evolve

from standtrue.door.refused import Refused, nearest_of
from standtrue.model.basics import Fault
from standtrue.model.reader_units import Language, System
from standtrue.model.reason import because
from standtrue.model.shop import Shop
from standtrue.show.words.preference import Preference, personal
from standtrue.show.words.reader import LANGUAGES, Reader

_asked: ContextVar[Preference] = ContextVar("asked", default=Preference())  # noqa: B039 - frozen


def reader(units: System | None = None, language: Language | None = None) -> Reader:
    """Say in which units and language answers are told from now on, and get that reader.

    `units` is "metric" or "us" (feet and inches), `language` "en" or "es". What is left out stays as it was; what was
    never said is as the environment says (STANDTRUE_UNITS, STANDTRUE_LANGUAGE), then the person's own settings
    (`standtrue set`), then the shop, then US English, metric.
    Raises Refused for any other word.
    """
    for name, value, known in (("units", units, get_args(System)), ("language", language, LANGUAGES)):
        if value is not None and value not in known:
            what = because("no-such-word", word=str(value), of=name)
            raise Refused([Fault("unknown-word", what, "", name, str(value), nearest_of(str(value), known))])
    before = _asked.get()
    _asked.set(Preference(units or before.units, language or before.language))
    return reader_of()


def reader_of(shop: Shop | None = None) -> Reader:
    """Who reads an answer of this shop."""
    told = [_asked.get(), personal()]
    if shop is not None:
        told.extend(Preference(s.reader.units, s.reader.language) for s in shop.written.sites.values())
    found = Reader()
    for one in reversed(told):
        found = evolve(found, units=one.units or found.units, language=one.language or found.language)
    return found
