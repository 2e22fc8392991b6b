"""One job handed out, and checked: by the program without a store, and by the script in the docs."""

from __future__ import annotations

import json
import random
import re
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path
from typing import Any

import pytest
from record_makers import JOB, TOLD, import_said, write_shop
from sqlalchemy import update

from standtrue.model.basics import UnansweredError
from standtrue.seal import head_text
from standtrue.show.answers.keep import of_brought
from standtrue.show.answers.kept import said_of
from standtrue.show.words.reader import ENGLISH
from standtrue.store.database import open_store
from standtrue.store.tables import attachment_piece
from standtrue.work.exchange.folders import take_in
from standtrue.work.keep.files import keep_files
from standtrue.work.keep.signing import sign
from standtrue.work.records.checking import check_handed_out, is_handed_out
from standtrue.work.records.exporting import hand_out
from standtrue.work.records.verifying import head_of, verify_store
from standtrue.work.where import Where

PAGE = Path(__file__).parents[2] / "docs" / "explanation" / "record-format.md"


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> tuple[str, str]:
    """A store with a signed job, files and a note, another job before and behind; and an anchor from between."""
    folder = tmp_path_factory.mktemp("shop")
    found = write_shop(folder)
    take_in(folder, Where(), "Person A", {}, import_said)
    place = str(folder / "standtrue.db")
    scan, photo = folder / "scan before.pdf", folder / "photo.jpg"
    scan.write_bytes(random.Random(1).randbytes(3000))
    photo.write_bytes(b"never decoded")
    anchor = ""
    for job, what, files, text in (
        ("nib windshield", "note", [], "before"),
        (JOB, "scan before", [scan], ""),
        (JOB, "photo", [photo, scan], "the dash"),
        (JOB, "note", [], "Customer waits."),
    ):
        keep_files(place, found, job, what, files, text, "Person A", lambda one: said_of(of_brought(one)))
        anchor = anchor or head_text(head_of(place))
    sign(place, found, JOB, "Person B", TOLD)
    keep_files(place, found, "nib windshield", "note", [], "behind", "", lambda one: said_of(of_brought(one)))
    return place, anchor


@pytest.fixture(params=["zip", "folder"])
def handed(request: pytest.FixtureRequest, shop: tuple[str, str], tmp_path: Path) -> Path:
    """The job as it was handed out, with a proof for the anchor."""
    out = tmp_path / ("record.zip" if request.param == "zip" else "record")
    assert hand_out(shop[0], JOB, out, [shop[1]]).entries == 6
    return out


def wrong_with(place: Path, *against: str) -> list[str]:
    return ENGLISH.reasons(check_handed_out(place, against).wrong)


def script(place: Path, tmp_path: Path) -> tuple[int, str]:
    """What the script in the docs ends with and says."""
    code = re.findall(r"```python\n(.*?)```", PAGE.read_text(encoding="utf-8"), re.DOTALL)
    file = tmp_path / "check.py"
    file.write_text("\n".join(code), encoding="utf-8")
    ran = subprocess.run([sys.executable, "-I", str(file), str(place)], capture_output=True, text=True, check=False)
    return ran.returncode, ran.stdout + ran.stderr


def test_what_was_handed_out_is_whole(handed: Path, shop: tuple[str, str], tmp_path: Path) -> None:
    assert is_handed_out(handed)
    told = check_handed_out(handed, [shop[1], head_text(head_of(shop[0]))])
    assert told.wrong == ()
    assert [one.holds for one in told.anchors] == [True, True]
    assert (told.job, told.files, told.head) == (JOB, 2, head_of(shop[0]))
    assert told.versions >= 5
    code, said = script(handed, tmp_path)
    assert (code, said) == (0, f"whole: 6 entries of {JOB}, head {told.head.size} {told.head.root.hex()}\n")


def test_what_the_shop_brought_is_handed_out_and_whole(shop: tuple[str, str], tmp_path: Path) -> None:
    hand_out(shop[0], "", tmp_path / "shop.zip")
    assert wrong_with(tmp_path / "shop.zip") == []
    assert script(tmp_path / "shop.zip", tmp_path)[0] == 0


def test_a_document_that_no_entry_vouches_for_is_told(handed: Path, tmp_path: Path) -> None:
    folder = tmp_path / "unpacked"
    if handed.is_dir():
        shutil.copytree(handed, folder)
    else:
        with zipfile.ZipFile(handed) as packed:
            packed.extractall(folder)
    record = json.loads((folder / "record.json").read_text(encoding="utf-8"))
    record["documents"][0]["version"] += 7
    (folder / "record.json").write_text(json.dumps(record), encoding="utf-8")
    assert len(wrong_with(folder)) == 1
    assert script(folder, tmp_path)[0] == 1


def test_an_anchor_that_nothing_proves_is_told(handed: Path) -> None:
    stranger = "3: " + " ".join(["abcd"] * 16)
    assert wrong_with(handed, stranger) == ["nothing here proves that the log begins with the anchor of 3 entries"]


def _changed(folder: Path, out: Path, change: Any) -> Path:
    """The record with its `record.json` changed."""
    shutil.copytree(folder, out)
    record = json.loads((out / "record.json").read_text(encoding="utf-8"))
    change(record)
    (out / "record.json").write_text(json.dumps(record, ensure_ascii=False), encoding="utf-8")
    return out


def _drop(record: Any) -> None:
    del record["entries"][2]


def _swap(record: Any) -> None:
    record["entries"][1:3] = record["entries"][2:0:-1]


def _salt(record: Any) -> None:
    record["entries"][3]["salt"] = "00" * 16


def _path(record: Any) -> None:
    record["entries"][3]["path"][0] = "00" * 32


def _root(record: Any) -> None:
    record["head"]["root"] = "00" * 32


def _earlier(record: Any) -> None:
    record["earlier"][1]["path"][0] = "00" * 32


def _job(record: Any) -> None:
    record["job"] = "another"


def _header(record: Any) -> None:
    record["entries"][0]["header"] = record["entries"][0]["header"].replace("Person A", "Person X")


def _content(record: Any) -> None:
    record["entries"][2]["content"] = record["entries"][2]["content"].replace("waits", "went")


CHANGES = (_drop, _swap, _salt, _path, _root, _earlier, _job, _header, _content)


@pytest.mark.parametrize("change", CHANGES, ids=lambda change: change.__name__)
def test_what_was_changed_in_it_is_told(change: Any, shop: tuple[str, str], tmp_path: Path) -> None:
    hand_out(shop[0], JOB, tmp_path / "record", [shop[1]])
    altered = _changed(tmp_path / "record", tmp_path / "altered", change)
    assert wrong_with(altered)
    code, said = script(altered, tmp_path)
    assert code == 1
    assert "Traceback" not in said


def _is_told(place: Path) -> bool:
    """Whether the record is told to be altered, or to be none."""
    try:
        return bool(wrong_with(place))
    except UnansweredError:
        return True


def test_any_letter_of_an_entry_changed_is_told(shop: tuple[str, str], tmp_path: Path) -> None:
    hand_out(shop[0], JOB, tmp_path / "record")
    chance = random.Random(11)
    file = tmp_path / "record" / "record.json"
    text = file.read_text(encoding="utf-8")
    for _ in range(150):
        record = json.loads(text)
        one = chance.choice(record["entries"])
        field = chance.choice(("header", "content", "digest", "salt"))
        at = chance.randrange(len(one[field]))
        letter = "x" if one[field][at] != "x" else "y"
        one[field] = one[field][:at] + letter + one[field][at + 1 :]
        file.write_text(json.dumps(record), encoding="utf-8")
        assert _is_told(tmp_path / "record"), (field, at)


@pytest.mark.parametrize("which", ["files", "documents"])
def test_a_changed_file_or_document_is_told(which: str, handed: Path, tmp_path: Path) -> None:
    folder = tmp_path / "unpacked"
    if handed.is_dir():
        shutil.copytree(handed, folder)
    else:
        with zipfile.ZipFile(handed) as packed:
            packed.extractall(folder)
    file = next(file for file in sorted((folder / which).rglob("*")) if file.is_file())
    data = file.read_bytes()
    changed = data.replace(b'name = "', b'name = "x', 1) if which == "documents" else data[:-1] + b"x"
    file.write_bytes(changed)
    assert len(wrong_with(folder)) == 1
    assert script(folder, tmp_path)[0] == 1
    file.unlink()
    assert len(wrong_with(folder)) == 1


@pytest.mark.parametrize("content", [b"", b"PK", b"{}", b'{"format": "standtrue record 1"}'])
def test_what_is_no_record_is_refused(content: bytes, tmp_path: Path) -> None:
    file, folder = tmp_path / "x.zip", tmp_path / "x"
    file.write_bytes(content)
    folder.mkdir()
    (folder / "record.json").write_bytes(content)
    for place in (file, folder):
        with pytest.raises(UnansweredError):
            check_handed_out(place)


def test_the_same_record_gives_the_same_bytes(shop: tuple[str, str], tmp_path: Path) -> None:
    for name in ("a.zip", "b.zip"):
        hand_out(shop[0], JOB, tmp_path / name)
    assert (tmp_path / "a.zip").read_bytes() == (tmp_path / "b.zip").read_bytes()


def test_nothing_is_written_over(shop: tuple[str, str], tmp_path: Path) -> None:
    (tmp_path / "there").mkdir()
    (tmp_path / "there" / "file").write_text("mine", encoding="utf-8")
    with pytest.raises(UnansweredError):
        hand_out(shop[0], JOB, tmp_path / "there")


def test_the_store_names_a_file_that_was_altered(shop: tuple[str, str], tmp_path: Path) -> None:
    place = shutil.copy(shop[0], tmp_path / "copy.db")
    assert ENGLISH.reasons(verify_store(str(place), [shop[1]]).wrong) == []
    with open_store(place) as store, store.writing() as connection:
        connection.execute(update(attachment_piece).values(content=b"never decodeX"))
    told = ENGLISH.reasons(verify_store(str(place)).wrong)
    assert len(told) == 2
    assert all(re.fullmatch(rf"the file [0-9a-f]{{16}} of entry \d of {JOB} was altered", one) for one in told)
