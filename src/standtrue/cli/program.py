"""The program: its commands by name, each loaded only when it is asked for, and what ends it."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from importlib import import_module
from typing import Any

import typer
import typer.core
import typer.main

from standtrue.cli import output
from standtrue.cli.interrupt import ends_at_once
from standtrue.cli.keeping import keeping_options, kept_anew
from standtrue.cli.options import VARIABLE
from standtrue.cli.own_options import own_options
from standtrue.cli.preference import early_language
from standtrue.cli.reader import asked_anew, options, reader
from standtrue.cli.streams import Streams
from standtrue.cli.where import said_anew, store_options
from standtrue.model.basics import UnansweredError
from standtrue.show.words import help as help_words
from standtrue.show.words.command_line import (
    ending_words,
    help_option_words,
    not_written_words,
    renamed_option,
    usage_words,
)
from standtrue.show.words.reader import Reader

MODULES = {
    "shop": ("new", "demo", "read", "rules"),
    "carding": ("card",),
    "mixing": ("mix",),
    "settings": ("set",),
    "exchanging": ("import", "export", "history"),
    "recording": ("keep", "sign", "verify", "records", "record", "anchor"),
    "backing": ("backup", "restore", "move", "remove"),
    "needs": ("needs",),
    "placing": ("job", "place"),
    "driving": ("drive",),
    "planning": ("plan",),
    "sheets": ("sheet",),
    "aiming": ("targets", "measured", "floor", "alignment", "loads", "reflector"),
    "studying": ("study", "sizes", "ahead", "reach"),
    "serving": ("serve",),
}
"""Which module of `standtrue.cli` has which commands, in the order in which they are listed.

Loading all takes longer than some commands take to answer.
"""

RENAMED = ("--svg", "--page", "--table", "--sheet", "--set-aside")
"""What `--out` was called, until the next release."""


class Command(typer.core.TyperCommand):
    """One command; the library that reads the command line has no other language for its usage."""

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """Read what was asked; options by their old names, too."""
        known = {word for param in self.params for word in param.opts}
        if "--out" in known:
            for old in RENAMED:
                if any(word == old or word.startswith(f"{old}=") for word in args):
                    output.tell(renamed_option(old, "--out", Reader(language=early_language())))
            args = [_renamed(word) for word in args]
        return super().parse_args(ctx, args)

    def get_usage(self, ctx: Any) -> str:
        """How the command is called."""
        return usage_words(super().get_usage(ctx), Reader(language=early_language()))

    def get_help_option(self, ctx: Any) -> Any:
        """The option that shows the help."""
        return _told(super().get_help_option(ctx))


class Program(typer.core.TyperGroup):
    """The group of all commands. What each and every option does is told in the reader's language."""

    reader = Reader()
    listing = False

    def get_usage(self, ctx: Any) -> str:
        """How the program is called."""
        return usage_words(super().get_usage(ctx), Reader(language=early_language()))

    def get_help_option(self, ctx: Any) -> Any:
        """The option that shows the help."""
        return _told(super().get_help_option(ctx))

    def format_help(self, ctx: Any, formatter: Any) -> None:
        """The help, for which no command need be loaded."""
        with self._listed():
            super().format_help(ctx, formatter)

    def shell_complete(self, ctx: Any, incomplete: str) -> Any:
        """What may be typed next, for which no command need be loaded."""
        with self._listed():
            return super().shell_complete(ctx, incomplete)

    @contextmanager
    def _listed(self) -> Iterator[None]:
        """Meanwhile commands are only listed: what they do is told, nothing is loaded."""
        self.listing = True
        try:
            yield
        finally:
            self.listing = False

    def list_commands(self, ctx: object) -> list[str]:
        """The names of all commands."""
        del ctx
        return [name for names in MODULES.values() for name in names]

    def get_command(self, ctx: object, cmd_name: str) -> typer.core.TyperCommand | None:
        """The command of this name. For a name that none has, all are loaded: what is near it is then told."""
        if self.listing:
            return self._line(cmd_name)
        for module, names in MODULES.items():
            if cmd_name in names or cmd_name not in self.list_commands(ctx):
                self._load(module)
        command = self.commands.get(cmd_name)
        return command if isinstance(command, typer.core.TyperCommand) else None

    def _line(self, name: str) -> typer.core.TyperCommand:
        """A command as it is listed."""
        group = next((title for title, names in help_words.GROUPS.items() if name in names), None)
        panel = None if group is None else self.reader.term(group)
        told = self.reader.say(help_words.COMMANDS[name])
        hidden = name in help_words.ALIASES
        return typer.core.TyperCommand(name, help=told, short_help=told, rich_help_panel=panel, hidden=hidden)

    def _load(self, module: str) -> None:
        group = typer.Typer(rich_markup_mode=self.rich_markup_mode)
        import_module(f"standtrue.cli.{module}").add_to(group)
        for registered in group.registered_commands:
            registered.cls = Command
        for name, command in typer.main.get_group(group).commands.items():
            own = {word for param in command.params for word in param.opts}
            common = [*options(), *(store_options() if help_words.is_about_shop(name) else ())]
            common += keeping_options() if name in help_words.ANSWERS_KEPT else []
            command.params.extend(option for option in common if not own & set(option.opts))
            command.help = command.short_help = self.reader.say(help_words.COMMANDS[name])
            for param in command.params:
                if isinstance(param, typer.core.TyperOption | typer.core.TyperArgument) and param.name != "help":
                    param.help = self.reader.say(help_words.help_of(name, _named(param)))
                if getattr(param, "is_flag", False):
                    param.metavar = ""
            command.hidden = name in help_words.ALIASES
            self.commands[name] = command


def _told(option: Any) -> Any:
    if option is not None:
        option.help, option.metavar = help_option_words(Reader(language=early_language())), ""
    return option


def _renamed(word: str) -> str:
    name, given, value = word.partition("=")
    return f"--out{given}{value}" if name in RENAMED else word


def program() -> Program:
    """The program without any of its commands loaded."""
    reader = Reader(language=early_language())
    made = Program(
        name="standtrue",
        help=reader.say(help_words.ABOUT),
        epilog=ending_words(reader),
        no_args_is_help=True,
        rich_markup_mode="rich",
        params=own_options(reader),
        context_settings={"help_option_names": ["-h", "--help"]},
        invoke_without_command=False,
    )
    made.reader = reader
    return made


def _named(param: typer.core.TyperOption | typer.core.TyperArgument) -> str:
    """An option's longest spelling, or an argument's name."""
    return str(max(param.opts, key=len)) if isinstance(param, typer.core.TyperOption) else str(param.name)


def _run(as_json_wanted: bool) -> None:
    """One command; faults are told as its options ask."""
    try:
        program()(prog_name="standtrue", complete_var=VARIABLE)
    except UnansweredError as refused:
        output.print_faults(refused.faults, as_json_wanted, reader())
        sys.exit(output.EXIT_BAD_INPUT)


def main() -> None:
    """Run the command line. Bad input ends with exit status 2 and every fault, never with a traceback."""
    as_json_wanted = "--json" in sys.argv
    streams = Streams()
    try:
        with asked_anew(), said_anew(), kept_anew(), ends_at_once(Reader(language=early_language())):
            _run(as_json_wanted)
    finally:
        full = streams.end()
        if full is not None:
            with suppress(OSError):
                output.tell(not_written_words(full.strerror or str(full), Reader(language=early_language())))
            sys.exit(output.EXIT_BAD_INPUT)
