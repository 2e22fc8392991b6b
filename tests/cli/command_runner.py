"""Runs the command line inside the test's own process."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from typing import Any

import jsonschema
import pytest
from attrs import frozen

from standtrue.cli import main
from standtrue.show.answers.index import answer_schemas


@frozen
class Ran:
    status: int
    out: str
    err: str


Run = Callable[..., Ran]


def runner(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Run:
    """A function that runs `standtrue WORDS...` and returns exit status and both outputs."""

    def run(*words: object) -> Ran:
        monkeypatch.setattr(sys, "argv", ["standtrue", *(str(w) for w in words)])
        capsys.readouterr()
        status = 0
        try:
            main()
        except SystemExit as left:
            status = left.code if isinstance(left.code, int) else int(left.code is not None)
        seen = capsys.readouterr()
        return Ran(status, seen.out, seen.err)

    return run


def answered(name: str, text: str) -> dict[str, Any]:
    """An answer in JSON, held to its published schema."""
    answer: dict[str, Any] = json.loads(text)
    jsonschema.validate(answer, answer_schemas()[name])
    return answer
