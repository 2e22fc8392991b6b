"""What a record of a job lacks: what nobody looked at or kept is named, so that nobody takes it for done."""

from __future__ import annotations

from typing import TYPE_CHECKING

from standtrue.show.words.catalog import N_

if TYPE_CHECKING:
    from standtrue.model.reason import Reason
    from standtrue.show.words.reader import Reader
    from standtrue.show.words.reasons import Sentences


def _since(reason: Reason, reader: Reader) -> str:
    return reader.say_n(
        "{n} entry was kept after it was last signed, and no signature covers it.",
        "{n} entries were kept after it was last signed, and no signature covers them.",
        _count(reason),
    )


def _removed(reason: Reason, reader: Reader) -> str:
    return reader.say_n(
        "What {n} entry held was removed by the shop's rule; its digest is still there.",
        "What {n} entries held was removed by the shop's rule; their digests are still there.",
        _count(reason),
    )


def _unread(reason: Reason, reader: Reader) -> str:
    return reader.say_n(
        "What {n} entry holds cannot be read by this program.",
        "What {n} entries hold cannot be read by this program.",
        _count(reason),
    )


def _elsewhere(reason: Reason, reader: Reader) -> str:
    return reader.say_n(
        "{n} thing is wrong elsewhere in the shop's log.",
        "{n} things are wrong elsewhere in the shop's log.",
        _count(reason),
    )


def _count(reason: Reason) -> int:
    found = reason["count"]
    assert isinstance(found, int)
    return found


SENTENCES: Sentences = {
    "record-no-needs": N_("Nobody kept an answer on what the repairs call for."),
    "record-open-question": N_("{event}: no rule knows it, and nobody has decided what it calls for."),
    "record-not-looked-at": N_("To be looked at first, and nothing says that anybody did: {sensors}."),
    "record-nothing-kept": N_("Required, and neither a measured set-up is kept, nor that it finished: {sensors}."),
    "record-not-finished": N_("Measured, and nobody wrote down that the calibration finished: {sensors}."),
    "record-setup-not-accepted": N_("Set-up {setup}: as last measured, something stands against calibrating."),
    "record-no-scan-before": N_("No scan from before the repair is kept."),
    "record-no-scan-after": N_("No scan from after the repair is kept."),
    "record-unsigned": N_("Nobody has signed it."),
    "record-entries-since": _since,
    "record-removed": _removed,
    "record-unread": _unread,
    "wrong-elsewhere": _elsewhere,
}
