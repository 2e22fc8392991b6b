"""What every release kept is read back, and told in words in both languages, from what was kept alone.

`released/RELEASE/KIND-VERSION.json` are contents of entries as that release kept them, of an invented shop. They are
never changed: a shape that cannot read them any more gets a new version (`show/answers/index.py`).
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from standtrue.show.answers.index import RELEASED, version_of
from standtrue.show.answers.kept import read_again, said_of
from standtrue.show.answers.parts import Coded
from standtrue.show.answers.uncoded import uncoded
from standtrue.show.words.kept import KINDS, content_words
from standtrue.show.words.reader import ENGLISH, LANGUAGES, Reader

KEPT = sorted((Path(__file__).parent / "released").glob("*/*.json"))


def kind_of(file: Path) -> tuple[str, int]:
    kind, _, version = file.stem.rpartition("-")
    return kind, int(version)


def test_some_of_each_kind_and_version_is_there() -> None:
    expected = {(kind, n + 1) for kind, shapes in RELEASED.items() for n in range(len(shapes))}
    assert {kind_of(file) for file in KEPT} == expected
    assert set(KINDS) == set(RELEASED)


@pytest.mark.parametrize("file", KEPT, ids=lambda file: f"{file.parent.name} {file.stem}")
def test_it_is_read_and_told_in_every_language(file: Path) -> None:
    kind, version = kind_of(file)
    content = file.read_bytes()
    answer = read_again(kind, version, content)
    assert answer is not None
    assert version_of(type(answer)) == (kind, version)
    # What is kept of it today holds all that was kept then; fields that came since have their defaults.
    assert _holds(json.loads(said_of(answer).content), json.loads(content))
    told = {language: content_words(kind, version, content, Reader("us", language)) for language in LANGUAGES}
    assert len(told["en"]) >= 2, "it says more than that its data are invented"
    assert all(len(lines) == len(told["en"]) and lines != told["en"] for lang, lines in told.items() if lang != "en")


def _holds(now: Any, then: Any) -> bool:
    if isinstance(then, dict):
        return isinstance(now, dict) and all(name in now and _holds(now[name], part) for name, part in then.items())
    if isinstance(then, list):
        return isinstance(now, list) and len(now) == len(then) and all(map(_holds, now, then))
    return bool(now == then)


@pytest.mark.parametrize("file", KEPT, ids=lambda file: f"{file.parent.name} {file.stem}")
def test_each_reason_kept_as_a_value_says_again_what_was_kept_as_a_sentence(file: Path) -> None:
    for english, coded in _sentences(json.loads(file.read_bytes())):
        reasons = [uncoded(Coded.from_json(one)) for one in coded]
        assert ENGLISH.reasons(reasons) == english
        for language in LANGUAGES:
            assert all(Reader("us", language).reasons(reasons)) or not reasons


def _sentences(part: Any) -> Iterator[tuple[list[str], list[Any]]]:
    """Each list of sentences that has the same reasons beside it as values."""
    if isinstance(part, list):
        for one in part:
            yield from _sentences(one)
    if isinstance(part, dict):
        for name, one in part.items():
            beside = part.get(f"{name}_coded")
            if isinstance(one, list) and isinstance(beside, list) and len(one) == len(beside) and None not in beside:
                yield one, beside
            yield from _sentences(one)


def test_what_a_later_release_wrote_or_nobody_can_read_is_told() -> None:
    assert content_words("needs", 900, b"{}", ENGLISH) == ["A newer release of the program wrote it, and can read it."]
    assert content_words("dream", 1, b"{}", ENGLISH) == ["A newer release of the program wrote it, and can read it."]
    assert content_words("needs", 1, b"{}", ENGLISH) == ["What it holds cannot be read."]
    (said,) = content_words("needs", 1, None, ENGLISH)
    assert said.startswith("Its content was removed")
