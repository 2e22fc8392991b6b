"""Output to wherever a shell may send it: other encodings, a full device, a pipe that nobody reads, nowhere at all."""

from __future__ import annotations

import io
import json
import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TextIO

import pytest

from standtrue.cli import main
from standtrue.documents import write_starter
from standtrue.show.words.plain import PLAIN, plain

ASKED: dict[str, tuple[str, ...]] = {
    "read": ("read", "SHOP"),
    "needs": ("needs", "SHOP"),
    "loads": ("loads", "SHOP"),
    "alignment": ("alignment", "SHOP"),
    "reflector": ("reflector", "--leg", "80 mm", "--distance", "2 m", "--higher", "0.2 m", "--turn", "2"),
    "help": ("--help",),
    "fault": ("loads", "SHOP", "--lift", "größer"),
}

ENCODINGS = ("ascii", "cp437", "latin-1", "utf-8")
SIGNS = set("°–²·×…≤≥┏│─╭╮")
"""Signs that answers use, one or the other of which each of these encodings but the last lacks."""

Ask = Callable[[TextIO | None, tuple[str, ...]], int]


@pytest.fixture(scope="module")
def starter(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("starter")
    write_starter(folder)
    return folder


@pytest.fixture
def ask(starter: Path, monkeypatch: pytest.MonkeyPatch) -> Ask:
    """A function that runs the program with this as the system's standard output and standard error."""

    def asked(stream: TextIO | None, words: tuple[str, ...]) -> int:
        for name in ("stdout", "stderr", "__stdout__", "__stderr__"):
            monkeypatch.setattr(sys, name, stream)
        monkeypatch.setattr(sys, "argv", ["standtrue", *(w.replace("SHOP", str(starter)) for w in words)])
        try:
            main()
        except SystemExit as left:
            return left.code if isinstance(left.code, int) else int(left.code is not None)
        return 0

    return asked


@contextmanager
def into(path: Path | str, encoding: str = "utf-8") -> Iterator[TextIO]:
    with open(path, "wb", buffering=0) as device:
        yield io.TextIOWrapper(io.BufferedWriter(device), encoding)


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("name", ASKED)
def test_what_an_encoding_lacks_is_written_plainly(ask: Ask, tmp_path: Path, name: str, language: str) -> None:
    """No line is lost, and tables keep their columns: in each encoding it is the same text, signs apart."""
    told = {}
    words = (*ASKED[name], *(() if name == "help" else ("--language", language)))
    for encoding in ENCODINGS:
        with into(tmp_path / encoding, encoding) as stream:
            told[encoding] = ask(stream, words), (tmp_path / encoding).read_bytes().decode(encoding)
    status, whole = told["utf-8"]
    for encoding in ENCODINGS[:-1]:
        assert told[encoding][0] == status
        said = told[encoding][1]
        assert "?" not in said.replace("?", "", whole.count("?"))
        assert {sign for sign in SIGNS if sign in said} <= {s for s in SIGNS if plain(s, encoding) == s}
        assert len(said.splitlines()) == pytest.approx(len(whole.splitlines()), abs=3)
        boxed = [line for line in said.splitlines() if line.startswith("|")]
        assert len({len(line) for line in boxed}) <= 2 + whole.count("┏") + whole.count("╭")


@pytest.mark.parametrize("sign", PLAIN)
def test_a_plain_sign_is_ascii(sign: str) -> None:
    assert plain(sign, "ascii").isascii()
    assert plain(sign, "utf-8") == sign
    assert plain(sign, "no such encoding").isascii()
    assert plain("límite ñandú", "ascii") == "limite nandu"


def test_json_means_the_same_in_every_encoding(ask: Ask, tmp_path: Path) -> None:
    for encoding in ENCODINGS:
        with into(tmp_path / encoding, encoding) as stream:
            assert ask(stream, ("loads", "SHOP", "--lift", "größer", "--json")) == 2
    answers = [json.loads((tmp_path / encoding).read_bytes().decode(encoding)) for encoding in ENCODINGS]
    assert all(answer == answers[0] for answer in answers)
    assert answers[0]["faults"][0]["value"] == "größer"


@pytest.mark.parametrize(
    "words", [*ASKED.values(), ("needs", "SHOP", "--json")], ids=lambda words: "-".join(words)[:20]
)
def test_where_standard_error_is_full_as_well_the_status_says_it(ask: Ask, words: tuple[str, ...]) -> None:
    with into("/dev/full") as stream:
        assert ask(stream, words) == 2


def test_a_full_device_says_why(starter: Path) -> None:
    words = [sys.executable, "-m", "standtrue", "loads", str(starter), "--json"]
    with open("/dev/full", "wb") as full:
        ran = subprocess.run(words, stdout=full, stderr=subprocess.PIPE, text=True, check=False)
    assert ran.returncode == 2
    assert ran.stderr == "The answer could not be written: No space left on device\n"


def test_a_pipe_that_nobody_reads_changes_neither_files_nor_status(ask: Ask, tmp_path: Path) -> None:
    for words, status in ((("loads", "SHOP"), 5), (("--help",), 0), (("read", "nowhere"), 2)):
        reads, writes = os.pipe()
        os.close(reads)
        with os.fdopen(writes, "wb", buffering=0) as device:
            file = tmp_path / "answer.json"
            out = ("--out", str(file)) if words[0] == "loads" else ()
            assert ask(io.TextIOWrapper(io.BufferedWriter(device), "utf-8"), (*words, *out)) == status
        assert file.exists() or not out


def test_with_no_output_at_all_it_answers_still(ask: Ask, tmp_path: Path) -> None:
    file = tmp_path / "answer.json"
    assert ask(None, ("loads", "SHOP", "--out", str(file))) == 5
    assert json.loads(file.read_text("utf-8"))


def test_without_color_there_is_none(ask: Ask, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    monkeypatch.setenv("FORCE_COLOR", "1")
    for name, words in ASKED.items():
        with into(tmp_path / name) as stream:
            ask(stream, words)
        assert "\x1b[3" not in (tmp_path / name).read_text("utf-8"), name
