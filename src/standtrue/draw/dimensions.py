"""Running dimensions from the datum along two edges of a drawing: which figures, and where each is written."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from attrs import frozen

from standtrue.draw.lettering import LINE, TEXT_MM, width_mm
from standtrue.draw.shapes import Measure, MeasureWords

PITCH_MM = TEXT_MM * LINE + 0.2
"""How near two figures may be written."""

FLAG_MM = 0.8
"""From a line to the figure written beside it."""


@frozen
class Figure:
    """One figure on one edge: the value from the datum, metres, and whose it is."""

    value_m: float
    text: str
    tags: tuple[str, ...]

    @property
    def width_mm(self) -> float:
        return width_mm(self.text)


def figures(measures: Sequence[Measure], words: Mapping[str, MeasureWords], along: bool) -> tuple[Figure, ...]:
    """The figures of one edge, least first; points whose figures read alike share one."""
    groups: dict[str, list[Measure]] = {}
    for measure in measures:
        said = words[measure.tag]
        groups.setdefault(said.along if along else said.across, []).append(measure)
    found = [
        Figure(
            _value(group[0], along), f"{' '.join(_runs([m.tag for m in group]))}: {text}", tuple(m.tag for m in group)
        )
        for text, group in groups.items()
    ]
    return tuple(sorted(found, key=lambda f: (f.value_m, f.text)))


def _value(measure: Measure, along: bool) -> float:
    return measure.right_m if along else measure.up_m


def _runs(tags: Sequence[str]) -> Iterator[str]:
    """Tags with runs of three or more targets joined: T1–T4."""
    i = 0
    while i < len(tags):
        j = i
        while j + 1 < len(tags) and _next(tags[j]) == tags[j + 1]:
            j += 1
        if j - i >= 2:
            yield f"{tags[i]}–{tags[j]}"
        else:
            yield from tags[i : j + 1]
        i = j + 1


def _next(tag: str) -> str:
    return f"T{int(tag[1:]) + 1}" if tag[:1] == "T" and tag[1:].isdigit() else ""


def flag_rows(places: Sequence[float], widths: Sequence[float]) -> tuple[int, ...]:
    """Rows, 0 the nearest, for figures written to the right of lines that come down at `places` (ascending).

    No figure is crossed by the line of another: it hangs below every line that it would reach.
    """
    rows = [0] * len(places)
    for i in reversed(range(len(places))):
        reached = [rows[j] for j in range(i + 1, len(places)) if places[j] <= places[i] + FLAG_MM + widths[i] + 0.6]
        rows[i] = max(reached, default=-1) + 1
    return tuple(rows)


def spread(wanted: Sequence[float], pitch: float = PITCH_MM) -> tuple[float, ...]:
    """Positions in order, at least `pitch` apart, as near to those wanted (ascending) as least squares allows.

    Isotonic regression by pooling adjacent violators (Ayer and others 1955).
    """
    pools: list[tuple[float, int]] = []
    for i, value in enumerate(wanted):
        pools.append((value - i * pitch, 1))
        while len(pools) > 1 and pools[-2][0] > pools[-1][0]:
            (b, n), (a, m) = pools.pop(), pools.pop()
            pools.append(((a * m + b * n) / (m + n), m + n))
    flat = [mean for mean, count in pools for _ in range(count)]
    return tuple(value + i * pitch for i, value in enumerate(flat))
