"""What a reader prefers, as far as the environment and a person's own settings say it. Loads no library for that."""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import get_args

from attrs import frozen

from standtrue.model.reader_units import Language, Paper, System
from standtrue.show.words.reader import LANGUAGES

UNITS_VARIABLE, LANGUAGE_VARIABLE, PAPER_VARIABLE = "STANDTRUE_UNITS", "STANDTRUE_LANGUAGE", "STANDTRUE_PAPER"
SYSTEMS: tuple[System, ...] = get_args(System)
PAPERS: tuple[Paper, ...] = get_args(Paper)


@frozen
class Preference:
    """What a reader asked for; None: not said."""

    units: System | None = None
    language: Language | None = None
    paper: Paper | None = None

    def over(self, other: Preference) -> Preference:
        """This, and the other's where this says nothing."""
        return Preference(self.units or other.units, self.language or other.language, self.paper or other.paper)


def personal() -> Preference:
    """What a person prefers: by the environment, else by that person's own settings."""
    return from_environment().over(from_settings())


def from_environment() -> Preference:
    """What the environment says; what it says wrongly counts as not said."""
    names = {"units": UNITS_VARIABLE, "language": LANGUAGE_VARIABLE, "paper": PAPER_VARIABLE}
    return _preference({name: os.environ.get(variable, "") for name, variable in names.items()})


def from_settings() -> Preference:
    """What the settings' file says; what it says wrongly, or in no TOML, counts as not said."""
    try:
        text = settings_file().read_text(encoding="utf-8")
    except (OSError, ValueError):
        return Preference()
    import tomllib

    try:
        said = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return Preference()
    return _preference({name: value for name, value in said.items() if isinstance(value, str)})


def settings_file() -> Path:
    """Where a person's settings lie: in the folder that the platform keeps for them."""
    if folder := os.environ.get("XDG_CONFIG_HOME"):
        home = Path(folder)
    elif sys.platform == "darwin":
        home = Path.home() / "Library" / "Application Support"
    elif sys.platform == "win32":
        home = Path(os.environ.get("APPDATA") or Path.home() / "AppData" / "Roaming")
    else:
        home = Path.home() / ".config"
    return home / "standtrue" / "settings.toml"


def settings_text(preference: Preference) -> str:
    """The settings' file that says this."""
    said = {"units": preference.units, "language": preference.language, "paper": preference.paper}
    return "".join(f'{name} = "{value}"\n' for name, value in said.items() if value is not None)


def _preference(said: Mapping[str, str]) -> Preference:
    units, language, paper = (said.get(name, "").strip().lower() for name in ("units", "language", "paper"))
    return Preference(
        next((one for one in SYSTEMS if one == units), None),
        next((one for one in LANGUAGES if language.startswith(one)), None),
        next((one for one in PAPERS if one == paper), None),
    )
