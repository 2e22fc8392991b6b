"""The language before the command line is read. Loads no library for that."""

from __future__ import annotations

import sys
from itertools import pairwise

from standtrue.model.reader_units import Language
from standtrue.show.words.preference import personal
from standtrue.show.words.reader import LANGUAGES


def early_language() -> Language:
    """The language before any option was read: for help and for faults of the command line itself."""
    words = sys.argv[1:]
    said = [w.partition("=")[2] for w in words if w.startswith("--language=")]
    said += [after for word, after in pairwise(words) if word == "--language"]
    asked = next((one for one in LANGUAGES if one in said), None)
    return asked or personal().language or "en"
