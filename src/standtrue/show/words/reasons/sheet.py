"""The sentences of sheets: notes on set-ups, and on the floor under a card."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

from standtrue.model.reason import Angle, Length, Reason
from standtrue.show.words.catalog import N_
from standtrue.show.words.place import standing_at
from standtrue.show.words.reader import Reader
from standtrue.show.words.reasons import Sentences


def _elsewhere(sentence: str) -> Callable[[Reason, Reader], str]:
    """A sentence that says where a set-up has the car, and what to write in it to have the car at the plan's place."""

    def said(reason: Reason, reader: Reader) -> str:
        where = standing_at(_metres(reason, "right"), _metres(reason, "up"), _angle(reason, "faces"), reader)
        return reader.say(sentence, setup=reason["setup"], where=where, written=", ".join(_stance_fields(reason)))

    return said


def _stance_fields(reason: Reason) -> Iterator[str]:
    """The plan's stance as a document has it: its own field names, its own unit."""
    yield f'at = ["{_metres(reason, "x"):.3f} m", "{_metres(reason, "y"):.3f} m"]'
    yield f"heading = {math.degrees(_angle(reason, 'heading').radians):.2f}"
    yield f'on = "{reason["on"]}"'
    if (height_m := _metres(reason, "height")) > 0.0:
        yield f'height = "{height_m:.3f} m"'
    if reason["variant"] is not None:
        yield f'variant = "{reason["variant"]}"'


def _metres(reason: Reason, name: str) -> float:
    value = reason[name]
    assert isinstance(value, Length)
    return value.metres


def _angle(reason: Reason, name: str) -> Angle:
    value = reason[name]
    assert isinstance(value, Angle)
    return value


SENTENCES: Sentences = {
    "no-order-yet": N_(
        "the search for the order of work was stopped before any was found: each stance is one by itself, not of a plan"
    ),
    # Set-ups of the job.
    "set-up-not-shown": N_(
        "the set-up {setup} is not shown here: it is not the first of its card, or its card is not called for or not "
        "done here"
    ),
    "set-up-elsewhere": _elsewhere(
        N_(
            "The set-up {setup} has the car elsewhere ({where}). This sheet is for the place of the plan: before you "
            "type readings in, write in the set-up's [stance]: {written}."
        )
    ),
    "set-up-elsewhere-unfit": _elsewhere(
        N_(
            "The set-up {setup} has the car elsewhere ({where}), where it does not fit. This sheet is for the place of "
            "the plan: before you type readings in, write in the set-up's [stance]: {written}."
        )
    ),
    "set-up-not-at-step": N_(
        "The set-up {setup} has the car at another place than step {step}: what to do about it stands there."
    ),
    "thrust-lines-differ": N_(
        "the set-ups {one} and {other} say differently how the thrust line runs: this sheet has one line, that of {one}"
    ),
    "usual-instruments": N_(
        "no set-up says what the shop measures with: a tape on the floor, a level and how well they are read are taken "
        "as is usual (common practice)"
    ),
    # What was asked on the command line.
    "otherwise-without-plan": N_("{otherwise} chooses among plans, and {no_plan} asks for none"),
    "leave-one-out": N_("leave one of them out"),
}
