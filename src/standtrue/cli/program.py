"""The program: its commands by name, each loaded only when it is asked for, and what ends it."""

from __future__ import annotations

import sys
from importlib import import_module
from typing import Any

import typer
import typer.core
import typer.main

from standtrue.cli import output
from standtrue.cli.preference import early_language
from standtrue.cli.reader import asked_anew, options, reader
from standtrue.show.words import help as help_words
from standtrue.show.words.command_line import help_option_words, usage_words
from standtrue.show.words.reader import Reader
from standtrue.work.ask import UnansweredError

MODULES = {
    "shop": ("read", "demo", "new", "rules"),
    "needs": ("needs",),
    "placing": ("place", "job"),
    "driving": ("drive",),
    "planning": ("plan",),
    "aiming": ("targets", "measured", "floor", "alignment", "loads", "reflector"),
    "sheets": ("sheet",),
    "studying": ("study", "sizes", "ahead", "reach"),
    "mixing": ("mix",),
}
"""Which module of `standtrue.cli` has which commands, in the order in which they are listed.

Loading all takes longer than some commands take to answer.
"""


class Command(typer.core.TyperCommand):
    """One command; the library that reads the command line has no other language for its usage."""

    def get_usage(self, ctx: Any) -> str:
        """How the command is called."""
        return usage_words(super().get_usage(ctx), Reader(language=early_language()))

    def get_help_option(self, ctx: Any) -> Any:
        """The option that shows the help."""
        return _told(super().get_help_option(ctx))


class Program(typer.core.TyperGroup):
    """The group of all commands. What each and every option does is told in the reader's language."""

    reader = Reader()

    def get_usage(self, ctx: Any) -> str:
        """How the program is called."""
        return usage_words(super().get_usage(ctx), Reader(language=early_language()))

    def get_help_option(self, ctx: Any) -> Any:
        """The option that shows the help."""
        return _told(super().get_help_option(ctx))

    def list_commands(self, ctx: object) -> list[str]:
        """The names of all commands."""
        del ctx
        return [name for names in MODULES.values() for name in names]

    def get_command(self, ctx: object, cmd_name: str) -> typer.core.TyperCommand | None:
        """The command of this name. For a name that none has, all are loaded: what is near it is then told."""
        for module, names in MODULES.items():
            if cmd_name in names or cmd_name not in self.list_commands(ctx):
                self._load(module)
        command = self.commands.get(cmd_name)
        return command if isinstance(command, typer.core.TyperCommand) else None

    def _load(self, module: str) -> None:
        group = typer.Typer(rich_markup_mode=self.rich_markup_mode)
        import_module(f"standtrue.cli.{module}").add_to(group)
        for registered in group.registered_commands:
            registered.cls = Command
        for name, command in typer.main.get_group(group).commands.items():
            own = {word for param in command.params for word in param.opts}
            command.params.extend(option for option in options() if not own & set(option.opts))
            command.help = command.short_help = self.reader.say(help_words.COMMANDS[name])
            for param in command.params:
                if isinstance(param, typer.core.TyperOption | typer.core.TyperArgument) and param.name != "help":
                    param.help = self.reader.say(help_words.help_of(name, _named(param)))
            self.commands[name] = command


def _told(option: Any) -> Any:
    if option is not None:
        option.help = help_option_words(Reader(language=early_language()))
    return option


def program() -> Program:
    """The program without any of its commands loaded."""
    reader = Reader(language=early_language())
    made = Program(name="standtrue", help=reader.say(help_words.ABOUT), no_args_is_help=True, rich_markup_mode="rich")
    made.reader = reader
    return made


def _named(param: typer.core.TyperOption | typer.core.TyperArgument) -> str:
    """An option's longest spelling, or an argument's name."""
    return str(max(param.opts, key=len)) if isinstance(param, typer.core.TyperOption) else str(param.name)


def _run(as_json_wanted: bool) -> None:
    """One command; faults are told as its options ask."""
    try:
        program()()
    except UnansweredError as refused:
        output.print_faults(refused.faults, as_json_wanted, reader())
        sys.exit(output.EXIT_BAD_INPUT)


def main() -> None:
    """Run the command line. Bad input ends with exit status 2 and every fault, never with a traceback."""
    as_json_wanted = "--json" in sys.argv
    try:
        with asked_anew(), output.ended_by_interrupt(Reader(language=early_language())):
            _run(as_json_wanted)
    except BrokenPipeError:
        sys.stderr.close()
        sys.exit(141)
