"""The command line. Nothing is loaded before Ctrl-C is heard: it must end the program cleanly from the first moment."""

from __future__ import annotations

import os
import signal
import threading
from types import FrameType


def main() -> None:
    """Run the command line."""
    listens = threading.current_thread() is threading.main_thread()
    before = signal.signal(signal.SIGINT, _end) if listens else None
    try:
        _load_and_run()
    finally:
        if listens:
            signal.signal(signal.SIGINT, before)


def _end(_number: int, _frame: FrameType | None) -> None:
    """End at once: an interrupt raised while modules load would come out as a traceback."""
    os._exit(130)


def _load_and_run() -> None:
    import gettext

    from standtrue.cli.preference import early_language
    from standtrue.show.words.catalog import catalog_of

    # The library that reads the command line says its own words through gettext, some of them while it is loaded.
    gettext.gettext = lambda message: catalog_of(early_language()).one(message)
    from standtrue.cli.program import main as run

    run()
