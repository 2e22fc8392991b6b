"""Which sentences a language lacks, by the file that says them: `python -m standtrue.show.words.extract es`.

Sentences are what stands in `say("...")`, `say_n("...", "...")` and `N_("...")` anywhere in the package.
"""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterator
from pathlib import Path

from attrs import frozen

from standtrue.show.words.catalog import catalog_of

SAYING: dict[str, int] = {"say": 1, "say_n": 2, "N_": 1}
"""What says a sentence, and how many forms of it stand first."""

PACKAGE = Path(__file__).parents[2]


@frozen
class Message:
    """A sentence of the program: its one form, or two, and where it stands."""

    forms: tuple[str, ...]
    file: str
    line: int


def messages(folder: Path = PACKAGE) -> Iterator[Message]:
    """Every sentence that the package says."""
    for file in sorted(folder.rglob("*.py")):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call):
                forms = tuple(_forms(node))
                if forms:
                    yield Message(forms, file.relative_to(folder).as_posix(), node.lineno)


def _forms(call: ast.Call) -> Iterator[str]:
    """The forms of the sentence that a call says; none if it says none, or one that stands elsewhere."""
    name = call.func.attr if isinstance(call.func, ast.Attribute) else getattr(call.func, "id", "")
    said = call.args[: SAYING.get(name, 0)]
    texts = [arg.value for arg in said if isinstance(arg, ast.Constant) and isinstance(arg.value, str)]
    if len(texts) == len(said) == SAYING.get(name):
        yield from texts


def lacking(language: str) -> dict[str, list[str]]:
    """The sentences that a language does not have, by file."""
    known = catalog_of(language).sentences
    missing: dict[str, list[str]] = {}
    for message in messages():
        forms = known.get(message.forms[0])
        if forms is None or not all(forms) or len(forms) < len(message.forms):
            own = missing.setdefault(message.file, [])
            if message.forms[0] not in own:
                own.append(message.forms[0])
    return missing


def main(language: str, only: str = "") -> None:
    """Print what is lacking as entries of a `.po` file, under the file that says it."""
    for file, sentences in sorted(lacking(language).items()):
        if only in file:
            sys.stdout.write(f"# {file}: {len(sentences)}\n")
            for sentence in sentences:
                text = sentence.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n")
                sys.stdout.write(f'msgid "{text}"\nmsgstr ""\n\n')


if __name__ == "__main__":
    main(*sys.argv[1:3])
