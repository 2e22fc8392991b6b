"""What a terminal shows of an answer, in words already: tables, rows and lines. The command line only sets them."""

from __future__ import annotations

from attrs import frozen


@frozen
class Table:
    """A table. An empty title and empty column names are not set."""

    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@frozen
class Lines:
    """Sentences under each other, `indent` columns in; `heading` stands bold above them."""

    lines: tuple[str, ...]
    heading: str = ""
    indent: int = 0


@frozen
class Rows:
    """A plain table without rules, a line a row as far as its words go; `columns` are set above it."""

    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


Block = Table | Lines | Rows


@frozen
class Told:
    """An answer as a terminal shows it: what it is, in ten lines at most; then the rest, in short or at length."""

    first: tuple[Block, ...]
    short: tuple[Block, ...] = ()
    long: tuple[Block, ...] = ()
    """Instead of `short`, for who asks why."""
    assumed: tuple[str, ...] = ()
    """What the answer takes for granted, beside its basis' notes."""

    def joined(self, other: Told) -> Told:
        """Both, one behind the other."""
        return Told(
            (*self.first, *other.first),
            (*self.short, *other.short),
            (*self.long, *other.long),
            (*self.assumed, *other.assumed),
        )
