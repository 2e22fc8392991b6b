"""The blank form of a second reading: it asks for every field of a card, and shows nothing of the one that is read.

Not even which zones, targets and conditions there are: what the first reader overlooked, the second one must be able to
find. The name alone says what is to be read; the sensor, the cars and the edition are found in the source.
"""

from __future__ import annotations

import json
from importlib import resources

FILE = "second-reading.toml"


def blank_reading(name: str) -> str:
    """A blank form for a second reading of the card of this name."""
    text = (resources.files("standtrue.documents") / FILE).read_text(encoding="utf-8")
    shown = " ".join(name.split())
    return text.replace("{name}", shown).replace("{quoted}", json.dumps(name, ensure_ascii=False))
