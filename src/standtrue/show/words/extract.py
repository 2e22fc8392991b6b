"""Which sentences a language lacks, by the file that says them: `python -m standtrue.show.words.extract es`.

Sentences are what stands in `say("...")`, `say_n("...", "...")` and `N_("...")` anywhere in the package.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

from attrs import frozen
from babel.messages.extract import extract_from_dir

from standtrue.show.words.catalog import catalog_of

KEYWORDS: dict[str, tuple[int, ...] | None] = {"say": (1,), "say_n": (1, 2), "N_": None}
PACKAGE = Path(__file__).parents[2]


@frozen
class Message:
    """A sentence of the program: its one form, or two, and where it stands."""

    forms: tuple[str, ...]
    file: str
    line: int


def messages(folder: Path = PACKAGE) -> Iterator[Message]:
    """Every sentence that the package says."""
    options = {"**.py": {"encoding": "utf-8"}}
    for file, line, forms, _, _ in extract_from_dir(str(folder), [("**.py", "python")], options, KEYWORDS):
        said = (forms,) if isinstance(forms, str) else tuple(f for f in forms if isinstance(f, str))
        if any(said):
            yield Message(said, file, line)


def lacking(language: str) -> dict[str, list[str]]:
    """The sentences that a language does not have, by file."""
    known = catalog_of(language).sentences
    lacks: dict[str, list[str]] = {}
    for message in messages():
        forms = known.get(message.forms[0])
        if forms is None or not all(forms) or len(forms) < len(message.forms):
            own = lacks.setdefault(message.file, [])
            if message.forms[0] not in own:
                own.append(message.forms[0])
    return lacks


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
