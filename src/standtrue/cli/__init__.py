"""The command line: `standtrue COMMAND`."""

from standtrue.cli.program import main

__all__ = ["main"]
