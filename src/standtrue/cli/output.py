"""How answers and faults leave the program: JSON or tables on standard output, messages on standard error."""

from __future__ import annotations

import json
import re
import sys
import time
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from rich.console import Console
from rich.markup import escape
from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn, TimeRemainingColumn
from rich.table import Table

from standtrue.model.basics import Fault
from standtrue.model.cautions import Caution
from standtrue.show.answers.faults import of_faults
from standtrue.show.words.faults import fault_lines, how_many
from standtrue.show.words.reader import ENGLISH, Reader
from standtrue.work.place.places import Progress as Tell

EXIT_BAD_INPUT = 2
EXIT_NO_ANSWER = 3
QUIET_S = 1.0


def out() -> Console:
    """Standard output; 120 columns wide where it is no terminal, so that tables keep their shape in a file."""
    return Console(highlight=False, width=None if sys.stdout.isatty() else 120)


def err() -> Console:
    return Console(stderr=True, highlight=False, width=None if sys.stderr.isatty() else 120)


def print_json(answer: dict[str, Any]) -> None:
    sys.stdout.write(json.dumps(answer, ensure_ascii=False, indent=1, allow_nan=False) + "\n")


def print_faults(faults: Sequence[Fault], as_json: bool, reader: Reader = ENGLISH) -> None:
    """All faults: as JSON on standard output, or in words on standard error."""
    if as_json:
        print_json(of_faults(faults).to_json())
        return
    console = err()
    for fault in faults:
        first, *others = fault_lines(fault, reader)
        console.print(f"[bold]{escape(first)}[/bold]")
        for line in others:
            console.print(escape(line))
    console.print(how_many(faults, reader))


def print_notes(warnings: Iterable[str], cautions: Iterable[Caution], demonstration: bool) -> None:
    console = out()
    if demonstration:
        console.print("[bold]Invented demonstration data.[/bold]")
    for warning in warnings:
        console.print(f"[bold]Note:[/bold] {escape(warning)}")
    for caution in cautions:
        console.print(f"[bold]Caution[/bold] ({escape(caution.code)}): {escape(caution.text)}")


def table(title: str, *columns: str) -> Table:
    made = Table(title=title, title_justify="left", title_style="bold", expand=False)
    for column in columns:
        made.add_column(column, overflow="fold")
    return made


@contextmanager
def progress() -> Iterator[Tell]:
    """A progress bar on standard error, shown only once the work has taken a second."""
    console = err()
    bar = Progress(
        TextColumn("{task.description}"),
        BarColumn(),
        TextColumn("{task.completed}/{task.total}"),
        TimeElapsedColumn(),
        TextColumn("left:"),
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


def write_text(file: Path, text: str) -> Fault | None:
    """Write a file that was asked for; a fault if it cannot be."""
    return write_bytes(file, text.encode("utf-8"))


def write_bytes(file: Path, content: bytes) -> Fault | None:
    """Write a file that was asked for; a fault if it cannot be."""
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes(content)
    except OSError as error:
        what = f"the file cannot be written: {error.strerror or error}"
        return Fault("unwritable", what, str(file), "", "", "name a file in a folder that you may write to")
    return None
