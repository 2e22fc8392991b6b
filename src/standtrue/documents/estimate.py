"""The dimensions of a car that a document leaves out, estimated by stated rules."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from attrs import frozen

from standtrue.model.reason import Length, Number, Reason, because


@frozen
class Estimate:
    """One rule: the field it fills (metres), how, and where the rule comes from."""

    field: str
    rule: Reason
    source: Reason
    value: Callable[[float, float, float], float]
    """From length, width and wheelbase, metres."""
    u: float
    """Standard uncertainty of what the rule gives, metres. Common practice, no source, but for the turning circle."""


def _track(_length: float, width: float, _wheelbase: float) -> float:
    return 0.85 * width


PRACTICE = because("common-practice")

ESTIMATES: tuple[Estimate, ...] = (
    Estimate(
        "width_over_mirrors",
        because("width-and", more=Length(0.22)),
        PRACTICE,
        lambda _l, width, _w: width + 0.22,
        0.05,
    ),
    Estimate("height", because("as-a-rule", value=Length(1.55)), PRACTICE, lambda *_: 1.55, 0.1),
    Estimate(
        "front_overhang",
        because("share-of-overhangs", factor=Number(0.48, 2)),
        PRACTICE,
        lambda length, _w, wheelbase: 0.48 * (length - wheelbase),
        0.08,
    ),
    Estimate("track_front", because("share-of-width", factor=Number(0.85, 2)), PRACTICE, _track, 0.03),
    Estimate("track_rear", because("share-of-width", factor=Number(0.85, 2)), PRACTICE, _track, 0.03),
    Estimate("tire_width", because("as-a-rule", value=Length(0.215)), PRACTICE, lambda *_: 0.215, 0.015),
    Estimate("tire_diameter", because("as-a-rule", value=Length(0.65)), PRACTICE, lambda *_: 0.65, 0.02),
    Estimate("ground_clearance", because("as-a-rule", value=Length(0.15)), PRACTICE, lambda *_: 0.15, 0.03),
    Estimate(
        "turning_circle",
        because("circle-by-wheelbase", factor=Number(4.1025, 4), more=Length(1.0426)),
        because("fit-to-cars", cars=93, year=1993, spread=Length(0.68), correlation=Number(0.723, 3)),
        lambda _l, _w, wheelbase: 4.1025 * wheelbase + 1.0426,
        0.68,
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
