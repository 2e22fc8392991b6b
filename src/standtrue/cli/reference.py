"""Writes the reference part of `docs/` from the code: `python -m standtrue.cli.reference docs/reference`."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

from standtrue.cli.program import program
from standtrue.show.answers.index import answer_schemas
from standtrue.show.words import reference as words
from standtrue.show.words.reference_documents import documents_page
from standtrue.work.shop import reference as written


def reference() -> dict[str, str]:
    """Every generated file of the reference, by its path below `docs/reference`."""
    files = {f"schemas/{kind}.json": text for kind, text in written.document_schemas().items()}
    files |= {f"answers/{name}.json": written.schema_text(schema) for name, schema in answer_schemas().items()}
    files["commands.md"] = commands()
    files["documents.md"] = documents_page(written.document_forms(), written.meanings(), written.document_examples())
    files["faults.md"] = words.faults_page()
    files["cautions.md"] = words.cautions_page()
    files["estimates.md"] = words.estimates_page((e.field, e.rule, e.source) for e in written.estimates())
    files["default-rules.toml"] = written.default_rules_text()
    return files


def commands() -> str:
    """The commands, their arguments and options, as the program declares them."""
    group = program()
    told = []
    for name in sorted(group.list_commands(None)):
        command = group.get_command(None, name)
        assert command is not None
        options = [
            (_label(param), getattr(param, "help", None) or "")
            for param in command.params
            if not getattr(param, "hidden", False)
        ]
        told.append((name, command.help or "", options))
    return words.commands_page(group.help or "", told)


def _label(param: Any) -> str:
    return ", ".join(f"`{o}`" for o in param.opts) if param.param_type_name == "option" else f"`{param.name}`"


def write(folder: Path) -> None:
    """Write the reference below `folder`."""
    for name, text in reference().items():
        file = folder / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    write(Path(sys.argv[1] if len(sys.argv) > 1 else "docs/reference"))
