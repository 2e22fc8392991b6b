"""A car mix from a table: columns mapped to what they mean, and rows that cannot be meant set aside, never in silence.

What a row says is written into a vehicle document as it stands there, figure and unit. Rows of one car (the same name)
count together; a car that the shop folder knows already needs no dimensions.
"""

from __future__ import annotations

import csv
import io
import math
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence

from attrs import field, frozen

from standtrue.documents import read_document
from standtrue.documents.faults import RefusedError, listed, nearest
from standtrue.documents.quantities import parse_length, parse_mass
from standtrue.model.basics import Fault, Range
from standtrue.model.reason import Note
from standtrue.model.shop import Shop, Written
from standtrue.work.ask import UnansweredError

PLAUSIBLE_M: dict[str, Range] = {
    "length": (2.3, 7.6),
    "width": (1.2, 2.5),
    "width_over_mirrors": (1.3, 3.0),
    "height": (1.0, 3.3),
    "wheelbase": (1.6, 5.2),
    "front_overhang": (0.3, 1.6),
    "track_front": (1.0, 2.2),
    "track_rear": (1.0, 2.2),
    "tire_width": (0.12, 0.42),
    "tire_diameter": (0.45, 1.1),
    "ground_clearance": (0.04, 0.45),
    "turning_circle": (6.0, 18.0),
    "turning_circle_wall": (6.0, 18.5),
}
"""What a road car or a light truck measures, metres: common practice, no source. A row beyond is set aside."""

PLAUSIBLE_KG: Range = (400.0, 6000.0)

TEXTS = ("maker", "model", "trim", "propulsion", "driven_wheels")
LENGTHS = tuple(PLAUSIBLE_M)
NEEDED = ("length", "width", "wheelbase")
FIELDS = ("name", "count", *NEEDED, *(f for f in LENGTHS if f not in NEEDED), "mass", "years", *TEXTS, "sensors")
"""What a column can mean. `count`: how many of such cars came, 1 where there is no such column."""

MOST_ROWS = 200_000

BARE = re.compile(r"[0-9]+(\.[0-9]*)?|\.[0-9]+")
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
    why: str


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
    notes: tuple[str, ...] = field(default=())

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
    folder: Shop | None = None,
    demonstration: bool = False,
) -> MixTable:
    """The mix named `mix` from a table in CSV, with a heading line.

    `columns` map what they do not say by their heading: `FIELD=HEADING`, or `FIELD=HEADING:UNIT`. `unit` is that of
    bare lengths elsewhere. Raises UnansweredError, with every fault, where it cannot be told what a column means or in
    which unit, or where no row counts.
    """
    lines = _lines(text)
    heads = [cell.strip() for cell in lines[0][1]]
    mapped = _columns(heads, columns, unit)
    _ask_units(mapped, heads, [cells for _, cells in lines[1:]])
    known = folder or Shop(Written())
    rows: list[_Row] = []
    aside: list[Aside] = []
    for line, cells in lines[1:]:
        said = {c.field: cells[heads.index(c.heading)].strip() for c in mapped if heads.index(c.heading) < len(cells)}
        row = (
            "it has more cells than there are headings" if len(cells) > len(heads) else _row(line, said, mapped, known)
        )
        if isinstance(row, str):
            aside.append(Aside(line, said.get("name", ""), row))
        else:
            rows.append(row)
    return _gathered(mix, rows, aside, mapped, heads, known, len(lines) - 1, demonstration)


def _lines(text: str) -> list[tuple[int, list[str]]]:
    """The rows that are not blank, with their line in the file."""
    reader = csv.reader(io.StringIO(text.lstrip("\ufeff")), strict=True)
    try:
        lines = [(reader.line_num, row) for row in reader if any(cell.strip() for cell in row)]
    except csv.Error as error:
        what = f"line {reader.line_num}: {error}"
        raise UnansweredError([_fault("unreadable", what, "", "save it as CSV")]) from None
    if not 2 <= len(lines) <= MOST_ROWS:
        what = "a heading line and at least one row are needed" if len(lines) < 2 else "these are too many rows"
        raise UnansweredError([_fault("unreadable", what, str(len(lines)), f"give 1 to {MOST_ROWS} rows")])
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
            remedy = f'say so, for example: --column "{column.field}={column.heading}:{unit}"'
            what = f"in which unit is the column {column.heading}?"
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
        name = re.sub(r"[^a-z]+", "_", head.lower()).strip("_")
        if name in FIELDS and name not in found and head not in {c.heading for c in found.values()}:
            found[name] = Column(name, head)
    faults.extend(
        _fault("fields-conflict", f"several columns have the heading {c.heading}", c.heading, "give each its own")
        for c in found.values()
        if list(heads).count(c.heading) > 1
    )
    if "name" not in found:
        remedy = f"say which column names the car: --column name=HEADING, one of {listed(map(repr, heads))}"
        faults.append(_fault("missing-field", "no column names the cars", "", remedy))
    with_units = []
    for column in found.values():
        if column.field in LENGTHS or column.field == "mass":
            column = Column(column.field, column.heading, column.unit or (unit if column.field in LENGTHS else ""))
            faults.extend(_unit_faults(column))
        with_units.append(column)
    if faults:
        raise UnansweredError(faults)
    return tuple(with_units)


def _given(text: str, heads: Sequence[str], faults: list[Fault]) -> Column | None:
    name, equals, rest = text.partition("=")
    name = name.strip().lower().replace(" ", "_")
    heading, unit = (rest.strip(), "") if rest.strip() in heads else map(str.strip, rest.rpartition(":")[::2])
    if not equals or name not in FIELDS:
        near = nearest(name, FIELDS)
        remedy = f"did you mean {near}?" if near and equals else f"write FIELD=HEADING, a field being {listed(FIELDS)}"
        faults.append(_fault("unknown-field", "no column can mean this", text, remedy))
        return None
    if heading not in heads:
        near = nearest(heading or rest, heads)
        remedy = f"did you mean {near}?" if near else f"the headings are: {', '.join(heads)}"
        faults.append(_fault("unknown-reference", "the table has no such heading", text, remedy))
        return None
    return Column(name, heading, unit)


def _unit_faults(column: Column) -> Iterator[Fault]:
    """The unit must be one, if there is any; a column without is asked for one only where its numbers are bare."""
    if column.unit:
        try:
            _measure(column.field, f"1 {column.unit}")
        except RefusedError as refused:
            yield _fault(refused.code, refused.what, column.unit, refused.remedy)


def _measure(name: str, text: str) -> float:
    return parse_mass(text) if name == "mass" else parse_length(text)


def _row(line: int, said: Mapping[str, str], columns: Sequence[Column], known: Shop) -> _Row | str:
    """One row; or why it cannot be meant."""
    name = said.get("name", "")
    if not name:
        return "it names no car"
    count = said.get("count", "") or "1"
    if not re.fullmatch(r"[0-9]{1,9}(\.[0-9]{1,6})?", count) or float(count) == 0.0:
        return f"its count is no number above 0: {count}"
    if name in known.vehicles:
        return _Row(line, name, float(count), ())
    fields: dict[str, object] = {}
    for column in columns:
        text = said.get(column.field, "")
        if not text or column.field in ("name", "count"):
            continue
        if column.field in LENGTHS or column.field == "mass":
            text = f"{text} {column.unit}" if BARE.fullmatch(text) else text
            why = _implausible(column, text)
            if why:
                return why
            fields[column.field] = text
        elif column.field == "sensors":
            fields["sensors"] = [{"kind": kind.strip()} for kind in text.split(";") if kind.strip()]
        else:
            fields[column.field] = int(text) if column.field == "years" and text.isdecimal() else text
    lacking = [f for f in NEEDED if f not in fields]
    if lacking:
        return f"it lacks {listed(lacking)}, and the shop folder has no such car"
    return _document_faults(name, fields) or _Row(line, name, float(count), tuple(fields.items()))


def _implausible(column: Column, text: str) -> str:
    try:
        value = _measure(column.field, text)
    except RefusedError as refused:
        return f"its {column.field}: {refused.what.code}"
    low, high = PLAUSIBLE_KG if column.field == "mass" else PLAUSIBLE_M[column.field]
    if low <= value <= high:
        return ""
    unit = "kg" if column.field == "mass" else "m"
    return f"its {column.field} of {text} is beyond what road cars have ({low:g} to {high:g} {unit})"


def _document_faults(name: str, fields: Mapping[str, object]) -> str:
    """What a vehicle document of this row would be refused for."""
    read = read_document(_vehicle(name, fields, False), name)
    return "; ".join(
        f"{f.field or 'the row'}: {f.what if isinstance(f.what, str) else f.what.code}" for f in read.faults
    )


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
            why = f"line {before.line} gives this car other dimensions: give the two different names"
            aside.append(Aside(row.line, row.name, why))
        else:
            counts.setdefault(row.name, []).append(row.count)
    if not counts:
        told = "; ".join(f"line {a.line}: {a.why}" for a in aside[:3])
        raise UnansweredError([_fault("nothing-to-ask", "no row of the table counts", told, "mend the rows or units")])
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


def _notes(aside: Iterable[Aside], count: int) -> Iterator[str]:
    """Where a column sets many rows aside, its unit is doubtful."""
    by_field: dict[str, int] = {}
    for one in aside:
        found = re.match(r"its ([a-z_]+) of ", one.why)
        if found:
            by_field[found[1]] = by_field.get(found[1], 0) + 1
    for name, rows in by_field.items():
        if rows * 2 > count:
            yield f"{rows} of {count} rows have an implausible {name}: look whether its unit is right"


def _fault(code: str, what: Note, value: str, remedy: Note) -> Fault:
    return Fault(code, what, "", "--column", value, remedy)
