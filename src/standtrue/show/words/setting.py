"""Setting what is told, tables and lines, for a console: a terminal, a file, or a text."""

from __future__ import annotations

from collections.abc import Iterable

from rich.console import Console
from rich.markup import escape
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from standtrue.show.words.blocks import Block, Lines, Rows
from standtrue.show.words.plain import plain


def table(title: str, *columns: str) -> Table:
    made = Table(title=title, title_justify="left", title_style="bold", expand=False)
    for column in columns:
        made.add_column(column, overflow="fold")
    return made


def plain_table(*columns: str) -> Table:
    """A table without rules; a first column without a name has numbers, and stands to the right."""
    padding = (0, 1, 0, 0)
    made = Table(box=None, padding=padding, pad_edge=False, header_style="bold", show_header=bool(columns))
    for number, column in enumerate(columns):
        made.add_column(column, overflow="fold", justify="left" if number or column else "right")
    return made


def set_blocks(blocks: Iterable[Block], console: Console) -> None:
    """Set tables and lines. What is in them is text, never markup; signs that the console lacks are written plainly."""
    for block in blocks:
        if isinstance(block, Lines):
            _set_lines(block, console)
            continue
        columns = [_cell(column, console) for column in block.columns]
        made = plain_table(*columns) if isinstance(block, Rows) else table(_cell(block.title, console), *columns)
        for row in block.rows:
            made.add_row(*(_cell(cell, console) for cell in row))
        console.print(made)


def _set_lines(block: Lines, console: Console) -> None:
    if block.heading:
        console.print(Text(plain(block.heading, console.encoding), style="bold"), soft_wrap=True)
    for line in block.lines:
        text = Text(plain(line, console.encoding))
        console.print(Padding(text, (0, 0, 0, block.indent), expand=False) if block.indent else text)


def _cell(text: str, console: Console) -> str:
    return escape(plain(text, console.encoding))
