"""The record from the command line: answers are kept by themselves; brought, looked up, proven, handed out."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from record_makers import JOB, write_shop
from sqlalchemy import text, update

from command_runner import Run, answered
from standtrue.seal import read_head
from standtrue.store.database import open_store
from standtrue.store.tables import entry
from standtrue.work.records.searching import read_job


@pytest.fixture
def shop(run: Run, tmp_path: Path) -> Path:
    """A shop in its own store."""
    folder = tmp_path / "shop"
    write_shop(folder)
    assert run("import", folder, "--by", "Person A").status == 0
    return folder


def kinds(folder: Path, job: str = JOB) -> list[str]:
    with open_store(folder) as store, store.reading() as connection:
        rows = connection.execute(text("SELECT kind FROM entry WHERE job = :job ORDER BY number"), {"job": job})
        return [str(kind) for (kind,) in rows]


def test_each_answer_about_a_job_is_kept_as_it_was_given(run: Run, shop: Path) -> None:
    said = run("needs", shop, "--job", JOB, "--json", "--by", "Person B")
    assert said.status == 0
    run("measured", shop)
    run("needs", shop, "--job", JOB)
    run("needs", shop, "--job", JOB, "--unkept")
    run("needs", shop, "--job", JOB, "--files")
    run("place", shop, "--vehicle", "Tavlin Corrow", "--no-remedies", "--procedure", "headlamp aim")
    first, second = read_job(str(shop), JOB)
    assert (first.entry.kind, second.entry.kind, first.entry.who) == ("needs", "measured", "Person B")
    assert first.content is not None
    assert json.loads(first.content) == json.loads(said.out)
    assert all(mark["version"] == 1 for mark in json.loads(first.entry.documents))


def test_a_changed_order_is_answered_and_kept_anew(run: Run, shop: Path) -> None:
    run("needs", shop, "--job", JOB)
    order = shop / "order.toml"
    order.write_text(order.read_text(encoding="utf-8") + '\n[[events]]\nevent = "wheel alignment"\n', encoding="utf-8")
    run("import", shop)
    run("needs", shop, "--job", JOB)
    before, after = read_job(str(shop), JOB)
    versions = [{m["name"]: m["version"] for m in json.loads(one.entry.documents)} for one in (before, after)]
    assert (versions[0][JOB], versions[1][JOB]) == (1, 2)
    assert run("verify", shop).status == 0


def test_an_answer_that_cannot_be_kept_is_told_all_the_same(run: Run, shop: Path) -> None:
    run("floor", shop)
    with open_store(shop) as store, store.writing() as connection:
        connection.execute(text("UPDATE head SET size = 0, peaks = ''"))
    said = run("needs", shop, "--job", JOB, "--json")
    assert said.status == 2
    answered("needs", said.out)
    assert "An entry is there that the head of the log does not know" in " ".join(said.err.split())
    assert kinds(shop) == []


def test_a_shop_in_no_store_keeps_nothing_and_says_so(run: Run, tmp_path: Path) -> None:
    write_shop(tmp_path)
    assert run("needs", tmp_path, "--job", JOB).status == 0
    for words in (
        ("keep", "--what", "note", "--text", "x"),
        ("sign", "--by", "A"),
        ("verify",),
        ("records",),
        ("anchor",),
    ):
        said = run(words[0], tmp_path, *words[1:])
        assert (said.status, "in no store" in said.err) == (2, True), words


def test_a_job_is_read_in_short_or_at_length_and_found_by_its_days(run: Run, shop: Path) -> None:
    run("needs", shop, "--job", JOB)
    short = run("records", shop, "--job", JOB).out
    whole = run("records", shop, "--job", JOB, "--why").out
    assert ("2 calibrations: forward camera and front radar." in short, "windshield replaced" in short) == (True, False)
    assert ("forward camera: required, card" in whole, "windshield replaced" in whole) == (True, True)
    assert ("Invented demonstration data." in short, "--why tells all" in short) == (True, True)
    today = run("records", shop, "--from", "2020-01-01", "--json").out
    assert [one["job"] for one in answered("records", today)["jobs"]] == [JOB, ""]
    assert "No job was found" in run("records", shop, "--to", "2020-01-01").out
    refused = run("records", shop, "--from", "2020-01-02", "--to", "2020-01-01")
    assert (refused.status, "comes before the first" in refused.err) == (2, True)


def test_a_refused_sign_off_says_what_is_missing_and_what_to_do(run: Run, shop: Path) -> None:
    (shop / "setup.toml").unlink()
    run("import", shop)
    refused = run("sign", shop, "--job", JOB, "--by", "Person B")
    first, remedy, *_ = refused.err.splitlines()
    assert first.startswith("No set-up of this job is for the forward camera (card ")
    assert "Write down the set-up of that card for this job" in remedy


def test_brought_found_handed_out_and_proven(run: Run, shop: Path, tmp_path: Path) -> None:
    scan = tmp_path / "scan.pdf"
    scan.write_bytes(b"scan")
    anchor = tmp_path / "anchor.txt"
    kept = run("keep", shop, scan, "--job", JOB, "--what", "scan before", "--by", "Person A", "--json")
    assert answered("keep", kept.out)["files"][0]["size"] == 4
    anchor.write_text(run("anchor", shop).out, encoding="utf-8")
    assert answered("anchor", run("anchor", shop, "--json").out)["size"] == 2
    assert run("sign", shop, "--job", JOB, "--by", "Person B").status == 0
    (found,) = answered("records", run("records", shop, "abc123", "person b", "--json").out)["jobs"]
    assert (found["job"], found["order_number"], found["entries"]) == (JOB, "RO-4711", 4)
    out = tmp_path / "record.zip"
    told = answered("records", run("records", shop, "4711", "--out", out, "--against", anchor, "--json").out)
    assert [one["kind"] for one in told["entries"]] == ["keep", "needs", "measured", "sign"]
    assert told["handed_out"]["files"] == 1
    for place in (shop, out):
        said = answered("verify", run("verify", place, "--against", anchor, "--json").out)
        assert (said["whole"], [one["holds"] for one in said["against"]]) == (True, [True])
    assert read_head(anchor.read_text(encoding="utf-8")) is not None


def test_a_broken_record_ends_with_status_4_and_names_the_entry(run: Run, shop: Path) -> None:
    run("needs", shop, "--job", JOB)
    run("measured", shop)
    with open_store(shop) as store, store.writing() as connection:
        connection.execute(update(entry).where(entry.c.leaf == 2).values(who="Person X"))
    said = run("verify", shop)
    assert said.status == 4
    assert said.out.startswith("The record is not whole.")
    assert f"entry 3 (number 2 of {JOB}) was altered" in said.out


@pytest.mark.parametrize("said", ["nothing", "12 entries"])
def test_what_is_no_anchor_is_refused(run: Run, shop: Path, said: str) -> None:
    told = run("verify", shop, "--against", said)
    assert (told.status, "holds no anchor" in told.err) == (2, True)


def test_what_cannot_be_brought_is_refused_and_nothing_is_kept(run: Run, shop: Path, tmp_path: Path) -> None:
    for words in (("--what", "note"), ("--what", "dream", "--text", "x"), (tmp_path / "not there", "--what", "file")):
        assert run("keep", shop, *words, "--job", JOB).status == 2
    assert kinds(shop) == []
