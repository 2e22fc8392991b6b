"""What happens at a car, as values: each is an entry of the record, kept at once, and told from the same sent again."""

from __future__ import annotations

from typing import Literal

from attrs import frozen

What = Literal[
    "begun",
    "leg",
    "condition",
    "stands",
    "reading",
    "moved",
    "verdict",
    "tool",
    "next",
    "photo",
    "signed",
    "done",
    "stopped",
    "back",
    "asked",
    "given",
    "kept",
    "taken",
    "taken back",
]
"""What can happen. A step is begun; legs are driven; a condition is found; the target stands where it goes; a reading
is taken; something moved, or nothing did; what the readings say; what the scan tool said; what comes next where it did
not finish; a photo, or why there is none; the step is signed, or done where nobody signs.

Somebody stops and comes back; another device asks for the step, which is given, kept, or taken since the other is gone.
What was told before is taken back, with a reason: it stays in the record, and counts no more.
"""

STOPS = ("called away", "somebody else", "other car", "card wrong", "signed wrong")
"""Why somebody stops."""

NEXT = ("again", "send out", "wait")
"""What comes next where a calibration did not finish: it is tried again, sent out, or waits for a part."""

MOVED = ("nothing", "target", "car")
"""What may have moved."""


@frozen
class Happened:
    """One thing that happened. `key` tells it from the same sent again; `at` is when (UTC, ISO 8601), by the server's
    clock, however late it comes.

    `name` says which: the reading, the condition, what moved, why somebody stopped, what comes next, what the tool
    said; `part` is the target that a reading places, "" for one of the car on the floor. `value` is in metres or
    radians, of a condition as `typed`; `typed` is the figure as typed with its unit. `text` and `codes` are the scan
    tool's words, or a reason. `device` is where it was typed; `to` the device that is given the step, `undoes` the key
    of what is taken back.
    """

    key: str
    at: str
    by: str
    device: str
    step: str
    what: What
    name: str = ""
    part: str = ""
    value: float | None = None
    typed: str = ""
    text: str = ""
    codes: tuple[str, ...] = ()
    digest: str = ""
    to: str = ""
    undoes: str = ""
