"""Documents written as TOML say what was meant; a change leaves comments and every other line as they are."""

from __future__ import annotations

import difflib
import tomllib
from typing import Any

import pytest
from document_makers import WHOLE
from hypothesis import given, settings
from hypothesis import strategies as st

from standtrue.demo import demo_files
from standtrue.documents import load_text, starter_files
from standtrue.documents.rewriting import NotChangedError, add_table, remove_field, set_field
from standtrue.documents.writing import to_toml

SOURCES = {
    **{f"whole {file.name}": file.read_bytes() for file in WHOLE.glob("*.toml")},
    **{f"starter {name}": text.encode() for name, text in starter_files().items()},
    **demo_files(),
}

texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=8)
scalars = st.one_of(
    texts,
    st.integers(-(2**62), 2**62),
    st.floats(allow_nan=False),
    st.booleans(),
    st.dates(),
    st.times().map(lambda time: time.replace(fold=0)),
)
values = st.recursive(
    scalars, lambda inner: st.lists(inner, max_size=3) | st.dictionaries(texts, inner, max_size=3), max_leaves=8
)


@settings(derandomize=True, deadline=None, max_examples=300)
@given(st.dictionaries(texts, values, max_size=5))
def test_what_is_written_is_read_back(document: dict[str, Any]) -> None:
    assert tomllib.loads(to_toml(document)) == document


def test_what_no_document_holds_is_refused() -> None:
    with pytest.raises(TypeError):
        to_toml({"a": None})


def fields(at: Any, path: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    """Every field of a document, and every item of its lists of tables."""
    found: list[tuple[str | int, ...]] = []
    items = at.items() if isinstance(at, dict) else enumerate(at) if isinstance(at, list) else ()
    for key, item in items:
        if isinstance(at, dict) or isinstance(item, dict):
            found.append((*path, key))
        found.extend(fields(item, (*path, key)))
    return found


def lost(before: bytes, after: bytes) -> list[str]:
    """The lines that are gone or changed."""
    matcher = difflib.SequenceMatcher(None, before.decode().split("\n"), after.decode().split("\n"), False)
    blocks = [before.decode().split("\n")[i:j] for tag, i, j, _, _ in matcher.get_opcodes() if tag != "equal"]
    return [line for block in blocks for line in block if line.strip()]


def at_path(content: Any, path: tuple[str | int, ...]) -> Any:
    for part in path:
        content = content[part]
    return content


@settings(derandomize=True, deadline=None, max_examples=250)
@given(st.sampled_from(sorted(SOURCES)), st.data(), scalars)
def test_a_field_is_set_and_all_other_lines_stay(name: str, data: st.DataObject, value: object) -> None:
    source = SOURCES[name]
    content = tomllib.loads(source.decode())
    plain = [p for p in fields(content) if isinstance(at_path(content, p), (str, int, float, bool))]
    path = data.draw(st.sampled_from(plain))
    after = set_field(source, path, value)
    found = at_path(tomllib.loads(after.decode()), path)
    assert found == value
    gone = lost(source, after)
    assert len(gone) <= 1
    comments = [line for line in source.decode().split("\n") if line.startswith("#")]
    assert [line for line in after.decode().split("\n") if line.startswith("#")] == comments


@settings(derandomize=True, deadline=None, max_examples=200)
@given(st.sampled_from(sorted(SOURCES)), st.data())
def test_a_field_is_taken_out_and_all_other_lines_stay(name: str, data: st.DataObject) -> None:
    source = SOURCES[name]
    content = tomllib.loads(source.decode())
    plain = [p for p in fields(content) if isinstance(at_path(content, p), (str, int, float, bool))]
    path = data.draw(st.sampled_from(plain))
    after = remove_field(source, path)
    assert path[-1] not in at_path(tomllib.loads(after.decode()), path[:-1])
    assert len(lost(source, after)) <= 1


@settings(derandomize=True, deadline=None, max_examples=100)
@given(st.dictionaries(st.sampled_from(["name", "at", "why"]), scalars, min_size=1))
def test_a_table_is_added_at_the_end(table: dict[str, object]) -> None:
    for name in ("starter site.toml", "site.toml"):
        source = SOURCES[name]
        after = add_table(source, "marks", table)
        assert tomllib.loads(after.decode())["marks"][-1] == table
        assert lost(source, after) == []


def test_a_field_that_was_not_there_comes_before_the_tables() -> None:
    after = set_field(SOURCES["site.toml"], ("wall_metal",), False)
    assert tomllib.loads(after.decode())["wall_metal"] is False
    assert lost(SOURCES["site.toml"], after) == []


def test_a_list_on_one_line_takes_one_more_table() -> None:
    source = b'# cars\nvehicles = [{ name = "a", share = 1 }] # one\n'
    after = add_table(source, "vehicles", {"name": "b", "share": 2})
    assert [v["name"] for v in tomllib.loads(after.decode())["vehicles"]] == ["a", "b"]
    assert after.startswith(b"# cars\n")


@pytest.mark.parametrize("path", [("nothing", "there"), ("name", "deeper"), ("marks", 99, "at")])
def test_a_path_that_leads_nowhere_changes_nothing(path: tuple[str | int, ...]) -> None:
    with pytest.raises(NotChangedError):
        set_field(SOURCES["site.toml"], path, 1)


def test_what_would_be_no_toml_changes_nothing() -> None:
    with pytest.raises(NotChangedError):
        set_field(b"a = 1 =", ("a",), 2)
    with pytest.raises(NotChangedError):
        add_table(b"a = 1\n", "a", {"b": 1})


def test_documents_keep_their_own_bytes() -> None:
    for name, source in SOURCES.items():
        assert load_text(source, name).source == source
