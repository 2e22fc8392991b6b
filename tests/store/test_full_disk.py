"""A full disk, and one that may only be read: a clear fault, nothing that was kept is lost, and it goes on afterwards.

The disk is a small one of its own (tmpfs). Where the tests may not mount one, files may not grow beyond a limit instead
(RLIMIT_FSIZE): then the system refuses to write as well, only by another error.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from attrs import frozen

from command_runner import Run, answered
from shop_writer import PHOTO_BYTES, rounds_of, told, write_on, write_round, writer
from standtrue.demo import write_demo
from standtrue.model.basics import UnansweredError
from standtrue.store.database import open_store
from standtrue.work.records.verifying import head_of
from store_fixtures import Server

SMALL, LARGER = 1_500_000, 40_000_000
MORE_THAN_A_LOG = 18_000_000
"""More than a file of PostgreSQL's log has, so that it can write that."""


@frozen
class Disk:
    """A small disk: its folder; or, where none can be mounted, one whose files may not grow beyond `limit`."""

    folder: Path
    limit: int | None

    def remount(self, options: str) -> bool:
        """Whether it could be mounted otherwise."""
        return self.limit is None and not subprocess.run(["mount", "-o", f"remount,{options}", self.folder]).returncode


@pytest.fixture
def disk() -> Iterator[Disk]:
    folder = Path(tempfile.mkdtemp(prefix="standtrue-disk-"))  # where the server's own user may go, too
    command = ["mount", "-t", "tmpfs", "-o", f"size={SMALL},mode=777", "tmpfs", str(folder)]
    mounted = shutil.which("mount") is not None and not subprocess.run(command, capture_output=True).returncode
    yield Disk(folder, None if mounted else SMALL)
    if mounted:
        subprocess.run(["umount", "-l", folder], check=True)
    shutil.rmtree(folder)


def fill(place: str, folder: Path, limit: int | None = None, size: int = PHOTO_BYTES) -> tuple[int, str]:
    """Write rounds until there is no room: how many were acknowledged, and what the last was refused for."""
    with writer(write_on, place, folder, limit, size) as (_, pipe):
        said = list(told(pipe))
    assert said, "nothing was written at all"
    assert isinstance(said[-1], str), "the writer ended by an error"
    return len(said) - 1, said[-1]


def test_a_full_disk_under_sqlite(disk: Disk, tmp_path: Path) -> None:
    place = disk.folder / "standtrue.db"
    kept, code = fill(str(place), tmp_path, disk.limit)
    assert kept > 3
    assert code == ("store-full" if disk.limit is None else "store-unreachable")
    if disk.limit is None:
        assert shutil.disk_usage(disk.folder).free < 100_000
        assert disk.remount(f"size={LARGER}")
    with open_store(place) as store:
        assert rounds_of(store) == kept
        assert write_round(store, tmp_path / "photo.jpg") == kept + 1
        assert rounds_of(store) == kept + 1


def test_a_full_disk_under_postgresql(disk: Disk, postgresql: Server, database: str, tmp_path: Path) -> None:
    """Its tables on the small disk; its log is on another, as it should be."""
    if disk.limit is not None:
        postgresql.limit_files(MORE_THAN_A_LOG)
        place, size = database, 2_000_000
    else:
        shutil.chown(disk.folder, postgresql.user)
        postgresql.say(f"CREATE TABLESPACE small LOCATION '{disk.folder}'")
        place, size = f"{database}%20-cdefault_tablespace%3Dsmall", PHOTO_BYTES
    try:
        kept, code = fill(place, tmp_path, size=size)
        assert kept > 3
        assert code == "store-full"
        if disk.limit is None:
            assert disk.remount(f"size={LARGER}")
        else:
            postgresql.limit_files(None)
        with open_store(place) as store:
            assert rounds_of(store) == kept
            assert write_round(store, tmp_path / "photo.jpg") == kept + 1
    finally:
        postgresql.drop(database)
        postgresql.say(f"CREATE SCHEMA {database.rpartition('%3D')[2]}")
        if disk.limit is None:
            postgresql.say("DROP TABLESPACE small")


def test_a_disk_that_may_only_be_read(disk: Disk, run: Run, tmp_path: Path) -> None:
    """Answers are given from it, and what would have to be kept is refused."""
    shop = disk.folder
    write_demo(shop)
    run("import", shop, "--by", "Ana")
    edited = shop / "mix.toml"
    edited.write_bytes(edited.read_bytes() + b"# more\n")
    kept = head_of(str(shop))
    if not disk.remount("ro"):
        assert os.getuid() != 0, "whoever may do everything is kept from nothing by permissions"
        for file in (*shop.glob("standtrue.db*"), shop):
            file.chmod(0o555)
    ran = run("import", shop, "--json")
    (fault,) = answered("faults", ran.out)["faults"]
    assert (ran.status, fault["code"]) == (2, "store-read-only")
    assert run("read", shop).status == 0
    with pytest.raises(UnansweredError) as refused, open_store(shop) as store:
        write_round(store, tmp_path / "photo.jpg")
    assert refused.value.faults[0].code == "store-read-only"
    assert head_of(str(shop)) == kept
    disk.remount("rw")
    shop.chmod(0o755)
    for file in shop.glob("standtrue.db*"):
        file.chmod(0o644)
    assert run("import", shop).status == 0
    assert head_of(str(shop)).size == kept.size + 1
