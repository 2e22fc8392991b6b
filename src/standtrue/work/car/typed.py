"""Figures as they are typed at a car, and what was meant where one cannot be."""

from __future__ import annotations

from collections.abc import Iterator

from standtrue.documents.faults import RefusedError
from standtrue.documents.quantities import parse_angle, parse_length

NEAR = 0.05
"""What lies within this share of what is planned may have been meant."""


def typed_value(typed: str) -> float | None:
    """A figure with its unit in metres or radians; None for what is none."""
    try:
        return parse_angle(typed) if typed.endswith("deg") else parse_length(typed, "m")
    except RefusedError:
        return None


def proposal(typed: str, planned: float, far: float) -> str | None:
    """What was meant by a figure that cannot be: "" where nothing near can be told; None where the figure can be.

    `planned` is what the reading says where everything stands as planned, `far` how far off that cannot be; both in
    metres or radians, without a sign.
    """
    value = typed_value(typed)
    if value is None or far <= 0.0 or abs(value - planned) <= far:
        return None
    figure, _, unit = typed.rpartition(" ")
    near = [(abs(v - planned), text) for text in _slips(figure) if (v := typed_value(f"{text} {unit}")) is not None]
    off, best = min(near, default=(far, ""))
    return f"{best} {unit}" if best and off <= max(NEAR * planned, 0.2 * far) else ""


def _slips(figure: str) -> Iterator[str]:
    """The figure with the point elsewhere, one digit less, one doubled, or two beside each other exchanged."""
    digits = figure.replace(".", "")
    if not digits.isdigit():
        return
    for place in range(1, len(digits) + 1):
        text = digits[:place] + ("." + digits[place:] if place < len(digits) else "")
        if text.lstrip("0"):
            yield text
    yield digits + "0"
    for i in range(len(digits)):
        if len(digits) > 1:
            yield digits[:i] + digits[i + 1 :]
        yield digits[: i + 1] + digits[i:]
        if i + 1 < len(digits):
            yield digits[:i] + digits[i + 1] + digits[i] + digits[i + 2 :]
