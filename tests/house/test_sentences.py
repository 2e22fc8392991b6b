"""Sentences stand in `show/words` and nowhere else; each is translated, blank by blank."""

from __future__ import annotations

import ast
import re
import string
from collections.abc import Iterator
from functools import cache

import pytest

from house_reading import Module, is_docstring, modules, parents_of, sentences
from standtrue.model.sensor_kinds import SENSORS
from standtrue.show.words.catalog import catalog_of
from standtrue.show.words.extract import lacking
from standtrue.show.words.reader import LANGUAGES
from standtrue.show.words.things import NAMES

SENTENCE = re.compile(r"[A-Za-z]{2,},? [a-z]{2,},? [a-z]+,? [a-z]+")
"""Four words in a row, all but the first in small letters."""

UNIT_AFTER_BLANK = re.compile(r"\A\s?(mm|cm|m|kg|lb|ft|in|s|min|lux|degrees|meters|millimeters|seconds)\b(?!\")")
"""A unit right behind a figure. One that ends a quote is for a machine: a picture's attribute, a document's field."""

FREE = (
    "show/words/",
    "demo/",
    "model/sensor_kinds.py",
    "documents/quantities.py",
    "sequence/check.py",
)
"""Where texts are at home: the words; the documents that come with the program, in both languages; the spellings of
units that are read; and what a plan that is wrong is told by its check."""

TO_DEVELOPERS = (
    "ValueError", "TypeError", "KeyError", "RuntimeError", "AssertionError", "NotImplementedError", "ArithmeticError",
    "TimeoutError", "NotChangedError",
)  # fmt: skip
"""What only a mistake in the program brings up, or what is caught before a person sees it."""

SAYING = ("say", "say_n", "count", "term", "N_")
"""What says its arguments: `reader.say("...")`, `N_("...")`."""

FORMATTING = ("show/words/quantities", "model/reader_units", "sequence/check.py")
"""Where figures get their units; and what a plan that is wrong is told by its check."""


def test_no_sentence_stands_outside_the_words() -> None:
    found = [f"{m.name}:{line}: {text[:90]}" for m in modules() for line, text in _sentences(m)]
    assert not found, "\n".join(found)


def test_nothing_is_said_outside_the_words() -> None:
    """Not a single word: `reader.say("Site")` stands in a function of `show/words`, too."""
    found = [f"{m.name}:{line}: {text[:90]}" for m in modules() for line, text in _said(m)]
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
    """Of one of the forms: `1 order` has no blank, `{n} orders` has."""
    forms_of = {message.forms[0]: message.forms for message in sentences()}
    wrong = [
        f"{key}: {form}"
        for key, forms in catalog_of(language).sentences.items()
        for form in forms
        if _blanks(form) not in [_blanks(own) for own in forms_of.get(key, (key,))]
    ]
    assert not wrong, "\n".join(wrong)


@pytest.mark.parametrize("language", [one for one in LANGUAGES if one != "en"])
def test_no_translation_is_left_over(language: str) -> None:
    """Sensors have their names, in every language, in a table of their own."""
    said = {message.forms[0] for message in sentences()} | {sensor.name for sensor in SENSORS}
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
        if not (_is_closed(node, parents) or _is_described(node, parents) or _is_raised(node, parents)):
            yield node.lineno, node.value


def _said(module: Module) -> Iterator[tuple[int, str]]:
    if module.name.startswith("show/words/"):
        return
    for node in ast.walk(module.tree):
        if isinstance(node, ast.Call) and _name(node.func) in SAYING:
            for text in node.args:
                if isinstance(text, ast.JoinedStr) or isinstance(getattr(text, "value", None), str):
                    yield node.lineno, ast.unparse(node)


def _name(function: ast.expr) -> str:
    return function.attr if isinstance(function, ast.Attribute) else getattr(function, "id", "")


def _is_closed(node: ast.Constant, parents: dict[ast.AST, ast.AST]) -> bool:
    """Whether it is the key of a closed list that the words know: a word of the trade, or a kind of thing."""
    parent = parents.get(node)
    return node.value in _closed() and not (isinstance(parent, ast.Call) and _name(parent.func) in SAYING)


@cache
def _closed() -> frozenset[str]:
    marked = {message.forms[0] for message in sentences() if message.file.startswith("show/words/")}
    return frozenset({*NAMES, *marked})


def _is_described(node: ast.AST, parents: dict[ast.AST, ast.AST]) -> bool:
    """Whether it describes a field of a JSON Schema: a keyword, or a key of a dictionary, named `description`."""
    at, above = node, parents.get(node)
    while above is not None and not isinstance(at, ast.stmt):
        if isinstance(above, ast.keyword) and above.arg == "description":
            return True
        if isinstance(above, ast.Dict) and at in above.values:
            key = above.keys[above.values.index(at)]
            if isinstance(key, ast.Constant) and key.value == "description":
                return True
        if isinstance(above, ast.Assign) and any(
            isinstance(t, ast.Subscript) and isinstance(t.slice, ast.Constant) and t.slice.value == "description"
            for t in above.targets
        ):
            return True
        at, above = above, parents.get(above)
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
    if module.name.startswith(FORMATTING):
        return
    parents = parents_of(module.tree)
    for node in ast.walk(module.tree):
        if not isinstance(node, ast.JoinedStr) or _is_raised(node, parents):
            continue
        for one, other in zip(node.values, node.values[1:], strict=False):
            text = other.value if isinstance(other, ast.Constant) else ""
            if isinstance(one, ast.FormattedValue) and isinstance(text, str) and UNIT_AFTER_BLANK.match(text):
                yield node.lineno, ast.unparse(node)[:110]


METRIC = re.compile(r"(\d|\})\s?(mm|cm|m|kg|km|km/h|m/s|meters?|millimeters?)\b")
BY_THEMSELVES = {
    "{rise} mm a meter",  # said only to whom reads metric
    'The trihedral\'s edge along the right angle: "80 mm", "3 1/4 in".',  # what may be typed, in both
    "The widest room looked at, as `9 m` or `30 ft`.",
}


def test_no_sentence_holds_a_metric_figure_of_its_own() -> None:
    found = {form for message in sentences() for form in message.forms if METRIC.search(form)}
    assert found == BY_THEMSELVES
