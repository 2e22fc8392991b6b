"""Sentences of the command line itself."""

from __future__ import annotations

from standtrue.show.words.catalog import N_
from standtrue.show.words.reasons import Sentences

SENTENCES: Sentences = {
    "file-unwritable": N_("the file cannot be written: {error}"),
    "no-such-language": N_("there is no catalog for this language"),
    "languages-are": N_("one of {languages:or}"),
    "name-a-writable-file": N_("name a file in a folder that you may write to"),
}
