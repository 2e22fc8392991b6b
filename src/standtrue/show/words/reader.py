"""Who reads: units and language, and every sentence said in them.

A sentence is written whole in US English where it is said, with named blanks; a catalog gives it in other languages
(`es/*.po`, gettext's format, read by Babel). What fills a blank is a value: the reader decides how it is written.

    reader.say("{bay} lacks {short:up} on each side.", bay=Ref("bay", "north"), short=Length(0.012))

After the colon stands how a quantity is rounded: `up` for what a change needs, `down` for room to spare and limits,
nothing for the nearest; `tape` for what is read off a tape; `heading` for a direction; `fine`, `fine-up`, `fine-down`
for tolerances and deviations, which are small; `the` before a thing puts the article there.
"""

from __future__ import annotations

import string
from collections.abc import Iterable
from functools import cached_property

from attrs import frozen

from standtrue.model.reader_units import Language, System
from standtrue.model.reason import Quantity, Reason, Ref, Term, Text
from standtrue.show.words import quantities
from standtrue.show.words.catalog import Catalog, catalog_of, languages
from standtrue.show.words.quantities import Rounding

LANGUAGES: tuple[Language, ...] = languages()
"""US English, and whatever has a catalog."""

Said = Quantity | Ref | Term | Text | Reason | str | int | bool | None
"""What may fill a blank. A text is the user's own words, or has been said already: it is written as it is."""


class _Blanks(string.Formatter):
    """Fills the blanks of one sentence; every value is written by the reader."""

    def __init__(self, reader: Reader) -> None:
        self.reader = reader

    def format_field(self, value: object, format_spec: str) -> str:
        return self.reader.write(value, format_spec)


@frozen
class Reader:
    """One reader's units and language, and the time zone that moments are told in: its name, "" for the machine's."""

    units: System = "metric"
    language: Language = "en"
    zone: str = ""

    def say(self, sentence: str, /, **blanks: Said | tuple[Said, ...]) -> str:
        """The sentence in the reader's language, its blanks filled. Raises KeyError for a blank that has no value."""
        return _Blanks(self).vformat(self.catalog.one(sentence), (), blanks)

    def say_n(self, one: str, many: str, n: int, /, **blanks: Said | tuple[Said, ...]) -> str:
        """The form of the sentence for `n` things; `{n}` is the number."""
        return _Blanks(self).vformat(self.catalog.form(one, many, n), (), {"n": n, **blanks})

    def reason(self, reason: Reason) -> str:
        """The sentence of a reason's code, filled with its values. Raises KeyError for a code that has none."""
        from standtrue.show.words.reasons import sentence_of

        return sentence_of(reason, self)

    def reasons(self, reasons: Iterable[Reason]) -> list[str]:
        """The sentences of several reasons, each once."""
        return list(dict.fromkeys(self.reason(r) for r in reasons))

    def term(self, word: str) -> str:
        """A word of the trade from a closed list, in the reader's language."""
        return self.catalog.one(word)

    def text(self, text: Text) -> str:
        """A document's text in the reader's language; where only the other is there, that, marked."""
        from standtrue.show.words.texts import text_of

        return text_of(text, self)

    def all_of(self, parts: Iterable[Said]) -> str:
        """`a, b and c`, as the language lists them."""
        return quantities.listed([self.write(p) for p in parts], "standard", self.language)

    def any_of(self, parts: Iterable[Said]) -> str:
        """`a, b or c`, as the language lists them."""
        return quantities.listed([self.write(p) for p in parts], "or", self.language)

    def span(self, low: object, high: object) -> str:
        """`3 min to 5 min`; one of them where both read the same."""
        least, most = self.write(low), self.write(high)
        return least if least == most else self.say("{low} to {high}", low=least, high=most)

    def write(self, value: object, spec: str = "") -> str:
        """One value as this reader reads it. `spec` is what stands after the colon of a blank."""
        if isinstance(value, str):
            return value
        if isinstance(value, bool) or value is None:
            raise TypeError(f"{value!r} is nothing to be read: say it in words")
        if isinstance(value, int):
            return str(value)
        if isinstance(value, Ref):
            from standtrue.show.words.things import named

            return named(value, self, article=spec == "the")
        if isinstance(value, Term):
            return self.term(value.word)
        if isinstance(value, Text):
            return self.text(value)
        if isinstance(value, Reason):
            return self.reason(value)
        if isinstance(value, tuple):
            return self.any_of(value) if spec == "or" else self.all_of(value)
        return quantities.write(value, _rounding(spec), self.units)

    @cached_property
    def catalog(self) -> Catalog:
        """What this language has for each sentence."""
        return catalog_of(self.language)


def _rounding(spec: str) -> Rounding:
    if spec not in quantities.ROUNDINGS:
        raise ValueError(f"a blank is rounded {', '.join(quantities.ROUNDINGS)}: not {spec}")
    return spec


ENGLISH = Reader()
"""Whoever reads JSON: US English, metric."""
