"""Faults read back as they were written, and are said whole in both units and both languages."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import standtrue
from standtrue.documents import FAULT_CODES, load_text
from standtrue.documents.estimate import ESTIMATES
from standtrue.model.basics import Fault
from standtrue.show.answers.faults import Faults, FaultShape, of_faults
from standtrue.show.answers.parts import Coded
from standtrue.show.words.extract import lacking
from standtrue.show.words.faults import ASKED, MEANINGS, faults_blocks
from standtrue.show.words.reader import ENGLISH, Reader

US, SPANISH = Reader("us"), Reader("us", "es")
METRIC = re.compile(r"\d ?(mm|m|km)\b")

coded = st.none() | st.builds(
    Coded,
    code=st.text(max_size=5),
    values=st.dictionaries(st.text(max_size=5), st.integers() | st.text(max_size=4) | st.none(), max_size=2),
)
words = st.text(max_size=5)
told = st.builds(
    FaultShape,
    code=words,
    what=words,
    file=words,
    field=words,
    value=words,
    remedy=words,
    what_coded=coded,
    remedy_coded=coded,
)

BROKEN = """
kind = "site"
schema = 1
name = "a"
units = "m"
outline = [[0, 0], [4, 4], [4, 0], [0, 4]]
clear_height = "3,100 m"
lights = 3
doors = [{ name = "d", from = [0, 0], to = [9, 9], height = -1 }]
"""
CAR = 'kind = "vehicle"\nschema = 1\nname = "c"\nunits = "m"\nlength = 46\nwidth = 1.8\nwheelbase = 2.8\n'


def faults() -> tuple[Fault, ...]:
    texts = (BROKEN, CAR, "a =", 'kind = "sight"', "schema = 2")
    return tuple(fault for text in texts for fault in load_text(text, "x.toml").faults)


@settings(derandomize=True, deadline=None, max_examples=100)
@given(st.builds(Faults, faults=st.lists(told, max_size=3)))
def test_faults_read_back(answer: Faults) -> None:
    assert Faults.from_json(answer.to_json()) == answer


def test_real_faults_read_back_and_carry_codes() -> None:
    answer = of_faults(faults())
    assert Faults.from_json(answer.to_json()) == answer
    assert len(answer.faults) >= 8
    for fault in answer.faults:
        assert fault.code in FAULT_CODES
        assert fault.what_coded is not None
        assert fault.remedy_coded is not None
    size = next(f for f in answer.faults if f.what == "no car has a length of 46.000 m")
    assert size.what_coded == Coded(code="no-car-of-that-size", values={"field": "length", "value_m": 46.0})


def test_no_metric_figure_for_us_readers() -> None:
    said = [US.reason(part) for fault in faults() for part in (fault.what, fault.remedy)]
    said += [US.reason(part) for estimate in ESTIMATES for part in (estimate.rule, estimate.source)]
    assert [s for s in said if METRIC.search(s.replace('"2450 mm"', "").replace('"mm"', ""))] == []


def test_every_sentence_has_its_spanish() -> None:
    assert [file for file in lacking("es") if "documents" in file or file.endswith("words/faults.py")] == []
    for fault in faults():
        assert SPANISH.reason(fault.what) != ENGLISH.reason(fault.what)


@pytest.mark.parametrize("reader", [ENGLISH, SPANISH])
def test_blocks_name_place_value_and_remedy(reader: Reader) -> None:
    blocks = faults_blocks(faults(), reader)
    assert len(blocks) == len(faults()) + 1
    assert blocks[0].heading.startswith("x.toml ")


def test_every_code_has_its_meaning() -> None:
    assert set(FAULT_CODES) == set(MEANINGS)
    assert not set(MEANINGS) & set(ASKED)
    source = Path(standtrue.__file__).parent
    text = "".join(f.read_text() for part in ("work", "cli", "place") for f in (source / part).rglob("*.py"))
    found = re.findall(r"(?:Fault|_fault|refused)\(\s*\"([a-z-]+)\"", text)
    assert len(set(found)) > 10
    assert set(found) <= {*MEANINGS, *ASKED}
