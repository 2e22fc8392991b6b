"""The program: its commands by name, each loaded only when it is asked for, and what ends it."""

from __future__ import annotations

import sys
from importlib import import_module

import typer
import typer.core
import typer.main

from standtrue.cli import output
from standtrue.work.ask import UnansweredError

MODULES = {
    "app": ("read", "demo", "new"),
    "needs": ("needs",),
    "placing": ("place", "job"),
    "driving": ("drive",),
    "planning": ("plan",),
    "aiming": ("targets", "measured", "floor", "alignment", "loads", "reflector"),
    "sheets": ("sheet",),
    "studying": ("study", "sizes", "reach"),
    "mixing": ("mix",),
}
"""Which module of `standtrue.cli` has which commands, in the order in which they are listed.

Loading all takes longer than some commands take to answer.
"""


class Program(typer.core.TyperGroup):
    """The group of all commands."""

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
        self.commands.update(typer.main.get_group(group).commands)


def program() -> Program:
    """The program without any of its commands loaded."""
    about = "What must be calibrated on a car, and where in the shop it can stand for it."
    return Program(name="standtrue", help=about, no_args_is_help=True, rich_markup_mode="rich")


def main() -> None:
    """Run the command line. Bad input ends with exit status 2 and every fault, never with a traceback."""
    as_json_wanted = "--json" in sys.argv
    try:
        program()()
    except UnansweredError as refused:
        output.print_faults(refused.faults, as_json_wanted)
        sys.exit(output.EXIT_BAD_INPUT)
    except (KeyboardInterrupt, SystemError) as stopped:
        # Ctrl-C in compiled code comes out as a SystemError.
        if isinstance(stopped, SystemError) and not isinstance(stopped.__cause__, KeyboardInterrupt):
            raise
        output.err().print("Stopped.")
        sys.exit(130)
    except BrokenPipeError:
        sys.stderr.close()
        sys.exit(141)
