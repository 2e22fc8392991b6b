"""The set-up that is made at a car: where its card has it, with what it is read, and then what was read.

A set-up that is written for the job says with what is measured, and how its wheels stand; else the shop's instruments
and the order's own readings do. Where the car stands is the order of work's.
"""

from __future__ import annotations

import json
import tomllib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from attrs import frozen

from standtrue.aim.planning import Planned
from standtrue.documents import load_text
from standtrue.documents.setup import SetupForm, to_setup
from standtrue.documents.writing import to_toml
from standtrue.model.job import Job
from standtrue.model.setup import ALIGNMENT_READINGS, Setup
from standtrue.model.shop import Shop
from standtrue.store.documents import Version
from standtrue.work.car.fold import AtStep
from standtrue.work.car.happened import Happened
from standtrue.work.car.steps import CarStep

SHARED = ("instruments", "points", "lines", "alignment")
"""What a set-up of the same car says of others, too: how it is read, and what was measured at the wheels."""

USUAL = (
    {"what": "distance", "u": "1.5 mm", "plumbed": True},
    {"what": "offset", "u": "1.5 mm"},
    {"what": "height", "u": "1.5 mm"},
    {"what": "lean", "u": "0.1 deg"},
)
"""What is read with where neither the shop nor a set-up says it, and how well. Common practice, no source."""


@frozen
class SetUp:
    """A set-up document made here: its name, where it lies in the shop's folder, and its text."""

    name: str
    path: str
    text: str


def name_of(job: Job, card: str) -> str:
    """What the set-up of a card made at the car is called."""
    return f"{job.order_number or job.name}, {card}"


def set_up(shop: Shop, job: Job, at: AtStep, versions: Iterable[Version]) -> SetUp:
    """The set-up of a step with all that was read and counts. `versions` are the documents as they are stored."""
    step = at.step
    name = name_of(job, step.card)
    assert step.place is not None
    told: dict[str, Any] = {
        "kind": "setup",
        "schema": 1,
        "name": name,
        "units": "",
        "job": job.name,
        "procedure": step.card,
    }
    if job.demonstration:
        told["demonstration"] = True
    if step.variant is not None:
        told["variant"] = step.variant
    told["stance"] = _stance(step)
    others = _others(job, step.card, (v for v in versions if v.kind == "setup" and v.name != name))
    told["units"] = next((one["units"] for one in others), "mm")
    told.update(_shared(shop, job, [one for one in others if one["units"] == told["units"]]))
    told["readings"] = [_reading(one) for one in at.readings.values()]
    told["conditions"] = [_condition(one) for one in at.conditions.values() if one.typed]
    kept = {key: value for key, value in told.items() if value != []}
    return SetUp(name, f"setup-{_plain(name)}.toml", to_toml(kept))


def read_set_up(shop: Shop, job: Job, made: SetUp) -> Setup:
    """A set-up made here as the model has it. Raises ValueError where its document is not sound."""
    document = load_text(made.text.encode(), made.path)
    if not isinstance(document.form, SetupForm):
        raise ValueError(f"{made.name}: {[fault.code for fault in document.faults]}")
    return to_setup(document.form, {one.name: one for one in shop.sites[job.site].instruments})


def reading_names(planned: Iterable[Planned]) -> tuple[str, ...]:
    """A name for each reading of a list: what is read, from where to where, and for which time."""
    names: list[str] = []
    for one in planned:
        reading, n = one.reading, 1
        while (name := json.dumps([reading.what, reading.start, reading.end, reading.plumbed, n])) in names:
            n += 1
        names.append(name)
    return tuple(names)


def _stance(step: CarStep) -> Mapping[str, object]:
    assert step.place is not None
    told: dict[str, object] = {
        "at": [_length(step.place.x_m), _length(step.place.y_m)],
        "heading": f"{step.place.heading_deg:.6f} deg",
        "on": step.on,
    }
    if step.height_m:
        told["height"] = _length(step.height_m)
    return told


def _length(metres: float) -> str:
    """A length as documents write it, with its unit: whatever unit the others are in."""
    return " ".join((f"{metres:.6f}", "m"))


def _others(job: Job, card: str, versions: Iterable[Version]) -> list[Mapping[str, Any]]:
    """The job's other set-ups as they are written, those of the same card first."""
    found = (tomllib.loads(one.content.decode()) for one in versions if one.content is not None)
    own = [one for one in found if one.get("job") == job.name and "units" in one]
    return sorted(own, key=lambda one: (one.get("procedure") != card, str(one.get("name"))))


def _shared(shop: Shop, job: Job, others: Sequence[Mapping[str, Any]]) -> Iterator[tuple[str, object]]:
    """What they say of this car, figures in their own units; else what the shop and the order say."""
    for field in SHARED:
        said = next((one[field] for one in others if one.get(field)), None)
        if said is not None:
            yield field, said
        elif field == "instruments" and not shop.sites[job.site].instruments:
            yield field, list(USUAL)
        elif field == "alignment":
            yield field, list(_ordered(job))


def _ordered(job: Job) -> Iterator[Mapping[str, str]]:
    """The alignment readings that the order carries."""
    for one in job.readings:
        if one.what in ALIGNMENT_READINGS and one.unit in ("deg", "°") and one.u:
            yield {"what": one.what, "value": f"{one.value!r} deg", "u": f"{one.u!r} deg"}


def _reading(one: Happened) -> Mapping[str, object]:
    what, start, end, plumbed, _ = json.loads(one.name)
    sign = "-" if (one.value or 0.0) < 0.0 else ""
    told: dict[str, object] = {"what": what, "to": end, "value": f"{sign}{one.typed}"}
    if start:
        told["from"] = start
    if what in ("distance", "offset"):
        told["plumbed"] = plumbed
    return told


def _condition(one: Happened) -> Mapping[str, object]:
    """A condition as found; one that has no figure is recorded as 1 for yes."""
    return {"what": one.name, "value": 1 if one.typed == YES else one.typed}


YES = "yes"
"""What is typed for a condition without a figure that is as the card asks."""


def _plain(name: str) -> str:
    """A name as part of a file's."""
    return "-".join("".join(c if c.isalnum() and c.isascii() else " " for c in name.lower()).split())
