"""Ctrl-C that stops long work between two steps, so that what is known by then can be told."""

from __future__ import annotations

import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType

from standtrue.cli import output
from standtrue.work.place.places import Progress


@contextmanager
def stoppable() -> Iterator[Progress]:
    """A progress bar whose `tell` raises KeyboardInterrupt once Ctrl-C was pressed; pressed again, it stops at once.

    Compiled code cannot be stopped in its midst: the work ends at the next step that is told.
    """
    pressed = False

    def note(_number: int, _frame: FrameType | None) -> None:
        nonlocal pressed
        if pressed:
            raise KeyboardInterrupt
        pressed = True
        output.err().print("Stopping: what is known by now will be told. Press again to stop at once.")

    def tell_or_stop(what: str, done: int, of: int) -> None:
        nonlocal pressed
        tell(what, done, of)
        if pressed:
            pressed = False
            raise KeyboardInterrupt

    with output.progress() as tell:
        if threading.current_thread() is not threading.main_thread():
            yield tell
            return
        before = signal.signal(signal.SIGINT, note)
        try:
            yield tell_or_stop
        finally:
            signal.signal(signal.SIGINT, before)
