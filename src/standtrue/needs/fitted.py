"""Which sensors this very car has: what the vehicle document lists, and what the job found on the car."""

from __future__ import annotations

from collections.abc import Sequence

from attrs import frozen

from standtrue.model.basics import Side
from standtrue.model.job import FittedSensor, Job
from standtrue.model.reason import Reason, because
from standtrue.model.sensor_kinds import SENSOR_KINDS
from standtrue.model.vehicle import Vehicle
from standtrue.needs.answer import sensor_ref
from standtrue.needs.words import same


@frozen
class Slot:
    """A sensor kind on one side as fitted; `option` is set while nobody has looked whether this car has it."""

    sensor: str
    side: Side | None = None
    option: str | None = None

    @property
    def sort_key(self) -> tuple[int, str, str]:
        """The order of `SENSOR_KINDS`, then the side."""
        known = SENSOR_KINDS.index(self.sensor) if self.sensor in SENSOR_KINDS else len(SENSOR_KINDS)
        return (known, self.sensor, self.side or "")


@frozen
class Fitted:
    """The slots of one car: present (or perhaps present), absent because the job says so, and what was odd."""

    slots: tuple[Slot, ...]
    absent: tuple[Slot, ...]
    warnings: tuple[Reason, ...]


def fitted_sensors(job: Job, vehicle: Vehicle) -> Fitted:
    """The sensors that the job's car has, each (kind, side) once, in the order of `SENSOR_KINDS`.

    What the job says of one side beats what it says of the whole kind; where it says both fitted and not fitted, the
    sensor counts as fitted, with a warning.
    """
    slots: list[Slot] = []
    absent: list[Slot] = []
    warnings: list[Reason] = []
    for slot in _listed(job, vehicle):
        yes = max((_speaks_of(said, slot, part_will_do=True) for said in job.fitted), default=0)
        no = max((_speaks_of(said, slot, part_will_do=False) for said in job.not_fitted), default=0)
        sensor = sensor_ref(slot.sensor, slot.side)
        if no > yes:
            absent.append(slot)
            if slot.option is None:
                warnings.append(because("not-fitted-but-listed", sensor=sensor))
            continue
        if no and no == yes:
            warnings.append(because("fitted-and-not-fitted", sensor=sensor))
        slots.append(Slot(slot.sensor, slot.side) if yes else slot)
    warnings += _half_absent(job, slots)
    if not slots and not absent:
        warnings.append(because("no-sensors-listed", vehicle=vehicle.name))
    return Fitted(tuple(slots), tuple(absent), tuple(dict.fromkeys(warnings)))


def _listed(job: Job, vehicle: Vehicle) -> list[Slot]:
    """Every slot that the vehicle document lists, and those that only the job's `fitted` list names.

    A line without a side adds a sensor only where nothing else names that kind; a line with a side adds none where the
    vehicle document lists the kind without sides.
    """
    options: dict[tuple[str, Side | None], list[str | None]] = {}
    for sensor in vehicle.sensors:
        options.setdefault((_kind(sensor.kind), sensor.side), []).append(sensor.option)
    known = frozenset(options)
    lines = {(_kind(said.kind), said.side) for said in job.fitted}
    for kind, side in lines:
        others = known if side is not None else known | (lines - {(kind, None)})
        taken = {other for other_kind, other in others if other_kind == kind}
        if side not in taken and not (taken if side is None else taken & {None}):
            options[kind, side] = [None]
    slots = [Slot(kind, side, _joined(listed)) for (kind, side), listed in options.items()]
    return sorted(slots, key=lambda slot: slot.sort_key)


def _joined(options: Sequence[str | None]) -> str | None:
    """Fitted for sure if one of several sensors of the slot is; otherwise under any of their options."""
    named = [option for option in options if option is not None]
    return " or ".join(dict.fromkeys(named)) if len(named) == len(options) else None


def _speaks_of(said: FittedSensor, slot: Slot, *, part_will_do: bool) -> int:
    """How closely a line of the job's lists names a slot: 2 exactly, 1 as part of its kind, 0 not at all."""
    if not same(said.kind, slot.sensor):
        return 0
    if said.side == slot.side:
        return 2
    return 1 if said.side is None or (slot.side is None and part_will_do) else 0


def _half_absent(job: Job, slots: Sequence[Slot]) -> list[Reason]:
    """A side that the job calls not fitted, of a sensor that the vehicle document lists without sides."""
    return [
        because("not-fitted-on-one-side", sensor=sensor_ref(_kind(said.kind), said.side))
        for said in job.not_fitted
        if said.side is not None and any(same(said.kind, slot.sensor) and slot.side is None for slot in slots)
    ]


def _kind(kind: str) -> str:
    return next((known for known in SENSOR_KINDS if same(known, kind)), kind)
