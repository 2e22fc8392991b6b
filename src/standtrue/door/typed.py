"""Writes the types of the documents' fields from their schemas: `python -m standtrue.door.typed`.

They stand in `fields.py`, for editors and type checkers alone: nothing loads it while a program runs.
"""

from __future__ import annotations

import json
from collections.abc import Collection, Iterator, Mapping
from pathlib import Path
from typing import Any

from standtrue.work.shop.reference import document_schemas

FILE = Path(__file__).with_name("fields.py")

HEAD = '''"""Made by `python -m standtrue.door.typed`."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Required, TypedDict

from numpy.typing import NDArray

from standtrue.door.nouns import Document

Row = Sequence[Any] | NDArray[Any]

'''

NAMES = ("type", "site", "vehicle", "job", "mix", "procedure", "sites", "procedures", "lift_types")
"""Fields that name other documents: these may stand there themselves."""

OURS = ("kind", "schema", "name")
"""What the noun writes."""


def fields_text() -> str:
    """The whole of `fields.py`."""
    parts = [HEAD.rstrip("\n") + "\n"]
    for kind, text in sorted(document_schemas().items()):
        schema = json.loads(text)
        properties = {k: v for k, v in schema["properties"].items() if k not in OURS}
        parts.append(_typed(f"{kind.title()}Fields", properties, schema.get("required", ())))
    return "\n\n".join(parts)


def _typed(name: str, properties: Mapping[str, Mapping[str, Any]], required: Collection[str]) -> str:
    lines = [f"class {name}(TypedDict, total=False):"]
    for field, told in sorted(properties.items()):
        kind = _type(field, told)
        lines.append(f"    {field}: {f'Required[{kind}]' if field in required else kind}")
    return "\n".join(lines) + "\n"


def _type(field: str, told: Mapping[str, Any]) -> str:
    """What a field takes. Tables within are mappings: what stands in them is looked at when the document is made."""
    kinds = dict.fromkeys(_kinds(told))
    if field in NAMES:
        kinds["Document"] = None
    return " | ".join(sorted(kinds, key=lambda kind: (kind == "None", kind)))


def _kinds(told: Mapping[str, Any]) -> Iterator[str]:
    for one in told.get("anyOf", ()):
        yield from _kinds(one)
    types = told.get("type", ())
    for kind in [types] if isinstance(types, str) else types:
        yield _KINDS[kind]
    if "$ref" in told:
        yield _KINDS["object"]
    if "enum" in told and not types:
        yield "str"
    if "const" in told:
        yield type(told["const"]).__name__


_KINDS = {
    "string": "str",
    "number": "float",
    "integer": "int",
    "boolean": "bool",
    "array": "Row",
    "object": "Mapping[str, Any]",
    "null": "None",
}


if __name__ == "__main__":
    FILE.write_text(fields_text(), encoding="utf-8")
