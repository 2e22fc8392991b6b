"""What somebody else made: kept files by the digest that the documentation tells, packages by those of their locks."""

from __future__ import annotations

import re
import tomllib
from hashlib import sha256
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
VENDORED = (".woff2", ".woff", ".ttf", ".otf", ".min.js", ".min.css", ".wasm")


def test_every_file_of_somebody_else_is_the_one_that_was_looked_at() -> None:
    table = (ROOT / "docs" / "explanation" / "parts.md").read_text(encoding="utf-8")
    told = dict(re.findall(r"^\| `([^`]+)` \| [^|]+ \| [^|]+ \| `([0-9a-f]{64})` \|$", table, re.MULTILINE))
    there = {
        str(file.relative_to(ROOT).as_posix()): sha256(file.read_bytes()).hexdigest()
        for file in (ROOT / "src").rglob("*")
        if file.name.endswith(VENDORED)
    }
    assert told == there


@pytest.mark.parametrize("kind", ["run", "dev", "build"])
def test_every_package_is_pinned_with_its_digests(kind: str) -> None:
    lock = (ROOT / f"requirements-{kind}.lock").read_text(encoding="utf-8")
    entries = re.split(r"\n(?=\S)", lock.strip())
    odd = [
        one.partition(" ")[0]
        for one in entries
        if not re.fullmatch(r"[A-Za-z0-9._-]+==\S+( ;[^\\]+)? \\(\n    --hash=sha256:[0-9a-f]{64}( \\)?)+", one)
    ]
    assert odd == []


def test_what_is_asked_for_is_locked() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    wanted = {
        "run": project["project"]["dependencies"],
        "dev": project["project"]["optional-dependencies"]["dev"],
        "build": project["build-system"]["requires"],
    }
    for kind, names in wanted.items():
        lock = (ROOT / f"requirements-{kind}.lock").read_text(encoding="utf-8")
        locked = set(re.findall(r"^([A-Za-z0-9._-]+)==", lock, re.MULTILINE))
        assert {re.split(r"[^A-Za-z0-9._-]", one)[0] for one in names} - locked == set(), kind


def test_nothing_is_installed_whose_digest_is_not_the_lock_s() -> None:
    setup = (ROOT / "tools" / "setup").read_text(encoding="utf-8")
    installs = [line.strip() for line in setup.splitlines() if re.match(r"\s*(PYTHONPATH=\S+ )?install ", line)]
    assert len(installs) == 3
    assert all("--require-hashes" in one or "--no-deps --no-build-isolation -e" in one for one in installs)
    assert len(re.findall(r"pip install", setup)) == 1
