"""Writing the demonstration shop into a folder: whole, repeatable, and never over somebody's own file."""

from __future__ import annotations

from pathlib import Path

import pytest

from standtrue.demo import DemoFolderError, demo_files, write_demo
from standtrue.documents import read_folder


def test_writes_every_document_byte_for_byte(tmp_path: Path) -> None:
    written = write_demo(tmp_path / "new" / "shop")
    assert [file.name for file in written] == list(demo_files())
    assert all(file.read_bytes() == demo_files()[file.name] for file in written)
    found = read_folder(tmp_path / "new" / "shop")
    assert found.faults == ()
    assert len(found.documents) == len(written)
    assert all(mark.demonstration for mark in found.documents)


def test_writing_twice_changes_nothing(tmp_path: Path) -> None:
    first = write_demo(tmp_path)
    before = {file: file.stat().st_mtime_ns for file in first}
    assert write_demo(tmp_path) == first
    assert {file: file.stat().st_mtime_ns for file in first} == before


def test_puts_back_what_is_missing(tmp_path: Path) -> None:
    written = write_demo(tmp_path)
    written[3].unlink()
    assert write_demo(tmp_path) == written
    assert written[3].read_bytes() == demo_files()[written[3].name]


def test_leaves_other_files_alone(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("mine")
    write_demo(tmp_path)
    assert (tmp_path / "notes.txt").read_text() == "mine"


def test_refuses_to_overwrite_and_writes_nothing(tmp_path: Path) -> None:
    (tmp_path / "site.toml").write_text("# my own shop\n")
    with pytest.raises(DemoFolderError, match=r"site\.toml: file-there-differs"):
        write_demo(tmp_path)
    assert [file.name for file in tmp_path.iterdir()] == ["site.toml"]
    assert (tmp_path / "site.toml").read_text() == "# my own shop\n"


def test_refuses_a_folder_in_a_files_place(tmp_path: Path) -> None:
    (tmp_path / "mix.toml").mkdir()
    with pytest.raises(DemoFolderError, match=r"mix\.toml: file-there-is-no-file"):
        write_demo(tmp_path)


def test_does_not_write_through_a_broken_link(tmp_path: Path) -> None:
    (tmp_path / "mix.toml").symlink_to(tmp_path / "elsewhere.toml")
    with pytest.raises(DemoFolderError, match="file-there-is-no-file"):
        write_demo(tmp_path)
    assert not (tmp_path / "elsewhere.toml").exists()


def test_refuses_a_file_in_the_folders_place(tmp_path: Path) -> None:
    (tmp_path / "shop").write_text("a file")
    with pytest.raises(DemoFolderError, match="path-is-no-folder"):
        write_demo(tmp_path / "shop")
