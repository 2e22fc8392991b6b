"""The catalogs: what each sentence is in another language. US English needs none: the sentences are their own keys.

A language is one folder of `.po` files here, in gettext's format; together they are its catalog.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import lru_cache
from gettext import c2py
from importlib import resources

from attrs import field, frozen

from standtrue.model.sensor_kinds import SENSORS


def N_(sentence: str) -> str:  # noqa: N802 - gettext's own name for it
    """Marks a sentence for the catalog where it is kept, and not yet said."""
    return sentence


@frozen
class Catalog:
    """One language's sentences by their US English ones. A sentence that is not there stays English."""

    language: str
    which: Callable[[int], int] = lambda n: int(n != 1)
    sentences: dict[str, tuple[str, ...]] = field(factory=dict, repr=False, eq=False)

    def one(self, sentence: str) -> str:
        found = self.sentences.get(sentence)
        return found[0] if found and found[0] else sentence

    def form(self, one: str, many: str, n: int) -> str:
        """The form for `n`, by the language's own rule."""
        found = self.sentences.get(one)
        if not found or len(found) < 2 or not all(found):
            return one if n == 1 else many
        return found[min(self.which(n), len(found) - 1)]


def languages() -> tuple[str, ...]:
    """US English, and every language that has a folder of catalogs here."""
    here = resources.files("standtrue.show.words")
    return ("en", *sorted(f.name for f in here.iterdir() if f.is_dir() and re.fullmatch("[a-z]{2,3}", f.name)))


@lru_cache(maxsize=4)
def catalog_of(language: str) -> Catalog:
    """The catalog of a language; an empty one for US English."""
    if language == "en":
        return Catalog("en")
    from babel.messages.pofile import read_po

    sentences: dict[str, tuple[str, ...]] = {sensor.name: (getattr(sensor, language, ""),) for sensor in SENSORS}
    rule = Catalog.which
    folder = resources.files("standtrue.show.words") / language
    for file in sorted(folder.iterdir(), key=lambda f: f.name):
        if not file.name.endswith(".po"):
            continue
        with file.open("rb") as opened:
            catalog = read_po(opened, abort_invalid=True)
            rule = c2py(catalog.plural_expr)
            for message in catalog:
                if message.id:
                    key = message.id if isinstance(message.id, str) else message.id[0]
                    said = message.string or ""
                    sentences[key] = (said,) if isinstance(said, str) else tuple(said)
    return Catalog(language, rule, sentences)
