"""The command, on the demonstration shop."""

from __future__ import annotations

import json
from pathlib import Path
from xml.etree import ElementTree

import jsonschema
import pytest

from command_runner import Run, runner
from standtrue.demo import write_demo
from standtrue.show.answers.index import answer_schemas


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Run:
    return runner(capsys, monkeypatch)


def test_from_the_door_onto_the_flush_lift(run: Run, tmp_path: Path) -> None:
    write_demo(tmp_path)
    words = ("--vehicle", "Oskerra Nib", "--from", "door:lift bay door", "--to", "13.2,6.934,180@flush lift/down")
    told = run("drive", tmp_path, *words, "--json")
    answer = json.loads(told.out)
    assert (told.status, answer["found"], answer["search"]) == (0, True, "solved")
    assert answer["doors_open"] == ["lift bay door"]
    assert answer["demonstration"] is True
    assert answer["minutes"][0] < answer["minutes"][1]
    assert {leg["gear"] for leg in answer["path"]} <= {"forward", "reverse"}
    jsonschema.validate(answer, answer_schemas()["drive"])
    picture = tmp_path / "way.svg"
    told = run("drive", tmp_path, *words, "--units", "us", "--out", picture)
    assert "change of direction" in told.out
    assert str(picture) in told.err
    assert ElementTree.parse(picture).getroot().tag.endswith("svg")


def test_what_cannot_be_understood_is_refused(run: Run, tmp_path: Path) -> None:
    write_demo(tmp_path)
    for start in ("here", "1,2", "1,2,nan", "door:back door", "1,2,3@flush lift/sideways"):
        told = run("drive", tmp_path, "--vehicle", "Oskerra Nib", "--from", start, "--to", "10,5,0", "--json")
        assert told.status == 2
        assert json.loads(told.out)["faults"][0]["field"] == "--from"


@pytest.mark.parametrize("start", ["1e308,0,0", "1e6,4,0", "13200,6934,180", "19.0,-2.0,0", "16,12,0"])
def test_a_stance_beyond_the_floor_is_a_fault_told_with_its_extent(run: Run, tmp_path: Path, start: str) -> None:
    # Far beyond any floor; typed in millimeters; beside an apron; in the notch that the outline leaves out.
    write_demo(tmp_path)
    for option, other in (("--from", "--to"), ("--to", "--from")):
        words = (option, start, other, "13.2,6.934,180")
        told = run("drive", tmp_path, "--vehicle", "Oskerra Nib", *words, "--json")
        assert told.status == 2
        (fault,) = json.loads(told.out)["faults"]
        assert (fault["code"], fault["field"], fault["value"]) == ("value-impossible", option, start)
        assert "the floor reaches from 0 mm, 0 mm to 27." in fault["remedy"]
    told = run("floor", tmp_path, "--vehicle", "Oskerra Nib", "--at", start, "--json")
    assert told.status == 2
    assert json.loads(told.out)["faults"][0]["code"] == "value-impossible"


def test_a_heading_may_be_any_number(run: Run, tmp_path: Path) -> None:
    write_demo(tmp_path)
    words = ("--vehicle", "Oskerra Nib", "--from", "13.2,6.934,900", "--to", "13.2,6.934,180", "--json")
    assert json.loads(run("drive", tmp_path, *words).out)["found"]
