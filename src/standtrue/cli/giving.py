"""How a command gives its answer: the files first, then the answer in words or as JSON."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache

import typer

from standtrue.cli import output
from standtrue.cli.files import ANSWER, Files, Maker, one
from standtrue.cli.keeping import About, keep
from standtrue.model.basis import Basis
from standtrue.show.answers.parts import Shape
from standtrue.show.words.basis import rest_blocks
from standtrue.show.words.blocks import Told
from standtrue.show.words.reader import Reader


def give(
    told: Callable[[], Told],
    basis: Basis,
    who: Reader,
    *,
    shape: Callable[[], Shape],
    json: bool,
    files: Files,
    makers: Mapping[str, Maker] | None = None,
    why: bool = True,
    width: int | None = None,
    about: About | None = None,
) -> None:
    """Write what was asked for; then tell the answer, what was written, and the rest; with `json` one object.

    Without `why` the rest is in short, and its notes are only counted; cautions are always told. An answer `about` a
    job is kept; where it cannot be, that is told behind it, and the command ends with status 2.
    """
    made = cache(shape)
    answer = cache(lambda: output.json_text(made().to_json()))
    written = files.write({**(makers or {}), ANSWER: one(answer)}, who)
    refused = () if about is None else keep(made, basis, about)
    if json:
        output.print_json(answer())
        output.tell_all(written)
    else:
        words, console = told(), output.out(width)
        output.show(words.first, console)
        output.tell_all(written)
        output.show(rest_blocks(words, basis, who, why=why), console)
    if refused:
        output.print_faults(refused, as_json=False, reader=who)
        raise typer.Exit(output.EXIT_BAD_INPUT)
