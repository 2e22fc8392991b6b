"""Units, language and paper: options win over the environment, that over a person's settings, they over the shop."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import get_args

import pytest

from command_runner import Run
from standtrue.cli.reader import paper_for, reader
from standtrue.documents import read_folder, write_starter
from standtrue.model.reader_units import Paper, System
from standtrue.show.words.preference import PAPERS, SYSTEMS, Preference, from_settings, settings_file
from standtrue.show.words.reader import LANGUAGES

VARIABLES = {"units": "STANDTRUE_UNITS", "language": "STANDTRUE_LANGUAGE", "paper": "STANDTRUE_PAPER"}


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    for variable in VARIABLES.values():
        monkeypatch.delenv(variable, raising=False)
    return tmp_path / "config"


def test_the_order_who_wins(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The shop says metric, English, A4; the person US customary, Spanish, letter; the environment and options win."""
    write_starter(tmp_path / "shop")
    file = next(f for f in (tmp_path / "shop").iterdir() if 'kind = "site"' in f.read_text("utf-8"))
    reads = '\n[reader]\nunits = "metric"\nlanguage = "en"\npaper = "a4"\n'
    file.write_text(file.read_text("utf-8") + reads, encoding="utf-8")
    found = read_folder(tmp_path / "shop")
    assert not found.faults
    shop, (site,) = found.shop(), found.sites.values()
    assert (reader(shop).units, reader(shop).language, paper_for(None, site)) == ("metric", "en", "a4")
    assert run("set", "--units", "us", "--language", "es", "--paper", "letter").status == 0
    assert (reader(shop).units, reader(shop).language, paper_for(None, site)) == ("us", "es", "letter")
    told = run("loads", tmp_path / "shop").out
    assert "puede cargar" in told
    assert " lb" in told
    for name, value in (("units", "metric"), ("language", "en"), ("paper", "a4")):
        monkeypatch.setenv(VARIABLES[name], value)
    assert (reader(shop).units, reader(shop).language, paper_for(None, site)) == ("metric", "en", "a4")
    assert " lb" in run("loads", tmp_path / "shop", "--units", "us").out
    assert paper_for("letter", site) == "letter"


def test_what_is_set_is_kept_and_told(run: Run, home: Path) -> None:
    assert "as the shop says" in run("set").out
    assert not home.exists(), "to ask what is set writes nothing"
    ran = run("set", "--units", "us")
    assert str(home / "standtrue" / "settings.toml") in ran.out
    run("set", "--paper", "a4")
    assert from_settings() == Preference(units="us", paper="a4")
    assert (home / "standtrue" / "settings.toml").read_text("utf-8") == 'units = "us"\npaper = "a4"\n'
    assert run("set", "--clear", "--language", "es").out.count("como diga el taller") == 2
    assert from_settings() == Preference(language="es")


def test_wrong_words_are_refused_and_nothing_is_written(run: Run, home: Path) -> None:
    for words in (("--units", "feet"), ("--language", "fr"), ("--paper", "a3")):
        assert run("set", *words).status == 2
    assert not home.exists()


@pytest.mark.parametrize("text", ["units = ", 'units = "feet"\nlanguage = 3\n', "\x00", "[reader]\n"])
def test_a_file_that_says_nothing_of_use_stops_nothing(home: Path, text: str) -> None:
    file = home / "standtrue" / "settings.toml"
    file.parent.mkdir(parents=True)
    file.write_text(text, encoding="utf-8")
    assert from_settings() == Preference()


@pytest.mark.parametrize(
    ("platform", "ends"),
    [("linux", ".config"), ("darwin", "Library/Application Support"), ("win32", "AppData/Roaming")],
)
def test_it_lies_where_the_platform_keeps_settings(monkeypatch: pytest.MonkeyPatch, platform: str, ends: str) -> None:
    monkeypatch.delenv("XDG_CONFIG_HOME")
    monkeypatch.delenv("APPDATA", raising=False)
    monkeypatch.setattr(sys, "platform", platform)
    assert settings_file().as_posix().endswith(f"{ends}/standtrue/settings.toml")


def test_the_closed_lists_are_the_models() -> None:
    assert (get_args(Paper), get_args(System)) == (PAPERS, SYSTEMS)
    assert "en" in LANGUAGES
