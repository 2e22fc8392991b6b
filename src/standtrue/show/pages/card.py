"""The page of a card as it is written, or read a second time: sentences with blanks, and the drawing that follows."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from attrs import frozen

from standtrue.documents.quantities import LENGTH_UNITS
from standtrue.model.basics import Fault
from standtrue.model.procedure import ANCHORS, METHODS, Procedure
from standtrue.model.sensor_kinds import SENSOR_KINDS
from standtrue.model.vehicle import Vehicle
from standtrue.show.pages.floor import Choice
from standtrue.show.pages.start import Piece
from standtrue.show.pictures.card_zones import CardPlate, card_plate
from standtrue.show.words.cards import as_written
from standtrue.show.words.pages import card as words
from standtrue.show.words.pages.order import fault_words
from standtrue.show.words.pages.start import sentence_parts
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
class Sentence:
    """A sentence with its blanks. `where` and `number` say which item it is of; "" for one of the card itself."""

    pieces: tuple[Piece, ...]
    title: Piece | None = None
    where: str = ""
    number: int = 0
    kind: str = ""
    ways: tuple[tuple[str, str], ...] = ()


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
    blanks = _Blanks(draft.content, document.faults, reader)
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
        faults=tuple(_line(fault, reader) for fault in document.faults),
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
class _Blanks:
    """The blanks of a draft, with what stands in them and what is wrong there."""

    content: Mapping[str, Any]
    faults: tuple[Fault, ...]
    reader: Reader

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
            yield Sentence(tuple(self._pieces(sentence, fields)))

    def zones(self) -> Iterator[Sentence]:
        for number, zone in self._items("zones"):
            way = next((one for one in ("box", "circle", "sector") if one in zone), "outline")
            at = f"zones.{number}"
            fields = {name: f"{at}.{name}" for name in ("anchor", "bottom", "top", "needs")}
            fields |= {name: f"{_side(name)}{at}.{way}.{i}" for i, name in enumerate(words.PLACES[way])}
            pieces = self._pieces(words.ZONES[way], fields, corners=self._corners(at, zone))
            ways = tuple((one, words.way(one, self.reader)) for one in words.WAYS if one != way)
            title = self._blank(f"{at}.name", "name")
            yield Sentence(tuple(pieces), title, "zones", number, KINDS.get(str(zone.get("needs")), ""), ways)

    def _corners(self, at: str, zone: Mapping[str, Any]) -> list[Piece]:
        found: list[Piece] = []
        for number in range(len(zone.get("outline") or ()) if isinstance(zone.get("outline"), list) else 0):
            x, y = (self._blank(f"{at}.outline.{number}.{i}", f"{number + 1}") for i in (0, 1))
            found += [Piece("(", x.field, x.label, x.value, x.choices, x.fault), _after(", ", y), Piece(") ")]
        return found

    def targets(self) -> Iterator[Sentence]:
        for number, _ in self._items("targets"):
            at = f"targets.{number}"
            fields = {name: f"{at}.{name}" for name in ("anchor", "facing", "line", "equipment")}
            fields |= {f"at_{i}": f"{at}.at.{i}" for i in range(3)} | {f"size_{i}": f"{at}.size.{i}" for i in range(2)}
            fields |= {name: f"{at}.tolerance.{name}" for name in ("along", "across", "height", "turn", "lean")}
            title = self._blank(f"{at}.name", "name")
            yield Sentence(tuple(self._pieces(words.TARGET, fields)), title, "targets", number)

    def conditions(self) -> Iterator[Sentence]:
        for number, _ in self._items("conditions"):
            fields = {name: f"conditions.{number}.{name}" for name in ("what", "low", "high", "unit")}
            yield Sentence(tuple(self._pieces(words.CONDITION, fields)), None, "conditions", number)

    def causes(self) -> Iterator[Sentence]:
        for number, _ in self._items("causes"):
            fields = {name: f"causes.{number}.{name}" for name in ("says", "code")}
            yield Sentence(tuple(self._pieces(words.CAUSE, fields)), None, "causes", number)

    def drive(self) -> Iterator[Sentence]:
        if "drive" not in str(self.content.get("method", "")):
            return
        fields = {name: f"drive.{name}" for name in ("road", "weather", "people")}
        fields |= {f"{name}_{i}": f"drive.{name}.{i}" for name in ("speed", "minutes", "distance") for i in (0, 1)}
        yield Sentence(tuple(self._pieces(words.DRIVE, fields)))

    def _items(self, where: str) -> Iterator[tuple[int, Mapping[str, Any]]]:
        for number, item in enumerate(self.content.get(where, ())):
            if isinstance(item, Mapping):
                yield number, item

    def _pieces(self, sentence: str, fields: Mapping[str, str], corners: Sequence[Piece] = ()) -> Iterator[Piece]:
        for text, name in sentence_parts(sentence, self.reader):
            if name == "corners":
                yield Piece(text)
                yield from corners
            elif name:
                blank = self._blank(fields[name], re.sub(r"_\d$", "", name))
                yield _after(text, blank)
            else:
                yield Piece(text)

    def _blank(self, path: str, field: str) -> Piece:
        fault = next((f for f in self.faults if _same(f.field, path)), None)
        return Piece(
            "",
            path,
            words.label(field, self.reader),
            self._value(path),
            tuple(self._choices(field, path)),
            "" if fault is None else self.reader.reason(fault.what),
        )

    def _choices(self, field: str, path: str) -> Iterator[tuple[str, str]]:
        of: Mapping[str, Sequence[str]] = {
            "anchor": ANCHORS, "method": METHODS, "line": LINES, "side": SIDES, "units": LENGTH_UNITS,
        }  # fmt: skip
        if path == "sensor.kind":
            of = {"kind": SENSOR_KINDS}
        if field == "needs":
            yield from (("", ""), *((one, words.needs(one, self.reader)) for one in words.NEEDS))
        elif field in of:
            yield from (("", ""), *((one, one if field == "units" else self.reader.term(one)) for one in of[field]))

    def _value(self, path: str) -> str:
        """What stands at a blank, as it was written."""
        at: Any = self.content
        parts = path.lstrip("-").split(".")
        for i, part in enumerate(parts):
            if isinstance(at, Mapping):
                at = at.get(part)
            elif isinstance(at, list) and part.isdigit():
                at = at[int(part)] if int(part) < len(at) else None
            elif part.isdigit() and i == len(parts) - 1:
                continue  # one value stands for a range
            elif part not in ("kind", "run", "within"):
                return ""
        said = _said(at)
        return _turned(said) if path.startswith("-") else said


def _side(name: str) -> str:
    """The sign of a blank that is told to the right."""
    return "-" if name == "y0" else ""


def _said(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, Mapping):  # a text in two languages
        return str(value.get("en", ""))
    if isinstance(value, list):
        return ", ".join(_said(one) for one in value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:.9g}" if isinstance(value, float) else str(value)


def _turned(said: str) -> str:
    if said in ("", "0"):
        return said
    return said[1:] if said.startswith("-") else f"-{said}"


def _after(text: str, blank: Piece) -> Piece:
    return Piece(text, blank.field, blank.label, blank.value, blank.choices, blank.fault)


def _same(field: str, path: str) -> bool:
    """Whether a fault's field is that of a blank, or holds it."""
    said = re.sub(r"\[(\d+)\]", r".\1", field)
    own = path.lstrip("-")
    return own == said or (said != "" and own.startswith(f"{said}."))


def _line(fault: Fault, reader: Reader) -> str:
    return " ".join((f"{fault.field}:", *fault_words([fault], reader)))
