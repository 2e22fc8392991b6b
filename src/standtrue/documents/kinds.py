"""The kinds of documents: the one table of them."""

from __future__ import annotations

from standtrue.documents import job, lift, mix, procedure, rules, setup, site_checks, study, survey, vehicle
from standtrue.documents.parts import Kind

KINDS: dict[str, Kind] = {
    kind.name: kind
    for kind in (
        site_checks.KIND,
        lift.KIND,
        vehicle.KIND,
        procedure.KIND,
        rules.KIND,
        job.KIND,
        mix.KIND,
        study.KIND,
        survey.KIND,
        setup.KIND,
    )
}
"""The kinds that this version reads and uses."""

OTHER_KINDS: tuple[str, ...] = ("day", "case")
"""Kinds that are known, but not read by this version: never offered."""

OTHER_NAMES = {
    "car": "vehicle",
    "card": "procedure",
    "order": "job",
    "repair order": "job",
    "floor": "survey",
    "room": "site",
    "shop": "site",
    "rule": "rules",
}
"""What people call a kind, for the kind that they are offered."""
