"""The reference of documents for people, made of their schemas: Markdown in US English, like all of `docs/`."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from standtrue.model.reason import Angle, Duration, Length, Light, Number, Speed
from standtrue.show.words.reader import ENGLISH

Schema = Mapping[str, Any]

_HEAD = """# Documents

A shop is a folder of text files. Each file is one document: a room, a lift, a car, a card, an order. `kind` and `name`
say what it is; the file may be called anything that ends in `.toml`. `standtrue new FOLDER` writes one of each to start
from, and `standtrue read FOLDER` says what it understood, what is wrong, and what can hardly be meant.

How values are written:

- **Lengths** are numbers in the document's own `units`, or quoted with a unit: `"2450 mm"`, `"9 ft 6 1/2 in"`.
- **Angles** are degrees, **masses** kilograms, **durations** minutes, **speeds** meters a second, **light** lux; or
  quoted with a unit: `"4200 lb"`, `"40 s"`, `"1 h 30 min"`, `"25 mph"`.
- **A range** is `[low, high]`. **A point** is `[x, y]`: x to the right and y up on the plan; at a car, x ahead, y left.
- **An outline** is a list of corners in order, `[[0, 0], [4, 0], [4, 3]]`, or `box = [0, 0, 4, 3]`, or
  `circle = [x, y, r]`.
- **Text** stands in straight quotes. Text for people may be given in both languages:
  `{ en = "drain", es = "drenaje" }`.
- **A table** is `[gaps]` with its fields below it; of several things of a kind, each begins with `[[doors]]`.
- What stands behind `#` is a remark.
"""

_KINDS = {
    "site": "A room and everything in it.",
    "lift": "A type of lift, in its own frame.",
    "vehicle": "A car and its sensors, in its own frame: x ahead and y left, from under the middle of the rear axle.",
    "procedure": "A card: one calibration, transcribed from the vehicle maker's own current service information.",
    "rules": "What calls for which calibration. Without such a document the default rules count.",
    "job": "A repair order: the car, what was done to it, what is still to do.",
    "mix": "Which cars the shop sees, and how often. `standtrue mix` makes one of a table.",
    "study": "What a year of orders asks of a room.",
    "survey": "How level the floor is, point by point.",
    "setup": "One card set up for one job: what it is measured with, and what was read.",
}

_QUANTITIES: Mapping[str, Any] = {
    "A length": ("a length", Length),
    "An angle": ("an angle", Angle),
    "A mass": ("a mass", None),
    "A duration": ("a duration", Duration),
    "A speed": ("a speed", Speed),
    "A light": ("light", Light),
}
_TYPES = {"string": "text", "boolean": "true or false", "integer": "a whole number", "number": "a number"}


def documents_page(schemas: Mapping[str, Schema], meanings: Mapping[str, Schema], examples: Mapping[str, str]) -> str:
    """Each kind of document: what it is, an example, and every field of it."""
    parts = [_HEAD]
    for kind, schema in schemas.items():
        parts.append(f"## {kind}\n\n{_KINDS[kind]}\n\n```toml\n{examples[kind].strip()}\n```\n")
        parts.extend(_sections(kind, schema, meanings))
    return "\n".join(parts).rstrip() + "\n"


def meaning_of(form: str, field: str, meanings: Mapping[str, Schema]) -> str:
    """What a field of a form means. Raises KeyError for one of which nothing is said."""
    own = meanings.get(form, {})
    return str(own[field] if field in own else meanings["*"][field])


def _sections(kind: str, schema: Schema, meanings: Mapping[str, Schema]) -> Iterator[str]:
    """A table of the fields of each form, the document's own first."""
    yield _table(kind, schema, meanings)
    seen = {kind}
    waiting = list(_below("", schema, schema))
    while waiting:
        header, name, form = waiting.pop(0)
        if name not in seen:
            seen.add(name)
            yield f"### {header}\n\n{_table(name, form, meanings)}"
            waiting[:0] = _below(header.strip("`[]") + ".", form, schema)


def _below(at: str, form: Schema, schema: Schema) -> Iterator[tuple[str, str, Schema]]:
    """The forms of the tables in a form: how their section is headed, and which they are."""
    for field, value in form["properties"].items():
        for name, several in _forms(value):
            brackets = ("[[", "]]") if several else ("[", "]")
            yield f"`{brackets[0]}{at}{field}{brackets[1]}`", name, schema["$defs"][name]


def _forms(value: Schema, several: bool = False) -> Iterator[tuple[str, bool]]:
    if "$ref" in value:
        yield value["$ref"].rpartition("/")[2], several
    for part in value.get("anyOf", ()):
        yield from _forms(part, several)
    if isinstance(value.get("items"), Mapping):
        yield from _forms(value["items"], True)


def _table(form: str, schema: Schema, meanings: Mapping[str, Schema]) -> str:
    lines = ["| field | what it means | how it is written | without it |", "|---|---|---|---|"]
    needed = schema.get("required", ())
    for field, value in schema["properties"].items():
        means = meaning_of(form, field, meanings)
        without = "needed" if field in needed else _default(value)
        lines.append(f"| `{field}` | {means} | {_written(value)} | {without} |")
    return "\n".join(lines) + "\n"


def _written(value: Schema) -> str:
    """How a value is written, in words."""
    ways = dict.fromkeys(way for way in _ways(value) if way)
    return " or ".join(ways).replace("|", "\\|")


def _ways(value: Schema) -> Iterator[str]:
    if "const" in value:
        yield f"`{value['const']}`" if isinstance(value["const"], int) else f'`"{value["const"]}"`'
    elif "$ref" in value:
        yield "a table"
    elif "enum" in value:
        yield ", ".join(f"`{word}`" for word in value["enum"])
    elif "anyOf" in value:
        either = any(_quantity(part) or part.get("type") == "number" for part in value["anyOf"])
        for part in value["anyOf"]:
            yield from ("`[low, high]`",) if either and part.get("type") == "array" else _ways(part)
    elif quantity := _quantity(value):
        yield quantity[0]
    elif value.get("type") == "array":
        yield _listed(value)
    elif value.get("type") == "object":
        yield "a table"
    else:
        types = value.get("type", ())
        yield from (_TYPES.get(one, "") for one in ([types] if isinstance(types, str) else types))


def _listed(value: Schema) -> str:
    """A list: of so many values, or of as many as there are."""
    count = value.get("minItems")
    if count is not None and count == value.get("maxItems"):
        told = str(value.get("description", "[x, y]"))
        return f"`{told[told.index('[') :].rstrip('.')}`"
    items = value.get("items", {})
    if "$ref" in items or any("$ref" in part for part in items.get("anyOf", ())):
        return "tables in `[[ ]]`"
    inner = " or ".join(dict.fromkeys(_ways(items)))
    return f"a list of: {inner}" if inner else "a list"


def _quantity(value: Schema) -> tuple[str, Any] | None:
    told = str(value.get("description", "")).partition(":")[0]
    return _QUANTITIES.get(told)


def _default(value: Schema) -> str:
    """What counts where a field is left out; "" for nothing."""
    found = value.get("default")
    if isinstance(found, bool):
        return "`true`" if found else "`false`"
    if found is None or found in ("", [], {}) or isinstance(found, Mapping):
        return ""
    values = found if isinstance(found, list) else [found]
    kinds = [quantity[1] for quantity in _quantities(value)]
    if kinds and kinds[0] is not None and all(isinstance(one, (int, float)) for one in values):
        said = dict.fromkeys(ENGLISH.write(kinds[0](float(one))) for one in values)
    else:
        said = dict.fromkeys(ENGLISH.write(Number(one)) if isinstance(one, float) else str(one) for one in values)
    return " to ".join(said) if len(said) == 2 else ", ".join(said)


def _quantities(value: Schema) -> Iterator[tuple[str, Any]]:
    quantity = _quantity(value)
    if quantity:
        yield quantity
    for part in value.get("anyOf", ()):
        yield from _quantities(part)
