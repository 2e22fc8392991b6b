"""Forms of cards, rules, jobs and mixes, turned into the model."""

from __future__ import annotations

from collections.abc import Iterable
from typing import cast

from attrs import evolve

from standtrue.documents.convert_shop import side_of
from standtrue.documents.forms.job import FittedForm, JobForm, MixForm, RulesForm, StudyForm, WorkForm
from standtrue.documents.forms.procedure import (
    ConditionForm,
    DriveForm,
    FloorLevelForm,
    MinutesForm,
    ProcedureForm,
    SourceForm,
    TargetForm,
    VariantForm,
    ZoneForm,
)
from standtrue.documents.shapes import mirror_point, mirrored
from standtrue.model.basics import Layer, SupportClass
from standtrue.model.job import Decision, Event, FittedSensor, Job, Mix, MixEntry, Reading, Scan, Work
from standtrue.model.procedure import (
    Condition,
    DriveCycle,
    FloorLevel,
    Method,
    Minutes,
    Procedure,
    Source,
    Target,
    TargetPosition,
    Tolerance,
    Variant,
    Zone,
)
from standtrue.model.reason import Text
from standtrue.model.rules import Calibrate, How, Rule, Rules, Where
from standtrue.model.study import RepairOrder, Study


def to_procedures(form: ProcedureForm) -> tuple[Procedure, ...]:
    """A card: one procedure, or two, left and right, where it was written for each side."""
    card = Procedure(
        name=form.name,
        sensor=form.sensor.kind,
        method=cast(Method, form.method),
        source=_source(form.source, form.demonstration),
        side=None if form.sensor.side == "each" else side_of(form.sensor.side),
        vehicles=form.vehicles,
        supports=_supports(form.supports),
        lift_height_m=form.lift_height,
        wheels_hanging=form.wheels_hanging,
        wheels_on=form.wheels_on,
        minutes=_minutes(form.minutes),
        people=form.people,
        skills=form.skills,
        equipment=form.equipment,
        after=form.after,
        light_lux=form.light,
        floor_level=_floor_level(form.floor_level),
        conditions=tuple(_condition(condition) for condition in form.conditions),
        drive=_drive(form.drive),
        zones=_zones(form.zones),
        targets=_targets(form.targets),
        variants=tuple(_variant(variant, i) for i, variant in enumerate(form.variants, 1)),
        demonstration=form.demonstration,
    )
    if form.sensor.side != "each":
        return (card,)
    return (evolve(card, side="left"), evolve(mirror(card), side="right"))


def _source(form: SourceForm, demonstration: bool) -> Source:
    status = form.status or ("demonstration" if demonstration else "transcribed")
    if status == "demonstration":
        return Source(form.title, form.edition, form.read_on, "demonstration")
    return Source(form.title, form.edition, form.read_on, "verified" if status == "verified" else "transcribed")


def _supports(words: tuple[str, ...]) -> tuple[SupportClass, ...]:
    return cast("tuple[SupportClass, ...]", tuple(dict.fromkeys(words)))


def _minutes(form: MinutesForm) -> Minutes:
    return Minutes(form.set_up, form.run, form.put_away)


def _floor_level(form: FloorLevelForm | None) -> FloorLevel | None:
    return None if form is None else FloorLevel(form.within[0], form.within[1], form.over)


def _condition(form: ConditionForm) -> Condition:
    low, high = form.low, form.high
    unit = form.unit or (low[1] if low else "") or (high[1] if high else "")
    return Condition(form.what, low and low[0], high and high[0], unit)


def _drive(form: DriveForm | None) -> DriveCycle | None:
    return (
        None
        if form is None
        else DriveCycle(form.speed, form.distance, form.minutes, form.road, form.weather, form.people)
    )


def _zones(forms: Iterable[ZoneForm]) -> tuple[Zone, ...]:
    return tuple(
        Zone(z.name, cast(Layer, z.needs), z.anchor, z.shape.points, z.bottom, z.top, z.turned, z.from_floor)
        for z in forms
    )


def _targets(forms: Iterable[TargetForm]) -> tuple[Target, ...]:
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


def _variant(form: VariantForm, number: int) -> Variant:
    return Variant(
        name=form.name or f"variant {number}",
        zones=_zones(form.zones),
        targets=_targets(form.targets),
        supports=None if form.supports is None else _supports(form.supports),
        lift_height_m=form.lift_height,
        minutes=None if form.minutes is None else _minutes(form.minutes),
        equipment=form.equipment,
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


# Rules, jobs, mixes


def to_rules(form: RulesForm) -> Rules:
    """A set of rules."""
    rules = tuple(
        Rule(
            event=rule.event,
            calibrate=tuple(Calibrate(c.sensor, side_of(c.side)) for c in rule.calibrate),
            how=cast(How, rule.how),
            because=Text(rule.because),
            where=cast("Where | None", rule.where),
            part=rule.part,
            vehicles=rule.vehicles,
            before=rule.before,
            source=rule.source,
        )
        for rule in form.rules
    )
    return Rules(form.name, rules, form.demonstration)


def to_job(form: JobForm) -> Job:
    """A repair order."""
    return Job(
        name=form.name,
        site=form.site,
        vehicle=form.vehicle.name,
        fitted=_fitted([*form.vehicle.fitted, *form.fitted]),
        not_fitted=_fitted([*form.vehicle.not_fitted, *form.not_fitted]),
        order_number=form.order_number,
        vin=form.vin,
        plate=form.plate,
        odometer=form.odometer,
        payer=form.payer,
        events=tuple(Event(e.event, cast("Where | None", e.where), e.part, e.note) for e in form.events),
        work=tuple(_work(work) for work in form.work),
        drivable=form.drivable,
        scans=tuple(Scan("before" if scan.when == "before" else "after", scan.findings) for scan in form.scans),
        readings=tuple(Reading(r.what, r.value[0], r.unit or r.value[1], r.u) for r in form.readings),
        arrives=form.arrives,
        promised=form.promised,
        decisions=tuple(
            Decision(d.procedure, "keep" if d.verdict == "keep" or d.keep else "drop", d.because, d.by)
            for d in form.decisions
        ),
        demonstration=form.demonstration,
    )


def _fitted(forms: Iterable[FittedForm]) -> tuple[FittedSensor, ...]:
    return tuple(FittedSensor(form.kind, side_of(form.side)) for form in forms)


def _work(form: WorkForm) -> Work:
    blocks = form.blocks
    return Work(
        name=form.name,
        minutes_s=form.minutes,
        supports=_supports(form.supports),
        skills=form.skills,
        equipment=form.equipment,
        wheels_on=form.wheels_on,
        zones=_zones(form.zones),
        after=form.after,
        wait_s=form.wait,
        blocks="drive" if blocks == "drive" else "lift" if blocks == "lift" else "all" if blocks == "all" else None,
    )


def to_mix(form: MixForm) -> Mix:
    """A shop's car mix."""
    return Mix(form.name, tuple(MixEntry(entry.name, entry.share) for entry in form.vehicles), form.demonstration)


def to_study(form: StudyForm) -> Study:
    """A study."""
    return Study(
        form.name,
        form.sites,
        form.mix,
        tuple(
            RepairOrder(
                order.name or ", ".join(e.event for e in order.events) or ", ".join(order.procedures),
                order.per_year,
                tuple(Event(e.event, cast("Where | None", e.where), e.part, e.note) for e in order.events),
                order.procedures,
            )
            for order in form.work
        ),
        form.bays,
        form.search.types,
        form.conditional,
        form.demonstration,
    )
