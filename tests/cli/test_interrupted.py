"""Ctrl-C to the program itself, as a shell sends it: in the first moment, while it loads, and while it works."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

import standtrue
from standtrue.demo import MAIN_JOB
from standtrue.documents import read_folder
from standtrue.model.asking import Asking
from standtrue.show.words.plan_first import first_lines
from standtrue.show.words.reader import ENGLISH
from standtrue.work.plan.plans import find_plan

AT_ONCE_S = 20.0
"""Far more than it takes; on a machine that does much else, too."""


def interrupted(shop: Path, after_s: float) -> tuple[int, str, float]:
    """How `plan` ends, what it says on standard error, and how long after Ctrl-C."""
    source = Path(standtrue.__file__).parents[1]
    words = [sys.executable, "-m", "standtrue", "plan", str(shop), "--job", MAIN_JOB]
    env = {**os.environ, "PYTHONPATH": str(source)}
    with subprocess.Popen(words, env=env, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True) as program:
        time.sleep(after_s)
        program.send_signal(signal.SIGINT)
        begun = time.monotonic()
        said = program.communicate(timeout=120)[1]
        return program.returncode, said, time.monotonic() - begun


@pytest.mark.parametrize("after_s", [0.3, 0.8, 1.6])
def test_in_the_first_seconds_it_ends_cleanly(shop: Path, after_s: float) -> None:
    """Whatever is being loaded: no traceback, and the exit status that shells know for it."""
    status, said, took_s = interrupted(shop, after_s)
    assert "Traceback" not in said
    assert status in (130, 3)
    assert took_s < AT_ONCE_S


def test_stopped_while_places_are_looked_for_nothing_is_told_that_is_not_known(shop: Path) -> None:
    """No order so far; above all not that something cannot be done here."""
    found = read_folder(shop)
    begun = time.monotonic()
    answer = find_plan(found.shop(), found.jobs[MAIN_JOB], asking=Asking(stopped=lambda: True))
    assert time.monotonic() - begun < AT_ONCE_S
    assert answer.plan is None
    assert not answer.ordered.undone
    said = " ".join(first_lines(answer, ENGLISH))
    assert said.startswith("No order was found so far. That does not say that there is none.")
    assert "Not done" not in said
