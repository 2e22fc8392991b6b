"""A car mix from a table: columns mapped to what they mean, and rows that cannot be meant set aside, never in silence.

What a row says is written into a vehicle document as it stands there, figure and unit. Rows of one car (the same name)
count together; a car that the shop folder knows already needs no dimensions.
"""

from __future__ import annotations

import csv
import math
import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence

from attrs import field, frozen

from standtrue.documents import read_document
from standtrue.documents.doubts import PLAUSIBLE_M
from standtrue.documents.faults import RefusedError, nearest
from standtrue.documents.quantities import parse_length, parse_mass
from standtrue.model.basics import Fault, Range
from standtrue.model.reason import Length, Mass, Reason, because
from standtrue.model.shop import Shop, Written
from standtrue.work.ask import UnansweredError
from standtrue.work.mix.cells import numbers_of, rows_of

PLAUSIBLE_KG: Range = (400.0, 6000.0)

TEXTS = ("maker", "model", "trim", "propulsion", "driven_wheels")
LENGTHS = tuple(PLAUSIBLE_M)
NEEDED = ("length", "width", "wheelbase")
FIELDS = ("name", "count", *NEEDED, *(f for f in LENGTHS if f not in NEEDED), "mass", "years", *TEXTS, "sensors")
"""What a column can mean. `count`: how many of such cars came, 1 where there is no such column."""

_WITH_UNIT = re.compile(r"(.*?)[ ,]*[(\[]?\b(mm|cm|m|in|ft|kg|lb)[)\]]?", re.IGNORECASE)
"""A heading that ends in the unit of its column."""

MOST_ROWS = 200_000

IMPLAUSIBLE = "row-implausible"
"""Why a row is set aside whose car would be no road car."""

BARE = re.compile(r"[0-9]+(?:[.,'’ \u00a0\u202f][0-9]+)*[.,]?|[.,][0-9]+")
"""A number without a unit."""


@frozen
class Column:
    """One column of the table: what it means, its heading, and the unit of its bare numbers, if it needs one."""

    field: str
    heading: str
    unit: str = ""


@frozen
class Aside:
    """A row that was set aside: its line in the file (the heading is line 1), the car it names, and why."""

    line: int
    name: str
    why: Reason


@frozen(eq=False)
class MixTable:
    """What a table gives. `vehicles` are documents to be written; `mix` is one too. `ignored` headings mean nothing."""

    mix: Mapping[str, object]
    vehicles: tuple[Mapping[str, object], ...]
    known: tuple[str, ...]
    columns: tuple[Column, ...]
    ignored: tuple[str, ...]
    rows: int
    aside: tuple[Aside, ...] = ()
    notes: tuple[Reason, ...] = field(default=())

    @property
    def counted(self) -> int:
        """How many rows count."""
        return self.rows - len(self.aside)


@frozen
class _Row:
    line: int
    name: str
    count: float
    fields: tuple[tuple[str, object], ...]


def read_mix_table(
    text: str,
    mix: str,
    columns: Sequence[str] = (),
    unit: str = "",
    shop: Shop | None = None,
    demonstration: bool = False,
) -> MixTable:
    """The mix named `mix` from a table with a heading line, divided by commas, semicolons or tabs.

    `columns` map what they do not say by their heading: `FIELD=HEADING`, or `FIELD=HEADING:UNIT`. `unit` is that of
    bare lengths elsewhere. Raises UnansweredError, with every fault, where it cannot be told what a column means or in
    which unit, or where no row counts.
    """
    lines = _lines(text)
    lines, joined = _with_joined(lines, columns)
    heads = lines[0][1]
    mapped = _columns(heads, columns, unit)
    _ask_units(mapped, heads, [cells for _, cells in lines[1:]])
    known = shop or Shop(Written())
    rows: list[_Row] = []
    aside: list[Aside] = []
    for line, cells in lines[1:]:
        said = {c.field: cells[heads.index(c.heading)].strip() for c in mapped if heads.index(c.heading) < len(cells)}
        row = because("row-too-long") if len(cells) > len(heads) else _row(line, said, mapped, known)
        if isinstance(row, Reason):
            aside.append(Aside(line, said.get("name", ""), row))
        else:
            rows.append(row)
    plain = [head for head in heads if head not in joined]
    return _gathered(mix, rows, aside, mapped, plain, known, len(lines) - 1, demonstration)


def _with_joined(
    lines: Sequence[tuple[int, list[str]]], given: Sequence[str]
) -> tuple[list[tuple[int, list[str]]], set[str]]:
    """The rows, with one more column for a name that is made of several: `name=MAKER + MODEL`; and their headings.

    What a row says in them stands there in this order, a space between.
    """
    heads = [cell.strip() for cell in lines[0][1]]
    spoken = [head.lower() for head in heads]
    for one in given:
        name, _, rest = one.partition("=")
        parts = [part.strip().lower() for part in rest.split("+")]
        whole = rest.strip().lower() in spoken
        if name.strip().lower() == "name" and not whole and len(parts) > 1 and set(parts) <= set(spoken):
            at = [spoken.index(part) for part in parts]
            told = [(line, _joined(cells, at, len(heads))) for line, cells in lines[1:]]
            return [(lines[0][0], [*heads, rest.strip()]), *told], {heads[number] for number in at}
    return [(lines[0][0], heads), *lines[1:]], set()


def _joined(cells: Sequence[str], at: Sequence[int], count: int) -> list[str]:
    """A row with one more cell, which joins some of its own; a row that is too long stays so."""
    whole = [*cells, *[""] * (count - len(cells))]
    return [*whole, " ".join(filter(None, (whole[number].strip() for number in at)))]


def _lines(text: str) -> list[tuple[int, list[str]]]:
    """The rows that are not blank, with their line in the file."""
    try:
        lines = rows_of(text)
    except csv.Error as error:
        what = because("csv-line-broken", line=error.args[0])
        raise UnansweredError([_fault("unreadable", what, "", because("save-as-csv"))]) from None
    if not 2 <= len(lines) <= MOST_ROWS:
        what = because("table-without-rows" if len(lines) < 2 else "table-of-too-many-rows")
        raise UnansweredError([_fault("unreadable", what, str(len(lines)), because("give-rows", most=MOST_ROWS))])
    return lines


def _ask_units(columns: Sequence[Column], heads: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    """A column of bare lengths or masses must say in which unit they are: none is taken for granted."""
    faults = []
    for column in columns:
        if column.unit or (column.field not in LENGTHS and column.field != "mass"):
            continue
        at = heads.index(column.heading)
        bare = next((cells[at] for cells in rows if at < len(cells) and BARE.fullmatch(cells[at].strip())), None)
        if bare is not None:
            unit = "lb" if column.field == "mass" else "in"
            remedy = because("say-for-example", example=f'--column "{column.field}={column.heading}:{unit}"')
            what = because("column-without-unit", heading=column.heading)
            faults.append(_fault("units-missing", what, bare, remedy))
    if faults:
        raise UnansweredError(faults)


def _columns(heads: Sequence[str], given: Sequence[str], unit: str) -> tuple[Column, ...]:
    """What each column means: as given, and by headings that say it themselves."""
    faults: list[Fault] = []
    found: dict[str, Column] = {}
    for one in given:
        column = _given(one, heads, faults)
        if column is not None:
            found[column.field] = column
    for head in heads:
        name, said = _said_by(head)
        if name in FIELDS and name not in found and head not in {c.heading for c in found.values()}:
            found[name] = Column(name, head, said)
    faults.extend(
        _fault(
            "fields-conflict", because("heading-repeated", heading=c.heading), c.heading, because("give-own-heading")
        )
        for c in found.values()
        if list(heads).count(c.heading) > 1
    )
    if "name" not in found:
        remedy = because("say-name-column", example="--column name=HEADING", headings=tuple(heads))
        faults.append(_fault("missing-field", because("no-column-names-cars"), "", remedy))
    with_units = []
    for column in found.values():
        if column.field in LENGTHS or column.field == "mass":
            column = Column(column.field, column.heading, column.unit or (unit if column.field in LENGTHS else ""))
            faults.extend(_unit_faults(column))
        with_units.append(column)
    if faults:
        raise UnansweredError(faults)
    return tuple(with_units)


def _said_by(heading: str) -> tuple[str, str]:
    """The field that a heading says, and the unit that it gives: `Length (mm)`."""
    told = _WITH_UNIT.fullmatch(heading.strip())
    plain, unit = (told[1], told[2].lower()) if told else (heading, "")
    return re.sub(r"[^a-z]+", "_", plain.lower()).strip("_"), unit


def _given(text: str, heads: Sequence[str], faults: list[Fault]) -> Column | None:
    name, equals, rest = text.partition("=")
    name = name.strip().lower().replace(" ", "_")
    whole = rest.strip().lower() in (head.lower() for head in heads)
    heading, unit = (rest.strip(), "") if whole else map(str.strip, rest.rpartition(":")[::2])
    if not equals or name not in FIELDS:
        near = nearest(name, FIELDS)
        known = because("column-fields-are", form="FIELD=HEADING", fields=FIELDS)
        remedy = because("column-did-you-mean", near=near) if near and equals else known
        faults.append(_fault("unknown-field", because("no-column-means-this"), text, remedy))
        return None
    heading = next((head for head in heads if head.lower() == heading.lower()), heading)
    if heading not in heads:
        near = nearest(heading or rest, heads)
        known = because("headings-are", headings=tuple(heads))
        remedy = because("column-did-you-mean", near=near) if near else known
        faults.append(_fault("unknown-reference", because("no-such-heading"), text, remedy))
        return None
    return Column(name, heading, unit)


def _unit_faults(column: Column) -> Iterator[Fault]:
    """The unit must be one, if there is any; a column without is asked for one only where its numbers are bare."""
    if column.unit:
        try:
            _measure(column.field, f"1 {column.unit}")
        except RefusedError as refused:
            what = because("column-unit-refused", heading=column.heading, why=refused.what)
            yield _fault(refused.code, what, column.unit, refused.remedy)


def _measure(name: str, text: str) -> float:
    return parse_mass(text) if name == "mass" else parse_length(text)


def _row(line: int, said: Mapping[str, str], columns: Sequence[Column], known: Shop) -> _Row | Reason:
    """One row; or why it cannot be meant."""
    name = said.get("name", "")
    if not name:
        return because("row-names-no-car")
    ways = numbers_of(said.get("count", "") or "1")
    count = next((way for way in ways if way.isdecimal()), ways[0])  # cars are counted whole
    if not re.fullmatch(r"[0-9]{1,9}(\.[0-9]{1,6})?", count) or float(count) == 0.0:
        return because("row-count-wrong", count=count)
    if name in known.vehicles:
        return _Row(line, name, float(count), ())
    fields: dict[str, object] = {}
    for column in columns:
        text = said.get(column.field, "")
        if not text or column.field in ("name", "count"):
            continue
        value = _value(column, text)
        if isinstance(value, Reason):
            return value
        fields[column.field] = value
    lacking = tuple(f for f in NEEDED if f not in fields)
    if lacking:
        return because("row-lacks", fields=lacking)
    return _refused(name, fields) or _Row(line, name, float(count), tuple(fields.items()))


def _value(column: Column, text: str) -> object:
    """What a cell says, as a document has it; or why it cannot be meant."""
    if column.field in LENGTHS or column.field == "mass":
        ways = [f"{way} {column.unit}" if BARE.fullmatch(way) else way for way in numbers_of(text)]
        why = [_implausible(column, way) for way in ways]
        meant = [way for way, refused in zip(ways, why, strict=True) if refused is None]
        if len(meant) > 1:
            return because("row-number-ambiguous", field=column.field, ways=tuple(meant))
        return meant[0] if meant else why[0]
    if column.field == "sensors":
        return [{"kind": kind.strip()} for kind in re.split("[;,/]", text) if kind.strip()]
    return int(text) if column.field == "years" and re.fullmatch("[0-9]{4}", text) else text


def _implausible(column: Column, text: str) -> Reason | None:
    try:
        value = _measure(column.field, text)
    except RefusedError as refused:
        return because("row-field-unreadable", field=column.field, why=refused.what)
    low, high = PLAUSIBLE_KG if column.field == "mass" else PLAUSIBLE_M[column.field]
    if low <= value <= high:
        return None
    quantity = Mass if column.field == "mass" else Length
    return because(IMPLAUSIBLE, field=column.field, value=text, least=quantity(low), most=quantity(high))


def _refused(name: str, fields: Mapping[str, object]) -> Reason | None:
    """What a vehicle document of this row would be refused for."""
    faults = read_document(_vehicle(name, fields, False), name).faults
    if not faults:
        return None
    why = (because("row-field-refused", field=f.field, why=f.what) if f.field else f.what for f in faults)
    return because("row-refused", faults=tuple(why))


def _vehicle(name: str, fields: Mapping[str, object], demonstration: bool) -> dict[str, object]:
    marked = {"demonstration": True} if demonstration else {}
    return {"kind": "vehicle", "schema": 1, "name": name, "units": "m", **marked, **fields}


def _gathered(
    mix: str,
    rows: Sequence[_Row],
    aside: list[Aside],
    columns: tuple[Column, ...],
    heads: Sequence[str],
    known: Shop,
    count: int,
    demonstration: bool,
) -> MixTable:
    """Rows of one car together. Of rows that name one car and differ, the first counts and the others do not."""
    first: dict[str, _Row] = {}
    counts: dict[str, list[float]] = {}
    for row in rows:
        before = first.setdefault(row.name, row)
        if before.fields != row.fields:
            aside.append(Aside(row.line, row.name, because("row-differs", line=before.line)))
        else:
            counts.setdefault(row.name, []).append(row.count)
    if not counts:
        told = tuple(because("row-set-aside", line=a.line, why=a.why) for a in aside[:3])
        what = because("no-row-counts", first=told)
        raise UnansweredError([_fault("nothing-to-ask", what, "", because("mend-rows-or-units"))])
    whole = math.fsum(c for found in counts.values() for c in found)
    marked = {"demonstration": True} if demonstration else {}
    shares = [{"name": name, "share": round(math.fsum(found) / whole, 9)} for name, found in counts.items()]
    vehicles = [_vehicle(n, dict(r.fields), demonstration) for n, r in first.items() if n not in known.vehicles]
    used = {c.heading for c in columns}
    return MixTable(
        {"kind": "mix", "schema": 1, "name": mix, **marked, "vehicles": shares},
        tuple(vehicles),
        tuple(n for n in counts if n in known.vehicles),
        columns,
        tuple(h for h in heads if h not in used),
        count,
        tuple(sorted(aside, key=lambda a: a.line)),
        tuple(_notes(aside, count)),
    )


def _notes(aside: Iterable[Aside], count: int) -> Iterator[Reason]:
    """Where a column sets many rows aside, its unit is doubtful."""
    by_field = Counter(str(one.why["field"]) for one in aside if one.why.code == IMPLAUSIBLE)
    for name, rows in by_field.items():
        if rows * 2 > count:
            yield because("unit-doubtful", rows=rows, of=count, field=name)


def _fault(code: str, what: Reason, value: str, remedy: Reason) -> Fault:
    return Fault(code, what, "", "--column", value, remedy)
