"""What cannot be done to a document that is being changed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from standtrue.show.words.catalog import N_

if TYPE_CHECKING:
    from standtrue.show.words.reasons import Sentences

SENTENCES: Sentences = {
    "draft-lacks-thing": N_("there is no {name} in it"),
    "look-again": N_("look at it again: that may have been taken away or named otherwise"),
}
