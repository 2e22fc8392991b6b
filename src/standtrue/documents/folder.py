"""A shop folder, read: every document in it, every fault, and the model of what is sound."""

from __future__ import annotations

import json
import os
import stat
import tomllib
from collections.abc import Callable, Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any, TypeVar

from attrs import field, frozen

from standtrue.documents.checks_shop import check_lift_place, floor_of
from standtrue.documents.convert_setup import to_setup, to_survey
from standtrue.documents.convert_shop import to_lift, to_site, to_vehicle
from standtrue.documents.convert_work import to_job, to_mix, to_procedures, to_rules, to_study
from standtrue.documents.faults import RefusedError, nearest
from standtrue.documents.forms.base import Document as Form
from standtrue.documents.forms.job import JobForm, MixForm, RulesForm, StudyForm
from standtrue.documents.forms.lift import LiftForm
from standtrue.documents.forms.procedure import ProcedureForm
from standtrue.documents.forms.setup import SetupForm, SurveyForm
from standtrue.documents.forms.site import SiteForm
from standtrue.documents.forms.vehicle import VehicleForm
from standtrue.documents.reading import Document, Report, read_document
from standtrue.model.basics import DocumentMark, Fault
from standtrue.model.job import Job, Mix
from standtrue.model.lift import Lift
from standtrue.model.procedure import Procedure
from standtrue.model.rules import Rules
from standtrue.model.setup import Setup
from standtrue.model.shop import Shop, Written
from standtrue.model.site import Site
from standtrue.model.study import Study
from standtrue.model.survey import Survey
from standtrue.model.vehicle import Vehicle

LARGEST_BYTES = 5_000_000
SUFFIXES = (".toml", ".json")


@frozen
class Folder:
    """What a shop folder holds. The model parts hold the sound documents only; `faults` says what the others lack."""

    documents: tuple[DocumentMark, ...] = ()
    faults: tuple[Fault, ...] = ()
    warnings: tuple[str, ...] = ()
    sites: Mapping[str, Site] = field(factory=dict)
    lifts: Mapping[str, Lift] = field(factory=dict)
    vehicles: Mapping[str, Vehicle] = field(factory=dict)
    procedures: tuple[Procedure, ...] = ()
    rules: Mapping[str, Rules] = field(factory=dict)
    jobs: Mapping[str, Job] = field(factory=dict)
    mixes: Mapping[str, Mix] = field(factory=dict)
    studies: Mapping[str, Study] = field(factory=dict)
    surveys: Mapping[str, Survey] = field(factory=dict)
    setups: Mapping[str, Setup] = field(factory=dict)

    def shop(self) -> Shop:
        """The shop that the sound documents describe, for one question."""
        kinds = (self.sites, self.lifts, self.vehicles, self.procedures, self.rules, self.jobs)
        years = (self.mixes, self.studies, self.surveys, self.setups)
        return Shop(Written(self.documents, self.warnings, *kinds, *years))


def read_folder(path: str | os.PathLike[str]) -> Folder:
    """Read every `.toml` and `.json` file below a folder, in the order of their paths. Never raises for what it finds.

    Hidden files and folders are passed over; a folder that is reached twice by links is read once.
    """
    root = Path(path)
    documents: list[Document] = []
    try:
        files = sorted(_files(root, documents), key=lambda file: file.relative_to(root).as_posix())
    except (OSError, ValueError) as error:
        return gather(
            [
                _broken(
                    _shown(str(root)),
                    "unreadable",
                    f"the folder cannot be read: {_reason(error)}",
                    "Name a folder that exists.",
                )
            ]
        )
    documents.extend(_load_file(file, _shown(file.relative_to(root).as_posix())) for file in files)
    return gather(sorted(documents, key=lambda document: document.file))


def _files(root: Path, unreadable: list[Document]) -> Iterator[Path]:
    seen: set[tuple[int, int]] = set()
    waiting = [root]
    while waiting:
        folder = waiting.pop()
        try:
            status = folder.stat()
            entries = list(folder.iterdir()) if (status.st_dev, status.st_ino) not in seen else []
        except OSError as error:
            if folder == root:
                raise
            shown = _shown(folder.relative_to(root).as_posix())
            unreadable.append(
                _broken(shown, "unreadable", f"the folder cannot be read: {_reason(error)}", "Look at its permissions.")
            )
            continue
        seen.add((status.st_dev, status.st_ino))
        for entry in entries:
            if entry.name.startswith("."):
                continue
            if entry.suffix.lower() in SUFFIXES and not entry.is_dir():
                yield entry
            elif entry.is_dir():
                waiting.append(entry)


def _load_file(path: Path, shown: str) -> Document:
    try:
        status = path.stat()
        if not stat.S_ISREG(status.st_mode):
            return _broken(shown, "unreadable", "this is no regular file", "Put a text file here, or take it out.")
        if status.st_size > LARGEST_BYTES:
            return _too_large(shown)
        return load_text(path.read_bytes(), shown)
    except OSError as error:
        return _broken(shown, "unreadable", f"the file cannot be read: {_reason(error)}", "Look at its permissions.")


def load_text(text: str | bytes, file: str) -> Document:
    """Read one document from the text of a TOML or JSON file; which of the two, the ending of `file` says."""
    data = text if isinstance(text, bytes) else text.encode("utf-8", "surrogatepass")
    if len(data) > LARGEST_BYTES:
        return _too_large(file)
    if b"\0" in data:
        return _broken(
            file, "control-character", "the file holds NUL bytes: it is no text", "Save it as text in UTF-8."
        )
    try:
        decoded = data.decode("utf-8").removeprefix("\ufeff")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        return _broken(file, "not-utf8", f"line {line} is not valid UTF-8", "Save the file as text in UTF-8.")
    try:
        return read_document(_parse_json(decoded) if file.lower().endswith(".json") else _parse_toml(decoded), file)
    except RefusedError as refused:
        return _broken(file, refused.code, refused.what, refused.remedy)
    except RecursionError:
        return _broken(file, "too-deep", "tables and lists are nested too deeply", "Write the document flatter.")


def _parse_toml(text: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except (ValueError, OverflowError) as error:  # also a date that is none, or a number too long to read
        what = f"this is not TOML: {str(error)[:200]}"
        raise RefusedError("toml-syntax", what, "Mend the line named; text goes in quotes.") from None


def _parse_json(text: str) -> Any:
    try:
        return json.loads(text, object_pairs_hook=_once)
    except RefusedError:
        raise
    except ValueError as error:
        what = f"this is not JSON: {str(error)[:200]}"
        raise RefusedError("json-syntax", what, "Mend the place named.") from None


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    table = dict(pairs)
    if len(table) < len(pairs):
        keys = [key for key, _ in pairs]
        twice = next(key for key in keys if keys.count(key) > 1)
        raise RefusedError("field-repeated", f"{twice[:80]} stands twice in one table", "Keep one of the two.")
    return table


def _too_large(file: str) -> Document:
    what = f"the file is larger than {LARGEST_BYTES // 1_000_000} MB"
    return _broken(file, "too-large", what, "A document is a few kilobytes: look whether the file is one.")


def _broken(file: str, code: str, what: str, remedy: str) -> Document:
    return Document(file, None, (Fault(code, what, file, "", "", remedy),))


def _shown(path: str) -> str:
    """A path that can be printed, whatever bytes it is made of."""
    return path.encode("utf-8", "backslashreplace").decode()


def _reason(error: Exception) -> str:
    return (error.strerror or "it cannot be opened").lower() if isinstance(error, OSError) else str(error)


# Across the documents


def gather(documents: Iterable[Document]) -> Folder:
    """The documents together: names once, references found, and the model of every sound document."""
    read = list(documents)
    faults = {document.file: list(document.faults) for document in read}
    _check_names(read, faults)
    _check_references(read, faults)
    sound = [document for document in read if not faults[document.file] and document.form is not None]
    lifts = _convert(sound, LiftForm, lambda form: to_lift(form, form.name))
    _check_lift_places(sound, lifts, faults)
    sound = [document for document in sound if not faults[document.file]]
    procedures = tuple(card for form in _forms(sound, ProcedureForm) for card in to_procedures(form))
    jobs = _convert(sound, JobForm, to_job)
    warnings = [warning for document in read for warning in document.warnings]
    warnings.extend(_decision_warnings(jobs.values(), procedures))
    if not read:
        warnings.append("the folder holds no documents")
    return Folder(
        documents=tuple(document.mark for document in read if document.mark is not None),
        faults=tuple(fault for document in read for fault in faults.pop(document.file, ())),
        warnings=tuple(warnings),
        sites={
            form.name: to_site(form, lifts)
            for form in _forms(sound, SiteForm)
            if all(lift.type is None or lift.type in lifts for lift in form.lifts)
        },
        lifts=lifts,
        vehicles=_convert(sound, VehicleForm, to_vehicle),
        procedures=procedures,
        rules=_convert(sound, RulesForm, to_rules),
        jobs=jobs,
        mixes=_convert(sound, MixForm, to_mix),
        studies=_convert(sound, StudyForm, to_study),
        surveys=_convert(sound, SurveyForm, to_survey),
        setups=_convert(sound, SetupForm, to_setup),
    )


AnyForm = TypeVar("AnyForm", bound=Form)
Made = TypeVar("Made")
Faults = dict[str, list[Fault]]


def _forms(documents: Iterable[Document], kind: type[AnyForm]) -> Iterator[AnyForm]:
    return (document.form for document in documents if isinstance(document.form, kind))


def _convert(documents: Iterable[Document], kind: type[AnyForm], convert: Callable[[AnyForm], Made]) -> dict[str, Made]:
    return {form.name: convert(form) for form in _forms(documents, kind)}


def _check_names(documents: list[Document], faults: Faults) -> None:
    first: dict[tuple[str, str], str] = {}
    for document in documents:
        if document.mark is None:
            continue
        key = (document.mark.kind, document.mark.name)
        if key in first:
            what = f"{first[key]} holds a {key[0]} of this name already"
            _tell(document, faults, ("name",), "name-repeated", what, "Give one of the two another name.")
        first.setdefault(key, document.file)


def _check_references(documents: list[Document], faults: Faults) -> None:
    known: dict[str, list[str]] = {}
    for document in documents:
        if document.mark is not None:
            known.setdefault(document.mark.kind, []).append(document.mark.name)
    for document in documents:
        for path, kind, name in _references(document):
            if name not in known.get(kind, ()):
                near = nearest(name, known.get(kind, ()))
                remedy = (
                    f"Did you mean {near}?"
                    if near
                    else f"Add a {kind} document of that name, or name one that is there."
                )
                _tell(document, faults, path, "unknown-reference", f"no {kind} of that name is in the folder", remedy)


def _references(document: Document) -> Iterator[tuple[tuple[str | int, ...], str, str]]:
    """Where a document names another that must be in the folder, whether or not it is sound itself."""
    kind, content = document.mark.kind if document.mark else "", document.content
    found: list[tuple[tuple[str | int, ...], str, object]] = []
    if kind == "site":
        found = [(("lifts", i, "type"), "lift", lift.get("type")) for i, lift in _tables(content.get("lifts"))]
    elif kind == "job":
        car = content.get("vehicle")
        inside = isinstance(car, dict)
        found = [(("site",), "site", content.get("site"))]
        found.append(
            (
                ("vehicle", "name") if inside else ("vehicle",),
                "vehicle",
                car["name"] if isinstance(car, dict) and "name" in car else car,
            )
        )
    elif kind == "mix":
        found = [
            (("vehicles", i, "name"), "vehicle", entry.get("name")) for i, entry in _tables(content.get("vehicles"))
        ]
    elif kind == "study":
        sites, search = content.get("sites"), content.get("search")
        found = [(("sites", i), "site", name) for i, name in enumerate(sites if isinstance(sites, list) else [])]
        found.append((("mix",), "mix", content.get("mix")))
        types = search.get("types") if isinstance(search, dict) else None
        found.extend(
            (("search", "types", i), "lift", name) for i, name in enumerate(types if isinstance(types, list) else [])
        )
    elif kind == "survey":
        found = [(("site",), "site", content.get("site"))]
    elif kind == "setup":
        card = content.get("procedure")
        found = [(("job",), "job", content.get("job"))]
        found.append((("procedure",), "procedure", card.partition("/")[0] if isinstance(card, str) else card))
    return ((path, target, name.strip()) for path, target, name in found if isinstance(name, str) and name.strip())


def _tables(items: object) -> Iterator[tuple[int, dict[str, Any]]]:
    if isinstance(items, list):
        yield from ((i, item) for i, item in enumerate(items) if isinstance(item, dict))


def _check_lift_places(documents: list[Document], lifts: Mapping[str, Lift], faults: Faults) -> None:
    for document in documents:
        if isinstance(document.form, SiteForm):
            floor = floor_of(document.form)
            for i, lift in enumerate(document.form.lifts):
                if lift.type in lifts:
                    report = Report(document.file, document.content)
                    check_lift_place(lift, lifts, floor, ("lifts", i), report)
                    faults[document.file].extend(report.faults)


def _tell(document: Document, faults: Faults, path: tuple[str | int, ...], code: str, what: str, remedy: str) -> None:
    report = Report(document.file, document.content)
    report(path, code, what, remedy)
    faults[document.file].extend(report.faults)


def _decision_warnings(jobs: Iterable[Job], cards: tuple[Procedure, ...]) -> Iterator[str]:
    keys = {name for card in cards for name in (card.name, card.key)}
    for job in jobs:
        for decision in job.decisions:
            if decision.procedure not in keys:
                yield f"job {job.name}: the decision on {decision.procedure} names no card of this folder"
