"""The page of a card as it is written, or read a second time: sentences with blanks, and the drawing that follows."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from attrs import frozen

from standtrue.documents.quantities import LENGTH_UNITS
from standtrue.model.procedure import ANCHORS, METHODS, Procedure
from standtrue.model.sensor_kinds import SENSOR_KINDS
from standtrue.model.vehicle import Vehicle
from standtrue.show.pages.blanks import Blanks, Sentence, after, fault_line
from standtrue.show.pages.floor import Choice
from standtrue.show.pages.start import Piece
from standtrue.show.pictures.card_zones import CardPlate, card_plate
from standtrue.show.words.cards import as_written
from standtrue.show.words.pages import card as words
from standtrue.show.words.reader import Reader
from standtrue.show.words.reasons.cards import field_words
from standtrue.show.words.texts import as_sentence
from standtrue.work.card.life import CardsAnswer
from standtrue.work.card.writing import READING, drawable
from standtrue.work.card_notes import standing_of
from standtrue.work.drafts.draft import Draft

LINES = ("thrust line", "centerline")
SIDES = ("left", "right", "each")
KINDS = {"stand": "z-stand", "walk": "z-walk", "clear": "z-clear", "metal-free": "z-metal", "plain": "z-plain"}
"""How a zone is drawn, by what it must be."""


@frozen
class CardPage:
    """The page. `second`: it is a second reading, and shows nothing of the first."""

    name: str
    second: bool
    words: words.CardWords
    answer: str
    head: tuple[Sentence, ...]
    zones: tuple[Sentence, ...]
    targets: tuple[Sentence, ...]
    conditions: tuple[Sentence, ...]
    causes: tuple[Sentence, ...]
    drive: tuple[Sentence, ...]
    adds: tuple[tuple[str, str], ...]
    drawing: CardPlate | None
    cars: tuple[Choice, ...]
    faults: tuple[str, ...]
    changed: bool
    can_undo: bool
    can_redo: bool
    may_finish: bool
    may_read: bool
    stands: str
    differences: tuple[tuple[str, str, str], ...] = ()
    told: str = ""


def card_page(
    draft: Draft, card: str, cars: Sequence[Vehicle], chosen: str, kept: Procedure | None, reader: Reader
) -> CardPage:
    """The page of a draft. `kept` is the card as the shop has it."""
    document = draft.document()
    blanks = _Card(draft.content, document.faults, reader, words.label, _choices)
    vehicle = next((one for one in cars if one.name == chosen), next(iter(cars), None))
    partly = drawable(draft)
    drawing = None
    if vehicle is not None and partly is not None:
        drawing = card_plate(partly, vehicle, words.drawn(vehicle.name, reader), reader)
    second = draft.kind == READING
    status = "" if kept is None else kept.source.status
    said = draft.content.get("source")
    begun = isinstance(said, Mapping) and said.get("status") == "draft"
    return CardPage(
        name=card,
        second=second,
        words=words.card_words(reader),
        answer="" if kept is None or second else _standing(kept, reader),
        head=tuple(blanks.head()),
        zones=tuple(blanks.zones()),
        targets=tuple(blanks.targets()),
        conditions=tuple(blanks.conditions()),
        causes=tuple(blanks.causes()),
        drive=tuple(blanks.drive()),
        adds=tuple((where, words.add(where, reader)) for where in words.ADD),
        drawing=drawing,
        cars=tuple(Choice(one.name, one.name, one is vehicle) for one in cars),
        faults=tuple(fault_line(fault, reader) for fault in document.faults),
        changed=draft.changed or (not draft.seen and not second),
        can_undo=draft.at > 0,
        can_redo=draft.can_redo,
        may_finish=not second and begun and not document.faults,
        may_read=not second and not draft.changed and status in ("transcribed", "verified", "questioned"),
        stands=status,
    )


def _standing(card: Procedure, reader: Reader) -> str:
    """What the card counts as; where somebody says that it is wrong, who, and what is."""
    said = words.standing(card.source.status, reader)
    stands = standing_of(card) if card.source.status == "questioned" else None
    return said if stands is None else " ".join((said, as_sentence(reader.reason(stands))))


def compared(answer: CardsAnswer, reader: Reader) -> tuple[str, tuple[tuple[str, str, str], ...]]:
    """What a second reading came to, and each field in which the two differ."""
    found = answer.differences or ()
    rows = []
    for one in found:
        said = ["" if value is None else as_written(value, reader) for value in (one.first, one.second)]
        rows.append((field_words(one.path, reader), said[0], said[1]))
    told = words.compared(len(found), reader)
    return (f"{told} {words.settle(reader)}" if found else told), tuple(rows)


@frozen
class _Card(Blanks):
    """The sentences of a card."""

    def head(self) -> Iterator[Sentence]:
        for sentence, fields in (
            (words.SOURCE, {"units": "units", **{f: f"source.{f}" for f in ("title", "edition", "read_on")},
                            "transcribed_by": "source.transcribed_by"}),
            (words.SENSOR, {"kind": "sensor.kind", "side": "sensor.side", "vehicles": "vehicles", "method": "method",
                            "supports": "supports"}),
            (words.TIME, {"people": "people", "skills": "skills", "equipment": "equipment", "after": "after",
                          **{f"{name}_{i}": f"minutes.{name}.{i}" for name in ("set_up", "run", "put_away")
                             for i in (0, 1)}}),
            (words.LIGHT, {"light": "light", "within": "floor_level.within", "over": "floor_level.over"}),
        ):  # fmt: skip
            yield Sentence(tuple(self.pieces(sentence, fields)))

    def zones(self) -> Iterator[Sentence]:
        for number, zone in self.items("zones"):
            way = next((one for one in ("box", "circle", "sector") if one in zone), "outline")
            at = f"zones.{number}"
            fields = {name: f"{at}.{name}" for name in ("anchor", "bottom", "top", "needs")}
            fields |= {name: f"{_side(name)}{at}.{way}.{i}" for i, name in enumerate(words.PLACES[way])}
            pieces = self.pieces(words.ZONES[way], fields, corners=self._corners(at, zone))
            ways = tuple((one, words.way(one, self.reader)) for one in words.WAYS if one != way)
            title = self.blank(f"{at}.name", "name")
            yield Sentence(tuple(pieces), title, "zones", number, KINDS.get(str(zone.get("needs")), ""), ways)

    def _corners(self, at: str, zone: Mapping[str, Any]) -> list[Piece]:
        found: list[Piece] = []
        for number in range(len(zone.get("outline") or ()) if isinstance(zone.get("outline"), list) else 0):
            x, y = (self.blank(f"{at}.outline.{number}.{i}", f"{number + 1}") for i in (0, 1))
            found += [Piece("(", x.field, x.label, x.value, x.choices, x.fault), after(", ", y), Piece(") ")]
        return found

    def targets(self) -> Iterator[Sentence]:
        for number, _ in self.items("targets"):
            at = f"targets.{number}"
            fields = {name: f"{at}.{name}" for name in ("anchor", "facing", "line", "equipment")}
            fields |= {f"at_{i}": f"{at}.at.{i}" for i in range(3)} | {f"size_{i}": f"{at}.size.{i}" for i in range(2)}
            fields |= {name: f"{at}.tolerance.{name}" for name in ("along", "across", "height", "turn", "lean")}
            title = self.blank(f"{at}.name", "name")
            yield Sentence(tuple(self.pieces(words.TARGET, fields)), title, "targets", number)

    def conditions(self) -> Iterator[Sentence]:
        for number, _ in self.items("conditions"):
            fields = {name: f"conditions.{number}.{name}" for name in ("what", "low", "high", "unit")}
            yield Sentence(tuple(self.pieces(words.CONDITION, fields)), None, "conditions", number)

    def causes(self) -> Iterator[Sentence]:
        for number, _ in self.items("causes"):
            fields = {name: f"causes.{number}.{name}" for name in ("says", "code")}
            yield Sentence(tuple(self.pieces(words.CAUSE, fields)), None, "causes", number)

    def drive(self) -> Iterator[Sentence]:
        if "drive" not in str(self.content.get("method", "")):
            return
        fields = {name: f"drive.{name}" for name in ("road", "weather", "people")}
        fields |= {f"{name}_{i}": f"drive.{name}.{i}" for name in ("speed", "minutes", "distance") for i in (0, 1)}
        yield Sentence(tuple(self.pieces(words.DRIVE, fields)))


def _choices(field: str, path: str, reader: Reader) -> Sequence[tuple[str, str]]:
    of: Mapping[str, Sequence[str]] = {"anchor": ANCHORS, "method": METHODS, "line": LINES, "side": SIDES}
    if field == "units":
        return (("", ""), *((one, one) for one in LENGTH_UNITS))
    if field == "needs":
        return (("", ""), *((one, words.needs(one, reader)) for one in words.NEEDS))
    known = SENSOR_KINDS if path == "sensor.kind" else of.get(field, ())
    return (("", ""), *((one, reader.term(one)) for one in known)) if known else ()


def _side(name: str) -> str:
    """The sign of a blank that is told to the right."""
    return "-" if name == "y0" else ""
