"""Folder and store give the same documents both ways, byte for byte, whatever is in it; nothing is lost on the way."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from record_makers import import_said

from standtrue.demo import write_demo
from standtrue.documents import read_folder
from standtrue.model.basics import UnansweredError
from standtrue.store.exchange import NOTES_FILE
from standtrue.work.ask import open_shop
from standtrue.work.exchange.folders import TakenIn, history_of, take_in, write_out
from standtrue.work.shop.names import names_in
from standtrue.work.where import Where

ODD = {
    "comments.toml": b"# a remark\r\nkind = \"vehicle\"   # of ours\r\nname = 'x'\r\n\r\n",
    "no-end.toml": b'kind = "job"\nname = "j"',
    "broken.toml": b"kind = [[[\n",
    "empty.toml": b"",
    "latin.toml": "kind = 'caf\u00e9'".encode("latin-1"),
    "two-bytes.toml": 'kind = "site"'.encode("utf-16"),
    "nul.toml": b"kind = 'si\0te'",
    "sub/folder/x.JSON": b'{"kind": "vehicle", "name": "half \\ud800"}',
    "twice-a.toml": b'kind = "mix"\nname = "same"\n',
    "twice-b.toml": b'kind = "mix"\nname = "same"\n# another',
    "bom.toml": b'\xef\xbb\xbfkind = "rules"\nname = "r"\n',
}
"""Documents, most of them with faults."""


def put(folder: Path, files: dict[str, bytes]) -> None:
    for path, content in files.items():
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        (folder / path).write_bytes(content)


def files_of(folder: Path) -> dict[str, bytes]:
    found = (p for p in folder.rglob("*") if p.is_file() and p.name != NOTES_FILE and "standtrue.db" not in p.name)
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in found}


def taken(folder: Path, place: str | None = None, by: str = "Ana", **seen: int) -> TakenIn:
    return take_in(
        folder, Where(store=place), by, {name.replace("__", "/"): n for name, n in seen.items()}, import_said
    )


def what(found: TakenIn) -> dict[str, str]:
    return {step.path: step.what for step in found.steps if step.what != "same"}


def edit(file: Path, more: bytes = b"# more\n") -> None:
    file.write_bytes(file.read_bytes() + more)


def test_every_byte_comes_back(place: str, tmp_path: Path) -> None:
    shop = tmp_path / "shop"
    write_demo(shop)
    put(shop, ODD)
    before = files_of(shop)
    found = taken(shop, place)
    assert set(what(found).values()) == {"new"}
    assert found.faulty == len({fault.file for fault in read_folder(shop).faults}) > 7
    write_out(shop, tmp_path / "out", Where(store=place))
    assert files_of(tmp_path / "out") == before
    assert what(taken(tmp_path / "out", place)) == {}
    write_out(shop, shop, Where(store=place))
    assert files_of(shop) == before


def test_a_shop_answers_the_same_from_its_files_and_from_its_store(tmp_path: Path) -> None:
    write_demo(tmp_path)
    files = open_shop(tmp_path)
    taken(tmp_path)
    for file in files_of(tmp_path):
        (tmp_path / file).unlink()
    (tmp_path / NOTES_FILE).unlink()
    stored = open_shop(tmp_path)
    assert stored.written.marks == files.written.marks
    assert stored.warnings == files.warnings
    assert stored.written.sites == files.written.sites
    assert "nib windshield" in names_in(tmp_path, "job")
    assert names_in(tmp_path, "door")


def test_faults_are_the_same_from_files_and_store(tmp_path: Path) -> None:
    put(tmp_path, ODD)
    told = read_folder(tmp_path).faults
    taken(tmp_path)
    with pytest.raises(UnansweredError) as refused:
        open_shop(tmp_path)
    assert refused.value.faults == told


def test_a_file_that_differs_is_told_and_taken_in_by_import_only(tmp_path: Path) -> None:
    write_demo(tmp_path)
    taken(tmp_path)
    edit(tmp_path / "mix.toml")
    (tmp_path / "survey.toml").unlink()
    put(tmp_path, {"extra.toml": b"no document"})
    shop = open_shop(tmp_path)
    (warning,) = (one for one in shop.warnings if one.code == "files-differ-from-store")
    assert warning["files"] == ("extra.toml", "mix.toml", "survey.toml")
    assert shop.written.surveys, "as it is stored"
    with pytest.raises(UnansweredError):
        open_shop(tmp_path, Where(files=True))  # as it lies there: extra.toml is no document
    (tmp_path / "extra.toml").unlink()
    assert what(taken(tmp_path)) == {"mix.toml": "changed", "survey.toml": "removed"}
    after = open_shop(tmp_path)
    assert not after.written.surveys
    assert not [one for one in after.warnings if one.code == "files-differ-from-store"]


@pytest.fixture
def two_folders(place: str, tmp_path: Path) -> tuple[Path, Path, str]:
    """One shop in a store, and two folders that were written from it."""
    put(tmp_path / "a", {"car.toml": b'kind = "vehicle"\nname = "c"\n', "mix.toml": b'kind = "mix"\nname = "m"\n'})
    taken(tmp_path / "a", place)
    write_out(tmp_path / "a", tmp_path / "b", Where(store=place))
    return tmp_path / "a", tmp_path / "b", place


def test_what_was_changed_in_both_is_refused_whole_until_it_was_seen(two_folders: tuple[Path, Path, str]) -> None:
    a, b, place = two_folders
    edit(a / "car.toml", b"# of a\n")
    edit(b / "car.toml", b"# of b\n")
    edit(b / "mix.toml", b"# of b\n")
    taken(a, place)
    refused = taken(b, place, by="Bo")
    (stale,) = refused.stale
    assert stale.file is not None
    assert stale.latest is not None
    assert (stale.file.content[-7:], stale.latest.content, stale.latest.saved_by) == (
        b"# of b\n",
        b'kind = "vehicle"\nname = "c"\n# of a\n',
        "Ana",
    )
    assert len(history_of(b, Where(store=place), None, None)) == 3, "the mix was not taken in either"
    assert taken(b, place, vehicle__c=1).stale, "what was seen is not the latest"
    assert what(taken(b, place, vehicle__c=2)) == {"car.toml": "changed", "mix.toml": "changed"}
    assert what(taken(a, place)) == {"car.toml": "newer", "mix.toml": "newer"}
    write_out(a, a, Where(store=place))
    assert files_of(a) == files_of(b)


def test_a_file_that_is_older_than_the_store_turns_nothing_back(two_folders: tuple[Path, Path, str]) -> None:
    a, b, place = two_folders
    edit(a / "car.toml")
    taken(a, place)
    assert what(taken(b, place)) == {"car.toml": "newer"}
    assert len(history_of(b, Where(store=place), "vehicle", "c")) == 2


def test_removals_and_moves(two_folders: tuple[Path, Path, str]) -> None:
    a, b, place = two_folders
    (a / "car.toml").rename(a / "our-car.toml")
    (a / "mix.toml").unlink()
    assert what(taken(a, place)) == {"our-car.toml": "moved", "mix.toml": "removed"}
    edit(b / "mix.toml")
    assert what(taken(b, place)) == {"car.toml": "newer", "mix.toml": "stale"}
    (b / "mix.toml").write_bytes(b'kind = "mix"\nname = "m"\n')
    write_out(b, b, Where(store=place))
    assert files_of(a) == files_of(b)
    put(a, {"again.toml": b'kind = "mix"\nname = "m"\n'})
    assert what(taken(a, place)) == {"again.toml": "new"}
    assert [one.version for one in history_of(a, Where(store=place), "mix", "m")] == [1, 2, 3]


def test_two_documents_that_swap_their_files_keep_their_histories(two_folders: tuple[Path, Path, str]) -> None:
    a, _, place = two_folders
    car, mix = (a / "car.toml").read_bytes(), (a / "mix.toml").read_bytes()
    put(a, {"car.toml": mix, "mix.toml": car})
    assert what(taken(a, place)) == {"car.toml": "moved", "mix.toml": "moved"}
    assert [one.path for one in history_of(a, Where(store=place), "vehicle", "c")] == ["car.toml", "mix.toml"]


def test_a_folder_of_another_store_is_based_on_nothing_here(
    two_folders: tuple[Path, Path, str], tmp_path: Path
) -> None:
    a, b, place = two_folders
    edit(b / "car.toml")
    taken(b, str(tmp_path / "other.db"))
    edit(b / "car.toml")
    assert what(taken(b, place)) == {"car.toml": "stale"}
    assert a


def test_export_overwrites_nothing_that_is_in_no_store(two_folders: tuple[Path, Path, str]) -> None:
    a, b, place = two_folders
    edit(a / "car.toml")
    taken(a, place)
    edit(b / "car.toml", b"# of b\n")
    before = files_of(b)
    with pytest.raises(UnansweredError) as refused:
        write_out(b, b, Where(store=place))
    assert [fault.what.code for fault in refused.value.faults] == ["file-not-taken-in"]
    assert files_of(b) == before


def test_a_file_that_cannot_be_read_or_named_stops_the_import(tmp_path: Path, place: str) -> None:
    put(tmp_path, {"car.toml": b'kind = "vehicle"\nname = "c"\n'})
    os.mkfifo(tmp_path / "pipe.toml")
    with pytest.raises(UnansweredError) as refused:
        taken(tmp_path, place)
    assert refused.value.faults[0].code == "unreadable"
    (tmp_path / "pipe.toml").unlink()
    (tmp_path / os.fsdecode(b"caf\xe9.toml")).write_bytes(b"")
    with pytest.raises(UnansweredError) as refused:
        taken(tmp_path, place)
    assert refused.value.faults[0].what.code == "name-not-utf8"


def test_notes_that_cannot_be_read_count_as_none(two_folders: tuple[Path, Path, str]) -> None:
    a, _, place = two_folders
    for said in (b"", b"[]", b'{"store": 1}', b'{"files": {"x": 3}}', b"\xff"):
        (a / NOTES_FILE).write_bytes(said)
        assert what(taken(a, place)) == {}
