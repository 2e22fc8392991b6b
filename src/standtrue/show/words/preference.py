"""What a reader prefers, as far as the environment says it. Loads no library for that."""

from __future__ import annotations

import os
from typing import get_args

from attrs import frozen

from standtrue.model.reader_units import Language, System
from standtrue.show.words.reader import LANGUAGES

UNITS_VARIABLE, LANGUAGE_VARIABLE = "STANDTRUE_UNITS", "STANDTRUE_LANGUAGE"
SYSTEMS: tuple[System, ...] = get_args(System)


@frozen
class Preference:
    """What a reader asked for; None: not said."""

    units: System | None = None
    language: Language | None = None


def from_environment() -> Preference:
    """What the environment says; what it says wrongly counts as not said."""
    units, language = os.environ.get(UNITS_VARIABLE, ""), os.environ.get(LANGUAGE_VARIABLE, "")
    return Preference(
        next((one for one in SYSTEMS if one == units.strip().lower()), None),
        next((one for one in LANGUAGES if language.strip().lower().startswith(one)), None),
    )
