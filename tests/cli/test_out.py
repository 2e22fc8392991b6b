"""`--out FILE`: one name for all that is written, refused before any work where the ending is another format."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from command_runner import Run, answered
from standtrue.cli.output import write_file

MOVE = ("--vehicle", "Tavlin Corrow", "--from", "9.8,4.7,90", "--to", "9.8,4.9,90")

WRITTEN: dict[tuple[str, ...], str] = {
    ("needs",): ".json",
    ("place",): ".svg or .json",
    ("job",): ".svg or .json",
    ("drive", *MOVE): ".svg or .json",
    ("plan",): ".svg, .html or .json",
    ("sheet",): ".pdf or .json",
    ("targets",): ".svg or .json",
    ("measured",): ".svg, .pdf or .json",
    ("floor",): ".svg or .json",
    ("alignment",): ".json",
    ("loads",): ".json",
    ("study",): ".pdf, .csv, .parquet or .json",
    ("sizes",): ".csv, .svg or .json",
    ("ahead",): ".csv or .json",
}
"""What each command can write, as it says where it is asked for something else."""


@pytest.mark.parametrize("words", WRITTEN, ids=lambda words: words[0])
def test_another_ending_is_refused_with_what_is_written(run: Run, tmp_path: Path, words: tuple[str, ...]) -> None:
    """Even before the folder is read: there is none."""
    command, *rest = words
    for ending in ("docx", "svgz", ""):
        file = tmp_path / f"answer.{ending}".rstrip(".")
        ran = run(command, tmp_path / "no such folder", *rest, "--out", file)
        assert ran.status == 2
        assert f"let it end in {WRITTEN[words]}" in ran.err
        assert not file.exists()


def test_several_files_are_written_at_once_and_told_behind_the_answer(run: Run, shop: Path, tmp_path: Path) -> None:
    picture, answer = tmp_path / "way.svg", tmp_path / "way.json"
    ran = run("drive", shop, *MOVE, "--out", picture, "--out", answer, "--out", picture)
    assert ran.status == 0, ran.err
    assert picture.read_text("utf-8").startswith("<svg")
    assert answered("drive", answer.read_text("utf-8"))["found"] is True
    assert ran.err.splitlines() == [f"Picture: {picture}", f"Answer: {answer}"]
    assert answer.read_text("utf-8") == run("drive", shop, *MOVE, "--json").out


@pytest.mark.parametrize("old", ["--svg", "--page", "--table", "--sheet", "--set-aside"])
def test_the_old_names_still_serve_and_say_the_new_one(run: Run, tmp_path: Path, old: str) -> None:
    for words in ((old, tmp_path / "a.doc"), (f"{old}={tmp_path / 'a.doc'}",)):
        ran = run("study", tmp_path, *words)
        assert ran.status == 2
        assert f"{old} is now --out" in ran.err
        assert "a.doc --out" in ran.err


def test_all_faults_of_files_are_told_together(run: Run, tmp_path: Path) -> None:
    ran = run("plan", tmp_path, "--out", "a.doc", "--out", "b.png", "--out", "c.svg", "--json")
    assert [fault["file"] for fault in json.loads(ran.out)["faults"]] == ["a.doc", "b.png"]


def test_two_who_write_one_file_at_once_do_not_mix_what_they_write(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The second begins and ends while the first has written and not yet named its file: each is whole, none fails."""
    file, taken = tmp_path / "plan.json", Path.replace

    def meanwhile(part: Path, target: Path) -> Path:
        monkeypatch.setattr(Path, "replace", taken)
        assert write_file(file, "second") is None
        assert file.read_text() == "second"
        return taken(part, target)

    monkeypatch.setattr(Path, "replace", meanwhile)
    assert write_file(file, "first") is None
    assert file.read_text() == "first"
    assert list(tmp_path.iterdir()) == [file]
