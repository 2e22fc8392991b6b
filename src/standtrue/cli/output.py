"""How answers and faults leave the program: JSON or tables on standard output, messages on standard error."""

from __future__ import annotations

import json
import os
import re
import sys
import threading
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager, nullcontext
from pathlib import Path
from typing import Any

import typer
from rich.console import Console
from rich.markup import escape
from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn, TimeRemainingColumn

from standtrue.cli import interrupt
from standtrue.model.asking import Asking
from standtrue.model.basics import Fault
from standtrue.model.reason import because
from standtrue.show.words.blocks import Block
from standtrue.show.words.command_line import time_left
from standtrue.show.words.faults import faults_blocks
from standtrue.show.words.reader import ENGLISH, Reader
from standtrue.show.words.setting import set_blocks
from standtrue.whole_file import write_whole

EXIT_BAD_INPUT = 2
EXIT_NO_ANSWER = 3
EXIT_NO = 4
EXIT_CANNOT_TELL = 5
QUIET_S = 1.0
WIDE, NARROW = 120, 80
"""How wide an answer is where it goes into no terminal, so that tables keep their shape in a file; in columns."""


def out(width: int | None = None) -> Console:
    """Standard output; so wide where it is no terminal."""
    return Console(highlight=False, width=None if sys.stdout.isatty() else width or WIDE)


def err() -> Console:
    return Console(stderr=True, highlight=False, width=None if sys.stderr.isatty() else WIDE)


def tell(said: str) -> None:
    """A line on standard error, as it is."""
    err().print(said, markup=False, soft_wrap=True)


def tell_all(said: Iterable[str]) -> None:
    """Lines on standard error."""
    for line in said:
        tell(line)


def json_text(answer: dict[str, Any]) -> str:
    """One JSON object as text, its signs as they are."""
    return json.dumps(answer, ensure_ascii=False, indent=1, allow_nan=False) + "\n"


def print_text(text: str) -> None:
    """A text on standard output, as it is."""
    sys.stdout.write(text)


def print_json(text: str) -> None:
    """JSON on standard output; signs that its encoding may lack are escaped, so that it means the same."""
    known = (sys.stdout.encoding or "").lower().startswith("utf")
    print_text(text if known else "".join(c if c.isascii() else json.dumps(c)[1:-1] for c in text))


def print_faults(faults: Sequence[Fault], as_json: bool, reader: Reader = ENGLISH) -> None:
    """All faults: as JSON on standard output, or in words on standard error."""
    if as_json:
        from standtrue.show.answers.faults import of_faults

        print_json(json_text(of_faults(faults).to_json()))
        return
    show(faults_blocks(faults, reader), err())


def show(blocks: Iterable[Block], console: Console | None = None) -> None:
    """Set tables and lines, on standard output if nothing else is given."""
    set_blocks(blocks, console or out())


def end(*, no: bool, unsure: bool) -> None:
    """End as the answer is, so that a script can act on it: with 4 for a no, with 5 where it cannot be told."""
    if no or unsure:
        raise typer.Exit(EXIT_NO if no else EXIT_CANNOT_TELL)


@contextmanager
def asking(reader: Reader = ENGLISH, *, stoppable: bool = False) -> Iterator[Asking]:
    """How a command asks: progress on standard error, all cores, and, if `stoppable`, Ctrl-C that ends the work early.

    Pressed once, the work ends at its next step and what is known by then is told; pressed again, the program stops.
    """
    never = nullcontext(threading.Event())
    with interrupt.stopping(reader) if stoppable else never as pressed, progress(reader) as tell:
        yield Asking(lambda p: tell(reader.reason(p.what), p.done, p.total), pressed.is_set, os.cpu_count() or 1)


@contextmanager
def progress(reader: Reader = ENGLISH) -> Iterator[Callable[[str, int, int], None]]:
    """A progress bar on standard error, shown only once the work has taken a second."""
    console = err()
    bar = Progress(
        TextColumn("{task.description}"),
        BarColumn(),
        TextColumn("{task.completed}/{task.total}"),
        TimeElapsedColumn(),
        TextColumn(time_left(reader)),
        TimeRemainingColumn(),
        console=console,
        transient=True,
    )
    task = bar.add_task("", total=None)
    begun = time.monotonic()
    shown = False

    def tell(what: str, done: int, total: int) -> None:
        nonlocal shown
        if not shown and console.is_terminal and time.monotonic() - begun > QUIET_S:
            bar.start()
            shown = True
        bar.update(task, description=escape(what), completed=done, total=total)

    try:
        yield tell
    finally:
        if shown:
            bar.stop()


def picture_files(file: Path, names: Sequence[str]) -> tuple[Path, ...]:
    """One file for each picture: `file` itself for one, `file-NAME.svg` for several."""
    if len(names) == 1:
        return (file,)
    slugs: list[str] = []
    for name in names:
        slug = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-") or "answer"
        count = sum(s == slug or s.startswith(f"{slug}~") for s in slugs)
        slugs.append(slug if not count else f"{slug}~{count + 1}")
    return tuple(file.with_name(f"{file.stem}-{slug}{file.suffix or '.svg'}") for slug in slugs)


def write_file(file: Path, content: str | bytes) -> Fault | None:
    """Write a file that was asked for, whole or not at all; a fault if it cannot be."""
    try:
        with interrupt.unbroken():
            _write(file.resolve(), content.encode("utf-8") if isinstance(content, str) else content)
    except OSError as error:
        what = because("file-unwritable", error=error.strerror or str(error))
        return Fault("unwritable", what, str(file), "", "", because("name-a-writable-file"))
    return None


def _write(file: Path, content: bytes) -> None:
    """Whole, with the folder it is in; what is no plain file, such as a device, is written to."""
    if file.exists() and not file.is_file():
        file.write_bytes(content)
        return
    file.parent.mkdir(parents=True, exist_ok=True)
    write_whole(file, content)
