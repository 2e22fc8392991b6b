"""Files that a command is asked to write: `--out FILE`, as often as one likes; its ending says what is written."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from pathlib import Path

from attrs import frozen

from standtrue.cli import output
from standtrue.model.basics import Fault, UnansweredError
from standtrue.model.reason import because
from standtrue.show.words.command_line import file_written, files_written
from standtrue.show.words.reader import Reader

Content = str | bytes | tuple[str, ...]
"""What a file holds; of several pages the first, and each other has a file beside it."""

Contents = Mapping[Path, Content]
Maker = Callable[[Path], Contents]
"""Makes what one asked file holds; several answers get a file each beside it."""

ANSWER = ".json"


@frozen
class Files:
    """The files that were asked for, each once, in the order asked."""

    asked: tuple[Path, ...] = ()

    def of(self, *endings: str) -> tuple[Path, ...]:
        """Those that end so."""
        return tuple(file for file in self.asked if file.suffix.lower() in endings)

    def write(self, makers: Mapping[str, Maker], who: Reader) -> tuple[str, ...]:
        """Make all, then write all; what to say of each. Raises UnansweredError if any cannot be written."""
        asked = [makers[file.suffix.lower()](file) for file in self.asked]
        made = {file: content for contents in asked for file, content in contents.items()}
        pages = [page for file, content in made.items() for page in _pages(file, content)]
        faults = [fault for page in pages if (fault := output.write_file(*page)) is not None]
        if faults:
            raise UnansweredError(faults)
        return tuple(line for contents in asked for line in _written(contents, who))


def _written(contents: Contents, who: Reader) -> Iterable[str]:
    """What to say of the files that one asked file made."""
    if any(isinstance(content, tuple) for content in contents.values()):
        return (file_written(file, who, len(_pages(file, content))) for file, content in contents.items())
    return files_written(tuple(contents), who)


def _pages(file: Path, content: Content) -> list[tuple[Path, str | bytes]]:
    if not isinstance(content, tuple):
        return [(file, content)]
    return [(file if n == 1 else file.with_stem(f"{file.stem}-{n}"), page) for n, page in enumerate(content, start=1)]


def asked_files(out: Iterable[Path] | None, *endings: str) -> Files:
    """The files asked for, before any work is done. Raises UnansweredError for one of no ending that is written."""
    files = tuple(dict.fromkeys(out or ()))
    remedy = because("let-it-end-in", endings=(*endings, ANSWER))
    what = because("file-of-unknown-kind")
    faults = [
        Fault("unknown-format", what, str(file), "--out", "", remedy)
        for file in files
        if file.suffix.lower() not in (*endings, ANSWER)
    ]
    if faults:
        raise UnansweredError(faults)
    return Files(files)


def one(make: Callable[[], str | bytes]) -> Maker:
    """A maker of just the file asked for."""
    return lambda file: {file: make()}
