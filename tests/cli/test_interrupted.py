"""Ctrl-C to the program itself, as a shell sends it: in the first moment, while it loads, and while it works."""

from __future__ import annotations

import json
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


BUSY = """
import ctypes, os, signal, threading, time
from standtrue.cli.interrupt import ends_at_once, stopping
from standtrue.show.words.reader import ENGLISH
def press():
    for _ in range(2):
        time.sleep(0.3)
        os.kill(os.getpid(), signal.SIGINT)
with ends_at_once(ENGLISH), stopping(ENGLISH):
    threading.Thread(target=press, daemon=True).start()
    end = time.monotonic() + 60
    while time.monotonic() < end:
        ctypes.CDLL(None).poll(None, 0, 60000)
"""
"""Waits a minute outside Python, as compiled code works, and is pressed twice meanwhile."""


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


SENT = """
import os, signal, sys
event, what = sys.argv[1:3]
def hear(heard, given):
    if heard == event and given and str(given[0]).endswith(what):
        os.kill(os.getpid(), signal.SIGINT)
sys.addaudithook(hear)
sys.argv = ["standtrue", *sys.argv[3:]]
from standtrue.cli import main
main()
"""
"""Runs the program, and sends it Ctrl-C the moment that it loads a module, or opens a file, of this name."""


def sent(event: str, what: str, *words: object) -> tuple[int, str]:
    """How the program ends that hears Ctrl-C at this moment, and what it says on standard error."""
    source = Path(standtrue.__file__).parents[1]
    ran = subprocess.run(
        [sys.executable, "-c", SENT, event, what, *map(str, words)],
        env={**os.environ, "PYTHONPATH": str(source)},
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )
    return ran.returncode, ran.stderr


@pytest.mark.parametrize(
    "module",
    [
        *("hashlib", "standtrue.cli.preference", "gettext", "attr", "typer.core", "rich.console"),
        *("standtrue.show.answers.plan", "numba", "shapely", "standtrue.work.plan.plans"),
    ],
)
def test_whatever_is_being_loaded_it_ends_cleanly(shop: Path, module: str) -> None:
    """No traceback, and the exit status that shells know for it."""
    status, said = sent("import", module, "plan", shop, "--job", MAIN_JOB)
    assert status == 130
    assert said in ("", "Stopped.\n")


def test_a_file_that_is_being_written_is_written_whole(shop: Path, tmp_path: Path) -> None:
    """Ctrl-C once it is begun: it is finished first, and nothing is left beside it."""
    file = tmp_path / "answer.json"
    status, said = sent("open", ".part", "needs", shop, "--job", MAIN_JOB, "--out", file)
    assert status in (130, 0), said
    assert "Traceback" not in said
    assert json.loads(file.read_text("utf-8"))["needs"]
    assert list(tmp_path.iterdir()) == [file]


def test_while_it_works_it_ends_cleanly(shop: Path) -> None:
    status, said, took_s = interrupted(shop, 1.6)
    assert "Traceback" not in said
    assert status in (130, 3)
    assert took_s < AT_ONCE_S


def test_pressed_again_it_ends_in_the_midst_of_compiled_code() -> None:
    """Compiled code hears nothing, and lets others hear."""
    ran = subprocess.run([sys.executable, "-c", BUSY], capture_output=True, text=True, check=False, timeout=120)
    assert ran.returncode == 130, ran.stderr
    assert ran.stderr.splitlines() == [
        "Stopping: what is known by now will be told. Press again to stop at once.",
        "Stopped.",
    ]


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
