"""The command `read`: what was understood of each document, and what can hardly be meant, told once."""

from __future__ import annotations

from pathlib import Path

import pytest

from command_runner import Run, answered
from standtrue.documents import write_starter


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    write_starter(tmp_path)
    (tmp_path / "rules.toml").unlink()
    return tmp_path


def mistype(shop: Path, file: str, old: str, new: str) -> None:
    text = (shop / file).read_text(encoding="utf-8")
    assert old in text
    (shop / file).write_text(text.replace(old, new), encoding="utf-8")


def test_each_document_is_echoed_in_a_line_in_the_reader_s_units_and_language(run: Run, shop: Path) -> None:
    told = {one["kind"]: one["said"] for one in answered("read", run("read", shop, "--json").out)["understood"]}
    assert told["site"].startswith("13.411 m x 9.296 m, 124.7 m², 4.000 m clear, 1 lift, 1 door")
    assert told["vehicle"].startswith("4.620 m long, 2.060 m wide with mirrors, wheelbase 2.710 m, 1560 kg")
    assert "1 target, 2.438 m from: front axle" in told["procedure"] or "rear corner radar" in told["procedure"]
    shown = " ".join(run("read", shop, "--units", "us").out.split())
    assert "44 ft x 30 ft 6 in, 1,342 sq ft, 13 ft 1 1/2 in clear, 1 lift, 1 door" in shown
    assert "44 ft x 30 ft 6 in" in run("read", shop, "--units", "us", "--language", "es").out
    assert "1 elevador" in run("read", shop, "--units", "us", "--language", "es").out


def test_what_can_hardly_be_meant_is_told_with_its_line_and_keeps_nothing_from_being_read(run: Run, shop: Path) -> None:
    mistype(shop, "site.toml", "at = [8, 15]", "at = [8, 28]")
    mistype(shop, "vehicle.toml", "mass = 1560 ", "mass = 3440 ")
    ran = run("read", shop, "--json")
    answer = answered("read", ran.out)
    assert ran.status == 0
    assert [(one["code"], one["file"], one["line"]) for one in answer["doubts"]] == [
        ("stands-in-wall", "site.toml", 63),
        ("mass-in-pounds", "vehicle.toml", 22),
    ]
    assert all(any(one["what"] in warning for warning in answer["warnings"]) for one in answer["doubts"])
    assert "site.toml line 63, lifts[0].at: lift 1 reaches" in answer["warnings"][0]
    shown = run("read", shop).out
    assert shown.splitlines()[0] == "10 documents read. 2 values can hardly be meant:"
    assert shown.count("it may be in pounds") == 1


def test_other_commands_tell_once_how_much_stands_in_the_documents_that_they_used(run: Run, shop: Path) -> None:
    mistype(shop, "site.toml", "at = [8, 15]", "at = [8, 28]")
    mistype(shop, "vehicle.toml", "mass = 1560 ", "mass = 3440 ")
    told = answered("needs", run("needs", shop, "--json").out)["warnings"]
    assert [one for one in told if "standtrue read" in one] == [
        "1 value of these documents can hardly be meant: standtrue read tells it"
    ], "the needs rest on the car, not on the site"


def test_a_fault_is_told_with_its_line_in_the_file(run: Run, shop: Path) -> None:
    mistype(shop, "site.toml", "[44, 21]", "[44, 20' 6\"]")
    ran = run("read", shop)
    assert ran.status == 2
    assert "site.toml line 35: 20' 6\" stands without quotes [toml-syntax]" in " ".join(ran.err.split())
    assert "1 fault" in ran.err
