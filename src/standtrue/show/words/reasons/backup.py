"""Why a store is not copied, and why data is not taken out of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from standtrue.show.words.catalog import N_

if TYPE_CHECKING:
    from standtrue.show.words.reasons import Sentences

SENTENCES: Sentences = {
    "store-not-empty": N_("the store holds something already: nothing is written over it"),
    "name-empty-store": N_("Name a store that is new or empty."),
    "store-moved": N_("the store was moved to {where}: nothing is written here any more"),
    "name-the-new-store": N_("Name the new one: {option}."),
    "store-there-already": N_("there is one already: nothing is written over it"),
    "name-a-new-file": N_("Name a new file, or a folder without a store."),
    "verify-then-copy": N_("See {command}; restore from a backup that is whole."),
    "copy-differs": N_("the copy is not what was copied"),
    "no-rule-of-keeping": N_("nobody has said for how long jobs are kept"),
    "set-rule-of-keeping": N_("Say the shop's rule: {option}."),
    "kept-until": N_("{job} is kept until {day}; years by the shop's rule: {years}"),
    "removal-without-reason": N_("nothing says why"),
    "say-why": N_("Say why: {option}."),
    "content-removed-unsaid": N_("what entry {entry} (number {number} of {job}) held is gone, and no entry says so"),
    "version-removed-unsaid": N_("version {version} of {kind} {name} is gone, and no entry says so"),
    "file-removed-unsaid": N_("file of entry {number} of {job} is gone, and no entry says so: {digest}"),
}
