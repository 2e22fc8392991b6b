"""The command that keeps a person's units, language and paper."""

from __future__ import annotations

from typing import Annotated

import typer

from standtrue.cli import output
from standtrue.cli.options import PaperOpt
from standtrue.cli.reader import asked, reader
from standtrue.model.basics import UnansweredError
from standtrue.show.words.preference import Preference, from_environment, from_settings, settings_file, settings_text
from standtrue.show.words.settings import settings_blocks


def add_to(app: typer.Typer) -> None:
    """Add the command to the program."""
    app.command("set")(keep)


def keep(
    paper: PaperOpt = None,
    by: Annotated[str | None, typer.Option("--by", metavar="NAME")] = None,
    store: Annotated[str | None, typer.Option("--store", metavar="STORE")] = None,
    clear: Annotated[bool, typer.Option("--clear")] = False,
) -> None:
    """Keep what was said with --units, --language, --paper and so on; without any of them only tell what counts."""
    said, file = Preference(paper=paper, by=by, store=store).over(asked()), settings_file()
    own = said.over(Preference() if clear else from_settings())
    if clear or said != Preference():
        fault = output.write_file(file, settings_text(own))
        if fault is not None:
            raise UnansweredError([fault])
    output.show(settings_blocks(own, from_environment(), file, reader()))
