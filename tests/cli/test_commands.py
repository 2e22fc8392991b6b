"""The commands, as a person or a program calls them."""

from __future__ import annotations

from pathlib import Path

import pytest

from command_runner import Run, answered
from standtrue.demo import MAIN_JOB
from standtrue.documents import write_starter

SITE, CAR, CARD = "Tanbark Row", "Oskerra Nib", "forward camera board"


def test_read(run: Run, shop: Path) -> None:
    ran = run("read", shop, "--json")
    answer = answered("read", ran.out)
    assert ran.status == 0
    assert answer["faults"] == []
    assert answer["demonstration"] is True
    assert {d["kind"] for d in answer["documents"]} >= {"site", "lift", "vehicle", "procedure", "job", "mix"}
    assert run("read", shop).status == 0


def test_needs(run: Run, shop: Path) -> None:
    ran = run("needs", shop, "--job", MAIN_JOB, "--json")
    answer = answered("needs", ran.out)
    assert ran.status == 0
    assert answer["needs"]
    assert all(n["because"] for n in answer["needs"])
    table = run("needs", shop, "--job", MAIN_JOB).out
    assert "Caution" in table
    assert "current service information" in " ".join(table.split())


def test_place_answers_every_support_of_the_card(run: Run, shop: Path) -> None:
    ran = run("place", shop, "--site", SITE, "--vehicle", CAR, "--procedure", CARD, "--region", "0", "--json")
    answer = answered("place", ran.out)
    assert ran.status == 0
    assert len(answer["answers"]) > 1
    for one in answer["answers"]:
        assert (one["stance"] is not None) == (one["fits"] is True)
        if one["fits"] is True:
            assert one["margin_m"] <= one["margin_bound_m"] + 1e-9
            assert one["region"][0]["heading_deg"] == 0.0
    assert "current service information" in answer["cautions"][-1]


def test_place_in_one_bay_takes_the_variant_that_serves_there(run: Run, shop: Path) -> None:
    """On the lift, behind its shut door, only the near plate fits; the back bay has no lift."""
    words = ("place", shop, "--site", SITE, "--vehicle", "Tavlin Brask", "--procedure", "night-vision heated target")
    found = {}
    for bay in ("lift bay", "back bay"):
        ran = run(*words, "--bay", bay, "--support", "lift down", "--json")
        assert ran.status == 0
        (found[bay],) = answered("place", ran.out)["answers"]
    assert found["lift bay"]["fits"] is True
    assert found["lift bay"]["variant"] == "near plate"
    assert found["lift bay"]["doors_open"] == []
    assert found["back bay"]["fits"] is False
    assert run(*words, "--bay", "no such bay").status == 2


def test_the_same_question_gets_the_same_bytes(run: Run, shop: Path) -> None:
    words = ("job", shop, "--job", MAIN_JOB, "--json")
    assert run(*words).out == run(*words).out


def test_place_draws_one_answer_into_the_file_named(run: Run, shop: Path, tmp_path: Path) -> None:
    file = tmp_path / "new folder" / "plan.svg"
    ran = run("place", shop, "--site", SITE, "--vehicle", CAR, "--procedure", CARD, "--support", "floor", "--out", file)
    assert ran.status == 0
    assert file.read_text(encoding="utf-8").startswith("<svg")
    assert str(file) in ran.err


@pytest.mark.usefixtures("asked_once")
def test_several_answers_get_a_file_each(run: Run, shop: Path, tmp_path: Path) -> None:
    ran = run("job", shop, "--job", MAIN_JOB, "--out", tmp_path / "plan.svg", "--units", "us")
    assert ran.status == 0
    drawn = list(tmp_path.glob("plan*.svg"))
    assert len(drawn) > 3
    assert len(ran.err.splitlines()) == 1
    assert all(str(file) in ran.err for file in drawn)


@pytest.mark.usefixtures("asked_once")
def test_job_answers_needs_and_places(run: Run, shop: Path) -> None:
    answer = answered("job", run("job", shop, "--job", MAIN_JOB, "--json").out)
    cards = {key.partition("/")[0] for n in answer["needs"] for key in n["chain"]}
    assert {a["procedure"] for a in answer["answers"]} <= cards
    assert answer["answers"]


@pytest.mark.usefixtures("asked_once")
def test_demo_writes_a_shop_and_answers_it(run: Run, tmp_path: Path) -> None:
    folder = tmp_path / "demo"
    ran = run("demo", folder, "--answer-last")
    assert ran.status == 0
    drawn = {f.name for f in (folder / "pictures").iterdir()}
    assert {"plan.svg", "plan-2.svg", "plan-time.svg", "plan.html"} <= drawn
    assert "Invented demonstration data" in ran.out
    assert [line.partition(" ")[0] for line in ran.err.splitlines()[1:]] == ["Picture:"] * 3
    assert ran.err.splitlines()[1].endswith("plan.html")
    assert ran.err.splitlines()[2].endswith("plan.svg and plan-2.svg to plan-4.svg")
    last = ran.out[ran.out.index(f"\n{MAIN_JOB}: ") + 1 :].splitlines()
    assert len(last) <= 7, "with the three pictures, ten lines"
    assert "at the earliest" in last[1]
    again = run("demo", folder)
    assert again.status == 0, "a second time finds its own files as they were"
    assert again.out.splitlines()[: len(last)] == last


def test_demo_overwrites_nothing(run: Run, tmp_path: Path) -> None:
    (tmp_path / "site.toml").write_text("mine", encoding="utf-8")
    ran = run("demo", tmp_path)
    assert ran.status == 2
    assert "Traceback" not in ran.err
    assert (tmp_path / "site.toml").read_text(encoding="utf-8") == "mine"


def test_new_scaffolds_a_folder_that_reads_clean(run: Run, tmp_path: Path) -> None:
    folder = tmp_path / "mine"
    assert run("new", folder).status == 0
    assert run("read", folder).status == 0
    again = run("new", folder)
    assert again.status == 2
    assert "already" in again.err


def test_a_folder_with_brackets_in_its_name_is_told_as_it_is(run: Run, tmp_path: Path) -> None:
    folder = tmp_path / "[bold]mine[red]"
    ran = run("new", folder)
    assert ran.status == 0
    assert all(line.startswith(str(folder)) for line in ran.out.splitlines())
    assert "site.toml" in ran.out


@pytest.mark.parametrize(
    ("words", "field"),
    [
        (("needs", "--job", "corow front"), "--job"),
        (("place", "--site", "nowhere", "--vehicle", CAR), "--site"),
        (("place", "--site", SITE, "--vehicle", "nobody"), "--vehicle"),
        (("place", "--site", SITE, "--vehicle", CAR, "--procedure", "forward camera bord"), "--procedure"),
        (("place", "--site", SITE, "--vehicle", CAR, "--support", "roof"), "--support"),
        (("place", "--site", SITE), "--vehicle"),
    ],
)
def test_names_that_are_not_there(run: Run, shop: Path, words: tuple[str, ...], field: str) -> None:
    command, *rest = words
    ran = run(command, shop, *rest, "--json")
    answer = answered("faults", ran.out)
    assert ran.status == 2
    assert answer["faults"][0]["field"] == field
    assert answer["faults"][0]["remedy"]
    said = run(command, shop, *rest)
    assert said.status == 2
    assert "Traceback" not in said.err
    assert said.out == ""


def test_a_folder_with_faults_is_never_half_answered(run: Run, tmp_path: Path) -> None:
    write_starter(tmp_path)
    (tmp_path / "broken.toml").write_text('kind = "site"\nschema = 1\nname = "x"\n', encoding="utf-8")
    for command in ("read", "needs", "place", "job"):
        ran = run(command, tmp_path, "--json")
        assert ran.status == 2
        assert answered("faults", ran.out)["faults"]
    assert run("read", tmp_path / "not there").status == 2


@pytest.mark.usefixtures("asked_once")
def test_a_picture_that_cannot_be_written_is_a_fault(run: Run, shop: Path, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    ran = run("job", shop, "--job", MAIN_JOB, "--out", tmp_path / "file" / "plan.svg")
    assert ran.status == 2
    assert "cannot be written" in ran.err
