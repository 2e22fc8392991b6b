"""What is said of the record: what is wrong with it, why nothing is signed, what could not be kept or handed out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from standtrue.show.words.catalog import N_

if TYPE_CHECKING:
    from standtrue.model.reason import Reason
    from standtrue.show.words.reader import Reader
    from standtrue.show.words.reasons import Sentences


def _moved(reason: Reason, reader: Reader) -> str:
    values, n = dict(reason.values), reason["count"]
    assert isinstance(n, int)
    blanks = {name: value for name, value in values.items() if name != "count"}
    return reader.say_n(
        "entry {entry} (number {number} of {job}) was moved: it stood at {was}",
        "entry {entry} (number {number} of {job}) and those behind it, {n} in all, were moved: it stood at {was}",
        n, **blanks,
    )  # fmt: skip


def _lost(reason: Reason, reader: Reader) -> str:
    n = reason["count"]
    assert isinstance(n, int)
    return reader.say_n(
        "entry {first} is lost", "{n} entries from entry {first} on are lost", n, first=dict(reason.values)["first"]
    )


def _cut(reason: Reason, reader: Reader) -> str:
    n = reason["count"]
    assert isinstance(n, int)
    return reader.say_n(
        "the tail was cut: entry {first} is lost",
        "the tail was cut: {n} entries from entry {first} on are lost",
        n, first=dict(reason.values)["first"],
    )  # fmt: skip


def _covers(reason: Reason, reader: Reader) -> str:
    n = reason["count"]
    assert isinstance(n, int)
    return reader.say_n(
        "It covers {n} calibration as set up and measured, and the {entries} entries of the job before it. It does not "
        "say that the vehicle is safe.",
        "It covers {n} calibrations as set up and measured, and the {entries} entries of the job before it. It does "
        "not say that the vehicle is safe.",
        n, entries=dict(reason.values)["entries"],
    )  # fmt: skip


def _leaves_out(reason: Reason, reader: Reader) -> str:
    n = reason["count"]
    assert isinstance(n, int)
    return reader.say_n(
        "It leaves out {n} calibration that the job calls for.",
        "It leaves out {n} calibrations that the job calls for.",
        n,
    )


SENTENCES: Sentences = {
    "proving-entries": N_("the record, entry by entry"),
    "days-reversed": N_("the last day, {last}, comes before the first, {first}"),
    "first-day-first": N_("Name the first day with `--from`, the last one with `--to`."),
    "key-of-another-request": N_("another request came with this key before"),
    "send-a-new-key": N_("Send each request with a key of its own."),
    "entry-altered": N_("entry {entry} (number {number} of {job}) was altered"),
    "entry-content-altered": N_("what entry {entry} (number {number} of {job}) holds was altered"),
    "entry-replaced": N_("entry {entry} (number {number} of {job}) was replaced by another"),
    "entry-lost": N_("entry {entry} (number {number} of {job}) is lost"),
    "entries-lost": _lost,
    "entry-moved": _moved,
    "entry-inserted": N_("entry {entry} (number {number} of {job}) was inserted"),
    "entry-tail-cut": _cut,
    "entry-head-altered": N_("the head of the log was altered"),
    "entry-rewritten": N_("the log was rewritten: it does not begin with the anchor of {count} entries"),
    "the-shop-itself": N_("the shop itself"),
    "file-altered": N_("the file {digest} of entry {number} of {job} was altered"),
    "file-lost": N_("the file {digest} of entry {number} of {job} is lost"),
    "file-of-no-entry": N_("no entry names the file {digest}"),
    "version-of-entry-lost": N_("entry {number} of {job} rests on version {version} of {name}, and that is lost"),
    "version-of-no-entry": N_("no entry brought version {version} of {document}"),
    "version-not-as-brought": N_("version {version} of {document} is not the one that entry {number} of {job} brought"),
    "version-brought-lost": N_("entry {number} of {job} brought version {version} of {document}, and that is lost"),
    "record-does-not-go-on": N_("an entry is there that the head of the log does not know: one of them was altered"),
    "verify-it": N_("See what is wrong with {command}, and restore the store from a backup."),
    "database-finds": N_("the database's own check finds: {what}"),
    "handed-entry-altered": N_("entry {number} of {job} was altered"),
    "handed-entry-out-of-order": N_("entry {number} of {job} does not follow the one before it"),
    "handed-entry-not-in-log": N_("entry {number} of {job} is not in the log of this head"),
    "handed-content-altered": N_("what entry {number} of {job} holds was altered"),
    "handed-file-altered": N_("the file {digest} was altered"),
    "handed-file-lost": N_("the file {digest} is not there"),
    "handed-document-altered": N_("version {version} of {name} is not what the entries rest on"),
    "handed-document-lost": N_("version {version} of {name} is not there"),
    "earlier-not-begun-with": N_("the log of this head does not begin with its first {count} entries"),
    "anchor-not-proven": N_("nothing here proves that the log begins with the anchor of {count} entries"),
    "no-anchor": N_("this holds no anchor"),
    "give-anchor": N_("Give the line that {command} printed, or a file that holds it."),
    "anchor-of-another-log": N_("this log has no head of {count} entries"),
    "verify-first": N_("Look what is wrong, with standtrue verify, before you hand anything out."),
    "no-record-handed-out": N_("this is no record that was handed out, or only a part of one"),
    "ask-for-it-again": N_("Ask whoever handed it out for it again."),
    "job-without-entries": N_("nothing was kept of {job}"),
    "keep-something-first": N_("What is asked about a job is kept by itself, once the shop is in a store."),
    "no-store-here": N_("this shop is in no store, so nothing can be kept of it"),
    "nothing-to-keep": N_("there is no file and no text to keep"),
    "name-file-or-text": N_("Name a file, or say something with {option}."),
    "file-not-kept": N_("the file cannot be kept: {why}"),
    "file-changed-meanwhile": N_("the file changed while it was read"),
    "no-file-there": N_("no file is there"),
    "something-is-there": N_("something is there already"),
    "name-file-at-rest": N_("Name a file that can be read, and that nobody is writing."),
    "signs-nobody": N_("a sign-off needs the name of a person"),
    "name-who-signs": N_("Say who signs, with {option}."),
    "sign-open-question": N_("nobody can sign while a question is open: {question}"),
    "sign-no-card": N_("no card covers the {sensor}, so nobody can have set it up"),
    "sign-no-setup": N_("no set-up of this job is for the {sensor} (card {card})"),
    "sign-setup-held": N_("{setup} may not be calibrated yet ({sensor}): {why}"),
    "decide-then-sign": N_("Let a person decide on it in the job (`[[decisions]]`), then sign."),
    "find-card-then-sign": N_(
        "Add a card for it, set it up and measure it; or let a person decide in the job that it is dropped. Then sign."
    ),
    "set-up-then-sign": N_(
        "Write down the set-up of that card for this job, and what was measured ({command} judges it); or let a person "
        "decide in the job that it is dropped. Then sign."
    ),
    "mend-then-sign": N_("Look at {command}, mend what it says, then sign."),
    "sign-covers": _covers,
    "sign-leaves-out": _leaves_out,
    "outside-not-looked-at": N_("nobody has looked whether it must be"),
    "outside-no-targets": N_("its card places no target, so there is nothing that was measured"),
}
