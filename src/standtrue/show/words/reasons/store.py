"""What is wrong with a store: the sentences of `store`."""

from __future__ import annotations

from typing import TYPE_CHECKING

from standtrue.show.words.catalog import N_

if TYPE_CHECKING:
    from standtrue.model.reason import Reason
    from standtrue.show.words.reader import Reader
    from standtrue.show.words.reasons import Sentences


def _differ(reason: Reason, reader: Reader) -> str:
    values, n = dict(reason.values), reason["count"]
    assert isinstance(n, int)
    return reader.say_n(
        "{n} file differs from the store and does not count here: {files}. Take it in with {command}.",
        "{n} files differ from the store and do not count here: {files}. Take them in with {command}.",
        n, files=values["files"], command=values["command"],
    )  # fmt: skip


def _older(reason: Reason, reader: Reader) -> str:
    values, n = dict(reason.values), reason["count"]
    assert isinstance(n, int)
    return reader.say_n(
        "{n} file is older than the store, which counts here: {files}. Write it anew with {command}.",
        "{n} files are older than the store, which counts here: {files}. Write them anew with {command}.",
        n, files=values["files"], command=values["command"],
    )  # fmt: skip


SENTENCES: Sentences = {
    "document-calls-itself": N_("this document calls itself {kind} {name}"),
    "call-it-as-asked": N_("Call it {kind} {name}, or save it under its own name."),
    "store-full": N_("the disk of the store is full; nothing of this was kept ({why})"),
    "make-room-on-disk": N_("Make room on that disk, then ask again: what was kept before is still there."),
    "store-read-only": N_("the store may not be written; nothing of this was kept ({why})"),
    "store-log-read-only": N_("the store may not be written here, and its last changes can be read only where it may"),
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
    "floor-there-already": N_("there is a floor already"),
    "change-floor-there": N_("Change that one: its page says how."),
    "blank-out-of-range": N_("it should be from {low} to {high}"),
    "type-it-again": N_("Type it again, with its unit."),
    "none-of-these": N_("this is none of the words that may stand here"),
    "document-there-already": N_("there is a document of the name {name} already"),
    "replace-it-here": N_("Replace it here, if it is the same; else give the new one another name."),
    "port-taken": N_("the port is taken, and so are those behind it"),
    "name-free-port": N_("Name another with {option}, or end the program that has it."),
    "path-leads-out": N_("the path leads out of the shop's folder"),
    "name-path-inside": N_("Name a path below the folder, without `..`."),
    "version-altered": N_("version {version} of {document} is not as it was saved"),
    "version-lost": N_("version {version} of {document} is not there"),
    "document-lost": N_("no version of document {number} is there"),
    "files-differ-from-store": _differ,
    "files-older-than-store": _older,
    "name-not-utf8": N_("the file's name is not UTF-8"),
    "rename-in-utf8": N_("Give the file another name."),
    "file-not-taken-in": N_("the file was changed here, and is in no store as it is"),
    "import-or-name-new-folder": N_("Take it in first, with {command}, or name another folder."),
    "no-version-seen": N_("this names no version of a document"),
    "write-version-seen": N_("Write kind, name and version, as in {example}."),
    "store-newer": N_("the store is of a newer release than this program: schema {schema}"),
    "take-newer-program": N_("Use the newer release. This one leaves the store as it is."),
    "no-such-store": N_("this is no address of a store"),
    "name-file-or-postgresql": N_("Name a file, or a database as in {example}."),
}
