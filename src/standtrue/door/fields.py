"""Made by `python -m standtrue.door.typed`."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Required, TypedDict

from numpy.typing import NDArray

from standtrue.door.nouns import Document

Row = Sequence[Any] | NDArray[Any]


class JobFields(TypedDict, total=False):
    arrives: str
    decisions: Row
    demonstration: bool
    done: Row
    drivable: bool | str
    events: Row
    fitted: Row
    left: str
    not_fitted: Row
    odometer: float | str
    order_number: float | str
    payer: str
    planned_with: Row
    plate: float | str
    promised: str
    put_aside: Mapping[str, Any] | str
    readings: Row
    scans: Mapping[str, Any] | Row
    site: Required[Document | str]
    stands: Mapping[str, Any] | None
    units: str
    vehicle: Required[Document | Mapping[str, Any] | str]
    vin: float | str
    work: Row


class LiftFields(TypedDict, total=False):
    arms: Row
    axle_capacity: float | str | None
    capacity: float | str | None
    carries: str
    demonstration: bool
    facing: str
    jacks: bool
    locks: Row
    plates: Row
    posts: Row
    states: Required[Row]
    travel: Row | float | str | None
    units: str
    wheelbase: Row | float | str | None


class MixFields(TypedDict, total=False):
    demonstration: bool
    units: str
    vehicles: Required[Row]


class ProcedureFields(TypedDict, total=False):
    after: Row | str
    causes: Row
    conditions: Row
    demonstration: bool
    drive: Mapping[str, Any] | None
    equipment: Row | str
    floor_level: Mapping[str, Any] | float | str | None
    lift_height: Row | float | str | None
    light: float | str | None
    method: Required[str]
    minutes: Mapping[str, Any] | Row | float | str
    people: int
    sensor: Required[Mapping[str, Any] | str]
    skills: Row | str
    source: Required[Mapping[str, Any]]
    supports: Row | str
    targets: Row
    units: str
    variants: Row
    vehicles: Row | str
    wheels_hanging: bool | None
    wheels_on: str | None
    zones: Row


class RulesFields(TypedDict, total=False):
    demonstration: bool
    rules: Row
    units: str


class SetupFields(TypedDict, total=False):
    alignment: Row
    conditions: Row
    demonstration: bool
    instruments: Row
    job: Required[Document | str]
    lines: Row
    points: Row
    procedure: Required[Document | str]
    readings: Row
    stance: Required[Mapping[str, Any]]
    tie: Mapping[str, Any] | Row
    units: str
    variant: str | None


class SiteFields(TypedDict, total=False):
    bays: Row
    box: Row | None
    circle: Row | None
    clear_height: float | str | None
    closed_on: Row
    datum: Mapping[str, Any] | None
    demonstration: bool
    doors: Row
    equipment: Row
    gaps: Mapping[str, Any]
    holes: Row
    hours: Mapping[str, Any]
    instruments: Row
    lifts: Row
    light: Mapping[str, Any] | Row | float | str
    marks: Row
    obstacles: Row
    outline: Mapping[str, Any] | Row | None
    pace: Mapping[str, Any]
    patches: Row
    people: Row
    reader: Mapping[str, Any]
    readings: Mapping[str, Any]
    roll_over: float | str
    sent_out: Row
    taped: Row
    time_zone: str
    units: str
    voids: Row
    wall_metal: bool


class StudyFields(TypedDict, total=False):
    bays: Row | str
    conditional: bool
    demonstration: bool
    mix: Required[Document | str]
    search: Mapping[str, Any]
    sites: Required[Document | Row]
    units: str
    work: Required[Row]


class SurveyFields(TypedDict, total=False):
    date: str
    demonstration: bool
    instrument: str
    lines: Row
    loops: Row
    points: Required[Row]
    site: Required[Document | str]
    state: Mapping[str, Any]
    u: float | str | None
    units: str


class VehicleFields(TypedDict, total=False):
    alignment: Mapping[str, Any]
    box: Row | None
    circle: Row | None
    demonstration: bool
    driven_wheels: str
    front_axle_share: float | None
    front_overhang: float | str | None
    ground_clearance: float | str | None
    height: float | str | None
    hood_open: Mapping[str, Any] | None
    hub_offset_front: float | str | None
    hub_offset_rear: float | str | None
    known_to: Mapping[str, Any]
    length: Required[float | str]
    lift_points: Row
    liftgate_open: Mapping[str, Any] | None
    maker: str
    mass: float | str | None
    mirror_at: float | str | None
    model: str
    outline: Mapping[str, Any] | Row | None
    propulsion: str
    ride_height: Mapping[str, Any]
    sensors: Row
    tire_diameter: float | str | None
    tire_width: float | str | None
    track_front: float | str | None
    track_rear: float | str | None
    trim: str
    turning_circle: float | str | None
    turning_circle_wall: float | str | None
    units: str
    wheelbase: Required[float | str]
    width: Required[float | str]
    width_over_mirrors: float | str | None
    years: Row | int
