"""A shop folder, read: every document in it, every fault, and the model of what is sound."""

from __future__ import annotations

import json
import os
import re
import stat
import tomllib
from collections.abc import Callable, Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any, TypeVar

from attrs import evolve, frozen

from standtrue.documents.called import unknown_names
from standtrue.documents.faults import RefusedError, nearest
from standtrue.documents.job import JobForm, to_job
from standtrue.documents.kinds import KINDS
from standtrue.documents.lift import LiftForm, to_lift
from standtrue.documents.mix import MixForm, to_mix
from standtrue.documents.parts import DocumentForm
from standtrue.documents.procedure import ProcedureForm, to_procedures
from standtrue.documents.reading import Document, Report, read_document
from standtrue.documents.rules import RulesForm, to_rules
from standtrue.documents.setup import SetupForm, check_uncertainties, to_setup
from standtrue.documents.site import SiteForm, to_site
from standtrue.documents.site_checks import check_lift_place, floor_of
from standtrue.documents.study import StudyForm, to_study
from standtrue.documents.survey import SurveyForm, check_survey_uncertainties, to_survey
from standtrue.documents.vehicle import VehicleForm, to_vehicle
from standtrue.model.basics import DocumentMark, Fault
from standtrue.model.job import Job
from standtrue.model.lift import Lift
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Reason, Ref, Term, because
from standtrue.model.setup import Setup
from standtrue.model.shop import Shop, Written
from standtrue.model.site import Site
from standtrue.model.survey import Survey
from standtrue.needs.cards import is_called
from standtrue.needs.words import sensor_called

LARGEST_BYTES = 5_000_000
SUFFIXES = (".toml", ".json")

_SHORT_TIME = re.compile(r"=\s*\d{4}-\d\d-\d\d[T ]\d\d:\d\d\s*(#.*)?$")
"""A time of day without its seconds, which TOML asks for."""

_TOML_PLACE = re.compile(r"(.*) \(at (?:line ([0-9]+), column [0-9]+|end of document)\)", re.DOTALL)
"""How tomllib says where a file is no TOML."""


@frozen
class Folder(Written):
    """What a shop folder holds. The model parts hold the sound documents only; `faults` says what the others lack."""

    faults: tuple[Fault, ...] = ()

    @property
    def documents(self) -> tuple[DocumentMark, ...]:
        return self.marks

    def shop(self) -> Shop:
        """The shop that the sound documents describe, for one question."""
        return Shop(self)


def read_folder(path: str | os.PathLike[str]) -> Folder:
    """Read every `.toml` and `.json` file below a folder, as one shop. Never raises for what it finds."""
    return gather(read_files(path))


def read_files(path: str | os.PathLike[str]) -> list[Document]:
    """Every `.toml` and `.json` file below a folder, each by itself, in the order of their paths. Never raises.

    Hidden files and folders are passed over; a folder that is reached twice by links is read once.
    """
    root = Path(path)
    documents: list[Document] = []
    try:
        files = sorted(_files(root, documents), key=lambda file: file.relative_to(root).as_posix())
    except (OSError, ValueError) as error:
        what = because("folder-unreadable", why=_reason(error))
        return [_broken(_shown(str(root)), "unreadable", what, because("name-folder-that-exists"))]
    documents.extend(_load_file(file, _shown(file.relative_to(root).as_posix())) for file in files)
    return sorted(documents, key=lambda document: document.file)


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
            what = because("folder-unreadable", why=_reason(error))
            unreadable.append(_broken(shown, "unreadable", what, because("look-at-permissions")))
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
            return _broken(shown, "unreadable", because("no-regular-file"), because("put-text-file"))
        if status.st_size > LARGEST_BYTES:
            return _too_large(shown)
        return load_text(path.read_bytes(), shown)
    except OSError as error:
        what = because("file-unreadable", why=_reason(error))
        return _broken(shown, "unreadable", what, because("look-at-permissions"))


def load_text(text: str | bytes, file: str) -> Document:
    """Read one document from the text of a TOML or JSON file; which of the two, the ending of `file` says."""
    data = text if isinstance(text, bytes) else text.encode("utf-8", "surrogatepass")
    if len(data) > LARGEST_BYTES:
        return _too_large(file)
    if b"\0" in data:
        return _broken(file, "control-character", because("file-holds-nul"), because("save-as-utf8"))
    try:
        decoded = data.decode("utf-8").removeprefix("\ufeff")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        return _broken(file, "not-utf8", because("line-not-utf8", line=line), because("save-as-utf8"))
    try:
        parsed = _parse_json(decoded) if file.lower().endswith(".json") else _parse_toml(decoded)
        return evolve(read_document(parsed, file), source=data)
    except RefusedError as refused:
        return _broken(file, refused.code, refused.what, refused.remedy)
    except RecursionError:
        return _broken(file, "too-deep", because("nested-too-deeply"), because("write-flatter"))


def _parse_toml(text: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except (ValueError, OverflowError) as error:  # also a date that is none, or a number too long to read
        found = _TOML_PLACE.fullmatch(str(error)[:200])
        why, line = (found[1], int(found[2]) if found[2] else None) if found else (str(error)[:200], None)
        written = text.splitlines()[line - 1 : line] if line else []
        mend = because("write-seconds" if any(map(_SHORT_TIME.search, written)) else "mend-line")
        raise RefusedError("toml-syntax", because("not-toml", why=Term(why), line=line), mend) from None


def _parse_json(text: str) -> Any:
    try:
        return json.loads(text, object_pairs_hook=_once)
    except RefusedError:
        raise
    except ValueError as error:
        why, line = (error.msg, error.lineno) if isinstance(error, json.JSONDecodeError) else (str(error)[:200], None)
        raise RefusedError("json-syntax", because("not-json", why=Term(why), line=line), because("mend-line")) from None


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    table = dict(pairs)
    if len(table) < len(pairs):
        keys = [key for key, _ in pairs]
        twice = next(key for key in keys if keys.count(key) > 1)
        what = because("field-twice-in-table", field=twice[:80])
        raise RefusedError("field-repeated", what, because("keep-one-of-two"))
    return table


def _too_large(file: str) -> Document:
    what = because("file-larger-than", megabytes=LARGEST_BYTES // 1_000_000)
    return _broken(file, "too-large", what, because("look-whether-document"))


def _broken(file: str, code: str, what: Reason, remedy: Reason) -> Document:
    return Document(file, None, (Fault(code, what, file, "", "", remedy),))


def _shown(path: str) -> str:
    """A path that can be printed, whatever bytes it is made of."""
    return path.encode("utf-8", "backslashreplace").decode()


def _reason(error: Exception) -> Term:
    """What the system says, in lower case."""
    return Term((error.strerror or "it cannot be opened").lower() if isinstance(error, OSError) else str(error))


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
    sites = {
        form.name: to_site(form, lifts)
        for form in _forms(sound, SiteForm)
        if all(lift.type is None or lift.type in lifts for lift in form.lifts)
    }
    setups = _setups(sound, jobs, sites, faults)
    warnings = [warning for document in read for warning in document.warnings]
    warnings.extend(_decision_warnings(jobs.values(), procedures))
    if not read:
        warnings.append(because("folder-empty"))
    return Folder(
        marks=tuple(document.mark for document in read if document.mark is not None),
        warnings=tuple(warnings),
        sites=sites,
        lifts=lifts,
        vehicles=_convert(sound, VehicleForm, to_vehicle),
        procedures=procedures,
        rules=_convert(sound, RulesForm, to_rules),
        jobs=jobs,
        mixes=_convert(sound, MixForm, to_mix),
        studies=_convert(sound, StudyForm, to_study),
        surveys=_surveys(sound, sites, faults),
        setups=setups,
        faults=tuple(fault for document in read for fault in faults.pop(document.file, ())),
    )


AnyForm = TypeVar("AnyForm", bound=DocumentForm)
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
            what = because("name-taken", file=first[key], kind=key[0])
            _tell(document, faults, ("name",), "name-repeated", what, because("give-another-name"))
        first.setdefault(key, document.file)


def _check_references(documents: list[Document], faults: Faults) -> None:
    known: dict[str, list[str]] = {}
    for document in documents:
        if document.mark is not None:
            known.setdefault(document.mark.kind, []).append(document.mark.name)
    for document in documents:
        for path, kind, name in _references(document):
            if name not in known.get(kind, ()):
                remedy = because("add-or-name-document", near=nearest(name, known.get(kind, ())), kind=kind)
                what = because("no-document-of-that-name", kind=kind)
                _tell(document, faults, path, "unknown-reference", what, remedy)
    contents = [(d.mark.kind, d.content) for d in documents if d.mark is not None]
    for document in documents:
        if document.mark is not None:
            for path, what, remedy in unknown_names(document.mark.kind, document.content, contents):
                _tell(document, faults, path, "unknown-reference", what, remedy)


def _references(document: Document) -> Iterator[tuple[tuple[str | int, ...], str, str]]:
    """Where a document names another that must be in the folder, whether or not it is sound itself."""
    kind = KINDS.get(document.mark.kind) if document.mark else None
    for path, target, name in kind.references(document.content) if kind else ():
        if isinstance(name, str) and name.strip():
            yield path, target, name.strip()


def _check_lift_places(documents: list[Document], lifts: Mapping[str, Lift], faults: Faults) -> None:
    for document in documents:
        if isinstance(document.form, SiteForm):
            floor = floor_of(document.form)
            for i, lift in enumerate(document.form.lifts):
                if lift.type in lifts:
                    report = Report(document.file, document.content)
                    check_lift_place(lift, lifts, floor, ("lifts", i), report)
                    faults[document.file].extend(report.faults)


def _surveys(sound: list[Document], sites: Mapping[str, Site], faults: Faults) -> dict[str, Survey]:
    """The surveys with the instruments of their sites. One that lacks an uncertainty is no survey."""
    surveys: dict[str, Survey] = {}
    for document in sound:
        form = document.form
        if not isinstance(form, SurveyForm):
            continue
        site = sites.get(form.site)
        known = {one.name: one for one in site.instruments} if site is not None else {}
        report = Report(document.file, document.content)
        check_survey_uncertainties(form, known, report)
        if not report.faults:
            surveys[form.name] = to_survey(form, known)
        elif site is not None:
            faults[document.file].extend(report.faults)
    return surveys


def _setups(
    sound: list[Document], jobs: Mapping[str, Job], sites: Mapping[str, Site], faults: Faults
) -> dict[str, Setup]:
    """The set-ups with the instruments of their sites. One that lacks an uncertainty is no set-up; where its site can
    be read, that is its own fault."""
    setups: dict[str, Setup] = {}
    for document in sound:
        form = document.form
        if not isinstance(form, SetupForm):
            continue
        site = sites.get(jobs[form.job].site) if form.job in jobs else None
        known = {one.name: one for one in site.instruments} if site is not None else {}
        report = Report(document.file, document.content)
        check_uncertainties(form, known, report)
        if not report.faults:
            setups[form.name] = to_setup(form, known)
        elif site is not None:
            faults[document.file].extend(report.faults)
    return setups


def _tell(
    document: Document, faults: Faults, path: tuple[str | int, ...], code: str, what: Reason, remedy: Reason
) -> None:
    report = Report(document.file, document.content)
    report(path, code, what, remedy)
    faults[document.file].extend(report.faults)


def _decision_warnings(jobs: Iterable[Job], cards: tuple[Procedure, ...]) -> Iterator[Reason]:
    """Decisions that name neither a card nor, in words, a sensor."""
    for job in jobs:
        for decision in job.decisions:
            called = any(is_called(card, decision.procedure) for card in cards)
            if not (decision.event or called or sensor_called(decision.procedure)):
                yield because("decision-on-no-card", job=Ref("job", job.name), procedure=decision.procedure)
