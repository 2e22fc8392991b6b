"""What must hold between the fields of a card, of rules, of a job or of a mix (see `checks_shop` for the manner)."""

from __future__ import annotations

from collections.abc import Sequence

from standtrue.documents.checks_shop import Path, Tell, heights, names_once
from standtrue.documents.faults import choice_remedy
from standtrue.documents.forms.job import JobForm, MixForm, RulesForm, StudyForm
from standtrue.documents.forms.procedure import ConditionForm, ProcedureForm, TargetForm, ZoneForm

# Cards


def check_procedure(form: ProcedureForm, tell: Tell) -> None:
    """A card."""
    _zones(form.zones, ("zones",), tell)
    _targets(form.targets, ("targets",), tell)
    names_once(form.variants, ("variants",), tell)
    for i, variant in enumerate(form.variants):
        _zones(variant.zones, ("variants", i, "zones"), tell)
        _targets(variant.targets, ("variants", i, "targets"), tell)
    for i, condition in enumerate(form.conditions):
        _condition(condition, ("conditions", i), tell)
    if form.drive is not None and "drive" not in form.method and form.method:
        tell(
            ("drive",),
            "fields-conflict",
            "the method has no drive in it",
            "Write a method with drive in it, or leave this out.",
        )


def _zones(forms: Sequence[ZoneForm], path: Path, tell: Tell) -> None:
    names_once(forms, path, tell)
    for i, zone in enumerate(forms):
        heights(zone.bottom, zone.top, (*path, i), tell)
        _turned(zone.turned, zone.anchor, (*path, i), tell)


def _targets(forms: Sequence[TargetForm], path: Path, tell: Tell) -> None:
    names_once(forms, path, tell)
    for i, target in enumerate(forms):
        _turned(target.turned, target.anchor, (*path, i), tell)


def _turned(turned: bool, anchor: str, path: Path, tell: Tell) -> None:
    if turned and anchor not in ("sensor", ""):
        tell(
            (*path, "turned"),
            "fields-conflict",
            "only what is anchored at the sensor can turn with it",
            'Write anchor = "sensor", or leave turned out.',
        )


def _condition(form: ConditionForm, path: Path, tell: Tell) -> None:
    if form.low is None or form.high is None:
        return
    if form.low[0] > form.high[0]:
        tell((*path, "high"), "range-reversed", "low is above high", "Write the lower one as low.")
    if form.low[1] and form.high[1] and form.low[1] != form.high[1]:
        tell((*path, "high"), "fields-conflict", "low and high have different units", "Write both in one unit.")


# Jobs and mixes


def check_rules(_form: RulesForm, _tell: Tell) -> None:
    """Rules: nothing beyond their fields."""


def check_job(form: JobForm, tell: Tell) -> None:
    """A repair order."""
    names_once(form.work, ("work",), tell)
    names = [work.name for work in form.work]
    for i, work in enumerate(form.work):
        _zones(work.zones, ("work", i, "zones"), tell)
        if work.name and work.name in work.after:
            tell(("work", i, "after"), "value-impossible", "the work comes after itself", "Leave its own name out.")
    if form.drivable not in ("yes", "no", *names) and "" not in names:
        tell(
            ("drivable",),
            "unknown-reference",
            "neither yes nor no nor a work of this job",
            choice_remedy(form.drivable, ("yes", "no", *names)),
        )
    for i, decision in enumerate(form.decisions):
        votes = {decision.verdict, "keep" if decision.keep else None, "drop" if decision.drop else None} - {None, ""}
        if len(votes) != 1 and decision.verdict != "":
            code = "fields-conflict" if votes else "missing-field"
            tell(
                ("decisions", i, "verdict"),
                code,
                "a decision is either to keep or to drop",
                'Write verdict = "keep" or verdict = "drop".',
            )
    both = {(f.kind, f.side) for f in (*form.fitted, *form.vehicle.fitted)}
    for i, sensor in enumerate(form.not_fitted):
        if sensor.kind and (sensor.kind, sensor.side) in both:
            tell(
                ("not_fitted", i),
                "fields-conflict",
                "the sensor is listed as fitted too",
                "Keep it in one of the lists.",
            )


def check_mix(form: MixForm, tell: Tell) -> None:
    """A car mix."""
    names_once(form.vehicles, ("vehicles",), tell)
    if form.vehicles and sum(entry.share for entry in form.vehicles) == 0:
        tell(("vehicles",), "value-impossible", "the shares add up to nothing", "Write each car's share of the work.")


def check_study(form: StudyForm, tell: Tell) -> None:
    """A study."""
    for i, work in enumerate(form.work):
        if bool(work.events) == bool(work.procedures):
            tell(
                ("work", i, "procedures"),
                "fields-conflict" if work.events else "missing-field",
                "a repair order is told either by its events or by its procedures",
                "Write events = [...] or procedures = [...].",
            )
    if sum(work.per_year for work in form.work) == 0:
        tell(("work",), "value-impossible", "no order ever comes", "Write how many of each come a year: per_year.")
    for i, bay in enumerate(form.bays):
        if form.sites and bay.partition("/")[0] not in form.sites:
            tell(
                ("bays", i),
                "unknown-reference",
                "the bay's site is not among the sites",
                'Write "SITE/BAY", and the site in sites.',
            )
