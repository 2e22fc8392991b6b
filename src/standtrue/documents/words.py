"""Field names in the program's spelling."""

from __future__ import annotations

from standtrue.model.trade_words import WORDS


def american_field(name: str) -> str:
    """A field name in the program's spelling: `tyre_width` is `tire_width`."""
    parts = name.split("_")
    if any(part in WORDS for part in parts):
        return "_".join(WORDS.get(part, part) for part in parts)
    return name
