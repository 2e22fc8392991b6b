"""Sentences of corrections: what to do to a target. Left and right are the car's, and a landmark says the same."""

from __future__ import annotations

from collections.abc import Mapping

from standtrue.model.reason import Reason
from standtrue.show.words.catalog import N_
from standtrue.show.words.reader import Reader
from standtrue.show.words.reasons import Sentences

_SHIFTS: Mapping[str, tuple[str, str]] = {
    "forward": (N_("{by} forward, as the car looks"), N_("{by} forward, as the car looks (toward {toward:the})")),
    "rearward": (N_("{by} rearward, as the car looks"), N_("{by} rearward, as the car looks (toward {toward:the})")),
    "left": (N_("{by} to the car's left"), N_("{by} to the car's left (toward {toward:the})")),
    "right": (N_("{by} to the car's right"), N_("{by} to the car's right (toward {toward:the})")),
}
"""A shift on the plan: alone, and with a landmark."""

_TURNS: Mapping[str, tuple[str, str]] = {
    "turn-clockwise": (
        N_("turn it {by} clockwise, seen from above"),
        N_("turn it {by} clockwise, seen from above (each end moves {ends})"),
    ),
    "turn-counter-clockwise": (
        N_("turn it {by} counter-clockwise, seen from above"),
        N_("turn it {by} counter-clockwise, seen from above (each end moves {ends})"),
    ),
}
"""A turn: alone, and with what a tape reads at the ends."""


def _shift(reason: Reason, reader: Reader) -> str:
    values = dict(reason.values)
    return reader.say(_SHIFTS[reason.code.removeprefix("shift-")]["toward" in values], **values)


def _turn(reason: Reason, reader: Reader) -> str:
    values = dict(reason.values)
    return reader.say(_TURNS[reason.code]["ends" in values], **values)


SENTENCES: Sentences = {
    **{f"shift-{way}": _shift for way in _SHIFTS},
    "shift-up": N_("{by} up"),
    "shift-down": N_("{by} down"),
    "turn-clockwise": _turn,
    "turn-counter-clockwise": _turn,
    "tip-down": N_("tip the printed side {by} down"),
    "tip-up": N_("tip the printed side {by} up"),
}
