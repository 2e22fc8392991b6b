"""The commands import, export and history; and every command on a shop that a store keeps."""

from __future__ import annotations

from pathlib import Path

import pytest

from command_runner import Run, answered

CAR = 'kind = "vehicle"\nname = "c"\n'


@pytest.fixture
def small(tmp_path: Path) -> Path:
    """A shop of one document, with a fault."""
    (tmp_path / "small").mkdir()
    (tmp_path / "small" / "car.toml").write_text(CAR, encoding="utf-8")
    return tmp_path / "small"


def test_documents_go_in_and_out(run: Run, small: Path, tmp_path: Path) -> None:
    ran = run("import", small, "--by", "Ana")
    assert ran.status == 0
    assert "Took 1 document into" in ran.out
    assert "by Ana" in " ".join(ran.out.split())
    assert "1 file has faults" in ran.out
    assert "Nothing to take in" in run("import", small).out
    told = answered("import", run("import", small, "--json").out)
    assert [(one["what"], one["stored"]["saved_by"]) for one in told["documents"]] == [("same", "Ana")]
    assert answered("export", run("export", small, tmp_path / "out", "--json").out)["written"] == ["car.toml"]
    assert (tmp_path / "out" / "car.toml").read_text(encoding="utf-8") == CAR
    assert "1 was there as it is stored" in " ".join(run("export", small, tmp_path / "out").out.split())


def test_what_was_changed_in_both_is_shown_and_ends_with_2(run: Run, small: Path, tmp_path: Path) -> None:
    run("import", small, "--by", "Ana")
    run("export", small, tmp_path / "out")
    for folder, more in ((small, "# of Ana"), (tmp_path / "out", "# of Bo")):
        (folder / "car.toml").write_text(CAR + more, encoding="utf-8")
    store = small / "standtrue.db"
    run("import", small, "--by", "Ana")
    ran = run("import", tmp_path / "out", "--store", store, "--by", "Bo")
    assert ran.status == 2
    for said in ("version 2, saved by Ana", "based on version 1", "-# of Ana", "+# of Bo", "--seen"):
        assert said in ran.out
    told = answered("import", run("import", tmp_path / "out", "--store", store, "--json").out)
    (stale,) = told["documents"]
    assert (stale["file_text"], stale["stored_text"]) == (CAR + "# of Bo", CAR + "# of Ana")
    assert not told["taken_in"]
    assert run("import", tmp_path / "out", "--store", store, "--by", "Bo", "--seen", "vehicle/c=2").status == 0
    shown = run("history", small, "--kind", "vehicle", "--name", "c").out
    assert [line.split("│")[2].strip() for line in shown.splitlines() if "vehicle c" in line] == ["1", "2", "3"]
    versions = answered("history", run("history", small, "--json").out)["versions"]
    assert [(one["version"], one["based_on"], one["saved_by"]) for one in versions] == [
        (1, 0, "Ana"),
        (2, 1, "Ana"),
        (3, 2, "Bo"),
    ]


def test_who_it_is_comes_from_the_option_the_environment_or_the_settings(
    run: Run, small: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    run("set", "--by", "Cy")
    assert "by Cy" in " ".join(run("import", small).out.split())
    monkeypatch.setenv("STANDTRUE_BY", "Bo")
    (small / "car.toml").write_text(CAR + "# 2", encoding="utf-8")
    assert "by Bo" in " ".join(run("import", small).out.split())
    (small / "car.toml").write_text(CAR + "# 3", encoding="utf-8")
    assert "by Ana" in " ".join(run("import", small, "--by", "Ana").out.split())


def test_the_store_of_a_person_counts_for_folders_that_hold_none(
    run: Run, small: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("STANDTRUE_STORE", str(tmp_path / "company.db"))
    assert "company.db" in run("import", small).out
    assert not (small / "standtrue.db").exists()
    monkeypatch.delenv("STANDTRUE_STORE")
    run("import", small)
    monkeypatch.setenv("STANDTRUE_STORE", str(tmp_path / "company.db"))
    assert "small/standtrue.db" in run("import", small).out


def test_a_store_is_read_whatever_the_files_say_unless_they_are_asked(run: Run, shop: Path, tmp_path: Path) -> None:
    store = tmp_path / "shop.db"
    run("import", shop, "--store", store)
    empty = tmp_path / "empty"
    empty.mkdir()
    read = answered("read", run("read", empty, "--store", store, "--json").out)
    assert len(read["understood"]) == len(answered("read", run("read", shop, "--json").out)["understood"])
    (empty / "more.toml").write_text(CAR, encoding="utf-8")
    ran = run("loads", empty, "--store", store, "--vehicle", "Tavlin Corrow", "--lift", "post lift")
    told = "1 file differs from the store and does not count here: more.toml"
    assert ran.status == 0
    assert told in " ".join(ran.err.split())
    assert told in " ".join(ran.out.split())
    assert "missing-field" in run("loads", empty, "--store", store, "--files").err


def test_what_keeps_a_store_from_being_read_is_told_without_a_traceback(run: Run, tmp_path: Path) -> None:
    for place in ("mysql://a/b", "postgresql://nobody:secret@/x?host=/nowhere", str(tmp_path / "none.db")):
        ran = run("read", tmp_path, "--store", place, "--json")
        (fault,) = answered("faults", ran.out)["faults"]
        assert (ran.status, fault["code"]) == (2, "store-unreachable")
        assert "secret" not in ran.out + ran.err
    assert run("import", tmp_path, "--seen", "nothing").status == 2
