"""The command `study` on the demonstration shop: the answer's shape, and the same answers as `place` one by one."""

from __future__ import annotations

import csv
import json
import re
import subprocess
from pathlib import Path

import pyarrow.parquet
import pytest

from command_runner import Run, answered
from standtrue.documents import read_folder, write_starter
from standtrue.model.ground import Grounds
from standtrue.place.many.many import one_by_one
from standtrue.place.margin.ways import Question
from standtrue.show.answers import tables


@pytest.mark.usefixtures("asked_once")
def test_study_answers_what_place_would_and_writes_its_rows(run: Run, shop: Path, tmp_path: Path) -> None:
    table, sheet = tmp_path / "rows.csv", tmp_path / "sheet.pdf"
    ran = run("study", shop, "--json", "--no-places", "--out", table, "--out", sheet, "--paper", "a4")
    assert ran.status == 0
    assert sheet.read_bytes().startswith(b"%PDF")
    answer = answered("study", ran.out)
    assert answer["demonstration"]
    assert not answer["partial"]
    (room,) = answer["rooms"]
    assert 0.0 < room["share"] < 1.0
    assert room["stops"]
    assert room["changes"][0]["won_per_year"] > 0.0
    rows = list(csv.DictReader(table.read_text().splitlines()))
    assert len(rows) == len(room["fits"])
    found = read_folder(shop)
    grounds = Grounds(found.sites[room["site"]])
    cards = {c.key: c for c in found.procedures}
    for one in room["fits"][::7]:
        question = Question(grounds, found.vehicles[one["vehicle"]], (cards[one["procedure"]],), one["support"])
        fits, _ = one_by_one(question)
        assert one["fits"] == fits.value


@pytest.mark.usefixtures("asked_once")
def test_the_sheet_is_on_the_paper_that_the_rooms_site_names(run: Run, tmp_path: Path) -> None:
    shop = tmp_path / "shop"
    write_starter(shop)
    site = shop / "site.toml"
    site.write_text(f'{site.read_text()}\n[reader]\npaper = "a4"\n')
    for asked, width_mm in (((), 210.0), (("--paper", "letter"), 215.9)):
        sheet = tmp_path / "sheet.pdf"
        assert run("study", shop, "--no-places", "--out", sheet, *asked).status == 0
        told = subprocess.run(["pdfinfo", str(sheet)], check=True, capture_output=True).stdout.decode()
        found = re.search(r"Page size: +([\d.]+) x", told)
        assert found is not None
        assert float(found[1]) * 25.4 / 72 == pytest.approx(width_mm, abs=0.1)


def test_a_file_of_no_known_kind_is_refused(run: Run, shop: Path, tmp_path: Path) -> None:
    ran = run("study", shop, "--no-places", "--out", tmp_path / "rows.xls", "--json")
    assert ran.status == 2
    assert [f["code"] for f in json.loads(ran.out)["faults"]] == ["unknown-format"]


@pytest.mark.usefixtures("asked_once")
def test_rows_as_parquet_are_those_of_csv(run: Run, shop: Path, tmp_path: Path) -> None:
    table, rows = tmp_path / "rows.parquet", tmp_path / "rows.csv"
    for file in (table, rows):
        assert run("study", shop, "--no-places", "--out", file).status == 0
    found = pyarrow.parquet.read_table(table).to_pylist()
    assert found == list(csv.DictReader(rows.read_text().splitlines()))


def test_parquet_without_its_package_says_what_to_install(
    run: Run, shop: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(tables, "find_spec", lambda _name: None)
    ran = run("study", shop, "--no-places", "--out", tmp_path / "rows.parquet", "--json")
    assert ran.status == 2
    (fault,) = json.loads(ran.out)["faults"]
    assert fault["code"] == "part-missing"
    assert "standtrue[parquet]" in fault["remedy"]
    assert not (tmp_path / "rows.parquet").exists()
