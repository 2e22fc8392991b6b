"""One document, read: its mark, its faults, and its form if there are none.

Reading looks twice at a faulty document. The first look finds what is wrong with single values; the second,
with those values set aside, what is wrong between the others. So one reading reports all of it.
"""

from __future__ import annotations

import copy
import re
from collections.abc import Iterator, Mapping
from difflib import SequenceMatcher
from typing import Any
from unicodedata import category

from attrs import define, evolve, field, frozen
from pydantic import ValidationError

from standtrue.documents.faults import nearest, path_text, type_name, value_text
from standtrue.documents.findings import errors_of, findings, path_of
from standtrue.documents.kinds import KINDS, OTHER_KINDS, OTHER_NAMES
from standtrue.documents.leaves import BROKEN, Context
from standtrue.documents.marks import mark_of
from standtrue.documents.parts import DocumentForm, Kind, Path
from standtrue.documents.quantities import unit_called
from standtrue.documents.words import american_field
from standtrue.model.basics import DocumentMark, Fault
from standtrue.model.reason import Reason, Term, because

DEEPEST = 32
SURELY = 0.8
"""How alike a mistyped kind and another are that was surely meant."""

MOST_FAULTS = 200
"""How many faults of one document are reported; a document with more is of another kind."""


@frozen
class Document:
    """One file, read. `mark` is None where kind or name could not be told; `form` where there are faults.

    `doubts` are what stands in it and cannot be meant. `head` is what can be told of the kind and the name of one
    without a mark. `source` is the file byte for byte, where it was read from one.
    """

    file: str
    mark: DocumentMark | None
    faults: tuple[Fault, ...] = ()
    doubts: tuple[Fault, ...] = ()
    form: DocumentForm | None = None
    content: dict[str, Any] = field(factory=dict, eq=False, repr=False)
    head: Mapping[str, str] = field(factory=dict, eq=False)
    source: bytes = field(default=b"", eq=False, repr=False)


@define
class Report:
    """The faults of one document, each place and code once."""

    file: str
    content: object
    found: dict[tuple[str, str], Fault] = field(factory=dict)

    def __call__(self, path: Path, code: str, what: Reason, remedy: Reason) -> None:
        shown, value, there = locate(self.content, path)
        key = (code, path_text(shown))
        if key not in self.found and len(self.found) < MOST_FAULTS:
            self.found[key] = Fault(code, what, self.file, key[1], value_text(value) if there else "", remedy)

    @property
    def faults(self) -> tuple[Fault, ...]:
        """In the order of the file's own fields; what is missing from the file comes last."""
        order = {key: i for i, key in enumerate(self.content)} if isinstance(self.content, dict) else {}
        return tuple(sorted(self.found.values(), key=lambda fault: order.get(_top(fault.field), len(order))))


def _top(field_path: str) -> str:
    return re.split(r"[.\[]", field_path, maxsplit=1)[0]


def locate(content: object, path: Path) -> tuple[Path, object, bool]:
    """A path as the file spells it, as far as the file goes; the value there; and whether it goes to the end.

    One missing field at the end is part of the path, though nothing stands there.
    """
    at, shown = content, list[str | int]()
    for depth, part in enumerate(path):
        key: str | int | None = part
        if isinstance(at, dict) and isinstance(part, str):
            key = part if part in at else next((k for k in at if american_field(str(k)) == part), None)
            if key is None:
                return ((*shown, part), None, False) if depth == len(path) - 1 else (tuple(shown), at, True)
            at = at[key]
        elif isinstance(at, list) and isinstance(part, int) and part < len(at):
            at = at[part]
        else:
            return (tuple(shown), at, True)
        shown.append(part if key is None else key)
    return (tuple(shown), at, True)


def read_document(data: object, file: str) -> Document:
    """Read one document from the tables and lists that its TOML or JSON holds; `file` is only named in faults."""
    report = Report(file, data)
    if not isinstance(data, dict):
        what = because("stands-where-asked", found=type_name(data), asked=Term("a document"))
        report((), "wrong-type", what, because("write-document-head"))
        return Document(file, None, report.faults)
    if _too_deep(data):
        report = Report(file, {})
        report((), "too-deep", because("nested-deeper-than", most=DEEPEST), because("write-flatter"))
        return Document(file, None, report.faults)
    content = _tidy(data, (), report)
    kind = _kind(content, report)
    mark = mark_of(kind, content)
    if kind is None or kind in OTHER_KINDS:
        if kind is not None and mark is None:
            _plain_name(content, report)
        head = {"name": mark.name} if (mark := mark_of(kind or "?", content)) is not None else {}
        told = Document(file, None if kind is None else mark, report.faults, (), None, content, head)
        return told if kind is None or report.faults else evolve(told, doubts=(_unused(file, kind),))
    form = _read(KINDS[kind], content, report)
    return Document(file, mark, report.faults, (), None if report.faults else form, content)


def _unused(file: str, kind: str) -> Fault:
    """A kind of document that is known, and not read."""
    return Fault(
        "kind-not-used", because("kind-not-used", kind=kind), file, "kind", kind, because("leave-it-for-later")
    )


def _too_deep(data: object) -> bool:
    level = [data]
    for _ in range(DEEPEST):
        level = [item for at in level for item in _children(at) if isinstance(item, (dict, list))]
        if not level:
            return False
    return True


def _children(at: object) -> Iterator[object]:
    if isinstance(at, dict):
        yield from at.values()
    elif isinstance(at, list):
        yield from at


def _tidy(data: object, path: Path, report: Report) -> Any:
    """The content with field names in the program's spelling; bad text is reported on the way."""
    if isinstance(data, dict):
        tidy: dict[str, Any] = {}
        for key, value in data.items():
            name = american_field(key) if isinstance(key, str) else str(key)
            _plain_text(name, (*path, key), report)
            if name in tidy:
                what = because("field-in-two-spellings", field=name)
                report((*path, key), "field-repeated", what, because("keep-one-of-two"))
            tidy[name] = _tidy(value, (*path, key), report)
        return tidy
    if isinstance(data, list):
        return [_tidy(item, (*path, i), report) for i, item in enumerate(data)]
    if isinstance(data, str) and not data.isprintable():
        _plain_text(data, path, report)
    return data


def _plain_text(text: str, path: Path, report: Report) -> None:
    if any(category(c) == "Cc" and c not in "\n\r\t" for c in text):
        report(path, "control-character", because("text-holds-control-character"), because("take-it-out"))
    if any("\ud800" <= c <= "\udfff" for c in text):
        report(path, "not-utf8", because("text-holds-half-a-character"), because("write-text-again"))


def _kind(content: dict[str, Any], report: Report) -> str | None:
    """The kind of a document; where it is mistyped, the nearest one, so that the rest can be read as that."""
    kind, near = content.get("kind"), None
    said = kind.strip().lower() if isinstance(kind, str) else ""
    if said in KINDS or said in OTHER_KINDS:
        return said
    if "kind" not in content:
        code, what = "missing-field", because("kind-missing")
    elif not isinstance(kind, str):
        code, what = "wrong-type", because("stands-where-asked", found=type_name(kind), asked=Term("a kind"))
    else:
        code, what, near = "kind-unknown", because("kind-unknown"), OTHER_NAMES.get(said) or nearest(said, KINDS)
    if kind is not BROKEN:
        report(("kind",), code, what, because("write-one-of", near=near, words=tuple(KINDS)))
    return near if said in OTHER_NAMES or (near and SequenceMatcher(None, said, near).ratio() > SURELY) else None


def _plain_name(content: dict[str, Any], report: Report) -> None:
    if "name" not in content:
        report(("name",), "missing-field", because("document-without-name"), because("write-unique-name"))
    else:
        report(("name",), "wrong-type", because("name-no-text"), because("write-name-in-quotes"))


# The two looks


def _read(kind: Kind, content: dict[str, Any], report: Report) -> DocumentForm | None:
    context = Context(unit_called(content.get("units")))
    try:
        form = kind.form.model_validate(content, context=context)
    except ValidationError as errors:
        for path, code, what, remedy in findings(errors, kind.form):
            report(path, code, what, remedy)
        looked = _second_look(kind.form, content, errors, context)
    else:
        looked = Look(form)
    if context.any_length and "units" not in content:
        report(("units",), "units-missing", because("lengths-without-units"), because("write-units"))
    if looked is not None:
        _check(kind, looked, context, report)
    return looked.form if looked else None


@frozen
class Look:
    """A form to check: whole, or with some items left out of its top lists.

    `kept` holds for each list that lost items the indices that the remaining ones have in the file.
    """

    form: DocumentForm
    partial: bool = False
    kept: dict[str, list[int]] = field(factory=dict)

    def restored(self, path: Path) -> Path:
        """A path in this form as a path in the file."""
        if len(path) > 1 and isinstance(path[0], str) and isinstance(path[1], int) and path[0] in self.kept:
            return (path[0], self.kept[path[0]][path[1]], *path[2:])
        return path


def _check(kind: Kind, look: Look, context: Context, report: Report) -> None:
    def tell(path: Path, code: str, what: Reason, remedy: Reason) -> None:
        if look.partial and code in ("unknown-reference", "missing-field"):
            return  # what is meant may be among the items left out
        report(look.restored(path), code, what, remedy)

    before = len(report.found)
    if context.units is not None:
        kind.check_sizes(look.form, tell)
    if kind.sizes_first and len(report.found) > before:
        return
    if context.units is not None or not (context.bare_lengths and context.quoted_lengths):
        kind.check(look.form, tell)


def _second_look(
    form: type[DocumentForm], content: dict[str, Any], errors: ValidationError, context: Context
) -> Look | None:
    """The document with every faulty value set aside; failing that, with every faulty item left out."""
    trial = copy.deepcopy(content)
    for path, code in _places(errors):
        _set_aside(trial, path, code)
    try:
        return Look(form.model_validate(trial, context=context))
    except ValidationError as remaining:
        kept = _leave_out(trial, [path for path, _ in _places(remaining)])
    try:
        return Look(form.model_validate(trial, context=context), True, kept)
    except ValidationError:
        return None


def _places(errors: ValidationError) -> list[tuple[Path, str]]:
    return [(path_of(error), error["type"]) for error in errors_of(errors)]


def _set_aside(trial: Any, path: Path, code: str) -> None:
    """Put `BROKEN` at a path, or as deep along it as the content goes; take unknown fields out."""
    at = trial
    for depth, part in enumerate(path):
        last = depth == len(path) - 1 or not isinstance(_item(at, part), (dict, list))
        if not last:
            at = at[part]
            continue
        if code == "extra_forbidden" and isinstance(at, dict):
            at.pop(part, None)
        elif isinstance(at, dict) or _item(at, part) is not None:
            at[part] = BROKEN
        return


def _item(at: Any, part: str | int) -> Any:
    """What stands at a key or an index; None if nothing does."""
    if isinstance(at, dict):
        return at.get(part)
    return at[part] if isinstance(at, list) and isinstance(part, int) and part < len(at) else None


def _leave_out(trial: dict[str, Any], paths: list[Path]) -> dict[str, list[int]]:
    """Drop the outermost list item, or the whole top field, that each path goes through."""
    doomed: dict[str, set[int]] = {}
    for path in paths:
        top = path[0] if path else None
        if not isinstance(top, str) or top not in trial:
            continue
        if len(path) > 1 and isinstance(path[1], int) and isinstance(trial[top], list):
            doomed.setdefault(top, set()).add(path[1])
        else:
            del trial[top]
    kept: dict[str, list[int]] = {}
    for top, indices in doomed.items():
        if isinstance(trial.get(top), list):
            kept[top] = [i for i in range(len(trial[top])) if i not in indices]
            trial[top] = [trial[top][i] for i in kept[top]]
    return kept
