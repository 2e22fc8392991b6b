"""The dimensions of a car that a document leaves out, estimated by stated rules."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from attrs import frozen


@frozen
class Estimate:
    """One rule: the field it fills (metres), how, in words, and where the rule comes from."""

    field: str
    rule: str
    source: str
    value: Callable[[float, float, float], float]
    """From length, width and wheelbase, metres."""


PRACTICE = "common practice, no source"

ESTIMATES: tuple[Estimate, ...] = (
    Estimate("width_over_mirrors", "width + 0.22 m", PRACTICE, lambda _l, width, _w: width + 0.22),
    Estimate("height", "1.55 m", PRACTICE, lambda *_: 1.55),
    Estimate(
        "front_overhang",
        "0.48 x (length - wheelbase); the rear overhang is what remains",
        PRACTICE,
        lambda length, _w, wheelbase: 0.48 * (length - wheelbase),
    ),
    Estimate("track_front", "0.85 x width", PRACTICE, lambda _l, width, _w: 0.85 * width),
    Estimate("track_rear", "0.85 x width", PRACTICE, lambda _l, width, _w: 0.85 * width),
    Estimate("tire_width", "0.215 m", PRACTICE, lambda *_: 0.215),
    Estimate("tire_diameter", "0.65 m", PRACTICE, lambda *_: 0.65),
    Estimate("ground_clearance", "0.15 m", PRACTICE, lambda *_: 0.15),
    Estimate(
        "turning_circle",
        "4.1025 x wheelbase + 1.0426 m, kerb to kerb; not where turning_circle_wall is given",
        "least-squares fit to the open Cars93 data (n = 93, US cars of 1993; residual sd 0.68 m, r 0.723)",
        lambda _l, _w, wheelbase: 4.1025 * wheelbase + 1.0426,
    ),
)


def estimate_missing(known: Mapping[str, float | None]) -> tuple[dict[str, float], tuple[str, ...]]:
    """Every dimension, given or estimated, and the names of the estimated ones.

    `known` holds metres by document field name; `length`, `width` and `wheelbase` must be there. A field that
    is absent or None is estimated.
    """
    values = {field: value for field, value in known.items() if value is not None}
    length, width, wheelbase = values["length"], values["width"], values["wheelbase"]
    estimated = []
    for estimate in ESTIMATES:
        if estimate.field in values or (estimate.field == "turning_circle" and "turning_circle_wall" in values):
            continue
        values[estimate.field] = estimate.value(length, width, wheelbase)
        estimated.append(estimate.field)
    return values, tuple(estimated)
