"""The page on which a floor is drawn: what is held, what fits as it stands, what was changed."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from attrs import frozen

from standtrue.documents.held import written_corners
from standtrue.documents.site import SiteForm
from standtrue.model.basics import Fault, SupportClass
from standtrue.model.fits import Fits
from standtrue.model.lift import Obstacle
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Length
from standtrue.model.shift import find_thing
from standtrue.model.site import Datum, Door, Site, Void, from_datum
from standtrue.model.vehicle import Vehicle
from standtrue.show.pictures.editor import LISTS, EditorPlate, FitMarks, car_marks, editor_plate, fit_marks
from standtrue.show.words.faults import fault_lines
from standtrue.show.words.pages import floor as words
from standtrue.show.words.pages.records import when
from standtrue.show.words.reader import Reader
from standtrue.show.words.sheet_record import capital
from standtrue.work.drafts.draft import Draft
from standtrue.work.floor.asks import Asked, Fitting, Held
from standtrue.work.floor.edits import CORNER, heading_of, placed_at, size_of

SHAPES = {Fits.YES: "yes", Fits.NO: "no", Fits.UNDECIDED: "unsure"}


@frozen
class Choice:
    """What may be chosen: its value and how it is told."""

    value: str
    said: str
    chosen: bool = False


@frozen
class Blank:
    """A figure of what is held, as it is told and typed."""

    field: str
    label: str
    value: str


@frozen
class HeldPart:
    """What is held, with its own figures. `covers` are name and whether it is closed, `flags` likewise."""

    where: str
    name: str
    title: str
    place: tuple[Blank, ...] = ()
    size: tuple[Blank, ...] = ()
    says: tuple[Blank, ...] = ()
    flags: tuple[tuple[str, str, bool], ...] = ()
    covers: tuple[tuple[str, bool], ...] = ()
    turns: bool = False
    corner: bool = False


@frozen
class FitPart:
    """The answer. `marks` is how it lies on the drawing, None where nothing could be asked."""

    shape: str
    verdict: str
    why: str
    not_asked: str
    helps: tuple[str, ...]
    marks: FitMarks | None


@frozen
class FloorPage:
    """The page. `drawing` is None where the floor has faults: then they are told, and the changes can be undone."""

    site: str
    over: str
    question: str
    words: words.FloorWords
    drawing: EditorPlate | None
    car: str
    held: HeldPart | None
    things: tuple[Choice, ...]
    fit: FitPart | None
    cars: tuple[Choice, ...]
    cards: tuple[Choice, ...]
    supports: tuple[Choice, ...]
    lifts: tuple[str, ...]
    tools: tuple[tuple[str, str, str], ...]
    last: str
    faults: tuple[str, ...]
    stale: bool
    changed: bool
    can_undo: bool
    can_redo: bool
    datum_deg: float


@frozen(eq=False)
class Drawn:
    """What the page shows: the draft, its site (None with faults), what is held, and what was asked of it."""

    draft: Draft
    site: Site | None
    held: Held
    asked: Asked | None
    fitting: Fitting | None
    cars: tuple[tuple[Vehicle, tuple[Procedure, ...]], ...]
    lifts: tuple[str, ...]
    latest: int
    support: str = ""


def floor_page(drawn: Drawn, reader: Reader) -> FloorPage:
    """The page."""
    draft, site = drawn.draft, drawn.site
    drawing = None if site is None else editor_of(drawn, reader)
    car = "" if site is None or drawn.asked is None else car_marks(drawn.asked.vehicle, site.datum, reader)
    fit = None if drawn.fitting is None or drawing is None else fit_part(drawn.fitting, drawing, reader)
    return FloorPage(
        site=draft.name,
        over=draft.name if site is None else _size(site, reader),
        question=words.question(*_named(drawn.held, reader), reader),
        words=words.floor_words(reader),
        drawing=drawing,
        car=car,
        held=None if site is None else held_part(site, drawn.held, reader),
        things=() if site is None else tuple(_things(site, drawn.held, reader)),
        fit=fit,
        cars=tuple(Choice(v.name, v.name, drawn.asked is not None and v == drawn.asked.vehicle) for v, _ in drawn.cars),
        cards=tuple(_cards(drawn)),
        supports=tuple(Choice(s, reader.say(said), s == drawn.support) for s, said in words.SUPPORTS.items()),
        lifts=drawn.lifts,
        tools=tuple(_tools(drawn, reader)),
        last=_last(draft, reader),
        faults=tuple(_fault(fault, reader) for fault in draft.document().faults),
        stale=drawn.latest != draft.seen,
        changed=draft.changed,
        can_undo=draft.at > 0,
        can_redo=draft.can_redo,
        datum_deg=0.0 if site is None else math.degrees(site.datum.direction_rad),
    )


def editor_of(drawn: Drawn, reader: Reader) -> EditorPlate:
    """The drawing of a sound floor."""
    document = drawn.draft.document()
    assert drawn.site is not None
    assert isinstance(document.form, SiteForm)
    return editor_plate(drawn.site, written_corners(document.form.shape), reader)


def fit_part(found: Fitting, drawing: EditorPlate, reader: Reader) -> FitPart:
    """The answer, for the drawing of the floor as it was before what is held moved."""
    answer = found.answer
    return FitPart(
        SHAPES[answer.fits],
        words.fit_verdict(answer, reader),
        words.fit_why(answer, reader),
        words.not_asked(reader),
        words.fit_helps(found.helps, answer, reader),
        fit_marks(answer, found.slices, drawing.scene, reader),
    )


def supports_of(card: Procedure, wanted: str) -> tuple[SupportClass, ...]:
    """The supports that are asked for: the one that is wanted, if the card allows it, or all that it does."""
    allowed: tuple[SupportClass, ...] = tuple(card.all_supports)
    return tuple(s for s in allowed if s == wanted) or allowed


def held_part(site: Site, held: Held, reader: Reader) -> HeldPart | None:
    """What is held, with its figures. None where nothing is, or it is no longer there."""
    if held.name.startswith(CORNER):
        return _corner(site, held, reader)
    try:
        thing = find_thing(site, held.where, held.name) if held.where else None
    except KeyError:
        return None
    if thing is None:
        return None
    title = words.named(held.where, held.name, reader)
    x, y = placed_at(thing, site.datum)
    place = [_blank("x", Length(x), site.datum, site, reader), _blank("y", Length(y), site.datum, site, reader)]
    turns = held.where not in ("doors", "marks")
    if held.where == "lifts":
        degrees = round(math.degrees(heading_of(thing, site.datum)) % 360.0, 2)
        place.append(Blank("heading", reader.say(words.FIELDS["heading"]), f"{degrees:g}"))
    return HeldPart(
        held.where,
        held.name,
        title,
        tuple(place),
        tuple(_sizes(held.where, thing, site.datum, reader)),
        tuple(_says(thing, reader)),
        tuple((key, reader.say(words.FLAGS[key]), on) for key, on in _flags(held.where, thing)),
        tuple((c.name, c.name in thing.closed) for c in thing.covers) if isinstance(thing, Void) else (),
        turns,
    )


def _corner(site: Site, held: Held, reader: Reader) -> HeldPart:
    number = int(held.name.removeprefix(CORNER))
    x, y = from_datum(site.outline[number % len(site.outline)], site.datum)
    place = (_blank("x", Length(x), site.datum, site, reader), _blank("y", Length(y), site.datum, site, reader))
    return HeldPart("", held.name, capital(words.corner_name(number, reader)), place, corner=True)


def _blank(field: str, value: Length, datum: Datum, site: Site, reader: Reader) -> Blank:
    low = (min(x for x, _ in site.outline), min(y for _, y in site.outline))
    at_walls = not datum.direction_rad and math.dist(datum.at, low) < 1e-6 and field in words.AT_WALLS
    label = words.AT_WALLS[field] if at_walls else words.FIELDS[field]
    return Blank(field, reader.say(label), reader.write(value, "tape"))


def _sizes(where: str, thing: Any, datum: Datum, reader: Reader) -> Iterator[Blank]:
    if where not in ("obstacles", "bays", "voids", "patches", "doors"):
        return
    wide, deep = size_of(thing, datum)
    if isinstance(thing, Door):
        yield Blank("width", reader.say(words.FIELDS["long"]), reader.write(Length(wide), "tape"))
        return
    yield Blank("width", reader.say(words.FIELDS["width"]), reader.write(Length(wide), "tape"))
    yield Blank("depth", reader.say(words.FIELDS["depth"]), reader.write(Length(deep), "tape"))


def _says(thing: Any, reader: Reader) -> Iterator[Blank]:
    yield Blank("name", reader.say(words.FIELDS["name"]), thing.name)
    if isinstance(thing, Obstacle):
        yield Blank("bottom", reader.say(words.FIELDS["bottom"]), reader.write(Length(thing.bottom_m), "tape"))
        yield Blank("top", reader.say(words.FIELDS["top"]), reader.write(Length(thing.top_m), "tape"))
    if isinstance(thing, Door):
        yield Blank("height", reader.say(words.FIELDS["height"]), reader.write(Length(thing.height_m), "tape"))


def _flags(where: str, thing: Any) -> Iterator[tuple[str, bool]]:
    if where == "obstacles":
        yield "movable", thing.movable
        yield "metal", thing.metal
    if where == "doors":
        yield "may_stand_open", thing.may_stand_open
        yield "metal", thing.metal


def _things(site: Site, held: Held, reader: Reader) -> Iterator[Choice]:
    yield Choice("", words.nothing_held(reader), not held.where and not held.name)
    for where in reversed(LISTS):
        for thing in getattr(site, where):
            if where == "equipment" and thing.store is None:
                continue
            said = words.named(where, thing.name, reader)
            yield Choice(f"{where}/{thing.name}", said, (where, thing.name) == (held.where, held.name))
    for number in range(len(site.outline)):
        name = f"{CORNER} {number}"
        yield Choice(f"/{name}", words.corner_name(number, reader), held.name == name)


def _cards(drawn: Drawn) -> Iterator[Choice]:
    if drawn.asked is None:
        return
    for vehicle, cards in drawn.cars:
        if vehicle == drawn.asked.vehicle:
            yield from (Choice(card.key, card.key, card == drawn.asked.card) for card in cards)


def _tools(drawn: Drawn, reader: Reader) -> Iterator[tuple[str, str, str]]:
    """What can be added: which, what the button says, and what it is called at first."""
    for kind in words.TOOLS:
        if kind != "lifts" or drawn.lifts:
            yield kind, reader.say(words.KINDS[kind]), reader.say(words.NEW_NAMES[kind])


def _named(held: Held, reader: Reader) -> tuple[str, str]:
    if held.name.startswith(CORNER):
        return "corner", words.corner_name(int(held.name.removeprefix(CORNER)), reader)
    return held.where, held.name


def _size(site: Site, reader: Reader) -> str:
    points = [from_datum(p, site.datum) for p in site.outline]
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return words.size_line(site.name, max(xs) - min(xs), max(ys) - min(ys), reader)


def _last(draft: Draft, reader: Reader) -> str:
    done = draft.last
    if done is None:
        return ""
    told = words.done_line(done.what, done.who, done.name, reader)
    return f"{told}, {when(done.at, reader)}"


def _fault(fault: Fault, reader: Reader) -> str:
    told = fault_lines(fault, reader)
    return " ".join((told.heading, *told.lines))
