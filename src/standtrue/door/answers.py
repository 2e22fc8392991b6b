"""An answer of the Python door: as data, in words, in pictures."""

from __future__ import annotations

import base64
import json
from collections.abc import Callable, Iterable, Mapping
from functools import cached_property
from html import escape
from io import StringIO
from pathlib import Path
from typing import Any, Generic, TypeVar

from standtrue.door.readers import reader_of
from standtrue.door.refused import Refused, nearest_of
from standtrue.model.basics import Fault
from standtrue.model.basis import Basis
from standtrue.model.reason import because
from standtrue.model.shop import Shop
from standtrue.show.answers.parts import Shape
from standtrue.show.words.basis import whole_blocks
from standtrue.show.words.blocks import Block, Told
from standtrue.show.words.reader import Reader

S = TypeVar("S", bound=Shape)

WIDE = 100
"""How wide the words of an answer are set, in columns."""

WHY = "text(why=True)"
"""What tells an answer at length."""

Picture = Callable[[Reader], str]


def plain(blocks: Iterable[Block]) -> str:
    """Tables and lines as text."""
    from rich.console import Console

    from standtrue.show.words.setting import set_blocks

    out = StringIO()
    set_blocks(blocks, Console(file=out, width=WIDE, highlight=False, color_system=None))
    return "\n".join(line.rstrip() for line in out.getvalue().splitlines())


class Answer(Generic[S]):
    """What one question got: `data` has every figure, `str` tells it, `svg` draws it. It shows itself in a notebook.

    An answer is neither yes nor no: `if answer` is refused. Look at what `data` says.
    """

    def __init__(
        self,
        shop: Shop | None,
        shape: Callable[[], S],
        told: Callable[[Reader], Told],
        basis: Basis,
        pictures: Mapping[str, Picture] | None = None,
        *,
        why: bool = True,
    ) -> None:
        self._shop, self._shape, self._told, self._basis, self._why = shop, shape, told, basis, why
        self._pictures = dict(pictures or {})

    @cached_property
    def data(self) -> S:
        """Everything the answer says, by field: what the command writes as JSON, typed."""
        return self._shape()

    def to_dict(self) -> dict[str, Any]:
        """The same as lists, tables, texts and numbers: the object that the command writes with `--json`."""
        return self.data.to_json()

    def json(self) -> str:
        """The same as text."""
        return json.dumps(self.to_dict(), ensure_ascii=False, indent=1, allow_nan=False)

    def text(self, reader: Reader | None = None, *, why: bool | None = None) -> str:
        """The answer in words: in this reader's, else in those that `standtrue.reader` was told last.

        With `why` at full length; without, its reasons are cut short and its notes only counted.
        """
        who = reader or reader_of(self._shop)
        told, at_length = self._told(who), self._why if why is None else why
        return plain(whole_blocks(told, self._basis, who, why=at_length, option=WHY))

    @property
    def pictures(self) -> tuple[str, ...]:
        """The names of its pictures; the first is the one that `svg` draws unless told otherwise."""
        return tuple(self._pictures)

    def svg(self, picture: str | None = None, *, reader: Reader | None = None) -> str:
        """A picture as SVG text, by its name in `pictures`, or the first. Raises Refused if there is none."""
        name = next(iter(self._pictures), "") if picture is None else picture
        if name not in self._pictures:
            remedy = nearest_of(name, self._pictures)
            raise Refused([Fault("unknown-name", because("no-such-picture"), "", "picture", name, remedy)])
        return self._pictures[name](reader or reader_of(self._shop))

    def save(self, file: str | Path, picture: str | None = None) -> Path:
        """Write the answer into a file: its picture (.svg), its data (.json) or its words (.txt), by the ending."""
        out = Path(file)
        ways: dict[str, Callable[[], str]] = {
            ".svg": lambda: self.svg(picture),
            ".json": lambda: self.json() + "\n",
            ".txt": lambda: self.text() + "\n",
        }
        if out.suffix.lower() not in ways:
            what, remedy = because("file-of-unknown-kind"), because("let-it-end-in", endings=tuple(ways))
            raise Refused([Fault("unknown-format", what, str(file), "", "", remedy)])
        out.write_text(ways[out.suffix.lower()](), encoding="utf-8")
        return out

    def __str__(self) -> str:
        return self.text()

    def __repr__(self) -> str:
        return f"<{type(self.data).__name__}: {len(self._pictures)} pictures>"

    def __bool__(self) -> bool:
        raise Refused([Fault("wrong-type", because("not-yes-or-no"), "", "", "", because("look-inside"))])

    def _repr_svg_(self) -> str | None:
        return self.svg() if self._pictures else None

    def _repr_html_(self) -> str:
        """The first picture and the words. The picture is an image, so that it and the page leave each other alone."""
        shown = ""
        if self._pictures:
            image = base64.b64encode(self.svg().encode()).decode()
            name = escape(self.pictures[0], quote=True)
            shown = f'<img alt="{name}" style="max-width:100%" src="data:image/svg+xml;base64,{image}">'
        return f'{shown}<pre style="white-space:pre-wrap">{escape(self.text())}</pre>'
