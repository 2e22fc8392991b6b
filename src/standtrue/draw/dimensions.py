"""Figures written one below another: each as near to its place as the others let it."""

from __future__ import annotations

from collections.abc import Sequence

from standtrue.draw.lettering import LINE, TEXT_MM

PITCH_MM = TEXT_MM * LINE + 0.2
"""How near two figures may be written."""


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
