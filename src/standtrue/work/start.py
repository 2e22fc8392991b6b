"""A first answer in five minutes: a room as two sentences tell it, a typical body and typical cards."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TypeVar

from attrs import frozen

from standtrue.documents import gather, load_text
from standtrue.documents.faults import RefusedError
from standtrue.documents.quantities import parse_length
from standtrue.documents.typical import BODIES, CARDS, LIFTS, WALLS, Body, Room, first_documents
from standtrue.model.basics import SUPPORT_CLASSES, Fault, UnansweredError
from standtrue.model.reader_units import System
from standtrue.model.reason import Length, Reason, because
from standtrue.store.database import Store
from standtrue.store.documents import Draft, Version, latest_versions, save
from standtrue.work.ask import sound
from standtrue.work.exchange.folders import TakenIn
from standtrue.work.keep.answers import Said, saving_now
from standtrue.work.keep.versions import Saved, note_saved
from standtrue.work.place.places import Places, find_places

__all__ = ["BODIES", "CARDS", "LIFTS", "WALLS", "Asked", "First", "answer_first", "defaults", "go_on"]

Word = TypeVar("Word", bound=str)

MOST_M = 200.0
"""What a side of a room is held to: beyond it, it was typed in another unit."""


@frozen
class Asked:
    """The blanks of the two sentences, as they were typed."""

    wide: str
    long: str
    high: str
    door: str
    wall: str
    lift: str
    gap: str
    body: str
    sensor: str


@frozen(eq=False)
class First:
    """A first answer: the room, and where the body stands for the card of the sensor asked for, and for the others."""

    room: Room
    body: Body
    places: Places
    others: Places


def defaults(units: System) -> Asked:
    """Likely values, for whoever has typed nothing yet."""
    us, metric = ("16 ft", "30 ft", "12 ft", "10 ft", "5 ft"), ("4.9 m", "9.1 m", "3.7 m", "3 m", "1.5 m")
    wide, long, high, door, gap = us if units == "us" else metric
    return Asked(wide, long, high, door, "short", "flush", gap, "mid-size sedan", "forward camera")


def answer_first(asked: Asked, units: System, name: str) -> First:
    """Where the body can stand. A bare number is feet or metres, as the reader has it.

    Raises UnansweredError with everything in the blanks that cannot be meant.
    """
    room, body, sensor = _understood(asked, units, name)
    read = gather(load_text(text, path) for path, text in first_documents(room, body).items())
    shop = sound(read)
    site, car = shop.sites[room.name], shop.vehicles[body.name]
    own = [card for card in shop.procedures if card.sensor == sensor]
    rest = [card for card in shop.procedures if card.sensor != sensor]
    return First(
        room,
        body,
        find_places(shop, site, car, own[:1], SUPPORT_CLASSES[:2], remedies=True),
        find_places(shop.anew(), site, car, rest, SUPPORT_CLASSES[:2], remedies=False),
    )


def go_on(
    store: Store, asked: Asked, units: System, name: str, by: str, said: Callable[[TakenIn], Said]
) -> tuple[Version, ...]:
    """Keep the documents of a first answer as the shop's own, with one entry that `said` writes of them all.

    Raises UnansweredError where there is a floor already.
    """
    room, body, _ = _understood(asked, units, name)
    saving = saving_now(by)
    with store.writing() as connection:
        if any(one.kind == "site" and one.content is not None for one in latest_versions(connection)):
            what, remedy = because("floor-there-already"), because("change-floor-there")
            raise UnansweredError([Fault("unwritable", what, "", "", "", remedy)])
        drafts = [_draft(path, text) for path, text in first_documents(room, body).items()]
        saved = tuple(Saved("new", save(connection, draft, saving)) for draft in drafts)
        note_saved(connection, saved, said(TakenIn(store.where, by, (), 0, saved)), saving)
    return tuple(one.version for one in saved)


def _draft(path: str, text: str) -> Draft:
    read = load_text(text, path)
    assert read.mark is not None  # its own documents are sound: a test holds that
    return Draft(None, 0, read.mark.kind, read.mark.name, path, text.encode(), read.mark.digest)


def _understood(asked: Asked, units: System, name: str) -> tuple[Room, Body, str]:
    faults: list[Fault] = []

    def length(field: str, least: float, most: float) -> float:
        text = getattr(asked, field)
        try:
            value = parse_length(_number(text), "ft" if units == "us" else "m")
        except RefusedError as refused:
            faults.append(Fault(refused.code, refused.what, "", field, text, refused.remedy))
            return math.nan
        if not least <= value <= most:
            what = because("blank-out-of-range", low=Length(least), high=Length(most))
            faults.append(Fault("value-impossible", what, "", field, text, because("type-it-again")))
        return value

    wide, long, high = length("wide", 2.0, MOST_M), length("long", 3.0, MOST_M), length("high", 1.8, 30.0)
    side = wide if asked.wall == "short" else long
    door = length("door", 1.8, side if math.isfinite(side) else MOST_M)
    gap = length("gap", 0.0, long if math.isfinite(long) else MOST_M) if asked.lift != "none" else 0.0
    bodies = {one.key: one for one in BODIES}
    wall, lift = _one(WALLS, asked.wall), _one(LIFTS, asked.lift)
    body, sensor = bodies.get(asked.body), _one(tuple(CARDS), asked.sensor)
    known: tuple[tuple[str, object, tuple[str, ...]], ...] = (
        ("wall", wall, WALLS),
        ("lift", lift, LIFTS),
        ("body", body, tuple(bodies)),
        ("sensor", sensor, tuple(CARDS)),
    )
    faults += [_unknown(blank, getattr(asked, blank), words) for blank, found, words in known if found is None]
    if faults or wall is None or lift is None or body is None or sensor is None:
        raise UnansweredError(faults)
    wide, long = min(wide, long), max(wide, long)
    return Room(name, wide, long, high, door, wall, lift, gap), body, sensor


def _one(words: tuple[Word, ...], said: str) -> Word | None:
    """The word of a few that was said; None for another."""
    return next((word for word in words if word == said), None)


def _unknown(field: str, value: str, words: tuple[str, ...]) -> Fault:
    remedy: Reason = because("there-are", near=None, words=words)
    return Fault("unknown-word", because("none-of-these"), "", field, value, remedy)


def _number(text: str) -> object:
    """A bare number, with a decimal comma or point, is one; anything else is a length with its unit."""
    plain = text.strip().replace(",", ".")
    try:
        return float(plain)
    except ValueError:
        return text.strip()
