"""A document as sentences with blanks: what stands in each blank, what it asks for, what is wrong there."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

from attrs import frozen

from standtrue.model.basics import Fault
from standtrue.show.pages.start import Piece
from standtrue.show.words.pages.order import fault_words
from standtrue.show.words.pages.start import sentence_parts
from standtrue.show.words.reader import Reader

Choices = Callable[[str, str, Reader], Sequence[tuple[str, str]]]
"""What may be chosen at a blank, by its field and its path; nothing where it is typed."""


@frozen
class Sentence:
    """A sentence with its blanks. `where` and `number` say which item it is of; "" for one of the document itself."""

    pieces: tuple[Piece, ...]
    title: Piece | None = None
    where: str = ""
    number: int = 0
    kind: str = ""
    ways: tuple[tuple[str, str], ...] = ()


@frozen
class Blanks:
    """The blanks of a draft, with what stands in them and what is wrong there."""

    content: Mapping[str, Any]
    faults: tuple[Fault, ...]
    reader: Reader
    label: Callable[[str, Reader], str]
    choices: Choices

    def items(self, where: str) -> Iterator[tuple[int, Mapping[str, Any]]]:
        for number, item in enumerate(self.content.get(where, ())):
            if isinstance(item, Mapping):
                yield number, item

    def pieces(self, sentence: str, fields: Mapping[str, str], corners: Sequence[Piece] = ()) -> Iterator[Piece]:
        for text, name in sentence_parts(sentence, self.reader):
            if name == "corners":
                yield Piece(text)
                yield from corners
            elif name:
                blank = self.blank(fields[name], re.sub(r"_\d$", "", name))
                yield after(text, blank)
            else:
                yield Piece(text)

    def blank(self, path: str, field: str) -> Piece:
        fault = next((f for f in self.faults if _same(f.field, path)), None)
        return Piece(
            "",
            path,
            self.label(field, self.reader),
            self._value(path),
            tuple(self.choices(field, path, self.reader)),
            "" if fault is None else self.reader.reason(fault.what),
        )

    def _value(self, path: str) -> str:
        """What stands at a blank, as it was written."""
        at: Any = self.content
        parts = path.lstrip("-").split(".")
        for i, part in enumerate(parts):
            if isinstance(at, Mapping):
                at = at.get(part)
            elif isinstance(at, list) and part.isdigit():
                at = at[int(part)] if int(part) < len(at) else None
            elif part.isdigit() and i == len(parts) - 1:
                continue  # one value stands for a range
            elif part not in ("kind", "run", "within"):
                return ""
        said = _said(at)
        return _turned(said) if path.startswith("-") else said


def _said(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, Mapping):  # a text in two languages
        return str(value.get("en", ""))
    if isinstance(value, list):
        return ", ".join(_said(one) for one in value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:.9g}" if isinstance(value, float) else str(value)


def _turned(said: str) -> str:
    if said in ("", "0"):
        return said
    return said[1:] if said.startswith("-") else f"-{said}"


def after(text: str, blank: Piece) -> Piece:
    """A blank behind a text."""
    return Piece(text, blank.field, blank.label, blank.value, blank.choices, blank.fault)


def _same(field: str, path: str) -> bool:
    """Whether a fault's field is that of a blank, or holds it."""
    said = re.sub(r"\[(\d+)\]", r".\1", field)
    own = path.lstrip("-")
    return own == said or (said != "" and own.startswith(f"{said}."))


def fault_line(fault: Fault, reader: Reader) -> str:
    """What is wrong, where, and how it is mended."""
    return " ".join((f"{fault.field}:", *fault_words([fault], reader)))
