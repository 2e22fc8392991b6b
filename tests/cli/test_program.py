"""The commands are loaded one by one: what is listed is what there is, and in which module it says."""

from __future__ import annotations

import subprocess
import sys

import typer

from command_runner import Run
from standtrue.cli.program import MODULES, program

LOADED = """
import sys
from standtrue.cli.program import program
program().get_command(None, "plan")
print(*sys.modules)
"""


def test_every_module_has_just_the_commands_that_are_said_to_be_in_it() -> None:
    names = [name for of_module in MODULES.values() for name in of_module]
    assert program().list_commands(None) == names
    group = program()
    for name in names:
        command = group.get_command(None, name)
        assert command is not None
        assert command.name == name
    assert set(group.commands) == set(names)
    assert isinstance(group, typer.core.TyperGroup)


def test_to_plan_nothing_is_loaded_of_studies_and_aiming() -> None:
    done = subprocess.run([sys.executable, "-c", LOADED], capture_output=True, text=True, check=True)
    loaded = set(done.stdout.split())
    assert "standtrue.cli.planning" in loaded
    for other in (
        "standtrue.cli.studying",
        "standtrue.cli.aiming",
        "standtrue.work.study.studies",
        "pyarrow",
        "ortools",
    ):
        assert other not in loaded


def test_of_a_name_that_no_command_has_the_nearest_is_told(run: Run) -> None:
    ran = run("plam")
    assert ran.status == 2
    assert "plan" in ran.err
