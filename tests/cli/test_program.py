"""The commands are loaded one by one: what is listed is what there is, and in which module it says."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest
import typer

from command_runner import Run
from standtrue.cli.own_options import SHELLS
from standtrue.cli.program import MODULES, program
from standtrue.show.words.help import ALIASES, GROUPS

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
        "tomlkit",
    ):
        assert other not in loaded


def test_of_a_name_that_no_command_has_the_nearest_is_told(run: Run) -> None:
    ran = run("plam")
    assert ran.status == 2
    assert "plan" in ran.err


def test_the_help_lists_every_command_once_under_its_heading(run: Run) -> None:
    """`new` and `demo` first; commands by an old name are not listed, but work."""
    told = run("--help").out
    assert told == run("-h").out
    listed = re.findall(r"^│ (?:([a-z]+) )", told, re.MULTILINE)
    assert listed == [name for names in GROUPS.values() for name in names]
    assert listed[:2] == ["new", "demo"]
    assert {*listed, *ALIASES} == {name for names in MODULES.values() for name in names}
    assert all(re.search(f"^╭─ {heading} ", told, re.MULTILINE) for heading in GROUPS)
    assert "Exit status: 0 answered;" in told


@pytest.mark.parametrize("command", [name for names in MODULES.values() for name in names])
def test_every_command_has_short_help(run: Run, command: str) -> None:
    ran = run(command, "-h")
    assert ran.status == 0
    assert "Usage:" in ran.out
    assert all(len(line) <= 120 for line in ran.out.splitlines())


def test_the_version_is_told(run: Run) -> None:
    ran = run("--version")
    assert ran.status == 0
    assert re.fullmatch(r"standtrue \d+\.\d+\.\d+\n", ran.out)


@pytest.mark.parametrize("shell", SHELLS)
def test_a_shell_is_told_how_to_complete(run: Run, shell: str) -> None:
    ran = run("--completion", shell)
    assert ran.status == 0
    assert "_STANDTRUE_COMPLETE" in ran.out
    assert run("--completion", "no such shell").status == 2


@pytest.mark.parametrize(
    ("typed", "offered"),
    [
        ("standtrue st", ["study"]),
        ("standtrue study shop --pl", ["--places"]),
        ("standtrue needs SHOP --job nib", ["nib\\ windshield"]),
        ("standtrue loads SHOP --lift ", ["flush\\ lift", "post\\ lift"]),
        ("standtrue place SHOP --vehicle Tavlin\\ C", ["Tavlin\\ Corrow"]),
        ("standtrue place nowhere --vehicle T", []),
    ],
)
def test_words_are_completed(
    run: Run, shop: Path, monkeypatch: pytest.MonkeyPatch, typed: str, offered: list[str]
) -> None:
    words = typed.replace("SHOP", str(shop))
    monkeypatch.setenv("_STANDTRUE_COMPLETE", "complete_bash")
    monkeypatch.setenv("COMP_WORDS", words)
    monkeypatch.setenv("COMP_CWORD", str(len(words.replace("\\ ", "_").split(" ")) - 1))
    assert run().out.split("\n")[:-1] == (offered or [""])


def test_what_runs_it_holds_nothing_that_only_tables_or_tests_need() -> None:
    """Two libraries of tables alone take a quarter of a gigabyte: one is an extra, for whoever asks for it."""
    lock = (Path(__file__).parents[2] / "requirements-run.lock").read_text(encoding="utf-8")
    names = {line.partition("==")[0].lower() for line in lock.splitlines() if "==" in line}
    assert "numba" in names
    assert not names & {"pandas", "pyarrow", "scipy", "ortools", "playwright", "hypothesis"}
