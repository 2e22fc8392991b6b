"""At the car: the screens of a calibration: conditions, where the target goes, readings, and what they come to."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from attrs import evolve

from standtrue.aim.conditions import ConditionCheck, Standing, check_conditions, conditions_of
from standtrue.aim.planning import Planned
from standtrue.aim.questions import FAR_M, FAR_RAD
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Length
from standtrue.model.setup import ConditionReading
from standtrue.show.pages.car import Act, Reading, Screen
from standtrue.show.pictures.at_car import read_plate, set_plate
from standtrue.show.words.aim import standing_word
from standtrue.show.words.near import planned_words, to_circle
from standtrue.show.words.pages import car as words
from standtrue.show.words.pages import car_read as read
from standtrue.show.words.reader import Reader
from standtrue.work.aim.laying import TargetsAnswer
from standtrue.work.car.fold import AtStep
from standtrue.work.car.happened import Happened
from standtrue.work.car.setting import YES, reading_names

FLAT = ("height", "lean", "angle")
"""What is read at the target itself, and not along the floor."""


def conditions_screen(r: Reading, card: Procedure) -> Screen | None:
    """Every condition of the card, one at a time; None where it has none."""
    asked, reader = conditions_of(card), r.reader
    if not asked:
        return None
    items = []
    for number, one in enumerate(asked, start=1):
        kept = r.at.conditions.get(one.what)
        has_figure = one.low is not None or one.high is not None
        items.append(
            {
                "number": number,
                "name": one.what,
                "what": "condition",
                "group": 0,
                "over": read.condition_of(number, len(asked), reader),
                "question": read.condition_question(one, reader),
                "short": read.condition_name(one, reader),
                "unit": one.unit,
                "shown": one.unit,
                "kind": "figure" if has_figure else "so",
                "sides": []
                if has_figure
                else [list(pair) for pair in zip(read.so_words(reader), (YES, ""), strict=True)],
                "limit": read.limit(one, reader),
                "kept": None if kept is None else _kept_condition(kept, reader),
            }
        )
    pad = _pad(r, items, "set")
    return Screen("conditions", "read", "", pad=pad, back="", words=read.pad_words(reader))


def _kept_condition(kept: Happened, reader: Reader) -> str:
    if kept.typed == YES:
        return read.pad_words(reader)["so"]
    return kept.typed or read.pad_words(reader)["not_so"]


def set_screen(r: Reading, card: Procedure, layout: TargetsAnswer) -> Screen:
    """Where the target goes: from the points at the car that a tape starts at, along the floor."""
    reader, targets = r.reader, layout.targets
    first = targets[0].place
    tapes = [p for p in planned_of(layout) if p.part == first.name and p.reading.what == "distance"]
    names = [t.place.name for t in targets]
    lines = [words.set_stand(reader)]
    lines += [words.set_height(t.place.name, Length(t.place.center[2]), reader) for t in targets]
    big, small = "", ""
    if tapes:
        big = words.set_figure(Length(tapes[0].value), reader)
        small = read.short(tapes[0], names, reader)
        lines[:0] = [reader_line(p, names, reader) for p in tapes[1:3] if not p.candidate.again]
    found = [_found(one) for one in r.at.conditions.values() if one.typed]
    checks = check_conditions(card, found)
    rows = tuple(_condition_row(r, c) for c in checks)
    notes = tuple(read.limit(c.condition, reader) for c in checks if c.standing is Standing.NOT_MET)
    told = words.set_told(first.name, reader)
    return Screen(
        "set",
        "set",
        words.set_question(first.name, reader),
        words.card_over(card.key, card.source.edition, reader),
        big,
        small,
        tuple(lines),
        plates=((set_plate(layout, reader, told), words.behind_the_car(reader)),),
        rows=rows,
        notes=notes,
        first=Act(words.it_stands(reader), {"what": "stands"}, to="read"),
        back="conditions" if rows else "",
    )


def reader_line(one: Planned, targets: Sequence[str], reader: Reader) -> str:
    """A further distance of a target in a sentence."""
    far = words.set_figure(Length(one.value), reader)
    return words.set_line(read.short(one, targets, reader), far, reader)


def _condition_row(r: Reading, check: ConditionCheck) -> tuple[str, str]:
    """A condition and what was found, once it was read."""
    kept, said = r.at.conditions.get(check.condition.what), standing_word(check.standing, r.reader)
    found = said if kept is None or kept.typed in (YES, "") else f"{kept.typed}, {said}"
    return read.condition_name(check.condition, r.reader), found


def _found(one: Happened) -> ConditionReading:
    """A condition as it was found: a figure with its unit, or 1 for yes."""
    number, _, unit = one.typed.partition(" ")
    try:
        return ConditionReading(one.name, 1.0 if one.typed == YES else float(number), unit)
    except ValueError:
        return ConditionReading(one.name, 1.0)


def read_screen(r: Reading, layout: TargetsAnswer) -> Screen:
    """Every reading of the list, one at a time, those of one picture together."""
    reader, planned = r.reader, planned_of(layout)
    names, targets = reading_names(planned), [t.place.name for t in layout.targets]
    groups = [_group(one) for one in planned]
    captions = read.group_captions(reader)
    plates = []
    for group in sorted(set(groups)):
        own = [one for one, g in zip(planned, groups, strict=True) if g == group]
        told = " ".join(read.question(one, targets, reader) for one in own)
        if group == 2:
            plates.append((set_plate(layout, reader, told), captions[2]))
        else:
            plates.append((read_plate(layout, own, reader, told), captions[group]))
    order = sorted(set(groups))
    items = [
        _item(r, one, name, order.index(group), targets, len(planned))
        for one, name, group in zip(planned, names, groups, strict=True)
    ]
    return Screen(
        "read",
        "read",
        "",
        plates=tuple(plates),
        pad=_pad(r, items, "judge"),
        back="set",
        words=read.pad_words(reader),
    )


def planned_of(layout: TargetsAnswer) -> tuple[Planned, ...]:
    """The readings, those of one picture behind each other."""
    planned = () if layout.plan is None else layout.plan.planned
    in_order = sorted(planned, key=lambda one: (_group(one), one.number))
    return tuple(evolve(one, number=n) for n, one in enumerate(in_order, start=1))


def _group(one: Planned) -> int:
    if not one.part:
        return 0
    return 2 if one.reading.what in FLAT else 1


def _item(r: Reading, one: Planned, name: str, group: int, targets: Sequence[str], of: int) -> Mapping[str, object]:
    reader, angle = r.reader, one.reading.is_angle
    kept = r.at.readings.get(name)
    sided = to_circle(one)
    return {
        "number": one.number,
        "name": name,
        "what": "reading",
        "part": one.part,
        "group": group,
        "over": read.numbered(one.number, of, reader),
        "question": read.question(one, targets, reader),
        "again": read.again(reader) if one.candidate.again else "",
        "short": planned_words(one, targets, 1, reader),
        "kind": "figure",
        "unit": unit_of(angle, reader),
        "shown": shown_unit(angle, reader),
        "factor": factor_of(angle, reader),
        "sign": 1 if sided or one.value >= 0.0 else -1,
        "sides": [list(pair) for pair in read.sides(one.reading.what, reader)] if sided else [],
        "planned": abs(one.value),
        "far": FAR_RAD if angle else FAR_M,
        "kept": None if kept is None else kept.typed.replace(" deg", "°"),
    }


def unit_of(angle: bool, reader: Reader) -> str:
    """In what a reading is typed, as documents write it."""
    if angle:
        return "deg"
    return "in" if reader.units == "us" else "mm"


def shown_unit(angle: bool, reader: Reader) -> str:
    return "°" if angle else unit_of(angle, reader)


def factor_of(angle: bool, reader: Reader) -> float:
    """What one of it is in metres or radians."""
    if angle:
        return math.pi / 180.0
    return 0.0254 if reader.units == "us" else 0.001


def _pad(r: Reading, items: Sequence[Mapping[str, object]], then: str) -> Mapping[str, object]:
    return {"items": list(items), "then": then, "us": r.reader.units == "us", "words": dict(read.pad_words(r.reader))}


def which(at: AtStep, card: Procedure, names: Sequence[str], asked: str) -> str:
    """Which screen of a calibration is due; `asked`: another one that somebody wants to see again."""
    open_conditions = [c for c in conditions_of(card) if c.what not in at.conditions]
    told = at.tool is not None and at.tool.name == "finished"
    due_now = {
        "conditions": bool(open_conditions),
        "set": bool(names) and not at.stands,
        "read": bool(at.unread(names)),
    }
    for key, due in due_now.items():
        if due or asked == key:
            return key
    if names and at.verdict is None:
        return "judge"
    if asked == "failed":
        return "failed"
    if not told or asked == "verdict":
        return "verdict" if names else "tool"
    if names and (at.photo is None or asked == "photo"):
        return "photo"
    return "sign"
