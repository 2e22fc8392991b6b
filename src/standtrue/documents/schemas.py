"""The JSON Schemas of the documents, written from the forms."""

from __future__ import annotations

import json
import tomllib
from functools import cache
from importlib import resources
from typing import Any

from standtrue.documents.kinds import KINDS

DIALECT = "https://json-schema.org/draft/2020-12/schema"


def json_schemas() -> dict[str, dict[str, Any]]:
    """The JSON Schema of each kind of document, by kind.

    A schema knows the program's own spellings; the reader takes other spellings too, and checks more.
    """
    return {kind: _told(kind, schema) for kind, schema in form_schemas().items()}


def form_schemas() -> dict[str, dict[str, Any]]:
    """The same without what the fields mean."""
    return {kind: _schema(kind) for kind in KINDS}


@cache
def meanings() -> dict[str, dict[str, str]]:
    """What each field means, by kind or form; under `*` what one means wherever nothing else is said of it."""
    found = tomllib.loads((resources.files("standtrue.documents") / "meanings.toml").read_text(encoding="utf-8"))
    return {**found, "PlacedLiftForm": {**found["lift"], **found["PlacedLiftForm"]}}


def _told(kind: str, schema: dict[str, Any]) -> dict[str, Any]:
    """A schema with what each field means in front of how it is written."""
    for form, table in ((kind, schema), *schema.get("$defs", {}).items()):
        for field, value in table.get("properties", {}).items():
            means = meanings().get(form, {}).get(field) or meanings()["*"][field]
            value["description"] = " ".join(filter(None, (means, value.get("description"))))
    return schema


def _schema(kind: str) -> dict[str, Any]:
    schema = KINDS[kind].form.model_json_schema(by_alias=True)
    schema["properties"]["kind"] = {"const": kind}
    return {"$schema": DIALECT, **schema, "title": kind}


def schema_text(schema: dict[str, Any]) -> str:
    """A schema as it stands in its file."""
    return json.dumps(schema, indent=2, sort_keys=True, ensure_ascii=False, default=_plain) + "\n"


def _plain(value: object) -> object:
    return list(value) if isinstance(value, tuple) else str(value)
