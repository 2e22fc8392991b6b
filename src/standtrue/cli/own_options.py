"""Options of the program itself: which version it is, and what a shell needs to complete its words."""

from __future__ import annotations

import os
from importlib.metadata import version
from typing import Annotated, Any

import typer
import typer.core

from standtrue.cli import output
from standtrue.cli.options import VARIABLE
from standtrue.cli.reader import unexposed
from standtrue.show.words import help as help_words
from standtrue.show.words.reader import Reader

SHELLS = ("bash", "zsh", "fish", "powershell")


def own_options(reader: Reader) -> list[typer.core.TyperOption]:
    """The options that stand before any command."""

    def ask(
        version: Annotated[bool, typer.Option("--version", callback=_version, is_eager=True)] = False,
        completion: Annotated[
            str | None, typer.Option("--completion", callback=_completion, is_eager=True, metavar="SHELL")
        ] = None,
    ) -> None:
        del version, completion

    if VARIABLE in os.environ:
        _ready()
    made = unexposed(ask)
    for option in made:
        option.metavar = "" if option.is_flag else option.metavar
        option.help = reader.say(help_words.OPTIONS[max(option.opts, key=len)])
    return made


def _version(asked: bool) -> None:
    if asked:
        output.print_text(f"standtrue {version('standtrue')}\n")
        raise typer.Exit


def _completion(shell: str | None) -> Any:
    """Print what a shell must read to complete the program's words."""
    if shell is None:
        return
    if shell not in SHELLS:
        raise typer.BadParameter(", ".join(SHELLS))
    from typer._completion_shared import get_completion_script

    _ready()
    output.print_text(get_completion_script(prog_name="standtrue", complete_var=VARIABLE, shell=shell) + "\n")
    raise typer.Exit


def _ready() -> None:
    """The library knows shells only once it was told to."""
    from typer._click.shell_completion import add_completion_class
    from typer._completion_classes import BashComplete, completion_init

    class Bash(BashComplete):
        def format_completion(self, item: Any) -> str:
            """A name of several words, so that it stays one; other shells see to that themselves."""
            return super().format_completion(item).replace(" ", "\\ ")

    completion_init()
    add_completion_class(Bash, "bash")
