"""What a reader prefers, as far as it is known before the command line is read. Loads no library for that."""

from __future__ import annotations

import os
import sys
from itertools import pairwise
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


def early_language() -> Language:
    """The language before any option was read: for help and for faults of the command line itself."""
    words = sys.argv[1:]
    said = [w.partition("=")[2] for w in words if w.startswith("--language=")]
    said += [after for word, after in pairwise(words) if word == "--language"]
    asked = next((one for one in LANGUAGES if one in said), None)
    return asked or from_environment().language or "en"


def from_environment() -> Preference:
    """What the environment says; what it says wrongly counts as not said."""
    units, language = os.environ.get(UNITS_VARIABLE, ""), os.environ.get(LANGUAGE_VARIABLE, "")
    return Preference(
        next((one for one in SYSTEMS if one == units.strip().lower()), None),
        next((one for one in LANGUAGES if language.strip().lower().startswith(one)), None),
    )
