"""A shop folder, read: every document in it, every fault, and the model of what is sound."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator, Mapping
from pathlib import Path
from typing import TypeVar

from attrs import evolve, frozen

from standtrue.documents.across import Faults, check_names, check_references, near_skills_of
from standtrue.documents.default_rules import default_rules
from standtrue.documents.doubts import Known, doubts_of
from standtrue.documents.doubts.of_lifts import sizes_of
from standtrue.documents.doubts.of_sites import room_of
from standtrue.documents.editions import cards_of
from standtrue.documents.job import JobForm, to_job
from standtrue.documents.lift import LiftForm, to_lift
from standtrue.documents.lines import with_line
from standtrue.documents.loading import load_files, load_text, unreadable_folder
from standtrue.documents.mix import MixForm, to_mix
from standtrue.documents.mixing import check_unmixed
from standtrue.documents.parts import DocumentForm
from standtrue.documents.reading import Document, Report
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
from standtrue.model.reason import Reason, Ref, because
from standtrue.model.setup import Setup
from standtrue.model.shop import Shop, Written
from standtrue.model.site import Site
from standtrue.model.survey import Survey
from standtrue.needs.cards import is_called
from standtrue.needs.words import sensor_called

__all__ = ["Folder", "gather", "load_text", "read_files", "read_folder"]


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


def read_folder(path: str | os.PathLike[str], today: str = "") -> Folder:
    """Read every `.toml` and `.json` file below a folder, as one shop. Never raises for what it finds.

    `today`, as in 2026-03-02, tells which dates lie ahead; without it none is asked.
    """
    return gather(read_files(path), today)


def read_files(path: str | os.PathLike[str]) -> list[Document]:
    """Every `.toml` and `.json` file below a folder, each by itself, in the order of their paths. Never raises.

    Hidden files and folders are passed over; a folder that is reached twice by links is read once.
    """
    root = Path(path)
    try:
        return load_files(root)
    except (OSError, ValueError) as error:
        return [unreadable_folder(root, error)]


def gather(documents: Iterable[Document], today: str = "") -> Folder:
    """The documents together: names once, references found, and the model of every sound document."""
    read = list(documents)
    faults = {document.file: list(document.faults) for document in read}
    check_names(read, faults)
    check_references(read, faults)
    sound = [document for document in read if not faults[document.file] and document.form is not None]
    lifts = _convert(sound, LiftForm, lambda form: to_lift(form, form.name))
    _check_lift_places(sound, lifts, faults)
    sound = [document for document in sound if not faults[document.file]]
    check_unmixed(sound, faults)
    procedures = cards_of(sound)
    jobs = _convert(sound, JobForm, to_job)
    sites = _sites(sound, lifts)
    setups = _setups(sound, jobs, sites, faults)
    surveys = _surveys(sound, sites, faults)
    known = _known(sound, lifts, today)
    skills = near_skills_of([document for document in read if not faults[document.file]])
    doubts = {
        d.file: (*d.doubts, *skills.get(d.file, ()), *(() if faults[d.file] else doubts_of(d, known))) for d in read
    }
    warnings = list(_decision_warnings(jobs.values(), procedures))
    if not read:
        warnings.append(because("folder-empty"))
    return Folder(
        marks=tuple(evolve(d.mark, doubts=len(doubts[d.file])) for d in read if d.mark is not None),
        warnings=tuple(warnings),
        sites=sites,
        lifts=lifts,
        vehicles=_convert(sound, VehicleForm, to_vehicle),
        procedures=procedures,
        rules=_convert(sound, RulesForm, to_rules),
        jobs=jobs,
        mixes=_convert(sound, MixForm, to_mix),
        studies=_convert(sound, StudyForm, to_study),
        surveys=surveys,
        setups=setups,
        faults=tuple(with_line(fault, d.source) for d in read for fault in faults.pop(d.file, ())),
        doubts=tuple(with_line(doubt, d.source) for d in read for doubt in doubts.pop(d.file, ())),
    )


def _sites(sound: list[Document], lifts: Mapping[str, Lift]) -> dict[str, Site]:
    """The sites of which every lift is there."""
    return {
        form.name: to_site(form, lifts)
        for form in _forms(sound, SiteForm)
        if all(lift.type is None or lift.type in lifts for lift in form.lifts)
    }


def _known(sound: list[Document], lifts: Mapping[str, Lift], today: str) -> Known:
    """What the doubts about one document know of the others."""
    rules = [*_convert(sound, RulesForm, to_rules).values()]
    if not rules and any(_forms(sound, JobForm)):
        rules.append(default_rules())
    odd = {form.name for form in _forms(sound, LiftForm) if any(size.side for size in sizes_of(form))}
    return Known(
        today,
        lifts,
        {form.name: form for form in _forms(sound, SiteForm) if not any(size.side for size in room_of(form))},
        tuple(dict.fromkeys(rule.event for one in rules for rule in one.rules)),
        frozenset(odd),
    )


AnyForm = TypeVar("AnyForm", bound=DocumentForm)
Made = TypeVar("Made")


def _forms(documents: Iterable[Document], kind: type[AnyForm]) -> Iterator[AnyForm]:
    return (document.form for document in documents if isinstance(document.form, kind))


def _convert(documents: Iterable[Document], kind: type[AnyForm], convert: Callable[[AnyForm], Made]) -> dict[str, Made]:
    return {form.name: convert(form) for form in _forms(documents, kind)}


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


def _decision_warnings(jobs: Iterable[Job], cards: tuple[Procedure, ...]) -> Iterator[Reason]:
    """Decisions that name neither a card nor, in words, a sensor."""
    for job in jobs:
        for decision in job.decisions:
            called = any(is_called(card, decision.procedure) for card in cards)
            if not (decision.event or called or sensor_called(decision.procedure)):
                yield because("decision-on-no-card", job=Ref("job", job.name), procedure=decision.procedure)
