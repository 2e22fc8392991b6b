"""Sentences of the one verdict: what stands against calibrating, and what mends or settles each."""

from __future__ import annotations

from standtrue.model.reason import Reason
from standtrue.show.words.catalog import N_
from standtrue.show.words.reader import Reader
from standtrue.show.words.reasons import Sentences


def _conditions_not_met(reason: Reason, reader: Reader) -> str:
    return reader.say_n(
        "{what} is not as the card asks",
        "{what} are not as the card asks",
        _count(reason, "what"),
        what=reason["what"],
    )


def _conditions_not_recorded(reason: Reason, reader: Reader) -> str:
    return reader.say_n(
        "this was not recorded: {what}",
        "these were not recorded: {what}",
        _count(reason, "what"),
        what=reason["what"],
    )


def _targets_out(reason: Reason, reader: Reader) -> str:
    return reader.say_n(
        "the {targets} is out of tolerance",
        "these are out of tolerance: {targets}",
        _count(reason, "targets"),
        targets=reason["targets"],
    )


def _read_one_again(reason: Reason, reader: Reader) -> str:
    return reader.say_n(
        "read the {readings} again",
        "read these again: {readings}",
        _count(reason, "readings"),
        readings=reason["readings"],
    )


def _unchecked(reason: Reason, reader: Reader) -> str:
    count = reason["count"]
    return reader.say_n(
        "one reading is checked by no other",
        "{n} readings are checked by no other",
        count if isinstance(count, int) else 1,
    )


def _doors_open(reason: Reason, reader: Reader) -> str:
    return reader.say_n(
        "only with the door {doors} open",
        "only with these doors open: {doors}",
        _count(reason, "doors"),
        doors=reason["doors"],
    )


def _overdue(reason: Reason, reader: Reader) -> str:
    days = reason["days"]
    return reader.say_n(
        "the check of the {instrument} is a day overdue",
        "the check of the {instrument} is {n} days overdue",
        days if isinstance(days, int) else 1,
        instrument=reason["instrument"],
    )


def _overdue_then(reason: Reason, reader: Reader) -> str:
    days = reason["days"]
    return reader.say_n(
        "when {survey} was made the check of the {instrument} was a day overdue",
        "when {survey} was made the check of the {instrument} was {n} days overdue",
        days if isinstance(days, int) else 1,
        instrument=reason["instrument"],
        survey=reason["survey"],
    )


def _count(reason: Reason, name: str) -> int:
    """How many things a value names."""
    value = reason[name]
    return len(value) if isinstance(value, tuple) else 1


SENTENCES: Sentences = {
    # where the car stands
    "stance-not-measured": N_("nobody measured where the car stands"),
    "measure-the-stance": N_("measure it from marks on the floor"),
    "measure-the-stance-again": N_("measure more closely where it stands"),
    "sizes-estimated": N_("estimated, not measured: {what}"),
    "with-doors-open": _doors_open,
    # the floor
    "floor-there-not-level": N_("the floor under the car is not level enough"),
    "floor-there-not-known": N_("whether the floor under the car is level enough is not known"),
    "floor-there-misread": N_("whether the floor under the car is level enough rests on heights that look misread"),
    "floor-there-too-near-limit": N_("the floor under the car is too close to its limit to tell"),
    "survey-it": N_("survey it"),
    "survey-it-closer": N_("survey it more closely"),
    # the alignment
    "alignment-not-kept": N_("the alignment is out of tolerance ({readings})"),
    "alignment-limits-unknown": N_("the car's alignment limits are not known"),
    "get-the-limits": N_("get them from the vehicle maker's service information"),
    "alignment-not-known": N_("the alignment is not known"),
    "alignment-partly-known": N_("the alignment is not wholly known"),
    "alignment-too-close": N_("the alignment is too close to its limits to tell"),
    "set-or-read-closer": N_("set it nearer the middle of its limits, or read it more closely: {readings}"),
    "alignment-readings-contradict": N_("alignment readings contradict each other"),
    "thrust-line-not-known": N_("the thrust line is not known"),
    "measure-rear-toes": N_("measure the rear toes"),
    # conditions
    "conditions-not-met": _conditions_not_met,
    "conditions-not-recorded": _conditions_not_recorded,
    "conditions-unsure": N_("this cannot be told from what was recorded: {what}"),
    "record-them": N_("look and record it"),
    "record-them-again": N_("record it again, in the card's unit and more closely"),
    # readings
    "a-reading-contradicts": N_("one reading does not go with the others"),
    "read-one-again": _read_one_again,
    "readings-questioned": N_("a reading needs a second look ({why})"),
    "read-them-again": N_("read it again"),
    "read-again": N_("read the {reading} again"),
    "read-these-again": N_("read {readings} again"),
    "measure-these": N_("measure {what}"),
    "readings-checked-by-no-other": _unchecked,
    "check-them": N_("read a second time: {readings}"),
    "check-overdue": _overdue,
    "check-overdue-then": _overdue_then,
    # targets
    "targets-out": _targets_out,
    "target-not-measured": N_("the {target} is not wholly measured"),
    "target-without-tolerance": N_("the card states no tolerance for the {target}"),
    "get-it": N_("get it from the vehicle maker's service information"),
    "target-too-close": N_("the {target} is too close to a limit to tell"),
    "measure-it-closer": N_("measure it more closely"),
    "measure-these-closer": N_(
        "measure more closely where it stands ({parts}): wherever that is, it could not be told as well as it is known"
    ),
    "shift-it": N_("shift it as told and read it again"),
}
