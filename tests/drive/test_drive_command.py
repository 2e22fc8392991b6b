"""The command, on the demonstration shop."""

from __future__ import annotations

import json
import math
from pathlib import Path
from xml.etree import ElementTree

import jsonschema
import pytest
from shapely import Point

from command_runner import Run, runner
from standtrue.demo import write_demo
from standtrue.documents import read_folder
from standtrue.plane.shapes import polygon
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


def test_a_bay_and_a_lift_are_ends_by_their_names(run: Run, tmp_path: Path) -> None:
    """The car stands inside the bay, parallel to it; and on the decks of the lift, one wheel on each."""
    write_demo(tmp_path)
    words = ("--vehicle", "Oskerra Nib", "--from", "bay:long bay", "--to", "lift:flush lift", "--json")
    told = run("drive", tmp_path, *words)
    answer = json.loads(told.out)
    site = read_folder(tmp_path).sites["Tanbark Row"]
    (bay,) = [one for one in site.bays if one.name == "long bay"]
    (lift,) = [one for one in site.lifts if one.name == "flush lift"]
    start, goal = answer["start"], answer["goal"]
    assert polygon(bay.outline).contains(Point(start["x_m"], start["y_m"]))
    assert math.remainder(start["heading_deg"], 90.0) == pytest.approx(0.0, abs=1e-6)
    off = goal["y_m"] - lift.at[1], math.remainder(goal["heading_deg"] - math.degrees(lift.heading_rad), 180.0)
    assert off == pytest.approx((0.0, 0.0), abs=0.5)
    for one, other in (("bay:back lot", "Tanbark Row has no bay"), ("lift:lift", "Tanbark Row has no lift")):
        told = run("drive", tmp_path, "--vehicle", "Oskerra Nib", "--from", one, "--to", "10,5,0")
        assert told.status == 2
        assert other in " ".join((told.out + told.err).split())


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
