"""Ctrl-C stops long work between two steps; pressed twice, at once."""

from __future__ import annotations

import signal

import pytest
from standtrue.cli.stopping import stoppable


def test_ctrl_c_is_heard_at_the_next_step_and_then_forgotten(capsys: pytest.CaptureFixture[str]) -> None:
    before = signal.getsignal(signal.SIGINT)
    with stoppable() as tell:
        tell("work", 1, 3)
        signal.raise_signal(signal.SIGINT)
        assert "Press again" in capsys.readouterr().err
        with pytest.raises(KeyboardInterrupt):
            tell("work", 2, 3)
        tell("telling what is known", 3, 3)
    assert signal.getsignal(signal.SIGINT) is before


def test_pressed_twice_it_stops_at_once() -> None:
    with stoppable():
        signal.raise_signal(signal.SIGINT)
        with pytest.raises(KeyboardInterrupt):
            signal.raise_signal(signal.SIGINT)
