"""What is printed on every sheet: headings, heads of tables, what to do. The templates have no word of their own."""

from __future__ import annotations

from collections.abc import Mapping

from standtrue.show.words.catalog import N_
from standtrue.show.words.reader import Reader

ALL: Mapping[str, str] = {
    "page": N_("page {page} of {pages}"),
    "lacking": N_("{sign} stands for a character that the font of this sheet does not have."),
    "banner": N_("INVENTED DEMONSTRATION DATA: do not work on a real car by this sheet"),
    "standing": N_(
        "The vehicle maker's current service information and local codes govern. "
        "This sheet does not say that any vehicle is safe."
    ),
    "sources": N_("Where the cards came from"),
    "made-from": N_("Made from"),
    "cautions": N_("Cautions"),
}
"""On every sheet."""

HAND: Mapping[str, str] = {
    "lacking": ALL["lacking"],
    "of-pages": N_("{page} of {pages}"),
    "banner": N_("DEMONSTRATION: invented data, not for a real car"),
    "on-page": N_("Page {page}."),
}
"""On every sheet for the hand."""

JOB: Mapping[str, str] = {
    **HAND,
    "not-before": N_("Not before somebody has decided:"),
    "settled-by": N_("settled by"),
    "tied": N_("The car was read before, as on:"),
    "number": N_("No."),
    "step": N_("step, and least room to spare"),
    "who": N_("who"),
    "true-time": N_("true time"),
    "limits": N_("Wheel alignment: no calibration before each is in tolerance"),
    "before": N_("Before"),
    "as-found": N_("as found"),
    "at": N_("at"),
    "from-left": N_("from the left string"),
    "from-right": N_("from the right string"),
    "how-far": N_("How far off may it be?"),
    "rounded-inward": N_("rounded inward"),
    "in": N_("in"),
    "out": N_("out"),
    "when-out": N_("When it is out"),
    "who-read": N_("Who read this?"),
    "scan-tool": N_("Scan tool:"),
    "finished": N_("finished"),
    "not-finished": N_("did not finish"),
    "read-by": N_("Read by"),
    "time": N_("time"),
}
"""On the job sheet: its first page, and those of its cards."""

REPORT: Mapping[str, str] = {
    **HAND,
    "measured-question": N_("What was measured, against which limit?"),
    "not-safe": N_(
        "This tells what was measured, against which limit. It does not say that the vehicle is safe. The vehicle "
        "maker's current service information and local codes govern."
    ),
    "off-by": N_("off by"),
    "known-to": N_("known to"),
    "at-most": N_("at most"),
    "limit": N_("limit"),
    "verdict": N_("verdict"),
    "at-most-means": N_(
        "At most: off by, and on top what must be allowed for what it is known to, so that a verdict is wrong in 5 of "
        "100 at most. What was read is rounded up, a limit down; the verdict is by the figures before rounding."
    ),
    "as-measured": N_("As measured"),
    "what-read": N_("What was read?"),
    "what-else": N_("What else was looked at?"),
    "what": N_("what"),
    "found": N_("found"),
    "asked": N_("asked"),
    "rests-on": N_("What does this page rest on?"),
}
"""On the page of what was measured."""

RECORD: Mapping[str, str] = {
    **REPORT,
    "record-question": N_("What was done to my car's sensors?"),
    "each-sensor": N_("What was called for, and what was found?"),
    "sensor": N_("sensor"),
    "why": N_("why"),
    "word-kept": N_("written down as finished"),
    "called-why": N_("What was called for, and why?"),
    "why-behind": N_("Why each was called for stands behind this page."),
    "checked": N_("The wheel alignment and the floor, checked by themselves"),
    "for-shop": N_("For the shop"),
    "date": N_("date"),
    "code": N_("For a telephone: the same 64 characters, and how to check them."),
    "is-missing": N_("What is missing, or was not looked at?"),
    "nothing-missing": N_("Nothing that this page looks for."),
    "decided": N_("Who decided otherwise, and why?"),
    "nobody-decided": N_("Nobody."),
    "who-signed": N_("Who signed?"),
    "nobody-signed": N_("Nobody has signed it."),
    "how-check": N_("How can I check that nobody changed it?"),
    "not-here": N_("Not on this page: whatever happened to the car later."),
    "reading": N_("reading"),
    "value": N_("value"),
    "brought": N_("Scans, files and notes that were brought"),
    "photos": N_("Photos"),
    "all-entries": N_("Every entry, in order"),
    "when": N_("when"),
    "by": N_("by"),
    "digest": N_("digest"),
    "nothing-brought": N_("None."),
    "no-space": N_("No set-up was measured."),
}
"""On the record of a job."""

ROOM: Mapping[str, str] = {
    **ALL,
    "partial": N_("Partial: {missing}"),
    "how-much": N_("How much of the work can be done"),
    "stops": N_("What stops the rest"),
    "what-stops": N_("What stops it"),
    "lost": N_("Orders lost a year"),
    "change": N_("The change that wins most back"),
    "won": N_("Orders won back a year"),
    "by-order": N_("Share finished, by kind of order"),
    "order": N_("Order"),
    "by-card": N_("Share that has a place, by card"),
    "card": N_("Card"),
    "in-full": N_("All of the work with these cards has a place in each: {cards}."),
    "in-full-short": N_("All of the work with {n} other cards has a place in each."),
    "more": N_("And {n} more, in the answer as data."),
    "where": N_("Where the car stands"),
    "where-note": N_(
        "The rear axle's center, right and up from the datum, for the car that most such orders are finished (or won) "
        "with."
    ),
    "state": N_("In"),
    "serves": N_("For"),
    "stands": N_("Stands"),
    "right": N_("Right"),
    "up": N_("Up"),
    "faces": N_("Faces"),
    "sources-of": N_("{status}, read on {date}: {sources}"),
    "source": N_("{source} for {cards}"),
    "assumptions": N_("Assumptions and warnings"),
}
"""On the sheet of a room."""


def labels(words: Mapping[str, str], reader: Reader) -> dict[str, str]:
    """The words of a sheet in the reader's language; the template fills their blanks."""
    return {key: reader.catalog.one(sentence) for key, sentence in words.items()}
