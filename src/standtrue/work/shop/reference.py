"""What the reference tells of documents: their schemas, the estimated dimensions, the default rules."""

from __future__ import annotations

from standtrue.documents import default_rules_text, json_schemas
from standtrue.documents.estimate import ESTIMATES, Estimate
from standtrue.documents.schemas import schema_text

__all__ = ["default_rules_text", "document_schemas", "estimates", "schema_text"]


def document_schemas() -> dict[str, str]:
    """The JSON Schema of each kind of document, as text."""
    return {kind: schema_text(schema) for kind, schema in json_schemas().items()}


def estimates() -> tuple[Estimate, ...]:
    """The rules that stand in for dimensions that a vehicle document leaves out."""
    return tuple(ESTIMATES)
