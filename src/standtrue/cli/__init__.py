"""The command line: `standtrue COMMAND`."""

from standtrue.cli.app import main

__all__ = ["main"]
