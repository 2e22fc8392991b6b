"""The job sheet on the command line: the starter shop's job, whose camera has a set-up."""

from __future__ import annotations

import json
import re
import signal
import subprocess
from pathlib import Path

import jsonschema
import pytest

from command_runner import Run
from standtrue.cli import planning
from standtrue.documents import write_starter
from standtrue.model.asking import Asking
from standtrue.model.job import Job
from standtrue.model.shop import Shop
from standtrue.show.answers.index import answer_schemas
from standtrue.show.words.reader import ENGLISH
from standtrue.work.plan.answer import PlanAnswer
from standtrue.work.plan.plans import find_plan
from standtrue.work.sheet.job import UNPLANNED


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    write_starter(tmp_path / "shop")
    return tmp_path / "shop"


def words_of(pdf: Path) -> str:
    told = subprocess.run(["pdftotext", "-raw", str(pdf), "-"], check=True, capture_output=True).stdout.decode()
    return " ".join(told.replace("\u200b", "").replace("\xa0", " ").split())


def change(file: Path, old: str, new: str) -> None:
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new, 1), encoding="utf-8")


def test_a_job_on_paper(run: Run, shop: Path, tmp_path: Path) -> None:
    file = tmp_path / "sheets" / "job.pdf"
    ran = run("sheet", shop, "--out", file, "--no-plan")
    assert ran.status == 0, ran.err
    assert f"Sheet: {file}" in ran.err.replace("\n", "")
    told = words_of(file)
    answer = json.loads(run("targets", shop, "--json").out)
    (board,) = answer["targets"]
    for said in ("What is done, in which order?", "Where does the board go?", "Fold back along this line"):
        assert said in told
    assert f"Rear axle center {15 * 0.3048:.3f} m along the datum's line and {15 * 0.3048:.3f} m left of it" in told
    assert board["target"] == "board"
    for number in range(1, len(answer["plan"]["readings"]) + 1):
        assert re.search(rf"\b{number} [A-Za-z]", told), number
    again = tmp_path / "again.pdf"
    short = json.loads(run("sheet", shop, "--out", again, "--no-plan", "--json").out)
    assert short["steps"] is short["proven"] is None
    jsonschema.validate(short, answer_schemas()["sheet"])
    assert short["stances"][0]["setups"] == ["camera on order 1001"]
    assert again.read_bytes() == file.read_bytes()


@pytest.mark.usefixtures("asked_once")
def test_with_more_than_one_step_that_needs_a_place_the_order_of_work_is_on_it(
    run: Run, shop: Path, tmp_path: Path
) -> None:
    file = tmp_path / "job.pdf"
    ran = run("sheet", shop, "--out", file, "--units", "us", "--json")
    assert ran.status == 0, ran.err
    short = json.loads(ran.out)
    jsonschema.validate(short, answer_schemas()["sheet"])
    plan = json.loads(run("plan", shop, "--json").out)
    assert short["steps"] == len(plan["steps"])
    assert short["proven"] is plan["proven"] is True
    (stance,) = short["stances"]
    (number,) = stance["steps"]
    step = plan["steps"][number - 1]
    assert step["operation"] == stance["procedures"][0]
    assert stance["place"] == step["stance"]
    told = words_of(file)
    assert plan["steps"][0]["starts"][0] == "2026-03-02T08:30"
    assert "Monday 8:30 a.m." in told
    assert "Only in long bay" not in told, "paper says what is done; what else one could do is for the screen"
    assert f"1001, step {number}" in told


@pytest.mark.usefixtures("asked_once")
def test_what_the_sheet_says_to_write_into_the_set_up_brings_both_together(
    run: Run, shop: Path, tmp_path: Path
) -> None:
    file = tmp_path / "job.pdf"
    assert run("sheet", shop, "--out", file, "--no-alternatives").status == 0
    written = re.search(r"\[stance\]: at = (\[.*?\]), heading = (\S+), on = (\S+)\.", words_of(file))
    assert written is not None
    text = (shop / "setup.toml").read_text(encoding="utf-8")
    head, _, after = text.partition("[stance]")
    rest = after[after.index("\n[") :]
    stance = "\n".join(f"{key} = {value}" for key, value in zip(("at", "heading", "on"), written.groups(), strict=True))
    (shop / "setup.toml").write_text(f"{head}[stance]\n{stance}\n{rest}", encoding="utf-8")
    short = json.loads(run("sheet", shop, "--out", file, "--no-alternatives", "--json").out)
    assert "has the car elsewhere" not in words_of(file)
    (told,) = short["stances"]
    laid = json.loads(run("targets", shop, "--json").out)
    assert laid["stance"]["x_m"] == pytest.approx(told["place"]["x_m"], abs=1e-3)
    assert laid["stance"]["heading_deg"] == pytest.approx(told["place"]["heading_deg"], abs=1e-2)


@pytest.mark.usefixtures("asked_once")
def test_a_single_step_that_needs_a_place_needs_no_plan(run: Run, shop: Path, tmp_path: Path) -> None:
    text = (shop / "job.toml").read_text(encoding="utf-8")
    (shop / "job.toml").write_text(text.partition("[[work]]")[0], encoding="utf-8")
    short = json.loads(run("sheet", shop, "--out", tmp_path / "job.pdf", "--json").out)
    assert short["steps"] is None
    forced = json.loads(run("sheet", shop, "--out", tmp_path / "job.pdf", "--plan", "--json").out)
    assert forced["steps"] > 1


def test_stopped_before_there_is_a_plan_it_is_made_without_one(
    run: Run, shop: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def stopped(shop: Shop, job: Job, *, alternatives: bool, asking: Asking) -> PlanAnswer:
        signal.raise_signal(signal.SIGINT)
        return find_plan(shop, job, alternatives=alternatives, asking=asking)

    monkeypatch.setattr(planning, "find_plan", stopped)
    ran = run("sheet", shop, "--out", tmp_path / "job.pdf", "--json")
    assert ran.status == 0
    short = json.loads(ran.out)
    assert ENGLISH.reason(UNPLANNED) in short["warnings"]
    assert short["steps"] is None
    assert short["stances"]
    assert "Press again" in ran.err


@pytest.mark.usefixtures("asked_once")
def test_us_on_a4(run: Run, shop: Path, tmp_path: Path) -> None:
    file = tmp_path / "job.pdf"
    assert run("sheet", shop, "--out", file, "--no-plan", "--paper", "a4", "--units", "us").status == 0
    assert "Rear axle center 15 ft along the datum's line and 15 ft left of it" in words_of(file)


@pytest.mark.usefixtures("asked_once")
def test_a_set_up_whose_stance_does_not_fit_says_so(run: Run, shop: Path, tmp_path: Path) -> None:
    change(shop / "setup.toml", 'at = ["15 ft", "15 ft"]', 'at = ["15 ft", "1 ft"]')
    file = tmp_path / "job.pdf"
    assert run("sheet", shop, "--out", file, "--no-plan").status == 0
    told = words_of(file)
    assert "The car does not fit here" in told
    assert run("sheet", shop, "--out", file, "--no-alternatives").status == 0
    told = words_of(file)
    assert "The car does not fit here" not in told
    assert "has the car elsewhere" in told
    assert "where it does not fit" in told


@pytest.mark.usefixtures("asked_once")
def test_of_several_set_ups_for_a_card_the_first_by_name_is_shown(run: Run, shop: Path, tmp_path: Path) -> None:
    text = (shop / "setup.toml").read_text(encoding="utf-8")
    moved = text.replace('name = "camera on order 1001"', 'name = "camera again"').replace('"15 ft"]', '"15 ft 2 in"]')
    (shop / "another.toml").write_text(moved, encoding="utf-8")
    short = json.loads(run("sheet", shop, "--out", tmp_path / "job.pdf", "--no-plan", "--json").out)
    assert [s["setups"] for s in short["stances"] if s["setups"]] == [["camera again"]]


def test_bad_questions(run: Run, shop: Path, tmp_path: Path) -> None:
    change(shop / "setup.toml", 'on = "floor"', 'on = "lift 1/sideways"')
    ran = run("sheet", shop, "--out", tmp_path / "job.pdf")
    assert ran.status == 2
    assert "the site has no lift of that name in that state" in " ".join(ran.err.split())
    change(shop / "setup.toml", 'on = "lift 1/sideways"', 'on = "floor"')
    ran = run("sheet", shop, "--out", shop / "setup.toml" / "job.pdf")
    assert ran.status == 2
    assert "cannot be written" in ran.err
    ran = run("sheet", shop, "--out", tmp_path / "job.pdf", "--no-plan", "--otherwise", "only in long bay", "--json")
    assert ran.status == 2
    (fault,) = json.loads(ran.out)["faults"]
    assert (fault["code"], fault["field"]) == ("fields-conflict", "--otherwise")
