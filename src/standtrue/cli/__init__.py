"""The command line."""

from __future__ import annotations

import gettext

from standtrue.cli.preference import early_language
from standtrue.show.words.catalog import catalog_of


def main() -> None:
    """Run the command line."""
    # The library that reads the command line says its own words through gettext, some of them while it is loaded.
    gettext.gettext = lambda message: catalog_of(early_language()).one(message)
    from standtrue.cli.program import main as run

    run()
