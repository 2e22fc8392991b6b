"""Folders: what is found, what is not a document, and what must hold between documents."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
from pathlib import Path

import pytest
from document_makers import KINDS, TOGETHER, WHOLE, put, whole

from standtrue.documents import FAULT_CODES, Folder, gather, load_text, read_document, read_folder
from standtrue.show.words.faults import MEANINGS, fault_reference
from standtrue.show.words.reader import ENGLISH

HEAD = 'kind = "mix"\nschema = 1\nname = "m"\n'


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A sound folder that a test may break."""
    return Path(shutil.copytree(WHOLE, tmp_path / "shop"))


def codes(folder: Folder) -> list[tuple[str, str, str]]:
    return [(fault.code, fault.file, fault.field) for fault in folder.faults]


@pytest.mark.parametrize(
    ("file", "content", "code"),
    [
        ("x.toml", b"kind = ", "toml-syntax"),
        ("x.toml", b"kind = 'site'\nkind = 'lift'\n", "toml-syntax"),
        ("x.toml", b"a = 2026-02-31\n", "toml-syntax"),
        ("x.toml", b"a = " + b"9" * 5000, "toml-syntax"),
        ("x.toml", b"[a]\n[a]\n", "toml-syntax"),
        ("x.toml", b"a = \x01\n", "toml-syntax"),
        ("x.toml", b"name = '\xff\xfe'\n", "not-utf8"),
        ("x.toml", b"name = 'a\0b'\n", "control-character"),
        ("x.toml", b"", "missing-field"),
        ("x.toml", b"a = " + b"[" * 100_000 + b"]" * 100_000, "too-deep"),
        ("x.toml", b"# " + b"x" * 10_000_000, "too-large"),
        ("x.json", b"{", "json-syntax"),
        ("x.json", b"", "json-syntax"),
        ("x.json", b'{"a": 1, "a": 2}', "field-repeated"),
        ("x.json", b'{"a": ' + b"9" * 5000 + b"}", "json-syntax"),
        ("x.json", b"[" * 100_000, "too-deep"),
        ("x.json", b"[]", "wrong-type"),
        ("x.json", b'{"kind": "mix", "schema": 1, "name": "\\ud800"}', "not-utf8"),
    ],
)
def test_files_that_are_no_documents(shop: Path, file: str, content: bytes, code: str) -> None:
    (shop / file).write_bytes(content)
    folder = read_folder(shop)
    assert (code, file) in {(fault.code, fault.file) for fault in folder.faults}
    assert set(folder.sites) == {"whole site"}  # the others are read all the same


def test_a_byte_order_mark_is_passed_over() -> None:
    assert load_text(b"\xef\xbb\xbf" + (WHOLE / "mix.toml").read_bytes(), "m.toml").faults == ()


def test_text_and_bytes_read_alike() -> None:
    text = (WHOLE / "mix.toml").read_text(encoding="utf-8")
    assert load_text(text, "m.toml") == load_text(text.encode(), "m.toml")
    assert load_text("a = '\ud800'", "m.toml").faults[0].code == "not-utf8"


def test_json_documents_are_the_same_documents(shop: Path) -> None:
    before = read_folder(shop)
    for kind in KINDS:
        content = json.dumps(whole(kind), default=lambda day: day.isoformat())
        (shop / f"{kind}.toml").unlink()
        (shop / f"{kind}.json").write_text(content, encoding="utf-8")
    after = read_folder(shop)
    assert after == before


def test_the_digest_is_that_of_the_content_not_of_the_file() -> None:
    one = load_text(HEAD + "vehicles = [{name='a', share=1}]", "a.toml").mark
    two = load_text(HEAD + "# a remark\n\nvehicles = [{share = 1.0, name = 'a'}]", "b.toml").mark
    other = load_text(HEAD + "vehicles = [{name='a', share=2}]", "a.toml").mark
    assert one == two
    assert one is not None
    assert other is not None
    assert one.digest != other.digest
    canonical = '{"kind":"mix","name":"m","schema":1,"vehicles":[{"name":"a","share":1}]}'
    assert one.digest == hashlib.sha256(canonical.encode()).hexdigest()


def test_folders_are_read_to_the_bottom_in_the_order_of_paths(shop: Path) -> None:
    (shop / "b" / "c").mkdir(parents=True)
    (shop / "b" / "c" / "MIX.TOML").write_text(HEAD + "vehicles = [{name='whole car', share=1}]")
    (shop / ".hidden").mkdir()
    (shop / ".hidden" / "x.toml").write_text("broken")
    (shop / ".x.toml").write_text("broken")
    (shop / "notes.txt").write_text("broken")
    folder = read_folder(shop)
    assert folder.faults == ()
    assert (folder.documents[0].kind, folder.documents[0].name) == ("mix", "m")
    assert folder == read_folder(str(shop))


def test_links_that_run_in_a_circle_are_read_once(shop: Path) -> None:
    (shop / "b").mkdir()
    (shop / "b" / "up").symlink_to(shop, target_is_directory=True)
    (shop / "again").symlink_to(shop / "b", target_is_directory=True)
    assert read_folder(shop).faults == ()
    (shop / "dead.toml").symlink_to(shop / "nothing")
    assert codes(read_folder(shop)) == [("unreadable", "dead.toml", "")]


def test_what_cannot_be_opened_is_reported(shop: Path, tmp_path: Path) -> None:
    os.mkfifo(shop / "pipe.toml")
    (shop / "folder.toml").mkdir()
    assert codes(read_folder(shop)) == [("unreadable", "pipe.toml", "")]
    assert [fault.code for fault in read_folder(tmp_path / "none").faults] == ["unreadable"]
    assert [fault.code for fault in read_folder(shop / "mix.toml").faults] == ["unreadable"]
    assert [fault.code for fault in read_folder("a\0b").faults] == ["unreadable"]


def test_file_names_that_are_no_text(shop: Path) -> None:
    with open(os.fsencode(shop) + b"/\xff.toml", "wb") as file:
        file.write(b"broken")
    fault = read_folder(shop).faults[0]
    assert fault.file.encode()  # can be printed
    assert fault.code == "toml-syntax"


def test_an_empty_folder_is_remarked_on(tmp_path: Path) -> None:
    folder = read_folder(tmp_path)
    assert (folder.documents, folder.faults) == ((), ())
    assert ENGLISH.reasons(folder.warnings) == ["the folder holds no documents"]


@pytest.mark.parametrize("kind", ["day", "case"])
def test_kinds_that_are_not_used_yet(shop: Path, kind: str) -> None:
    (shop / "x.toml").write_text(f'kind = "{kind}"\nschema = 1\nname = "n"\nanything = [1]\n')
    folder = read_folder(shop)
    assert folder.faults == ()
    assert (kind, "n") in {(mark.kind, mark.name) for mark in folder.documents}
    (doubt,) = folder.doubts
    assert (doubt.code, doubt.file, doubt.value) == ("kind-not-used", "x.toml", kind)
    assert kind in ENGLISH.reason(doubt.what)
    (shop / "x.toml").write_text(f'kind = "{kind}"\n')
    assert codes(read_folder(shop)) == [("missing-field", "x.toml", "name")]


@pytest.mark.parametrize("kind", KINDS)
def test_a_name_stands_once_for_each_kind(shop: Path, kind: str) -> None:
    shutil.copy(shop / f"{kind}.toml", shop / "zz.toml")
    folder = read_folder(shop)
    assert codes(folder) == [("name-repeated", "zz.toml", "name")]
    assert f"{kind}.toml" in ENGLISH.reason(folder.faults[0].what)


@pytest.mark.parametrize(
    ("kind", "path", "near"),
    [
        ("site", "lifts[0].type", "whole lift"),
        ("job", "site", "whole site"),
        ("job", "vehicle", "whole car"),
        ("job", "vehicle.name", "whole car"),
        ("mix", "vehicles[0].name", "whole car"),
    ],
)
def test_names_must_be_in_the_folder(kind: str, path: str, near: str) -> None:
    documents = {other: whole(other) for other in TOGETHER}
    documents[kind] = put(documents[kind], path, near + "s")
    folder = gather(read_document(content, f"{other}.toml") for other, content in documents.items())
    assert codes(folder) == [("unknown-reference", f"{kind}.toml", path)]
    assert ENGLISH.reason(folder.faults[0].remedy) == f"Did you mean {near}?"
    assert folder.faults[0].value == f'"{near}s"'


@pytest.mark.parametrize(
    ("kind", "path", "value", "near"),
    [
        ("job", "work[0].after[0]", "whole crad", "whole card"),
        ("procedure", "after[0]", "glas", "glass"),
        ("job", "work[0].equipment[0]", "stands", "stand"),
        ("procedure", "targets[0].equipment", "reflectors", "reflector"),
        ("procedure", "variants[0].equipment[0]", "mats", "mat"),
    ],
)
def test_what_comes_first_and_equipment_must_be_known(kind: str, path: str, value: str, near: str) -> None:
    documents = {other: whole(other) for other in TOGETHER}
    documents[kind] = put(documents[kind], path, value)
    folder = gather(read_document(content, f"{other}.toml") for other, content in documents.items())
    assert codes(folder) == [("unknown-reference", f"{kind}.toml", path)]
    assert ENGLISH.reason(folder.faults[0].remedy) == f"Did you mean {near}?"
    assert folder.faults[0].value == f'"{value}"'


@pytest.mark.parametrize(
    "name",
    ["WHOLE CARD", "whole card/left", "post-scan", "body and paint", "front radar", "left rear corner radar",
     "windscreen replaced", "wheel alignment", "tire pressures set", "glass"],
)  # fmt: skip
def test_a_step_may_be_named_in_the_words_of_the_trade(name: str) -> None:
    documents = {other: whole(other) for other in TOGETHER}
    documents["procedure"] = put(documents["procedure"], "after", [name])
    assert codes(gather(read_document(content, other) for other, content in documents.items())) == []


def test_references_are_checked_in_faulty_documents_and_to_faulty_documents() -> None:
    documents = {other: whole(other) for other in TOGETHER}
    documents["job"] = put(put(documents["job"], "site", "nowhere"), "colour", 1)
    documents["vehicle"] = put(documents["vehicle"], "length", -1)
    found = codes(gather(read_document(content, other) for other, content in documents.items()))
    assert ("unknown-reference", "job", "site") in found
    assert ("unknown-field", "job", "colour") in found
    assert not any(code == "unknown-reference" and "vehicle" in field for code, _, field in found)


def test_a_lift_named_by_type_must_stand_on_the_floor() -> None:
    site = put(whole("site"), "lifts[0].at", [80, 80])
    found = gather([read_document(site, "s"), read_document(whole("lift"), "l")])
    assert codes(found) == [("outside-floor", "s", "lifts[0].at")]
    assert found.sites == {}


@pytest.mark.parametrize(("kind", "path"), [("site", "lifts[0].type"), ("lift", "name")])
def test_a_list_where_a_lift_is_named_is_a_fault(kind: str, path: str) -> None:
    """Found by changing documents at random: the set-up that stands on that lift looked it up, and went wrong."""
    documents = [put(whole(one), path, ["a", "b"]) if one == kind else whole(one) for one in TOGETHER]
    found = gather([read_document(one, str(i)) for i, one in enumerate(documents)])
    assert path in [fault.field for fault in found.faults]


def test_things_may_stand_on_the_apron_of_a_door() -> None:
    site = put(whole("site"), "obstacles[0].circle", [26, 4, 0.3])
    assert read_document(site, "s").faults == ()


def test_a_decision_on_no_card_is_remarked_on() -> None:
    job = put(whole("job"), "decisions[0].procedure", "no such card")
    documents = [read_document(job if kind == "job" else whole(kind), kind) for kind in TOGETHER]
    said = ENGLISH.reasons(gather(documents).warnings)
    assert said == ["job whole job: the decision on no such card names no card of this folder, and no sensor in words"]


@pytest.mark.parametrize(
    "named", ["forward camera", "left rear corner radar", "Blind-spot radar, right", "whole card/left"]
)
def test_a_decision_on_a_sensor_in_words_is_not_remarked_on(named: str) -> None:
    job = put(whole("job"), "decisions[0].procedure", named)
    documents = [read_document(job if kind == "job" else whole(kind), kind) for kind in TOGETHER]
    assert gather(documents).warnings == ()


def test_the_reference_lists_every_code() -> None:
    table = fault_reference()
    assert tuple(MEANINGS) == FAULT_CODES
    assert all(f"| `{code}` | {meaning} |" in table for code, meaning in MEANINGS.items())


def test_a_time_without_its_seconds_is_told_how_to_write_it() -> None:
    """TOML asks for seconds; nobody writes them."""
    text = 'kind = "job"\narrives = 2026-03-02T08:10  # in the morning\n'
    fault, *_ = load_text(text.encode(), "job.toml").faults
    assert fault.remedy is not None
    assert fault.remedy.code == "write-seconds"
