"""What is open and what was dropped stands first in `needs`, and in every later answer."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from command_runner import Run
from standtrue.documents import default_rules_text, write_starter

JOB = "order 1001"
OPEN = "Open question: No rule knows 'windsheild resealed'; the nearest they know: windshield removed"
DROPPED = "Required, but dropped by A. Person on 2026-03-02: forward camera (the customer declined it)"


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """The starter's job with a mistyped event, and its camera dropped."""
    write_starter(tmp_path / "shop")
    job = tmp_path / "shop" / "job.toml"
    more = """
[[events]]
event = "windsheild resealed"

[[decisions]]
procedure = "forward camera"
drop = true
because = "the customer declined it"
by = "A. Person"
on = 2026-03-02
"""
    job.write_text(job.read_text(encoding="utf-8") + more, encoding="utf-8")
    return tmp_path / "shop"


def test_they_are_the_first_lines_of_needs(run: Run, shop: Path) -> None:
    told = " ".join(run("needs", shop, "--job", JOB).out.split())
    assert told.startswith(OPEN)
    assert DROPPED in told
    assert told.index(DROPPED) < told.index("What must be calibrated")
    assert run("needs", shop, "--job", JOB, "--fail-on-no").status == 5


def test_they_stand_in_the_json_of_needs_plan_and_sheet(run: Run, shop: Path, tmp_path: Path) -> None:
    commands = (
        ("needs", shop, "--job", JOB, "--json"),
        ("plan", shop, "--job", JOB, "--no-alternatives", "--json"),
        ("sheet", shop, "--job", JOB, "--no-plan", "--out", tmp_path / "sheet.pdf", "--json"),
    )
    for words in commands:
        answer = json.loads(run(*words).out)
        (question,), (dropped,) = answer["open_questions"], answer["dropped"]
        assert question["event"] == "windsheild resealed"
        assert question["nearest"][0] == "windshield removed"
        assert "front radar" in question["sensors"]
        assert question["what_coded"]["code"] == "event-unknown"
        assert (dropped["sensor"], dropped["by"], dropped["on"]) == ("forward camera", "A. Person", "2026-03-02")
        assert dropped["what"] == DROPPED


def test_they_stand_in_the_words_of_the_plan(run: Run, shop: Path) -> None:
    told = " ".join(run("plan", shop, "--job", JOB, "--no-alternatives").out.split())
    assert OPEN in told
    assert DROPPED in told


def test_rules_are_written_to_be_changed_and_count_then(run: Run, shop: Path) -> None:
    (shop / "rules.toml").unlink()
    assert "default rules" in " ".join(run("needs", shop, "--job", JOB, "--why").out.split())
    ran = run("rules", shop)
    assert (ran.status, ran.out.strip()) == (0, str(shop / "rules.toml"))
    assert (shop / "rules.toml").read_text(encoding="utf-8") == default_rules_text()
    assert "default rules" not in " ".join(run("needs", shop, "--job", JOB, "--why").out.split())
    assert run("rules", shop).status == 2


def test_only_what_is_required_is_an_alternative_that_tells_what_it_leaves_out(run: Run, shop: Path) -> None:
    job = shop / "job.toml"
    told = job.read_text(encoding="utf-8").split('[[events]]\nevent = "windsheild')[0]
    job.write_text(told + '\n[[events]]\nevent = "bumper painted"\nwhere = "rear"\n', encoding="utf-8")
    answer = json.loads(run("plan", shop, "--job", JOB, "--json").out)
    looked = {need["procedure"] for need in answer["needs"] if need["how"] == "conditional" and need["card"]}
    assert looked == {"rear corner radar, reflector/left", "rear corner radar, reflector/right"}
    assert not looked & {undone["procedure"] for undone in answer["undone"]}
    (less,) = (other for other in answer["alternatives"] if other["name"] == "only what is required")
    assert set(less["undone"]) - {undone["procedure"] for undone in answer["undone"]} == looked
    assert less["elapsed_min"][0] < answer["elapsed_min"][0]
    told = " ".join(run("plan", shop, "--job", JOB, "--otherwise", "only what is required").out.split())
    assert "what somebody must look at first is left out" in told
