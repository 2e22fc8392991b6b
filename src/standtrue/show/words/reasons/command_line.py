"""Sentences of the command line itself."""

from __future__ import annotations

from standtrue.show.words.catalog import N_
from standtrue.show.words.reasons import Sentences

SENTENCES: Sentences = {
    "file-unwritable": N_("the file cannot be written: {error}"),
    "name-a-writable-file": N_("name a file in a folder that you may write to"),
}
