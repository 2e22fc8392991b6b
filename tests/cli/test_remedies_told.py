"""What would make room, as the commands tell it."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest

from command_runner import runner
from standtrue.demo import write_demo
from standtrue.show.answers.index import answer_schemas


def test_remedies_are_told_in_json_in_words_and_on_the_plan(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    run = runner(capsys, monkeypatch)
    write_demo(tmp_path)
    asked = ("place", tmp_path, "--vehicle", "Tavlin Brask", "--procedure", "forward camera wide board")
    words = (*asked, "--support", "lift down")
    answer = json.loads(run(*words, "--json").out)
    jsonschema.validate(answer, answer_schemas()["place"])
    (one,) = answer["answers"]
    assert one["fits"] is False
    assert one["remedies"] == [
        {
            "thing": "middle cover of inspection pit",
            "kind": "cover",
            "action": "cover",
            "least_m": None,
            "direction_deg": None,
            "exact": True,
        }
    ]
    assert one["remedy_pairs"] == []
    assert one["remedies_complete"] is True
    assert one["remedies_missing"] == []
    told = "close the middle cover of the inspection pit"
    assert told in " ".join(run(*words).out.split())
    run(*words, "--out", tmp_path / "plan.svg")
    assert told in (tmp_path / "plan.svg").read_text(encoding="utf-8")


def test_remedies_can_be_left_out(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    run = runner(capsys, monkeypatch)
    write_demo(tmp_path)
    asked = ("place", tmp_path, "--vehicle", "Tavlin Brask", "--procedure", "forward camera wide board")
    answer = json.loads(run(*asked, "--support", "lift down", "--no-remedies", "--json").out)
    (one,) = answer["answers"]
    assert one["fits"] is False
    assert one["remedies"] == one["remedy_pairs"] == []
    assert one["remedies_complete"] is False
    assert "what would make room was not asked: left out on wish" in answer["warnings"]
    said = run(*asked, "--support", "lift down", "--no-remedies").out
    assert "makes it fit" not in " ".join(said.split()), "what was not asked is not told as none"
