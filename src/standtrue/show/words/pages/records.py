"""What the pages of the records say: looking for one, and one of them."""

from __future__ import annotations

from datetime import datetime

from attrs import frozen

from standtrue.show.answers.record import RecordAnswer, is_dropped, measured_for
from standtrue.show.words.days import moment_words
from standtrue.show.words.reader import Reader
from standtrue.show.words.sheet_record import answer
from standtrue.work.aim.gate import May
from standtrue.work.records.searching import Looked


@frozen
class RecordsWords:
    """The fixed words of the page on which one is looked for."""

    question: str
    field: str
    hint: str
    first: str
    last: str
    find: str
    columns: tuple[str, ...]
    more: str


def records_words(reader: Reader) -> RecordsWords:
    """They."""
    return RecordsWords(
        question=reader.say("Which order are you looking for?"),
        field=reader.say("Order, plate, car, person or card"),
        hint=reader.say("Each word has to stand in the record, in any order."),
        first=reader.say("From this day"),
        last=reader.say("Until this day"),
        find=reader.say("Find"),
        columns=(
            reader.say("order"),
            reader.say("car"),
            reader.say("plate"),
            reader.say("first entry"),
            reader.say("last entry"),
            reader.say("entries"),
        ),
        more=reader.say("Show older ones"),
    )


def looked_answer(looked: Looked, reader: Reader) -> str:
    """How many were found, of how many."""
    if not looked.jobs:
        return reader.say("Nothing was kept yet. An order has a record as soon as something was answered about it.")
    if not looked.found:
        return reader.say_n(
            "None was found; {n} order has a record.", "None was found; {n} orders have a record.", looked.jobs
        )
    if looked.more:
        return reader.say("The last {shown} of those that were found.", shown=len(looked.found))
    if len(looked.found) == looked.jobs:
        return reader.say_n("{n} order has a record.", "{n} orders have a record.", looked.jobs)
    return reader.say("{found} of {all} orders with a record.", found=len(looked.found), all=looked.jobs)


def when(at: str, reader: Reader) -> str:
    """A moment that was kept in UTC, by this machine's clock."""
    try:
        local = datetime.fromisoformat(at).astimezone()
    except ValueError:
        return at
    return reader.say("{moment}, {year}", moment=moment_words(local, reader, dated=True), year=str(local.year))


@frozen
class RecordWords:
    """The fixed words of one record's page."""

    question: str
    measured: str
    columns: tuple[str, ...]
    at_most: str
    room: str
    room_columns: tuple[str, ...]
    needs: str
    need_columns: tuple[str, ...]
    missing: str
    decided: str
    signed: str
    nobody: str
    happened: str
    seals: str
    print_it: str
    again: str
    save: str
    not_said: str
    rests: str
    documents: str
    checked: str
    last: str
    brought: str


def record_words(reader: Reader) -> RecordWords:
    """They."""
    return RecordWords(
        question=reader.say("What was measured, against which limit?"),
        measured=reader.say("What was measured"),
        columns=(
            reader.say("direction"),
            reader.say("means"),
            reader.say("off by"),
            reader.say("known to"),
            reader.say("at most"),
            reader.say("limit"),
            reader.say("verdict"),
        ),
        at_most=reader.say("At most: off by, and what it may be off beyond that, by the rule that decides."),
        room=reader.say("The car and the room"),
        room_columns=(reader.say("what"), reader.say("found"), reader.say("asked"), reader.say("verdict")),
        needs=reader.say("What had to be calibrated"),
        need_columns=(reader.say("sensor"), reader.say("because"), reader.say("finished"), reader.say("verdict")),
        missing=reader.say("What is missing, or was not looked at"),
        decided=reader.say("What a person decided otherwise"),
        signed=reader.say("Who signed"),
        nobody=reader.say("Nobody has signed this order off."),
        happened=reader.say("What happened, in order"),
        seals=reader.say(
            "Each seal is made from the entry and from the seal before it. Change one letter and every seal after it "
            "no longer fits."
        ),
        print_it=reader.say("Print the record"),
        again=reader.say("Check the seals again"),
        save=reader.say("Save as a file that others can check"),
        not_said=reader.say(
            "This tells what was measured against which limit. It does not say that the vehicle is safe. The vehicle "
            "maker's current service information and local codes govern."
        ),
        rests=reader.say("Rests on"),
        documents=reader.say("documents"),
        checked=reader.say("Seals"),
        last=reader.say("Last entry"),
        brought=reader.say("What was brought"),
    )


@frozen
class Counted:
    """Of the calibrations that were required: how many there are, were measured, and stood as their cards ask."""

    required: int
    measured: int
    within: int

    @property
    def shape(self) -> str:
        """The class by which a page draws its verdict: yes only where every one of them stood so."""
        if self.within < self.measured:
            return "no"
        return "yes" if self.required and self.within == self.required else "unsure"


def counted(record: RecordAnswer) -> Counted:
    """They, by what was measured last."""
    needs = () if record.needs is None else record.needs.needs
    asked = [need for need in needs if need.how == "required" and not is_dropped(need)]
    found = [[one.answer.gate.verdict for one in measured_for(need, record.measured)] for need in asked]
    within = [verdicts for verdicts in found if verdicts and all(may is May.YES for may in verdicts)]
    return Counted(len(asked), sum(map(bool, found)), len(within))


def record_answer(record: RecordAnswer, reader: Reader) -> tuple[str, ...]:
    """A broken seal first; else what the measuring came to, who signed, and whether the record is whole."""
    if not record.whole:
        return (reader.say("The record is not whole. What stands here cannot be relied on."),)
    said = [_measured(counted(record), reader)]
    said += [
        reader.say("Signed by {by}, {at}.", by=one.answer.by, at=when(one.at, reader)) for one in record.signed[-1:]
    ]
    if not record.signed:
        said.append(reader.say("Nobody has signed it off."))
    said.append(whole_line(record, reader))
    return tuple(said)


def _measured(found: Counted, reader: Reader) -> str:
    blanks = {"within": found.within, "measured": found.measured, "required": found.required}
    if not found.required:
        return reader.say("No calibration was required.")
    if not found.measured:
        return reader.say("Nothing was measured of the {required} that had to be calibrated.", **blanks)
    if found.within == found.required:
        return reader.say(
            "In tolerance: all {required} that had to be calibrated stood within what their cards ask.", **blanks
        )
    if found.within == found.measured:
        return reader.say(
            "{measured} of {required} were measured, and stood within what their cards ask; the others were not "
            "measured.",
            **blanks,
        )
    return reader.say(
        "Of {required} that had to be calibrated {measured} were measured, and {within} stood within what their cards "
        "ask.",
        **blanks,
    )


def whole_line(record: RecordAnswer, reader: Reader) -> str:
    """Whether it is whole."""
    return answer(record, reader)[0]


def seal_words(digest: str, reader: Reader) -> str:
    """The first digits of a seal."""
    return reader.say("seal {digits}", digits=f"{digest[:4]} {digest[4:8]}")


def folded(count: int, reader: Reader) -> str:
    """What a fold of entries is called."""
    return reader.say_n("{n} more entry", "{n} more entries", count)


def seals_fit(record: RecordAnswer, reader: Reader) -> str:
    """How many seals fit, as was just proven."""
    if not record.whole:
        return reader.say("not all fit")
    return reader.say("{n} of {n} fit, checked just now", n=len(record.entries))
