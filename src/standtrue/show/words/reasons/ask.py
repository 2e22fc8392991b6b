"""What is wrong with a name that a question gives, and what could have been meant."""

from __future__ import annotations

from typing import TYPE_CHECKING

from standtrue.show.words.catalog import N_

if TYPE_CHECKING:
    from standtrue.show.words.reasons import Sentences

SENTENCES: Sentences = {
    "several-to-choose-from": N_("there are {number} to choose from: say which {kind}"),
    "add-one-of": N_("add {option} with one of: {names}"),
    "none-to-choose-from": N_("there is no {kind}"),
    "write-one": N_("write one, or name a folder that holds one"),
    "no-such-name": N_("there is no {kind} named {name}"),
    "perhaps-this-name": N_("did you mean {name}?"),
    "there-are": N_("there are: {names}"),
    "there-are-none": N_("there are none"),
}
