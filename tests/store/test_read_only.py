"""A store that may only be read, by whoever has no right to write it: answers come from it, and nothing is kept."""

from __future__ import annotations

import os
import pwd
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from shop_writer import write_round
from standtrue.model.basics import UnansweredError
from standtrue.store.database import FILE, open_store
from standtrue.store.documents import latest_versions
from standtrue.work.records.verifying import head_of


@contextmanager
def without_rights() -> Iterator[None]:
    """Meanwhile this process is nobody in particular: permissions count for root too."""
    before = os.getresuid()
    if 0 in before:
        nobody = pwd.getpwnam("nobody").pw_uid
        os.setresuid(nobody, nobody, 0)
    try:
        yield
    finally:
        os.setresuid(*before)


@pytest.fixture
def folder(tmp_path: Path) -> Iterator[Path]:
    """A folder with a store in it, where anybody may look."""
    made = Path(tempfile.mkdtemp(prefix="standtrue-read-"))
    with open_store(made, make=True) as store:
        write_round(store, tmp_path / "photo.jpg")
    made.chmod(0o755)
    yield made
    made.chmod(0o755)
    shutil.rmtree(made)


def lock(folder: Path, file_mode: int, folder_mode: int) -> None:
    for file in folder.glob(f"{FILE}*"):
        file.chmod(file_mode)
    folder.chmod(folder_mode)


@pytest.mark.parametrize(("file_mode", "folder_mode"), [(0o444, 0o555), (0o666, 0o555), (0o444, 0o777)])
def test_it_is_read_and_not_written(folder: Path, tmp_path: Path, file_mode: int, folder_mode: int) -> None:
    before, head = (folder / FILE).read_bytes(), head_of(str(folder))
    lock(folder, file_mode, folder_mode)
    with without_rights(), open_store(folder) as store:
        with store.reading() as connection:
            assert len(latest_versions(connection)) == 2
        with pytest.raises(UnansweredError) as refused:
            write_round(store, tmp_path / "photo.jpg")
    assert [fault.code for fault in refused.value.faults] == ["store-read-only"]
    assert (folder / FILE).read_bytes() == before
    assert head_of(str(folder)) == head


def test_what_still_stands_in_its_log_is_told_not_to_be_readable(folder: Path, tmp_path: Path) -> None:
    """As a writer leaves it that was killed: the file alone would be the store as it was before."""
    with open_store(folder) as store:
        write_round(store, tmp_path / "photo.jpg")
        killed = {file: file.read_bytes() for file in folder.glob(f"{FILE}*")}
    for file, content in killed.items():
        if not file.name.endswith("-shm"):
            file.write_bytes(content)
    lock(folder, 0o444, 0o555)
    with without_rights(), pytest.raises(UnansweredError) as refused:
        open_store(folder)
    assert [fault.what.code for fault in refused.value.faults] == ["store-log-read-only"]
    lock(folder, 0o644, 0o755)
    with open_store(folder) as store:
        assert write_round(store, tmp_path / "photo.jpg") == 3
