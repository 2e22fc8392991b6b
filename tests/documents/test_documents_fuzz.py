"""Whatever stands in a file, reading it gives coded faults or a clean document: never an exception."""

from __future__ import annotations

import copy
import datetime
import json
import math
import random
from functools import cache
from typing import Any

import pytest
from document_makers import KINDS, TOGETHER, WHOLE, whole
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from standtrue.documents import FAULT_CODES, Document, gather, load_text, read_document
from standtrue.show.answers.faults import of_faults
from standtrue.show.words.reader import ENGLISH, Reader

READERS = (ENGLISH, Reader("us", "es"))
TEXTS = [file.read_bytes() for file in sorted(WHOLE.glob("*.toml"))]
JSON_TEXTS = [json.dumps(whole(kind), default=datetime.date.isoformat).encode() for kind in KINDS]

leaves = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(),
    st.sampled_from([0, -1, 10**30, -(10**30), 10**400, 2**63]),
    st.floats(),
    st.sampled_from([math.nan, math.inf, 1e308, 5e-324, -0.0]),
    st.text(max_size=12),
    st.sampled_from(
        [
            "3 ft",
            "9' 6 1/2\"",
            "nan m",
            "5 kg",
            "40 s",
            "*",
            "each",
            "front",
            "sensor",
            "down",
            "whole car",
            "\ud800",
            "a\0",
        ]
    ),
    st.dates(),
    st.times(),
)
values = st.recursive(
    leaves,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=6), inner, max_size=3),
    max_leaves=6,
)
shapes = st.one_of(
    st.lists(st.lists(st.integers(-3, 3), min_size=2, max_size=2), max_size=6),
    st.lists(st.floats(-1e9, 1e9), min_size=3, max_size=4),
    st.fixed_dictionaries({"box": st.lists(st.integers(-3, 3), min_size=4, max_size=4)}),
    st.fixed_dictionaries({"circle": st.lists(st.floats(-5, 5), min_size=3, max_size=3)}),
)


def spots(at: Any) -> list[tuple[Any, Any]]:
    """Every container and key in a document."""
    found: list[tuple[Any, Any]] = []
    items = at.items() if isinstance(at, dict) else enumerate(at) if isinstance(at, list) else ()
    for key, item in items:
        found.append((at, key))
        found.extend(spots(item))
    return found


def mutate(document: dict[str, Any], rng: random.Random, value: object) -> None:
    """One change at a random place: set, take out, add, wrap, double, move."""
    places = spots(document)
    if not places:
        return
    at, key = rng.choice(places)
    deed = rng.randrange(7)
    if deed <= 1:
        at[key] = value
    elif deed == 2:
        del at[key]
    elif deed == 3 and isinstance(at, dict):
        at[rng.choice(["box", "circle", "sector", "outline", "units", "tyre_width", "name", "", "a.b", "schema"])] = (
            value
        )
    elif deed == 4:
        at[key] = rng.choice([[at[key]], {"outline": at[key]}, {"name": at[key]}])
    elif deed == 5 and isinstance(at, list):
        at.append(copy.deepcopy(at[key]))
    else:
        other, other_key = rng.choice(places)
        if other_key in other if isinstance(other, dict) else other_key < len(other):
            at[key] = copy.deepcopy(other[other_key])


def check(documents: list[Document]) -> None:
    folder = gather(documents)
    assert all(fault.code in FAULT_CODES for fault in folder.faults)
    for fault in (*folder.faults, *folder.doubts):
        said = [reader.reason(part) for reader in READERS for part in (fault.what, fault.remedy)]
        assert all(said)
        assert len(fault.value) <= 80
        assert "\n" not in fault.value
        json.dumps([*said, fault.field, fault.value]).encode()
        of_faults([fault])
    assert all(document.form is not None or document.faults or document.doubts for document in documents)


@cache
def sound(kind: str) -> Document:
    """The whole document of a kind as it was written."""
    return read_document(whole(kind), kind)


def mutated(kind: str, rng: random.Random, new: list[object]) -> None:
    document = whole(kind)
    for value in new:
        mutate(document, rng, value)
    check([read_document(document, kind), *(sound(other) for other in TOGETHER if other != kind)])


def garbled(text: bytes, file: str, rng: random.Random) -> None:
    data = bytearray(text)
    for _ in range(rng.randrange(1, 6)):
        start = rng.randrange(len(data) + 1)
        end = min(len(data), start + rng.choice([0, 1, 1, 3, 40]))
        new = rng.choice(
            [b"", b"", rng.randbytes(1), rng.randbytes(4), bytes(rng.choices(b'[]{}="\n.,-0919eE#', k=3)), data[:30]]
        )
        data[start:end] = new
    check([load_text(bytes(data), file)])


@settings(derandomize=True, deadline=None, max_examples=1200, suppress_health_check=list(HealthCheck))
@given(st.sampled_from(KINDS), st.randoms(use_true_random=False), st.lists(values | shapes, min_size=1, max_size=4))
def test_changed_documents(kind: str, rng: random.Random, new: list[object]) -> None:
    mutated(kind, rng, new)


def test_garbled_bytes() -> None:
    rng = random.Random(7)
    for _ in range(600):
        garbled(rng.choice(TEXTS), "x.toml", rng)
        garbled(rng.choice(JSON_TEXTS), "x.json", rng)


@settings(derandomize=True, deadline=None, max_examples=200)
@given(st.binary(max_size=60), st.sampled_from(["x.toml", "x.json"]))
def test_random_bytes(data: bytes, file: str) -> None:
    check([load_text(data, file)])


@settings(derandomize=True, deadline=None, max_examples=200)
@given(values)
def test_random_values(value: object) -> None:
    check([read_document(value, "x")])


@pytest.mark.long
@settings(derandomize=True, deadline=None, max_examples=20_000, suppress_health_check=list(HealthCheck))
@given(st.sampled_from(KINDS), st.randoms(use_true_random=False), st.lists(values | shapes, min_size=1, max_size=6))
def test_changed_documents_long(kind: str, rng: random.Random, new: list[object]) -> None:
    mutated(kind, rng, new)


@pytest.mark.long
def test_garbled_bytes_long() -> None:
    rng = random.Random(11)
    for _ in range(20_000):
        garbled(rng.choice(TEXTS), "x.toml", rng)
        garbled(rng.choice(JSON_TEXTS), "x.json", rng)


@pytest.mark.parametrize("kind", KINDS)
def test_no_name_that_is_a_list_goes_unheard(kind: str) -> None:
    others = [read_document(whole(other), other) for other in TOGETHER if other != kind]
    count = sum(1 for at, key in spots(whole(kind)) if key == "name")
    for number in range(count):
        document = whole(kind)
        at, key = [(at, key) for at, key in spots(document) if key == "name"][number]
        at[key] = [at[key]]
        read = read_document(document, kind)
        assert read.faults
        check([read, *others])
