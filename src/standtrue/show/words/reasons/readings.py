"""Sentences of readings: how they run, what lies in their way, what a plan of them does not find."""

from __future__ import annotations

from standtrue.model.reason import Reason
from standtrue.show.words.catalog import N_
from standtrue.show.words.reader import Reader
from standtrue.show.words.reasons import Sentences


def _hidden(reason: Reason, reader: Reader) -> str:
    numbers = reason["numbers"]
    return reader.say_n(
        "a slip of {size:up} in reading {numbers} may go unseen",
        "a slip of {size:up} may go unseen in readings {numbers}",
        len(numbers) if isinstance(numbers, tuple) else 1,
        **dict(reason.values),
    )


SENTENCES: Sentences = {
    # a plan of readings
    "readings-hide-blunders": _hidden,
    "many-readings": N_("{part}: {count} readings on the floor are needed, more than the usual {usual}"),
    "reading-time-assumed": N_("each reading is taken to need {each}: the site says nothing else"),
    "readings-counted": N_(
        "the readings that prove where its targets stand are counted with {least} to {most}, "
        "beside the card's own minutes"
    ),
    "chalk-ends": N_("{target} has no size: its ends are chalk marks {half} from its center, squarely along its face"),
    "car-tied-once": N_("the readings that tie the car to the floor are taken once, for all cards at this stance"),
    "car-not-tied-by-marks": N_("no floor mark can be reached from the car: state how the car was put on its stance"),
    # lines to snap
    "line-not-clear": N_("the {line} cannot be chalked: in the way is {things}"),
    "thrust-line-of-set-up": N_("the thrust line is that of the set-up {setup}, for all targets of this car"),
    # a reading that is questioned
    "reading-through": N_("{reading}: no tape can follow it, {things} is in the way"),
    "reading-from-wheel": N_("{reading}: {points} lies under the tire; use {instead:or}"),
}
