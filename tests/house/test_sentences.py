"""Sentences stand in `show/words` and nowhere else; each is translated, blank by blank."""

from __future__ import annotations

import ast
import re
import string
from collections.abc import Iterator

import pytest
from house_reading import Module, is_docstring, modules, parents_of

from standtrue.show.words.catalog import catalog_of
from standtrue.show.words.extract import lacking, messages
from standtrue.show.words.reader import LANGUAGES

SENTENCE = re.compile(r"[A-Za-z]{2,},? [a-z]{2,},? [a-z]+,? [a-z]+")
"""Four words in a row, all but the first in small letters."""

UNIT_AFTER_BLANK = re.compile(r"\A\s?(mm|cm|m|kg|lb|ft|in|s|min|lux|degrees|meters|millimeters|seconds)\b")

FREE = ("show/words/", "demo/")
"""Where sentences are at home: the words; and the demonstration's own documents."""

TO_DEVELOPERS = ("ValueError", "TypeError", "KeyError", "RuntimeError", "AssertionError", "NotImplementedError")
"""What only a mistake in the program brings up."""


def test_no_sentence_stands_outside_the_words() -> None:
    found = [f"{m.name}:{line}: {text[:90]}" for m in modules() for line, text in _sentences(m)]
    assert not found, "\n".join(found)


def test_no_figure_gets_its_unit_outside_the_words() -> None:
    found = [f"{m.name}:{line}: {text}" for m in modules() for line, text in _units(m)]
    assert not found, "\n".join(found)


@pytest.mark.parametrize("language", [one for one in LANGUAGES if one != "en"])
def test_every_sentence_is_translated(language: str) -> None:
    lacks = lacking(language)
    assert not lacks, "\n".join(f"{file}: {sentence}" for file, own in lacks.items() for sentence in own)


@pytest.mark.parametrize("language", [one for one in LANGUAGES if one != "en"])
def test_a_translation_has_the_same_blanks(language: str) -> None:
    for key, forms in catalog_of(language).sentences.items():
        for form in forms:
            assert _blanks(form) == _blanks(key) or _blanks(form) | {"n"} == _blanks(key), (key, form)


@pytest.mark.parametrize("language", [one for one in LANGUAGES if one != "en"])
def test_no_translation_is_left_over(language: str) -> None:
    said = {message.forms[0] for message in messages()}
    over = [key for key in catalog_of(language).sentences if key not in said]
    assert not over, "\n".join(over)


def _blanks(sentence: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(sentence) if name is not None}


def _sentences(module: Module) -> Iterator[tuple[int, str]]:
    if module.name.startswith(FREE):
        return
    parents = parents_of(module.tree)
    for node in ast.walk(module.tree):
        if not isinstance(node, ast.Constant) or not isinstance(node.value, str):
            continue
        if is_docstring(node, parents) or not SENTENCE.search(node.value):
            continue
        if not (_is_described(node, parents) or _is_raised(node, parents)):
            yield node.lineno, node.value


def _is_described(node: ast.AST, parents: dict[ast.AST, ast.AST]) -> bool:
    """Whether a text is the description of a field of a JSON Schema."""
    at: ast.AST | None = node
    while at is not None and not isinstance(at, ast.stmt):
        if isinstance(at, ast.keyword) and at.arg == "description":
            return True
        at = parents.get(at)
    return False


def _is_raised(node: ast.AST, parents: dict[ast.AST, ast.AST]) -> bool:
    """Whether a text belongs to an error that only a mistake in the program brings up."""
    at: ast.AST | None = node
    while at is not None:
        if isinstance(at, ast.Raise) and isinstance(at.exc, ast.Call) and isinstance(at.exc.func, ast.Name):
            return at.exc.func.id in TO_DEVELOPERS
        at = parents.get(at)
    return False


def _units(module: Module) -> Iterator[tuple[int, str]]:
    if module.name.startswith("show/words/quantities"):
        return
    parents = parents_of(module.tree)
    for node in ast.walk(module.tree):
        if not isinstance(node, ast.JoinedStr) or _is_raised(node, parents):
            continue
        for one, other in zip(node.values, node.values[1:], strict=False):
            text = other.value if isinstance(other, ast.Constant) else ""
            if isinstance(one, ast.FormattedValue) and isinstance(text, str) and UNIT_AFTER_BLANK.match(text):
                yield node.lineno, ast.unparse(node)[:110]
