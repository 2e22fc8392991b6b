"""The JSON Schemas of the documents, written from the forms."""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import Any

from standtrue.documents.kinds import KINDS

DIALECT = "https://json-schema.org/draft/2020-12/schema"


def json_schemas() -> dict[str, dict[str, Any]]:
    """The JSON Schema of each kind of document, by kind.

    A schema knows the program's own spellings; the reader takes other spellings too, and checks more.
    """
    return {kind: _schema(kind) for kind in KINDS}


def _schema(kind: str) -> dict[str, Any]:
    schema = KINDS[kind].form.model_json_schema(by_alias=True)
    schema["properties"]["kind"] = {"const": kind}
    schema["properties"]["name"]["description"] = f"Unique among the {kind} documents of a shop folder."
    return {"$schema": DIALECT, **schema, "title": kind}


def write_schemas(folder: str | os.PathLike[str]) -> tuple[Path, ...]:
    """Write `KIND.json` for each kind into a folder (made if need be); returns the files written."""
    root = Path(folder)
    root.mkdir(parents=True, exist_ok=True)
    files = []
    for kind, schema in json_schemas().items():
        file = root / f"{kind}.json"
        file.write_text(schema_text(schema), encoding="utf-8")
        files.append(file)
    return tuple(files)


def schema_text(schema: dict[str, Any]) -> str:
    """A schema as it stands in its file."""
    return json.dumps(schema, indent=2, sort_keys=True, ensure_ascii=False, default=_plain) + "\n"


def _plain(value: object) -> object:
    return list(value) if isinstance(value, tuple) else str(value)
