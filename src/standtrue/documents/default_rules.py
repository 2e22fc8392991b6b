"""The default rules: a document that comes with the program, read like any other."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib import resources

from standtrue.documents.marks import digest
from standtrue.documents.reading import read_document
from standtrue.documents.rules import RulesForm, to_rules
from standtrue.model.rules import Rules

FILE = "default-rules.toml"


@cache
def default_rules_text() -> str:
    """The document as it is written, for a shop to copy and change."""
    return (resources.files("standtrue.documents") / FILE).read_text(encoding="utf-8")


@cache
def default_rules_digest() -> str:
    """The digest of the default rules, by which a folder's own copy of them is known."""
    return digest(tomllib.loads(default_rules_text()))


@cache
def default_rules() -> Rules:
    """The rules that count where a shop folder has no rules document of its own: common practice, no source."""
    document = read_document(tomllib.loads(default_rules_text()), FILE)
    assert isinstance(document.form, RulesForm), document.faults
    return to_rules(document.form)
