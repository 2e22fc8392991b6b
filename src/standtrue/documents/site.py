"""A site: the floor and everything on it: what its document looks like, and the model of it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Annotated, cast, get_args

from pydantic import Field

from standtrue.documents import shapes
from standtrue.documents.faults import RefusedError, shorten
from standtrue.documents.fields import (
    XY,
    Angle,
    DurationRange,
    Flag,
    Length,
    Lux,
    Mass,
    MoneyRange,
    Name,
    Names,
    OutlineShape,
    PositiveLength,
    Said,
    Size,
    SizeRange,
    SpeedRange,
    Store,
    Word,
)
from standtrue.documents.hours import Dates, OpenHours, TimeZone
from standtrue.documents.instruments import ReadingsForm, SiteInstrumentForm, readings_of, site_instrument
from standtrue.documents.leaves import Context, Leaf, choice, whole
from standtrue.documents.lift import PlacedLiftForm, placed_lift
from standtrue.documents.parts import (
    DocumentForm,
    Form,
    ObstacleForm,
    Shaped,
    Shorthand,
    obstacles_of,
    outlines_of,
)
from standtrue.documents.shapes import Shape
from standtrue.model.basics import Outline
from standtrue.model.lift import Lift, Obstacle
from standtrue.model.reader_units import Paper, System
from standtrue.model.reason import because
from standtrue.model.site import (
    Bay,
    Cover,
    Datum,
    Door,
    Equipment,
    Gaps,
    Light,
    Mark,
    Pace,
    Patch,
    Person,
    SentOut,
    Site,
    SiteReader,
    Void,
)

UNITS = choice(get_args(System), also={"US customary": "us"})
_LANGUAGES = {"english": "en", "spanish": "es"}
PAPER = choice(get_args(Paper))


def _language(value: object, _context: Context) -> str:
    """The code of a language; which of them have a catalog is not known here."""
    said = value.strip().lower() if isinstance(value, str) else ""
    code = _LANGUAGES.get(said, said)
    if not re.fullmatch("[a-z]{2,3}", code):
        what = because("language-unknown", language=shorten(str(value), 40))
        raise RefusedError("unknown-word", what, because("write-a-language"))
    return code


LANGUAGE = Leaf(_language, {"type": "string", "pattern": "^[a-z]{2,3}$"}, "en")


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
    room: Size = 0.300


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


class TapedForm(Form):
    start: XY = Field(alias="from")
    end: XY = Field(alias="to")
    length: PositiveLength


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
    why: Said


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


class PersonForm(Form):
    name: Name
    skills: Names = ()
    hours: OpenHours = ()
    away_on: Dates = ()


class SentOutForm(Form):
    procedures: Names = ()
    work: Names = ()
    minutes: DurationRange
    transport: DurationRange | None = None
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
    skates_from: Annotated[int, whole(1, 1000)] = 8


class ReaderForm(Form):
    """Who reads the answers of this site, where nobody says otherwise."""

    units: Annotated[str, UNITS] | None = None
    language: Annotated[str, LANGUAGE] | None = None
    paper: Annotated[str, PAPER] | None = None


class SiteForm(DocumentForm, Shaped):
    datum: DatumForm | None = None
    marks: tuple[MarkForm, ...] = ()
    taped: tuple[TapedForm, ...] = ()
    light: Annotated[tuple[LightForm, ...], Shorthand(_light, {"type": ["number", "string", "object"]})] = ()
    holes: tuple[OutlineShape, ...] = ()
    clear_height: PositiveLength | None = None
    wall_metal: Flag = True
    roll_over: Size = 0.030
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
    closed_on: Dates = ()
    time_zone: TimeZone = ""
    sent_out: tuple[SentOutForm, ...] = ()
    pace: PaceForm = PaceForm.model_construct()
    reader: ReaderForm = ReaderForm.model_construct()
    instruments: tuple[SiteInstrumentForm, ...] = ()
    readings: ReadingsForm = ReadingsForm.model_construct()


# To the model


def to_site(form: SiteForm, lifts: Mapping[str, Lift]) -> Site:
    """A site; `lifts` must hold every lift that it names by type."""
    outline = form.shape.points
    datum = Datum(outline[0]) if form.datum is None else Datum(form.datum.at, form.datum.direction)
    gaps = form.gaps
    return Site(
        name=form.name,
        outline=outline,
        datum=datum,
        gaps=Gaps(gaps.body, gaps.wheel, gaps.zone, gaps.person, gaps.bridge, gaps.exit, gaps.room),
        clear_height_m=form.clear_height,
        wall_metal=form.wall_metal,
        roll_over_m=form.roll_over,
        holes=outlines_of(form.holes),
        marks=tuple(Mark(mark.name, mark.at) for mark in form.marks),
        light=tuple(Light(light.lux, light.at) for light in form.light),
        doors=tuple(_door(door) for door in form.doors),
        bays=tuple(
            Bay(bay.name, bay.shape.points, tuple(sorted(bay.shape.edge(edge) for edge in bay.closed_edges)))
            for bay in form.bays
        ),
        obstacles=obstacles_of(form.obstacles, "obstacle"),
        voids=tuple(_void(void) for void in form.voids),
        patches=tuple(Patch(patch.name, patch.shape.points, patch.why) for patch in form.patches),
        lifts=tuple(placed_lift(lift, lifts) for lift in form.lifts),
        equipment=tuple(_equipment(item) for item in form.equipment),
        people=tuple(Person(person.name, person.skills, person.hours, person.away_on) for person in form.people),
        hours=form.hours,
        time_zone=form.time_zone,
        closed_on=form.closed_on,
        sent_out=tuple(
            SentOut(s.procedures, s.minutes, s.price, s.currency, s.work, s.transport) for s in form.sent_out
        ),
        pace=_pace(form.pace),
        reader=_reader(form.reader),
        instruments=tuple(site_instrument(one) for one in form.instruments),
        readings=readings_of(form.readings),
        entered=frozenset({"equipment", "people"} & form.model_fields_set),
    )


def _pace(p: PaceForm) -> Pace:
    return Pace(p.drive, p.turn_back, p.enter, p.leave, p.guide, p.push, p.skates, p.skates_from)


def _reader(form: ReaderForm) -> SiteReader:
    """The forms have checked the words."""
    return SiteReader(cast("System | None", form.units), form.language, cast("Paper | None", form.paper))


def _door(form: DoorForm) -> Door:
    track = form.track
    return Door(
        name=form.name,
        start=form.start,
        end=form.end,
        height_m=form.height,
        metal=form.metal,
        may_stand_open=form.may_stand_open,
        apron=None if form.apron is None else form.apron.points,
        track=None
        if track is None
        else Obstacle(f"{form.name} track", track.shape.points, track.bottom, track.top, track.metal),
    )


def _void(form: VoidForm) -> Void:
    covers = tuple(Cover(cover.name, cover.shape.points, cover.load) for cover in form.covers)
    return Void(form.name, form.shape.points, covers, form.closed)


def _equipment(form: EquipmentForm) -> Equipment:
    footprint = None if form.footprint is None else form.footprint.points
    return Equipment(
        name=form.name,
        kind=form.kind,
        count=form.count,
        footprint=footprint,
        height_m=form.height,
        reach_m=form.reach,
        store=_stored(form, footprint),
        used_at=form.used_at,
        serves=form.serves,
        set_up_s=form.set_up,
        put_away_s=form.put_away,
        wheeled=form.wheeled,
    )


def _stored(form: EquipmentForm, footprint: Outline | None) -> Outline | None:
    if form.store is None or isinstance(form.store, Shape):
        return form.store and form.store.points
    return None if footprint is None else shapes.placed(footprint, *form.store)
