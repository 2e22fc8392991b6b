"""The templates of the sheets have no word of their own, and each label that they name is there."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

import pytest

import standtrue
from standtrue.show.words.sheet_labels import ALL, HAND, JOB, REPORT, ROOM

PACKAGE = Path(standtrue.__file__).parent
TEMPLATES = {
    "show/sheets/job/job.typ": JOB,
    "show/sheets/job/card.typ": JOB,
    "show/sheets/report/report.typ": REPORT,
    "show/sheets/report/alone.typ": REPORT,
    "draw/backends/typeset/hand.typ": HAND,
    "show/sheets/room/room.typ": ROOM,
    "draw/backends/typeset/layer.typ": ALL,
}
OTHER = {"w.title", "w.lines"}
"""A loop's own variable of that name."""


@pytest.mark.parametrize(("file", "labels"), TEMPLATES.items())
def test_a_template_names_labels_and_says_nothing(file: str, labels: Mapping[str, str]) -> None:
    text = re.sub(r"//.*", "", (PACKAGE / file).read_text(encoding="utf-8"))
    named = set(re.findall(r"\bw\.[a-z][a-z-]*", text)) - OTHER
    assert {name.removeprefix("w.") for name in named} <= set(labels)
    assert not re.search(r"\[[^\]#]*[A-Za-z]{3}", text), "words in markup"


def test_every_label_is_used() -> None:
    texts = [(PACKAGE / file).read_text(encoding="utf-8") for file in TEMPLATES]
    for key in {*JOB, *REPORT, *ROOM}:
        assert any(re.search(rf"\bw\.{key}(?![a-z-])", text) for text in texts), key
