"""The form of a site: the floor and everything on it."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import Field

from standtrue.documents.faults import RefusedError
from standtrue.documents.fields import (
    XY,
    Angle,
    Clock,
    Context,
    DurationRange,
    Flag,
    Leaf,
    Length,
    Lux,
    Mass,
    MoneyRange,
    Name,
    Names,
    OutlineShape,
    PositiveLength,
    Size,
    SizeRange,
    SpeedRange,
    Store,
    Text,
    Word,
    whole,
)
from standtrue.documents.forms.base import Document, Form, ObstacleForm, Shaped, Shorthand
from standtrue.documents.forms.lift import PlacedLiftForm
from standtrue.documents.quantities import type_name

DAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")

Hours = tuple[tuple[str, str, str], ...]


class DatumForm(Form):
    at: XY
    direction: Angle = 0.0


class MarkForm(Form):
    name: Name
    at: XY


class LightForm(Form):
    lux: Lux
    at: XY | None = None


def _light(value: object) -> object:
    """`light = 450` is one reading that holds for the whole shop."""
    if isinstance(value, dict):
        return [value]
    return [{"lux": value}] if isinstance(value, (int, float, str)) else value


class GapsForm(Form):
    body: Size = 0.050
    wheel: Size = 0.050
    zone: Size = 0.0
    person: Size = 0.500
    bridge: Size = 0.040
    exit: Size = 0.600


class TrackForm(Shaped):
    bottom: Length
    top: Length
    metal: Flag = True


class DoorForm(Form):
    name: Name
    start: XY = Field(alias="from")
    end: XY = Field(alias="to")
    height: PositiveLength
    metal: Flag = True
    may_stand_open: Flag = False
    apron: OutlineShape | None = None
    track: TrackForm | None = None


class BayForm(Shaped):
    name: Name
    closed_edges: tuple[Annotated[int, whole(0, 1_000_000)], ...] = ()


class SiteObstacleForm(ObstacleForm):
    name: Name


class CoverForm(Shaped):
    name: Name
    load: Mass | None = None


class VoidForm(Shaped):
    name: Name
    covers: tuple[CoverForm, ...] = ()
    closed: Names = ()


class PatchForm(Shaped):
    name: Name
    why: Text


class EquipmentForm(Form):
    name: Name
    kind: Word
    count: Annotated[int, whole(1, 1000)] = 1
    footprint: OutlineShape | None = None
    height: PositiveLength | None = None
    reach: SizeRange | None = None
    store: Store | None = None
    used_at: XY | None = None
    serves: Names = ()
    set_up: DurationRange = (0.0, 0.0)
    put_away: DurationRange = (0.0, 0.0)
    wheeled: Flag = False


def _hours(value: object, context: Context) -> Hours:
    """`{ "monday-friday" = ["08:00", "17:00"], saturday = [] }`: a row for each day and stretch of time."""
    if not isinstance(value, dict):
        raise RefusedError(
            "wrong-type",
            f"{type_name(value)} stands where a table of days is asked",
            'Write monday = ["08:00", "17:00"].',
        )
    rows: list[tuple[str, str, str]] = []
    for days, stretches in value.items():
        if not isinstance(stretches, list):
            raise RefusedError("wrong-type", f"{days}: no list of two times", 'Write it as in ["08:00", "17:00"].')
        pairs = stretches if all(isinstance(pair, list) for pair in stretches) else [stretches]
        for pair in pairs:
            if len(pair) != 2:
                raise RefusedError("wrong-type", f"{days}: not two times", 'Write it as in ["08:00", "17:00"].')
            opens, closes = (Clock.parse(item, context) for item in pair)
            if opens >= closes:
                raise RefusedError(
                    "range-reversed", f"{days}: it closes before it opens", "Write the earlier time first."
                )
            rows.extend((day, opens, closes) for day in _days(days))
    return tuple(sorted(rows, key=lambda row: (DAYS.index(row[0]), row[1])))


def _days(text: str) -> tuple[str, ...]:
    first, dash, last = (part.strip().lower() for part in text.partition("-"))
    indices = [_day_index(first), _day_index(last) if dash else _day_index(first)]
    if indices[0] > indices[1]:
        raise RefusedError("range-reversed", f"{text}: the days run backward", 'Write it as in "monday-friday".')
    return DAYS[indices[0] : indices[1] + 1]


def _day_index(word: str) -> int:
    for index, day in enumerate(DAYS):
        if word in (day, day[:3], day[:4]):
            return index
    raise RefusedError("unknown-word", f"{word[:40]} is no day of the week", f"Write one of: {', '.join(DAYS)}.")


_HOURS_SCHEMA: dict[str, Any] = {"type": "object", "additionalProperties": {"type": "array"}}
OpenHours = Annotated[Hours, Leaf(_hours, _HOURS_SCHEMA, ())]


class PersonForm(Form):
    name: Name
    skills: Names = ()
    hours: OpenHours = ()


class SentOutForm(Form):
    procedures: Names
    minutes: DurationRange
    price: MoneyRange
    currency: Word = "USD"


class PaceForm(Form):
    drive: SpeedRange = (1.0, 1.0)
    turn_back: DurationRange = (4.0, 12.0)
    enter: DurationRange = (30.0, 30.0)
    leave: DurationRange = (20.0, 20.0)
    guide: Flag = False
    push: SpeedRange = (0.4, 0.4)
    skates: SpeedRange = (0.2, 0.2)


class SiteForm(Document, Shaped):
    datum: DatumForm | None = None
    marks: tuple[MarkForm, ...] = ()
    light: Annotated[tuple[LightForm, ...], Shorthand(_light, {"type": ["number", "string", "object"]})] = ()
    holes: tuple[OutlineShape, ...] = ()
    clear_height: PositiveLength | None = None
    wall_metal: Flag = True
    gaps: GapsForm = GapsForm.model_construct()
    doors: tuple[DoorForm, ...] = ()
    bays: tuple[BayForm, ...] = ()
    obstacles: tuple[SiteObstacleForm, ...] = ()
    voids: tuple[VoidForm, ...] = ()
    patches: tuple[PatchForm, ...] = ()
    lifts: tuple[PlacedLiftForm, ...] = ()
    equipment: tuple[EquipmentForm, ...] = ()
    people: tuple[PersonForm, ...] = ()
    hours: OpenHours = ()
    sent_out: tuple[SentOutForm, ...] = ()
    pace: PaceForm = PaceForm.model_construct()
