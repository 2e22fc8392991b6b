"""What an answer lacks to rest on stands in its first lines, and every figure of its words stands in its JSON."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from command_runner import Run
from standtrue.documents import write_starter

FIRST = 12
"""So many lines are on a screen before anything is scrolled."""


@pytest.fixture
def starter(tmp_path: Path) -> Path:
    write_starter(tmp_path)
    return tmp_path


def without(shop: Path, file: str, tables: str) -> None:
    """Take all tables of a name out of a document."""
    path = shop / file
    path.write_text(re.sub(rf"(?ms)^\[\[{tables}\]\].*?(?=^\[|\Z)", "", path.read_text("utf-8")), "utf-8")


def first(run: Run, *words: object) -> str:
    ran = run(*words)
    assert ran.status == 0, ran.err
    return " ".join(" ".join(ran.out.splitlines()[:FIRST]).split())


def test_what_a_shop_does_not_list_is_told_at_once(run: Run, starter: Path) -> None:
    without(starter, "site.toml", "equipment")
    without(starter, "site.toml", "people")
    told = first(run, "plan", starter, "--no-alternatives")
    assert "Tamarack Street lists no equipment: target frame is taken to be there" in told
    assert "the site lists no people" in told
    assert "Tamarack Street lists no equipment" in first(run, "study", starter, "--no-places")
    assert "the site lists no such equipment" in first(run, "place", starter, "--no-remedies")


def test_what_was_not_measured_is_told_at_once(run: Run, starter: Path) -> None:
    car = starter / "vehicle.toml"
    car.write_text(re.sub(r"(?m)^(height|front_overhang|tire_width) = .*$", "", car.read_text("utf-8")), "utf-8")
    (starter / "survey.toml").unlink()
    told = first(run, "place", starter, "--no-remedies")
    assert re.search(r"estimated, not measured: [^.]*height, front overhang, [^.]*tire width", told)
    assert "Cannot tell: forward camera, targets ahead." in told
    assert "not surveyed" in told
    assert "_" not in told


# Figures

FIGURE = re.compile(r"(?<![\w.:])(-?\d[\d,]*(?:\.\d+)?) ?(mm|m|%|°|kg|lux)(?!\w)")
SMALLEST = {"mm": (1e-3, 1.001e-3), "m": (1.0, 1.001e-3), "%": (0.01, 0.00501), "°": (1.0, 0.0501), "kg": (1.0, 1.0)}
"""What a figure's unit is in an answer's own units, and how far a rounded figure may be from the answer's."""

ASKED = (("place", "--no-remedies"), ("targets",), ("measured",), ("floor",), ("loads",), ("study",))


def numbers(value: Any) -> Iterator[float]:
    """Every number of an answer, those in its texts too."""
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        yield abs(float(value))
    elif isinstance(value, str):
        yield from (float(found) for found in re.findall(r"\d+(?:\.\d+)?", value))
    elif isinstance(value, (list, dict)):
        for part in value.values() if isinstance(value, dict) else value:
            yield from numbers(part)


@pytest.mark.parametrize("words", ASKED, ids=lambda words: words[0])
def test_every_figure_told_stands_in_the_json(run: Run, starter: Path, words: tuple[str, ...]) -> None:
    told, data = run(words[0], starter, *words[1:], "--why"), run(words[0], starter, *words[1:], "--json")
    if words[0] in ("floor", "loads"):
        told = run(words[0], starter, *words[1:])
    assert told.status == data.status in (0, 4, 5)
    answer = json.loads(data.out)
    known = set(numbers(answer))
    figures = [(found[0], float(found[1].replace(",", "")), found[2]) for found in FIGURE.finditer(told.out)]
    assert figures
    for text, figure, unit in figures:
        scale, within = SMALLEST.get(unit, (1.0, 0.5))
        value = abs(figure)
        own = any(abs(number - value * scale) <= within or abs(number - value) < 1e-9 for number in known)
        assert own, f"{words[0]} says {text}, and its JSON knows nothing of it"
