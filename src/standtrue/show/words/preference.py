"""What a reader prefers, as far as the environment and a person's own settings say it. Loads no library for that."""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import get_args

from attrs import asdict, astuple, frozen

from standtrue.model.reader_units import Language, Paper, System
from standtrue.show.words.reader import LANGUAGES

VARIABLES = {
    "units": "STANDTRUE_UNITS",
    "language": "STANDTRUE_LANGUAGE",
    "paper": "STANDTRUE_PAPER",
    "by": "STANDTRUE_BY",
    "store": "STANDTRUE_STORE",
}
"""What of the environment says what is preferred."""

SYSTEMS: tuple[System, ...] = get_args(System)
PAPERS: tuple[Paper, ...] = get_args(Paper)


@frozen
class Preference:
    """What a reader asked for; None: not said. `by` is who that is, `store` where the shop is kept."""

    units: System | None = None
    language: Language | None = None
    paper: Paper | None = None
    by: str | None = None
    store: str | None = None

    def over(self, other: Preference) -> Preference:
        """This, and the other's where this says nothing."""
        return Preference(*(own or others for own, others in zip(astuple(self), astuple(other), strict=True)))


def personal() -> Preference:
    """What a person prefers: by the environment, else by that person's own settings."""
    return from_environment().over(from_settings())


def from_environment() -> Preference:
    """What the environment says; what it says wrongly counts as not said."""
    return _preference({name: os.environ.get(variable, "") for name, variable in VARIABLES.items()})


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
    said = {name: value for name, value in asdict(preference).items() if value is not None}
    return "".join(f"{name} = {json.dumps(value, ensure_ascii=False)}\n" for name, value in said.items())


def _preference(said: Mapping[str, str]) -> Preference:
    units, language, paper = (said.get(name, "").strip().lower() for name in ("units", "language", "paper"))
    return Preference(
        next((one for one in SYSTEMS if one == units), None),
        next((one for one in LANGUAGES if language.startswith(one)), None),
        next((one for one in PAPERS if one == paper), None),
        *(said.get(name, "").strip() or None for name in ("by", "store")),
    )
