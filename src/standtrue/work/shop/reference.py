"""What the reference tells of documents: their schemas, the estimated dimensions, the default rules."""

from __future__ import annotations

from typing import Any

from standtrue.documents import default_rules_text, json_schemas, load_text, starter_files
from standtrue.documents.estimate import ESTIMATES, Estimate
from standtrue.documents.schemas import form_schemas, meanings, schema_text

__all__ = [
    "default_rules_text",
    "document_examples",
    "document_forms",
    "document_schemas",
    "estimates",
    "meanings",
    "schema_text",
]

RULES_SHOWN = 2


def document_schemas() -> dict[str, str]:
    """The JSON Schema of each kind of document, as text."""
    return {kind: schema_text(schema) for kind, schema in json_schemas().items()}


def document_forms() -> dict[str, dict[str, Any]]:
    """The JSON Schema of each kind of document, without what its fields mean."""
    return form_schemas()


def document_examples() -> dict[str, str]:
    """A short document of each kind, with remarks: those that a new shop begins with; of rules the first ones."""
    found: dict[str, str] = {}
    for text in starter_files().values():
        kind = load_text(text, "x.toml").mark
        if kind is not None:
            found.setdefault(kind.kind, text)
    head, *rules = found["rules"].split("[[rules]]")
    return {**found, "rules": "[[rules]]".join((head, *rules[:RULES_SHOWN])).rstrip() + "\n"}


def estimates() -> tuple[Estimate, ...]:
    """The rules that stand in for dimensions that a vehicle document leaves out."""
    return tuple(ESTIMATES)
