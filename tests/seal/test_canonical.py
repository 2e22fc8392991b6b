"""Canonical JSON, the digests, an entry's header and a head as text."""

from __future__ import annotations

import hashlib
import json
import math

import pytest
from attrs import evolve
from hypothesis import given
from hypothesis import strategies as st
from seal_makers import made

from standtrue.seal import (
    Head,
    Mark,
    attachment_digest,
    canonical,
    content_digest,
    head_text,
    listed,
    read_head,
    sealed,
)

NUMBERS = st.one_of(st.integers(1 - 2**53, 2**53 - 1), st.floats(allow_nan=False, allow_infinity=False))
VALUES = st.recursive(
    st.none() | st.booleans() | NUMBERS | st.text(st.characters(exclude_categories=["Cs"])),
    lambda inside: st.lists(inside, max_size=4) | st.dictionaries(st.text(max_size=4), inside, max_size=4),
    max_leaves=12,
)


@given(VALUES)
def test_it_reads_back_and_is_its_own_form(value: object) -> None:
    told = canonical(value)
    assert json.loads(told) == value
    assert canonical(json.loads(told)) == told


def test_the_form_of_each_thing() -> None:
    assert canonical({"b": 1.0, "a": [-0.0, 0.1, 1e21, True, None], "é": '\n"\\/é\x1f'}) == (
        '{"a":[0,0.1,1e+21,true,null],"b":1,"é":"\\n\\"\\\\/é\\u001f"}'.encode()
    )


@pytest.mark.parametrize("value", [math.nan, math.inf, [-math.inf], 2**53, {"a": -(2**53)}, "\ud800"])
def test_what_has_no_form_is_refused(value: object) -> None:
    with pytest.raises(ValueError):  # noqa: PT011 - each says why in words of its own
        canonical(value)


@pytest.mark.parametrize("value", [{1: 2}, b"bytes", {1, 2}])
def test_what_json_lacks_is_refused(value: object) -> None:
    with pytest.raises(TypeError):
        canonical(value)


def test_the_digests_are_told_apart_by_their_first_byte() -> None:
    salt = bytes(range(16))
    assert content_digest(salt, b"x") == hashlib.sha256(b"\x10" + salt + b"x").digest()
    assert attachment_digest(salt, [b"x", b"y"]) == hashlib.sha256(b"\x12" + salt + b"xy").digest()
    assert attachment_digest(salt, [b"xy"]) == attachment_digest(salt, [b"", b"x", b"y"])
    with pytest.raises(ValueError, match="16 bytes"):
        content_digest(b"short", b"x")


def test_an_entrys_header_is_canonical_json_of_all_that_is_said() -> None:
    (one, *_), _, _ = made(['order 1 "é"'])
    told = json.loads(one.entry.header)
    assert canonical(told) == one.entry.header
    assert one.digest == hashlib.sha256(b"\x11" + one.entry.header).digest()
    assert set(told) == {name for name in dir(one.entry) if not name.startswith("_")} - {"header", "digest"}


@pytest.mark.parametrize(
    "field", ["job", "kind", "who", "at", "program", "documents", "attachments", "index", "number"]
)
def test_each_field_of_an_entry_is_digested(field: str) -> None:
    (one, *_), _, _ = made(["order"])
    value = getattr(one.entry, field)
    other = value + (1 if isinstance(value, int) else " ")
    assert evolve(one.entry, **{field: other}).digest != one.digest


def test_an_entry_is_not_sealed_over_another_content() -> None:
    (one, *_), _, _ = made(["order"])
    assert one.salt is not None
    with pytest.raises(ValueError, match="another content"):
        sealed(one.entry, one.salt, b"other")


def test_documents_are_listed_as_canonical_json() -> None:
    marks = [Mark("site", "my shop", 3), Mark("job", "order", 0)]
    assert canonical(json.loads(listed(marks))).decode() == listed(marks)


@given(st.integers(0, 10**9), st.binary(min_size=32, max_size=32), st.sampled_from(["", "2026-03-02T10:11:12.123456Z"]))
def test_a_head_reads_back_however_it_was_broken_into_lines(size: int, root: bytes, at: str) -> None:
    head = Head(size, root, at)
    assert read_head(head_text(head)) == head
    assert read_head(f"The record on paper:\n{head_text(head).replace(' ', chr(10))}\n") == head


@pytest.mark.parametrize("text", ["", "12 entries", "12: " + "ab" * 31, ": " + "ab" * 32])
def test_what_is_no_head_is_none(text: str) -> None:
    assert read_head(text) is None
