"""Ctrl-C: heard at once, also while compiled code runs; what is being written is finished first.

The main thread hears of a signal only between two steps of Python, and compiled code may take seconds. So a thread
listens beside it: the system writes each signal into a pipe, and compiled code lets other threads run.
"""

from __future__ import annotations

import os
import signal
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from types import FrameType
from typing import Any

from rich.console import Console

from standtrue.show.words.help import STOPPED, STOPPING
from standtrue.show.words.reader import Reader

EXIT_STOPPED = 130
WRITTEN_WITHIN_S = 5.0
"""How long a file that is being written may keep the program from ending."""

_writing = threading.RLock()
_hears: list[Callable[[], None]] = []
"""What Ctrl-C does while the program runs, the last one first; empty where something else runs it."""


@contextmanager
def unbroken() -> Iterator[None]:
    """Meanwhile Ctrl-C waits: what is written here is written whole."""
    with _writing:
        yield


@contextmanager
def ends_at_once(reader: Reader) -> Iterator[None]:
    """Ctrl-C ends the program at once and says so: no traceback, and no waiting for work that goes on beside."""

    def end() -> None:
        _say(reader.say(STOPPED))
        with suppress(OSError, ValueError):
            sys.stdout.flush()
        _writing.acquire(timeout=WRITTEN_WITHIN_S)
        os._exit(EXIT_STOPPED)

    if threading.current_thread() is not threading.main_thread():
        yield
        return
    ends, begins = os.pipe()
    os.set_blocking(begins, False)
    before = signal.signal(signal.SIGINT, lambda _number, _frame: None), signal.set_wakeup_fd(begins)
    _hears.append(end)
    ear = threading.Thread(target=_listen, args=(ends,), daemon=True)
    ear.start()
    try:
        yield
    finally:
        signal.set_wakeup_fd(before[1])
        signal.signal(signal.SIGINT, before[0])
        os.close(begins)
        ear.join()
        os.close(ends)
        _hears.remove(end)


def _listen(ends: int) -> None:
    while number := os.read(ends, 1):
        if number[0] == signal.SIGINT:
            _hears[-1]()


@contextmanager
def stopping(reader: Reader) -> Iterator[threading.Event]:
    """Ctrl-C, pressed once, only sets what is yielded, for work to see; pressed again, it does what it did before."""
    pressed = threading.Event()

    def hear() -> None:
        if pressed.is_set():
            _hears[-2]()
        pressed.set()
        _say(reader.say(STOPPING))

    if _hears:
        _hears.append(hear)
        try:
            yield pressed
        finally:
            _hears.remove(hear)
        return
    with _signaled(reader, pressed):
        yield pressed


@contextmanager
def _signaled(reader: Reader, pressed: threading.Event) -> Iterator[None]:
    """The same where nobody listens beside: by the signal itself, where it can be said, in the main thread."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    before: Any = signal.getsignal(signal.SIGINT)

    def note(number: int, frame: FrameType | None) -> None:
        if pressed.is_set():
            # What was there before may be no function: a program begun in the background has Ctrl-C ignored.
            (before if callable(before) else signal.default_int_handler)(number, frame)
        pressed.set()
        _say(reader.say(STOPPING))

    signal.signal(signal.SIGINT, note)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


def _say(said: str) -> None:
    with suppress(OSError, ValueError):
        Console(stderr=True, highlight=False).print(said, markup=False, soft_wrap=True)
