"""What must hold between the documents of a folder: names once, and what one names is there. One mistake, one fault."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from standtrue.documents.called import Contents, Unknown, near_skills, unknown_names
from standtrue.documents.faults import nearest, path_text
from standtrue.documents.kinds import KINDS
from standtrue.documents.leaves import holds_divider
from standtrue.documents.parts import Path
from standtrue.documents.reading import Document, Report, locate
from standtrue.model.basics import Fault
from standtrue.model.reason import Reason, because

MOST_NAMED = 6
"""How many documents are offered instead of one that is not there."""

Faults = dict[str, list[Fault]]


def check_names(documents: list[Document], faults: Faults) -> None:
    """A name stands once within its kind."""
    first: dict[tuple[str, str], str] = {}
    for document in documents:
        if document.mark is None:
            continue
        key = (document.mark.kind, document.mark.name)
        if key in first:
            what = because("name-taken", file=first[key], kind=key[0])
            _tell(document, faults, ("name",), "name-repeated", what, because("give-another-name"))
        first.setdefault(key, document.file)


def check_references(documents: list[Document], faults: Faults) -> None:
    """What a document names is in the folder. A name that several ask for in vain is one fault, at the first of them.

    A document whose kind or name cannot be told may be the one that is meant: then only a name that is nearly one of
    those that are there is told.
    """
    known = _known(documents)
    _name_once(documents, known, faults)
    lost = [d.head.get("kind") for d in documents if d.mark is None and d.faults and "name" not in d.head]
    asked: dict[tuple[str, str], list[tuple[Document, Path]]] = {}
    for document in documents:
        for path, kind, name in _references(document):
            told = any(fault.field == path_text(path) for fault in faults[document.file])
            if not told and name not in known.get(kind, ()) and name not in known.get("", ()):
                asked.setdefault((kind, name), []).append((document, path))
    for (kind, name), places in asked.items():
        near = nearest(name, known.get(kind, ()))
        if (near is None and (None in lost or kind in lost)) or holds_divider(near or ""):
            continue
        document, path = places[0]
        others = tuple(dict.fromkeys(d.file for d, _ in places if d is not document))
        there = tuple(known.get(kind, ())[:MOST_NAMED])
        remedy = because("add-or-name-document", near=near, kind=kind, there=there)
        what = _for_several(because("no-document-of-that-name", kind=kind), others)
        _tell(document, faults, path, "unknown-reference", what, remedy)
    _tell_called(documents, faults, "unknown-reference", unknown_names)


def near_skills_of(documents: list[Document]) -> Faults:
    """The skills that nobody has and somebody nearly has."""
    doubts: Faults = {document.file: [] for document in documents}
    _tell_called(documents, doubts, "skill-unknown", near_skills)
    return doubts


def _name_once(documents: list[Document], known: dict[str, list[str]], faults: Faults) -> None:
    """A name that holds what divides names is told where it is a document's own, not where others ask for it."""
    for document in documents:
        asked = {
            path_text(path)
            for path, kind, name in _references(document)
            if holds_divider(name) and name in known.get(kind, ())
        }
        faults[document.file] = [fault for fault in faults[document.file] if fault.field not in asked]


def _tell_called(
    documents: list[Document],
    faults: Faults,
    code: str,
    find: Callable[[str, dict[str, Any], Contents], Iterator[Unknown]],
) -> None:
    """What documents call by a name that nothing bears: one that several call in vain is told once, at the first."""
    contents = [(d.mark.kind, d.content) for d in documents if d.mark is not None]
    asked: dict[tuple[str, str], list[tuple[Document, Path, Reason, Reason]]] = {}
    for document in documents:
        if document.mark is not None:
            for path, what, remedy in find(document.mark.kind, document.content, contents):
                _, name, _ = locate(document.content, path)
                asked.setdefault((what.code, str(name)), []).append((document, path, what, remedy))
    for places in asked.values():
        document, path, what, remedy = places[0]
        others = tuple(dict.fromkeys(d.file for d, *_ in places if d is not document))
        _tell(document, faults, path, code, _for_several(what, others), remedy)


def _for_several(what: Reason, files: tuple[str, ...]) -> Reason:
    """The same, with the other files that ask for it."""
    return because("asked-for-by-several", what=what, files=files) if files else what


def _known(documents: list[Document]) -> dict[str, list[str]]:
    """The names that are there by kind; under "" those whose kind cannot be told."""
    known: dict[str, list[str]] = {}
    for document in documents:
        head = document.head if document.mark is None else {"kind": document.mark.kind, "name": document.mark.name}
        if "name" in head:
            kind = head.get("kind", "")
            known.setdefault(kind if kind in KINDS else "", []).append(head["name"])
    return known


def _references(document: Document) -> Iterator[tuple[Path, str, str]]:
    """Where a document names another that must be in the folder, whether or not it is sound itself."""
    kind = KINDS.get(document.mark.kind) if document.mark else None
    for path, target, name in kind.references(document.content) if kind else ():
        if isinstance(name, str) and name.strip():
            yield path, target, name.strip()


def _tell(document: Document, faults: Faults, path: Path, code: str, what: Reason, remedy: Reason) -> None:
    report = Report(document.file, document.content)
    report(path, code, what, remedy)
    faults[document.file].extend(report.faults)
