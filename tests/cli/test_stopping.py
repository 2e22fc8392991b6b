"""Ctrl-C ends work early between two steps; pressed twice, the program stops at once."""

from __future__ import annotations

import signal
from collections.abc import Iterator

import pytest

from standtrue.cli.output import asking
from standtrue.show.words.reader import Reader


@pytest.fixture(autouse=True)
def heard() -> Iterator[None]:
    """Ctrl-C as a program begun by hand has it, also where the tests were begun in the background."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)


def test_ctrl_c_is_heard_at_the_next_step(capsys: pytest.CaptureFixture[str]) -> None:
    before = signal.getsignal(signal.SIGINT)
    with asking(stoppable=True) as asked:
        assert not asked.stopped()
        signal.raise_signal(signal.SIGINT)
        assert "Press again" in capsys.readouterr().err
        assert asked.stopped()
    assert signal.getsignal(signal.SIGINT) is before


def test_it_is_said_in_the_language_of_who_asks(capsys: pytest.CaptureFixture[str]) -> None:
    with asking(Reader(language="es"), stoppable=True):
        signal.raise_signal(signal.SIGINT)
    assert "Press" not in capsys.readouterr().err


def test_pressed_twice_it_stops_at_once() -> None:
    with asking(stoppable=True):
        signal.raise_signal(signal.SIGINT)
        with pytest.raises(KeyboardInterrupt):
            signal.raise_signal(signal.SIGINT)


def test_what_cannot_be_stopped_is_stopped_at_once() -> None:
    with asking() as asked:
        with pytest.raises(KeyboardInterrupt):
            signal.raise_signal(signal.SIGINT)
        assert not asked.stopped()
