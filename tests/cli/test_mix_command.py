"""The command `mix`: a table in, documents out, and every row that does not count told."""

from __future__ import annotations

import json
from pathlib import Path

from command_runner import Run, answered
from standtrue.documents import read_folder

TABLE = """Car,Orders,Length,Width,Wheelbase,Color
Low sedan,12,185,71,108,red
Hauler,3,230,79,145,blue
Bus,1,480,100,240,white
"""


def test_a_table_becomes_a_mix_that_a_study_can_use(run: Run, tmp_path: Path) -> None:
    table, shop, aside = tmp_path / "cars.csv", tmp_path / "shop", tmp_path / "aside.csv"
    table.write_text(TABLE)
    columns = ("--column", "name=Car", "--column", "count=Orders", "--unit", "in")
    ran = run("mix", table, shop, "--name", "last year", *columns, "--out", aside, "--json")
    assert ran.status == 0
    answer = answered("mix", ran.out)
    assert (answer["rows"], answer["counted"], answer["ignored"]) == (3, 2, ["Color"])
    assert [a["line"] for a in answer["set_aside"]] == [4]
    assert "Bus" in aside.read_text()
    found = read_folder(shop)
    assert not found.faults
    assert [e.share for e in found.mixes["last year"].vehicles] == [0.8, 0.2]
    shown = run("mix", table, shop, "--name", "this year", *columns).out
    assert "Set aside" in shown
    assert "Bus" in shown
    assert "2 cars were known already" in shown


def test_a_study_may_name_the_mix_that_is_about_to_be_written(run: Run, tmp_path: Path) -> None:
    table, shop = tmp_path / "cars.csv", tmp_path / "shop"
    table.write_text(TABLE)
    shop.mkdir()
    (shop / "site.toml").write_text('kind = "site"\nschema = 1\nname = "hall"\nunits = "m"\nbox = [0, 0, 9, 5]\n')
    study = 'kind = "study"\nschema = 1\nname = "s"\nsites = ["hall"]\nmix = "last year"\n'
    (shop / "study.toml").write_text(study + '[[work]]\nname = "w"\nper_year = 1\nevents = ["windshield replaced"]\n')
    columns = ("--column", "name=Car", "--unit", "in")
    assert run("mix", table, shop, "--name", "another", *columns).status == 2
    assert run("mix", table, shop, "--name", "last year", *columns).status == 0
    assert not read_folder(shop).faults


def test_a_table_that_cannot_be_read_or_a_mix_that_is_there_is_refused(run: Run, tmp_path: Path) -> None:
    table, shop = tmp_path / "cars.csv", tmp_path / "shop"
    table.write_text(TABLE)
    named = ("--column", "name=Car")
    assert "units-missing" in run("mix", table, shop, *named, "--json").out
    assert run("mix", tmp_path / "none.csv", shop).status == 2
    table.write_bytes(b"name\xff\xfe")
    assert [f["code"] for f in json.loads(run("mix", table, shop, "--json").out)["faults"]] == ["not-utf8"]
    table.write_text(TABLE)
    assert run("mix", table, shop, *named, "--unit", "in").status == 0
    again = run("mix", table, shop, *named, "--unit", "in", "--json")
    assert [f["code"] for f in json.loads(again.out)["faults"]] == ["unwritable"]
