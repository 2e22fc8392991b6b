"""Who reads what the Python door says: units and language, set once, or said for one answer."""

from __future__ import annotations

from typing import get_args

from attrs import define, field

from standtrue.door.refused import Refused, nearest_of
from standtrue.model.basics import Fault
from standtrue.model.reader_units import Language, System
from standtrue.model.reason import because
from standtrue.model.shop import Shop
from standtrue.show.words.preference import Preference, personal
from standtrue.show.words.reader import LANGUAGES, Reader


@define
class _Said:
    """What was said last. A notebook may run each cell in a context of its own: this is the same in all of them."""

    preference: Preference = field(factory=Preference)


_SAID = _Said()


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
    _SAID.preference = Preference(units, language).over(_SAID.preference)
    return reader_of()


def reader_of(shop: Shop | None = None) -> Reader:
    """Who reads an answer of this shop."""
    told = _SAID.preference.over(personal())
    for site in () if shop is None else shop.written.sites.values():
        told = told.over(Preference(site.reader.units, site.reader.language))
    return Reader(told.units or "metric", told.language or "en")
