"""The default rules, made from the one table of common practice, and the table itself for people to read."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from types import MappingProxyType

from standtrue.model.basics import Side
from standtrue.model.reason import Text
from standtrue.model.rules import EVENTS, Calibrate, How, Rule, Rules, Where
from standtrue.model.sensor_kinds import SENSOR_KINDS, SENSORS
from standtrue.needs.table import (
    BEFORE,
    BY_PART,
    BY_PLACE,
    COLUMNS,
    GRID,
    NOT_BEFORE,
    ONE_SIDED,
    REASONS,
    SAID_AS,
    TASKS,
)
from standtrue.needs.table_es import BY_PART_ES, REASONS_ES, TASKS_ES

NAME = "common practice"
SOURCE = "common practice"

_HOWS: Mapping[str, How | None] = {"R": "required", "C": "conditional", "-": None}
_LETTERS: Mapping[How | None, str] = {"required": "R", "conditional": "C", None: "–"}


@cache
def default_table() -> Mapping[tuple[str, str], How | None]:
    """What the table decides for every (event, sensor kind): `required`, `conditional`, or None for untouched.

    Where the place or the part matters, the pair's strongest rule counts.
    """
    head, *rows = GRID.strip().splitlines()
    columns = head.split()[1:]
    table: dict[tuple[str, str], How | None] = {}
    for row in rows:
        cells = dict(zip(columns, row.split()[-len(columns) :], strict=True))
        event = row[: row.index("  ")].strip()
        table.update({(event, kind): _HOWS[cells[column]] for kind, column in _column_of().items()})
    return MappingProxyType(table)


@cache
def default_rules() -> Rules:
    """The rules that count where a shop folder has no rules document of its own: common practice, no source."""
    kinds = _column_of().items()
    found = (rule for event in EVENTS for kind, column in kinds for rule in _rules_for(event, kind, column))
    return Rules(NAME, tuple(found))


def default_rules_toml() -> str:
    """The default rules as an ordinary `rules` document, for a shop to copy and change."""
    lines = [
        "# What each event calls for, by common practice. The vehicle maker's current service information governs:",
        "# change these rules as you transcribe it, and give each its source.",
        'kind = "rules"',
        "schema = 1",
        f'name = "{NAME}"',
        "demonstration = false",
    ]
    for rule in default_rules().rules:
        lines += ["", *_rule_lines(rule)]
    return "\n".join(lines) + "\n"


def default_table_markdown() -> str:
    """The table as Markdown, events down and sensor kinds across: R required, C conditional, – untouched."""
    table = default_table()
    lines = [
        "| event | " + " | ".join(SENSOR_KINDS) + " |",
        "|---|" + ":-:|" * len(SENSOR_KINDS),
    ]
    for event in EVENTS:
        mark = " ¹" if event in BY_PLACE else " ²" if event in BY_PART else ""
        cells = " | ".join(_LETTERS[table[event, kind]] for kind in SENSOR_KINDS)
        lines.append(f"| {event}{mark} | {cells} |")
    return "\n".join(lines) + "\n"


@cache
def _column_of() -> Mapping[str, str]:
    """The column of each sensor kind: its own, or that of the kind that it is like."""
    own = {kind: column for column, kind in COLUMNS.items()}
    return {sensor.name: own[sensor.like or sensor.name] for sensor in SENSORS}


def _rules_for(event: str, kind: str, column: str) -> Iterator[Rule]:
    how = default_table()[event, kind]
    if how is None:
        return
    before = tuple(first for first in BEFORE.get(event, ()) if column not in NOT_BEFORE.get(first, ()))
    if event in BY_PART:
        because = Text(
            BY_PART[event].format(sensor=SAID_AS.get(kind, kind), task=TASKS[column]),
            BY_PART_ES[event].format(task=TASKS_ES[column]),
        )
        yield Rule(event, (Calibrate(kind),), how, because, part=kind, before=before, source=SOURCE)
        return
    because = Text(REASONS[event][column], REASONS_ES[event][column])
    places = BY_PLACE.get(event, {}).get(column)
    if places is None:
        yield Rule(event, (Calibrate(kind),), how, because, before=before, source=SOURCE)
        return
    for where, there in places:
        yield Rule(event, (Calibrate(kind, _side(where, column)),), there, because, where, before=before, source=SOURCE)


def _side(where: Where, column: str) -> Side | None:
    if column in ONE_SIDED and (where == "left" or where == "right"):
        return where
    return None


def _rule_lines(rule: Rule) -> Iterator[str]:
    yield "[[rules]]"
    yield f"event = {_quoted(rule.event)}"
    if rule.where is not None:
        yield f"where = {_quoted(rule.where)}"
    if rule.part is not None:
        yield f"part = {_quoted(rule.part)}"
    sensors = (
        f"sensor = {_quoted(c.sensor)}" + ("" if c.side is None else f", side = {_quoted(c.side)}")
        for c in rule.calibrate
    )
    yield f"calibrate = [{', '.join(f'{{ {sensor} }}' for sensor in sensors)}]"
    yield f"how = {_quoted(rule.how)}"
    yield f"because = {{ en = {_quoted(rule.because.en)}, es = {_quoted(rule.because.es)} }}"
    if rule.before:
        yield f"before = [{', '.join(_quoted(first) for first in rule.before)}]"
    yield f"source = {_quoted(rule.source)}"


def _quoted(text: str) -> str:
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'
