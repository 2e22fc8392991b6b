"""The reference of documents for people: every field has a meaning, every example is a document."""

from __future__ import annotations

import re

import pytest

from standtrue.cli.reference import reference
from standtrue.documents import KINDS, load_text
from standtrue.documents.schemas import form_schemas, meanings

PAGE = reference()["documents.md"]
FIELDS = {
    (form, field)
    for kind, schema in form_schemas().items()
    for form, table in ((kind, schema), *schema.get("$defs", {}).items())
    for field in table.get("properties", {})
}


def test_every_field_of_every_document_has_a_meaning_and_none_is_left_over() -> None:
    found = {(form, field) if field in meanings().get(form, {}) else ("*", field) for form, field in FIELDS}
    written = {(form, field) for form, fields in meanings().items() for field in fields}
    assert found == written


@pytest.mark.parametrize("kind", list(KINDS))
def test_the_example_of_each_kind_is_a_document_of_it(kind: str) -> None:
    section = PAGE.partition(f"\n## {kind}\n")[2].partition("\n## ")[0]
    (example,) = re.findall(r"```toml\n(.*?)```", section, re.DOTALL)
    document = load_text(example, "example.toml")
    assert document.faults == ()
    assert document.mark is not None
    assert document.mark.kind == kind
    assert "# " in example, "an example says what it does"


def test_the_page_offers_only_kinds_that_are_read() -> None:
    kinds = re.findall(r"^## (.+)$", PAGE, re.MULTILINE)
    assert kinds == list(KINDS)
    assert "case" not in kinds


def test_defaults_are_told_as_people_write_them() -> None:
    assert "| `body` | Between a car's body or mirrors and any thing. | a length | 50 mm |" in PAGE
    assert re.search(r"`turn_back` .* \| a duration or `\[low, high\]` \| 4 s to 12 s \|", PAGE)
    assert re.search(r"`from` .* \| `\[x, y\]` \| needed \|", PAGE)
