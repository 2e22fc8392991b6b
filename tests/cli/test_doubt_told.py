"""What `measured` says of a reading that was typed wrong, in text and in JSON, from the document on."""

from __future__ import annotations

from pathlib import Path

import pytest

from command_runner import Run, answered
from standtrue.demo import write_demo

FILE = "setup-corrow-camera-moved.toml"
NAME = ("--setup", "corrow camera, moved")


@pytest.fixture
def mistyped(tmp_path: Path) -> Path:
    """The demonstration's board in place, with two digits of a tape swapped."""
    shop = tmp_path / "shop"
    write_demo(shop)
    text = (shop / FILE).read_text(encoding="utf-8")
    right, wrong = 'to = "wide board left", value = 6483', 'to = "wide board left", value = 6843'
    assert right in text
    (shop / FILE).write_text(text.replace(right, wrong, 1), encoding="utf-8")
    return shop


def test_the_slip_is_named_and_the_board_is_not_rejected(run: Run, mistyped: Path) -> None:
    answer = answered("measured", run("measured", mistyped, *NAME, "--json").out)
    assert answer["verdict"] == "cannot tell"
    doubt = answer["doubt"]
    assert doubt["explained"]
    (suspect,) = doubt["suspects"]
    (number,) = suspect["readings"]
    assert "clamp rear left to wide board left" in suspect["titles"][0]
    said = f"reading {number}: two digits swapped would explain it, 6843 for 6483"
    assert [c["words"] for c in doubt["causes"]] == [said]
    assert suspect["too_large_m"] == pytest.approx(0.360, abs=0.005)
    assert doubt["results"][0]["without"] == [number]
    assert {p["verdict"] for t in doubt["results"][0]["targets"] for p in t["parts"]} == {"accept"}
    (target,) = answer["targets"]
    assert target["from_others"]
    assert target["verdict"] != "reject"


def test_a_reader_is_told_which_reading_and_whose_left(run: Run, mistyped: Path) -> None:
    said = " ".join(run("measured", mistyped, *NAME).out.split())
    assert "(distance clamp rear left to wide board left, looking at its printed side" in said
    assert "The targets by the other readings, without reading " in said
    assert "out of tolerance" not in said
