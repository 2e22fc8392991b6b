"""A plan as it was handed over: kept as an entry, and told from it what is planned when, until documents change."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from datetime import UTC, datetime
from hashlib import sha256

from attrs import frozen
from sqlalchemy import Connection

from standtrue.model.basics import Place
from standtrue.model.basis import Basis, basis_of
from standtrue.model.job import Job
from standtrue.model.shop import Shop
from standtrue.seal import Kept
from standtrue.store.database import Store
from standtrue.store.documents import latest_versions
from standtrue.store.journal import append, documents_of, entries
from standtrue.work.keep.answers import Said, draft_of, written_at
from standtrue.work.keep.once import Request, earlier, note
from standtrue.work.plan.answer import PlanAnswer

Moments = tuple[datetime, datetime]
"""Earliest and latest, the shop's own time."""


@frozen
class PlannedStep:
    """A step of a kept plan: what is done (`operation`, by its own name) or moved, when, by whom, and the car there."""

    kind: str
    operation: str | None
    starts: Moments | None
    ends: Moments | None
    people: tuple[str, ...] = ()
    at: Place | None = None
    on: str = ""


@frozen
class Planned:
    """A plan that was handed over: to whom, when (UTC) and by whom; its steps, and by when the car is ready.

    `undone` are the operations that it leaves out. `changed` are the documents that it rests on and that are not the
    same any more: with any of them it is out of date.
    """

    to: str
    by: str
    at: str
    steps: tuple[PlannedStep, ...]
    ready: Moments | None = None
    undone: tuple[str, ...] = ()
    changed: tuple[tuple[str, str], ...] = ()


@frozen
class Handed:
    """An order handed to somebody: by which entry of the plan."""

    job: str
    to: str
    plan: int
    basis: Basis


@frozen
class Entries:
    """What the record has of an order for the desk: the last plan that was handed over, and the last sign-off."""

    plan: Kept | None = None
    handed: Kept | None = None
    signed: Kept | None = None
    changed: tuple[tuple[str, str], ...] = ()


def plan_marks(shop: Shop, job: Job) -> str:
    """By what a plan of a job is known again: all documents that one could rest on, as they are now."""
    parts = []
    for mark in shop.written.marks:
        own = {"job": job.name, "vehicle": job.vehicle, "site": job.site}
        if mark.kind in ("lift", "procedure", "rules", "survey") or own.get(mark.kind) == mark.name:
            parts.append(f"{mark.kind}\t{mark.name}\t{mark.digest}")
    return sha256("\n".join(sorted(parts)).encode()).hexdigest()


Told = tuple[Callable[[PlanAnswer], Said], Callable[[Handed], Said]]
"""How a plan, and that it was handed over, are written down."""


def hand_over(  # long: one parameter for each thing that is told
    store: Store, shop: Shop, answer: PlanAnswer, to: str, by: str, told: Told, request: Request, at: datetime
) -> None:
    """Keep a plan as an entry of its job, and that it was handed to somebody at a moment: once, however often it is
    sent."""
    job, (of_plan, of_handed) = answer.needs.job.name, told
    with store.writing() as connection:
        if earlier(connection, request) is not None:
            return
        marks, moment = answer.basis.marks, written_at(at.astimezone(UTC))
        kept = append(connection, draft_of(connection, shop, job, of_plan(answer), marks, by), moment)
        handed = Handed(job, to, kept.entry.number, basis_of(marks))
        append(connection, draft_of(connection, shop, job, of_handed(handed), marks, by), moment)
        note(connection, request, 200, b"")


def entries_of(store: Store, jobs: Iterable[str]) -> Mapping[str, Entries]:
    """What the record has of each of these orders."""
    with store.reading() as connection:
        versions = {(one.kind, one.name): one.version for one in latest_versions(connection) if one.content is not None}
        return {job: _entries(connection, job, versions) for job in jobs}


def _entries(connection: Connection, job: str, versions: Mapping[tuple[str, str], int]) -> Entries:
    every = list(entries(connection, job))
    by_kind = {kind: [one for one in every if one.entry.kind == kind] for kind in ("plan", "handed", "sign")}
    handed = by_kind["handed"][-1] if by_kind["handed"] else None
    before = [one for one in by_kind["plan"] if handed is not None and one.entry.number < handed.entry.number]
    plan = before[-1] if before else None
    signed = by_kind["sign"][-1] if by_kind["sign"] else None
    rests_on = [] if plan is None else documents_of(plan.entry.documents)
    changed = tuple((kind, name) for kind, name, version in rests_on if versions.get((kind, name)) != version)
    return Entries(plan, handed, signed, changed)
