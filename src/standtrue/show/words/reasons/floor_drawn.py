"""What cannot be done to a floor that is being drawn."""

from __future__ import annotations

from typing import TYPE_CHECKING

from standtrue.show.words.catalog import N_

if TYPE_CHECKING:
    from standtrue.show.words.reasons import Sentences

SENTENCES: Sentences = {
    "floor-lacks-thing": N_("the floor has no {name}"),
    "look-at-floor-again": N_("look at the floor again: it may have been taken away or named otherwise"),
}
