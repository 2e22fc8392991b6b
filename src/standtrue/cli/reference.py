"""Writes the reference part of `docs/` from the code: `python -m standtrue.cli.reference docs/reference`."""

from __future__ import annotations

import sys
from pathlib import Path

from standtrue.cli.program import program
from standtrue.model.cautions import CAUTIONS
from standtrue.show.answers.index import answer_schemas
from standtrue.show.words.faults import fault_reference
from standtrue.show.words.reader import ENGLISH
from standtrue.show.words.reasons.cautions import CALLED_WHEN
from standtrue.work.shop import reference as written


def reference() -> dict[str, str]:
    """Every generated file of the reference, by its path below `docs/reference`."""
    files = {f"schemas/{kind}.json": text for kind, text in written.document_schemas().items()}
    files |= {f"answers/{name}.json": written.schema_text(schema) for name, schema in answer_schemas().items()}
    files["commands.md"] = commands()
    files["faults.md"] = f"# Faults\n\nEvery code that bad input can get.\n\n{fault_reference().strip()}\n"
    files["cautions.md"] = cautions()
    files["estimates.md"] = estimates()
    files["default-rules.toml"] = written.default_rules_toml()
    return files


def commands() -> str:
    """The commands, their arguments and options, as the program declares them."""
    group = program()
    lines = ["# Commands", "", group.help or "", ""]
    for name in sorted(group.list_commands(None)):
        command = group.get_command(None, name)
        assert command is not None
        lines += [f"## standtrue {name}", "", command.help or "", "", "| | |", "|---|---|"]
        for param in command.params:
            label = ", ".join(f"`{o}`" for o in param.opts) if param.param_type_name == "option" else f"`{param.name}`"
            lines.append(f"| {label} | {getattr(param, 'help', None) or ''} |")
        lines.append("")
    return "\n".join(lines).rstrip() + "\n"


def cautions() -> str:
    """The table of cautions and what calls for each."""
    lines = ["# Cautions", "", "| caution | called for when | text |", "|---|---|---|"]
    for caution in CAUTIONS:
        calls = "; ".join(sorted(CALLED_WHEN[fact] for fact in caution.calls)) or "always"
        lines.append(f"| {caution.code} | {calls} | {ENGLISH.reason(caution.reason)} |")
    return "\n".join(lines) + "\n"


def estimates() -> str:
    """The rules that stand in for dimensions a vehicle document leaves out."""
    lines = ["# Estimated dimensions", "", "Where a vehicle document leaves one out, and the answer says so.", ""]
    lines += ["| field | rule | source |", "|---|---|---|"]
    lines += [f"| `{e.field}` | {ENGLISH.reason(e.rule)} | {ENGLISH.reason(e.source)} |" for e in written.estimates()]
    return "\n".join(lines) + "\n"


def write(folder: Path) -> None:
    """Write the reference below `folder`."""
    for name, text in reference().items():
        file = folder / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    write(Path(sys.argv[1] if len(sys.argv) > 1 else "docs/reference"))
