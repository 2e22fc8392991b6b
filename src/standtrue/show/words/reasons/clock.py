"""The sentences of the clock of a job: why a plan has no clock times, and what is planned again."""

from __future__ import annotations

from datetime import datetime

from standtrue.model.reason import Reason
from standtrue.show.words.catalog import N_
from standtrue.show.words.days import moment_words
from standtrue.show.words.reader import Reader
from standtrue.show.words.reasons import Sentences


def _when(reason: Reason, name: str, reader: Reader) -> str:
    return moment_words(datetime.fromisoformat(str(reason[name])), reader, dated=True)


def _after_event(reason: Reason, reader: Reader) -> str:
    return reader.say(
        "it was done {done}, and {event} came after that, {at}",
        done=_when(reason, "done", reader), event=reason["event"], at=_when(reason, "at", reader),
    )  # fmt: skip


def _after_work(reason: Reason, reader: Reader) -> str:
    return reader.say(
        "it was done {done}, and {operation} after that, {at}",
        done=_when(reason, "done", reader), operation=reason["operation"], at=_when(reason, "at", reader),
    )  # fmt: skip


def _before_work(reason: Reason, reader: Reader) -> str:
    return reader.say(
        "it was done {done}, and {operation}, which must come before it, is still to be done",
        done=_when(reason, "done", reader), operation=reason["operation"],
    )  # fmt: skip


SENTENCES: Sentences = {
    "no-opening-hours": N_("no opening hours entered"),
    "no-arrival": N_("no arrival entered"),
    "never-ready": N_("by the hours entered it is not ready within a year: somebody whom it takes is never there"),
    # From the middle of a job.
    "planned-again": N_("{operation} is planned again: {why}"),
    "again-after-event": _after_event,
    "again-after-work": _after_work,
    "again-before-work": _before_work,
    "wait-goes-on": N_("{operation} is done: its cure or drying goes on"),
    "done-not-called-for": N_("{what} is done, and the job does not call for it"),
    "stands-not-told": N_("the order does not say where the car stands now: it is taken to be outside"),
    "no-way-from-here": N_("no way was found from where the order says that the car stands"),
    "stands-at-no-height": N_("{carrier} is never at {height}"),
    "height-from-to": N_("Write a height from {least} to {most}."),
    "taken-to-be-put-away": N_(
        "what still stands about the car is taken to be put away, its time not counted: {equipment}"
    ),
}
