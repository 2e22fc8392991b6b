"""The mark of a document: what it is called, and the digest of what it says."""

from __future__ import annotations

import hashlib
import json
from typing import Any

from standtrue.model.basics import DocumentMark


def mark_of(kind: str | None, content: dict[str, Any]) -> DocumentMark | None:
    """The mark, if kind and name can be told."""
    name = content.get("name")
    if kind is None or not isinstance(name, str) or not name.strip():
        return None
    source = content.get("source")
    invented = isinstance(source, dict) and kind == "procedure" and source.get("status") == "demonstration"
    return DocumentMark(kind, name.strip(), digest(content), invented or content.get("demonstration") is True)


def digest(content: object) -> str:
    """The SHA-256 of the canonical JSON of a document's content: keys sorted, whole floats as integers."""
    text = json.dumps(_canonical(content), sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()


def _canonical(value: object) -> object:
    if isinstance(value, dict):
        return {key: _canonical(item) for key, item in value.items()}
    if isinstance(value, list):
        return [_canonical(item) for item in value]
    if isinstance(value, float) and value.is_integer() and abs(value) < 2**53:
        return int(value)
    if isinstance(value, int) and not isinstance(value, bool) and abs(value) > 2**64:
        return hex(value)  # beyond what JSON readers agree on, and slow to write out in decimal
    if value is None or isinstance(value, (str, int, float)):
        return value
    isoformat = getattr(value, "isoformat", None)
    return isoformat() if isoformat else str(value)
