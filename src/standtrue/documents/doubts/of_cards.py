"""What cannot be meant of a card. The ranges are those of work in a shop: common practice, no source."""

from __future__ import annotations

import math
from collections.abc import Iterator

from standtrue.documents.doubts.known import Known, Size, tell_sizes
from standtrue.documents.parts import Path, Tell
from standtrue.documents.procedure import ProcedureForm
from standtrue.documents.source import content_digest, source_of
from standtrue.documents.zones import TargetForm, ZoneForm
from standtrue.model.basics import Range
from standtrue.model.reason import Angle, Duration, Length, Light, Ref, because

FARTHEST_TARGET_M, FARTHEST_ZONE_M = 15.0, 20.0
TARGET_HEIGHTS: Range = (-2.0, 3.0)
HIGHEST_ZONE_M = 6.0
MOST_TOLERANCE_M, MOST_TOLERANCE_RAD = 0.3, math.radians(10.0)
MOST_MINUTES_S = 8 * 3600.0
MOST_LUX = 10_000.0
"""Indoors; the sun gives a hundred thousand."""

LOOKS_AWAY = math.cos(math.radians(120.0))
LIES_M = 0.2
"""Lower than this a target lies on the floor, and looks up."""

NEAR_M = 1.0
"""Nearer than this a target may look anywhere: it hangs on the car, or lies beside it."""


def doubt_card(form: ProcedureForm, known: Known, tell: Tell) -> None:
    """A card."""
    sets: list[tuple[Path, Path, tuple[TargetForm, ...], tuple[ZoneForm, ...]]] = [
        (("targets",), ("zones",), form.targets, form.zones)
    ]
    sets += [
        (("variants", i, "targets"), ("variants", i, "zones"), variant.targets, variant.zones)
        for i, variant in enumerate(form.variants)
    ]
    sizes = [size for at, of, targets, zones in sets for size in _sizes(at, of, targets, zones)]
    odd = tell_sizes(sizes, tell)
    for path, _, targets, _zones in sets:
        for i, target in enumerate(targets):
            tell_sizes(_tolerances(target, (*path, i, "tolerance")), tell, False)
            _no_tolerance(target, (*path, i, "tolerance"), tell)
            if not odd:
                _looks(target, (*path, i, "facing"), tell)
    if known.is_ahead(form.source.read_on):
        tell(
            ("source", "read_on"),
            "date-ahead",
            because("date-ahead", date=form.source.read_on),
            because("look-at-date"),
        )
    tell_sizes(_times(form), tell, False)
    _life(form, known, tell)


def _life(form: ProcedureForm, known: Known, tell: Tell) -> None:
    """A card that says that it is verified is; else it counts as transcribed."""
    short = source_of(form.source, form.demonstration, content_digest(known.content)).short_of
    if short is not None:
        tell(("source", "status"), "card-not-verified", short, because("let-second-person-read"))


def _sizes(at: Path, of: Path, targets: tuple[TargetForm, ...], zones: tuple[ZoneForm, ...]) -> Iterator[Size]:
    """How far and how high targets stand and zones reach."""
    for i, target in enumerate(targets):
        x, y, z = target.at
        far = Length(math.hypot(x, y))
        yield Size((*at, i, "at"), "distance of the target", far, 0.0, FARTHEST_TARGET_M)
        yield Size((*at, i, "at"), "height of the target", Length(z), *TARGET_HEIGHTS)
    for i, zone in enumerate(zones):
        reach = max((math.hypot(x, y) for x, y in zone.shape.points), default=0.0)
        yield Size((*of, i, zone.way), "reach of the zone", Length(reach), 0.0, FARTHEST_ZONE_M)
        yield Size((*of, i, "top"), "top of the zone", Length(zone.top), -math.inf, HIGHEST_ZONE_M)


def _tolerances(target: TargetForm, path: Path) -> Iterator[Size]:
    for name in ("along", "across", "height"):
        value = getattr(target.tolerance, name)
        if value is not None:
            yield Size((*path, name), "tolerance", Length(value), 0.0, MOST_TOLERANCE_M)
    for name in ("turn", "lean"):
        value = getattr(target.tolerance, name)
        if value is not None:
            yield Size((*path, name), "tolerance", Angle(value), 0.0, MOST_TOLERANCE_RAD)


def _no_tolerance(target: TargetForm, path: Path, tell: Tell) -> None:
    """Nothing that is read can lie within a tolerance of nothing."""
    for name in ("along", "across", "height", "turn", "lean"):
        if getattr(target.tolerance, name) == 0.0:
            tell((*path, name), "tolerance-of-nothing", because("tolerance-of-nothing"), because("look-at-card"))


def _looks(target: TargetForm, path: Path, tell: Tell) -> None:
    """The printed side of a target that stands away from the car looks toward it."""
    x, y, z = target.at
    if target.turned or target.swept or z < LIES_M or math.hypot(x, y) < NEAR_M:
        return
    if math.cos(target.facing - math.atan2(-y, -x)) < LOOKS_AWAY:
        what = because("target-looks-away", target=Ref("target", target.name))
        tell(path, "target-looks-away", what, because("facing-is-printed-side"))


def _times(form: ProcedureForm) -> Iterator[Size]:
    for name in ("set_up", "run", "put_away"):
        most = getattr(form.minutes, name)[1]
        yield Size(("minutes", name), "duration", Duration(most), 0.0, MOST_MINUTES_S)
    if form.light is not None:
        yield Size(("light",), "light", Light(form.light), 0.0, MOST_LUX)
