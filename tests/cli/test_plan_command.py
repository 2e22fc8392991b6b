"""`standtrue plan` as a person or a program calls it."""

from __future__ import annotations

import json
import signal
from contextlib import nullcontext
from itertools import pairwise
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import jsonschema
import pytest

from command_runner import Run
from kept_answers import commands_ask_once
from standtrue.demo import MAIN_JOB
from standtrue.drive.engine import drive
from standtrue.drive.question.answer import Answer
from standtrue.show.answers.index import answer_schemas


def told(run: Run, shop: Path, *words: str) -> dict[str, Any]:
    ran = run("plan", shop, *words, "--json")
    assert ran.status == 0
    answer: dict[str, Any] = json.loads(ran.out)
    jsonschema.validate(answer, answer_schemas()["plan"])
    return answer


@pytest.mark.usefixtures("asked_once")
def test_the_main_job_is_planned_whole(run: Run, shop: Path) -> None:
    answer = told(run, shop, "--job", MAIN_JOB)
    steps = answer["steps"]
    assert answer["proven"]
    assert [s["kind"] for s in steps].count("calibration") >= 8
    assert {s["kind"] for s in steps} >= {"enter", "move", "leave", "set up", "put away", "scan", "work", "drive"}
    assert all(a["end_min"] == b["start_min"] for a, b in pairwise(steps))
    assert steps[-1]["end_min"] == answer["elapsed_min"]
    assert answer["moves"] == [s["kind"] for s in steps].count("move")
    assert all((s["stance"] is None) == (s["place"] is None) for s in steps)
    assert all(s["margin_m"] >= -1e-9 for s in steps if s["margin_m"] is not None)
    assert sum(s["margin_m"] is not None for s in steps) >= 9
    for move in (s for s in steps if s["kind"] in ("enter", "move", "leave")):
        assert move["path"]["found"]
        assert move["path"]["path"]
        assert move["people"]
    assert steps[0]["path"]["mode"] == "push"
    assert "survey" in {d["kind"] for d in answer["documents"]}, (
        "its cards ask for level floor, and the floor was surveyed"
    )
    assert [u["procedure"] for u in answer["undone"]] == ["surround-view mats"]
    assert answer["undone"][0]["sent_out"] is not None
    assert {"only in lift bay", "part sent out"} <= {a["name"] for a in answer["alternatives"]}
    out = next(a for a in answer["alternatives"] if a["name"] == "part sent out")
    assert out["undone"] == []


@pytest.mark.usefixtures("asked_once")
def test_an_alternative_can_be_told_as_the_plan(run: Run, shop: Path) -> None:
    """With one more person two works go on side by side; what was planned first is then one of the others."""
    answer = told(run, shop, "--job", MAIN_JOB, "--otherwise", "one more person")
    assert answer["otherwise"] == "one more person"
    works = [s for s in answer["steps"] if s["kind"] == "work"]
    assert any(b["start_min"][0] < a["end_min"][0] for a, b in pairwise(works))
    assert any("one more person" in s["people"] for s in works)
    first = next(a for a in answer["alternatives"] if a["name"] == "as planned first")
    assert answer["elapsed_min"][1] < first["elapsed_min"][1] - 60.0
    assert answer["undone"][0]["because"]
    ran = run("plan", shop, "--job", MAIN_JOB, "--otherwise", "one more persn")
    assert ran.status == 2
    assert "Did you mean one more person?" in ran.err


@pytest.mark.usefixtures("asked_once")
def test_the_glass_cures_before_the_camera_is_calibrated(run: Run, shop: Path) -> None:
    answer = told(run, shop, "--job", "nib windshield", "--no-alternatives")
    wait = next(s for s in answer["steps"] if s["kind"] == "wait")
    camera = next(s for s in answer["steps"] if s["kind"] == "calibration")
    assert wait["operation"] == "replace the windshield"
    assert wait["end_min"][1] - wait["start_min"][1] <= 90.0
    assert camera["start_min"] >= wait["end_min"]
    assert answer["alternatives"] == []


@pytest.mark.usefixtures("asked_once")
def test_a_person_reads_the_order_and_what_is_left_out(run: Run, shop: Path) -> None:
    ran = run("plan", shop, "--job", "dromond alignment", "--no-alternatives", "--units", "us", "--why")
    said = " ".join(ran.out.split())
    assert ran.status == 0
    assert said.startswith("dromond alignment: Quendal Dromond, Tanbark Row")
    assert "Proven: no other order is quicker" in said
    assert "Not done here" in said
    assert "It comes after what cannot be done here: ride height from below and wheel alignment" in said
    assert "Caution: Follow the lift maker's instructions. Keep" in said
    assert "was not verified by a second person" not in said


def test_it_is_drawn_step_by_step_and_as_a_chart_of_time(run: Run, shop: Path, tmp_path: Path) -> None:
    """Both pictures are sound, tell every step in words, and come out the same when the job is planned anew."""
    file = tmp_path / "plan.svg"
    texts = []
    for units, anew in (("metric", False), ("us", False), ("metric", True)):
        with nullcontext() if anew else commands_ask_once():
            ran = run("plan", shop, "--job", MAIN_JOB, "--no-alternatives", "--out", file, "--units", units, "--json")
        assert ran.status == 0
        pictures = [p.read_text() for p in (file, tmp_path / "plan-time.svg")]
        roots = [ElementTree.fromstring(p) for p in pictures]
        words = [r.findtext("{http://www.w3.org/2000/svg}desc") or "" for r in roots]
        steps = json.loads(ran.out)["steps"]
        assert all(s["what"] in words[1] for s in steps)
        assert all(s["what"] in words[0] for s in steps if s["kind"] in ("move", "calibration", "work") and s["stance"])
        assert "INVENTED DEMONSTRATION DATA" in pictures[0]
        texts.append(pictures)
    assert texts[0] == texts[2]
    assert texts[0][0] != texts[1][0]


def test_interrupted_it_tells_the_best_so_far_and_says_that_it_is_not_proven(
    run: Run, shop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Ctrl-C during the third path: the first round of moves gave no whole plan, so there is none to tell."""
    asked = []

    def impatient(*ends: Any, **how: Any) -> Answer:
        asked.append(ends)
        if len(asked) == 3:
            signal.raise_signal(signal.SIGINT)
        return drive(*ends, **how)

    monkeypatch.setattr("standtrue.work.plan.moves.drive", impatient)
    ran = run("plan", shop, "--job", MAIN_JOB, "--no-alternatives", "--json")
    answer = json.loads(ran.out)
    jsonschema.validate(answer, answer_schemas()["plan"])
    assert not answer["proven"]
    assert (ran.status == 3) == (answer["moves"] is None)
