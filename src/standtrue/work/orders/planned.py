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
from standtrue.store.seeking import last_kept
from standtrue.work.car.fold import AtCar, folded
from standtrue.work.car.keeping import Entries as CarEntries
from standtrue.work.car.keeping import Writing as CarWriting
from standtrue.work.car.steps import handed_of
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
    """What the record has of an order for the desk: the last plan that was handed over, the last sign-off, and how far
    the work at the car is."""

    plan: Kept | None = None
    handed: Kept | None = None
    signed: Kept | None = None
    changed: tuple[tuple[str, str], ...] = ()
    car: AtCar | None = None


def plan_marks(shop: Shop, job: Job) -> str:
    """By what a plan of a job is known again: all documents that one could rest on, as they are now, and
    how far the job is."""
    parts = []
    for mark in shop.written.marks:
        own = {"job": job.name, "vehicle": job.vehicle, "site": job.site}
        if mark.kind in ("lift", "procedure", "rules", "survey") or own.get(mark.kind) == mark.name:
            parts.append(f"{mark.kind}\t{mark.name}\t{mark.digest}")
    here = f"{job.done!r}\t{job.stands!r}\t{job.waits!r}"
    return sha256("\n".join([*sorted(parts), here]).encode()).hexdigest()


@frozen
class Writing:
    """How a plan, and that it was handed to somebody, are written down; `car` is how the work at the car is."""

    plan: Callable[[PlanAnswer], Said]
    handed: Callable[[Handed], Said]
    car: CarWriting


@frozen
class Handing:
    """To whom an order is handed, by whom and when, and the request that says so."""

    to: str
    by: str
    at: datetime
    request: Request


def hand_over(store: Store, shop: Shop, answer: PlanAnswer, handing: Handing, writing: Writing) -> None:
    """Keep a plan, its steps for the work at the car, and to whom it was handed: all of it, once, however often it is
    sent."""
    job, by, marks = answer.needs.job.name, handing.by, answer.basis.marks
    at = written_at(handing.at.astimezone(UTC))
    with store.writing() as connection:
        if earlier(connection, handing.request) is not None:
            return
        before, _ = writing.car.read(entries(connection, job))
        steps = handed_of(answer, 1 + max((one.number for one in before), default=0), by, at)
        kept = append(connection, draft_of(connection, shop, job, writing.plan(answer), marks, by), at)
        append(connection, draft_of(connection, shop, job, writing.car.handed(steps), marks, by), at)
        handed = Handed(job, handing.to, kept.entry.number, basis_of(marks))
        append(connection, draft_of(connection, shop, job, writing.handed(handed), marks, by), at)
        note(connection, handing.request, 200, b"")


def entries_of(store: Store, jobs: Iterable[str], read: CarEntries) -> Mapping[str, Entries]:
    """What the record has of each of these orders."""
    with store.reading() as connection:
        versions = {(one.kind, one.name): one.version for one in latest_versions(connection) if one.content is not None}
        return {job: _entries(connection, job, versions, read) for job in jobs}


def last_kept_of(store: Store) -> Mapping[str, str]:
    """When anything was last kept of each order of which anything was (UTC)."""
    with store.reading() as connection:
        return last_kept(connection)


def _entries(connection: Connection, job: str, versions: Mapping[tuple[str, str], int], read: CarEntries) -> Entries:
    every = list(entries(connection, job))
    by_kind = {kind: [one for one in every if one.entry.kind == kind] for kind in ("plan", "handed", "sign")}
    handed = by_kind["handed"][-1] if by_kind["handed"] else None
    before = [one for one in by_kind["plan"] if handed is not None and one.entry.number < handed.entry.number]
    plan = before[-1] if before else None
    signed = by_kind["sign"][-1] if by_kind["sign"] else None
    rests_on = [] if plan is None else documents_of(plan.entry.documents)
    changed = tuple((kind, name) for kind, name, version in rests_on if versions.get((kind, name)) != version)
    return Entries(plan, handed, signed, changed, folded(*read(every)))
