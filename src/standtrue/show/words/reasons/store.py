"""What is wrong with a store: the sentences of `store`."""

from __future__ import annotations

from typing import TYPE_CHECKING

from standtrue.show.words.catalog import N_

if TYPE_CHECKING:
    from standtrue.show.words.reasons import Sentences

SENTENCES: Sentences = {
    "store-full": N_("the disk of the store is full; nothing of this was kept ({why})"),
    "make-room-on-disk": N_("Make room on that disk, then ask again: what was kept before is still there."),
    "store-read-only": N_("the store may not be written; nothing of this was kept ({why})"),
    "let-store-be-written": N_("Look at who may write there, and whether the disk is set to be read only."),
    "store-busy": N_("somebody else kept writing to the store; nothing of this was kept ({why})"),
    "try-store-again": N_("Ask again."),
    "store-damaged": N_("the store is damaged, or no store at all ({why})"),
    "restore-from-backup": N_("Leave the file as it is, and restore the store from a backup."),
    "store-refused": N_("the server of the store refuses the name or the password ({why})"),
    "mend-name-and-password": N_("Mend the name and the password in the address of the store."),
    "store-unreachable": N_("the store cannot be opened or reached ({why})"),
    "mend-address-of-store": N_("Look whether the address of the store is right, and whether its server runs."),
    "store-empty": N_("no shop is kept there yet"),
    "import-first": N_("Take in the documents of a shop first, with {command}."),
    "store-newer": N_("the store is of a newer release than this program: schema {schema}"),
    "take-newer-program": N_("Use the newer release. This one leaves the store as it is."),
    "no-such-store": N_("this is no address of a store"),
    "name-file-or-postgresql": N_("Name a file, or a database as in {example}."),
}
