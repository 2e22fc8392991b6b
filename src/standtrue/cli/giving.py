"""How a command gives its answer: the files first, then the answer in words or as JSON."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache
from typing import Any

from standtrue.cli import output
from standtrue.cli.files import ANSWER, Files, Maker, one
from standtrue.model.basis import Basis
from standtrue.show.words.basis import rest_blocks
from standtrue.show.words.blocks import Told
from standtrue.show.words.reader import Reader


def give(
    told: Callable[[], Told],
    basis: Basis,
    who: Reader,
    *,
    as_json: Callable[[], dict[str, Any]],
    json: bool,
    files: Files,
    makers: Mapping[str, Maker] | None = None,
    why: bool = True,
    width: int | None = None,
) -> None:
    """Write what was asked for; then tell the answer, what was written, and the rest; with `json` one object.

    Without `why` the rest is in short, and its notes are only counted; cautions are always told.
    """
    answer = cache(lambda: output.json_text(as_json()))
    written = files.write({**(makers or {}), ANSWER: one(answer)}, who)
    if json:
        output.print_json(answer())
        output.tell_all(written)
        return
    words, console = told(), output.out(width)
    output.show(words.first, console)
    output.tell_all(written)
    output.show(rest_blocks(words, basis, who, why=why), console)
