"""Zones and targets, as cards and work have them: their forms, checks and models, and the other side of a car."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Annotated, ClassVar, cast

from attrs import evolve

from standtrue.documents.fields import (
    XY,
    XYZ,
    Angle,
    Flag,
    Length,
    Name,
    PositiveAngle,
    SectorShape,
    Size,
    WidthHeight,
    Word,
)
from standtrue.documents.leaves import choice
from standtrue.documents.parts import Form, Path, Shaped, Tell, check_heights, names_once, table_of
from standtrue.documents.shapes import mirror_point, mirrored
from standtrue.model.basics import Layer
from standtrue.model.procedure import ANCHORS, Procedure, Target, TargetPosition, Tolerance, Zone
from standtrue.model.reason import because

LAYER = choice(("stand", "walk", "clear", "metal-free", "plain"))
ANCHOR = choice(ANCHORS)
LINE = choice(("thrust line", "centerline"))


class ZoneForm(Shaped):
    ways: ClassVar[tuple[str, ...]] = ("outline", "box", "circle", "sector")

    name: Name
    needs: Annotated[str, LAYER]
    anchor: Annotated[str, ANCHOR]
    sector: SectorShape | None = None
    bottom: Length = 0.0
    top: Length
    turned: Flag = False
    from_floor: Flag = False


class ToleranceForm(Form):
    along: Size | None = None
    across: Size | None = None
    height: Size | None = None
    turn: PositiveAngle | None = None
    lean: PositiveAngle | None = None


class PositionForm(Form):
    at: XYZ
    facing: Angle | None = None


class TargetForm(Form):
    name: Name
    equipment: Word | None = None
    size: WidthHeight | None = None
    anchor: Annotated[str, ANCHOR]
    at: XYZ
    facing: Angle
    line: Annotated[str, LINE] = "thrust line"
    tolerance: ToleranceForm = ToleranceForm.model_construct()
    positions: tuple[Annotated[PositionForm, table_of("at", {"type": "array"})], ...] = ()
    swept: tuple[XY, ...] = ()
    turned: Flag = False
    from_floor: Flag = False


# Checks


def check_zones(forms: Sequence[ZoneForm], path: Path, tell: Tell) -> None:
    """Zones: names once, tops above bottoms, and turning only with a sensor."""
    names_once(forms, path, tell)
    for i, zone in enumerate(forms):
        check_heights(zone.bottom, zone.top, (*path, i), tell)
        _turned(zone.turned, zone.anchor, (*path, i), tell)


def check_targets(forms: Sequence[TargetForm], path: Path, tell: Tell) -> None:
    """Targets: names once, and turning only with a sensor."""
    names_once(forms, path, tell)
    for i, target in enumerate(forms):
        _turned(target.turned, target.anchor, (*path, i), tell)


def _turned(turned: bool, anchor: str, path: Path, tell: Tell) -> None:
    if turned and anchor not in ("sensor", ""):
        what, remedy = because("turned-away-from-sensor"), because("anchor-at-sensor")
        tell((*path, "turned"), "fields-conflict", what, remedy)


# To the model


def zones_of(forms: Iterable[ZoneForm]) -> tuple[Zone, ...]:
    """Zones as the model has them."""
    return tuple(
        Zone(z.name, cast(Layer, z.needs), z.anchor, z.shape.points, z.bottom, z.top, z.turned, z.from_floor)
        for z in forms
    )


def targets_of(forms: Iterable[TargetForm]) -> tuple[Target, ...]:
    """Targets as the model has them."""
    return tuple(_target(form) for form in forms)


def _target(form: TargetForm) -> Target:
    allowed = form.tolerance
    return Target(
        name=form.name,
        anchor=form.anchor,
        at=form.at,
        facing_rad=form.facing,
        equipment=form.equipment,
        size_m=form.size,
        line="centerline" if form.line == "centerline" else "thrust line",
        tolerance=Tolerance(allowed.along, allowed.across, allowed.height, allowed.turn, allowed.lean),
        positions=tuple(TargetPosition(position.at, position.facing) for position in form.positions),
        swept=tuple(form.swept),
        turned=form.turned,
        from_floor=form.from_floor,
    )


# Mirroring a card that was written for the left


_OTHER_SIDE = {"left": "right", "right": "left"}


def _swap(place: str) -> str:
    """An anchor or a wheel on the other side of the car."""
    return " ".join(_OTHER_SIDE.get(word, word) for word in place.split(" "))


def mirror(card: Procedure) -> Procedure:
    """The card for the other side: y negated, angles negated, sides exchanged in anchors and wheels."""
    level = card.floor_level
    return evolve(
        card,
        zones=tuple(_mirror_zone(zone) for zone in card.zones),
        targets=tuple(_mirror_target(target) for target in card.targets),
        variants=tuple(
            evolve(
                variant,
                zones=tuple(_mirror_zone(zone) for zone in variant.zones),
                targets=tuple(_mirror_target(target) for target in variant.targets),
            )
            for variant in card.variants
        ),
        floor_level=level and evolve(level, over=tuple(_swap_wheel(word) for word in level.over)),
    )


def _swap_wheel(word: str) -> str:
    return _swap(word) if word.startswith("wheel ") else word


def _mirror_zone(zone: Zone) -> Zone:
    return evolve(zone, anchor=_swap(zone.anchor), outline=mirrored(zone.outline))


def _mirror_target(target: Target) -> Target:
    return evolve(
        target,
        anchor=_swap(target.anchor),
        at=_mirror_at(target.at),
        facing_rad=0.0 - target.facing_rad,
        positions=tuple(
            TargetPosition(_mirror_at(p.at), None if p.facing_rad is None else 0.0 - p.facing_rad)
            for p in target.positions
        ),
        swept=tuple(mirror_point(point) for point in target.swept),
    )


def _mirror_at(at: tuple[float, float, float]) -> tuple[float, float, float]:
    return (at[0], 0.0 - at[1], at[2])
