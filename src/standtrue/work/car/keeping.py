"""Keeping what happens at a car: at once, once, and as it was typed."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import tzinfo
from functools import partial
from pathlib import Path

from attrs import evolve, frozen
from sqlalchemy import Connection

from standtrue.model.basics import DocumentMark
from standtrue.model.shop import Shop
from standtrue.seal import Kept
from standtrue.seal.canonical import canonical
from standtrue.store import attachments, journal
from standtrue.store.database import Store, open_store
from standtrue.store.documents import latest_versions
from standtrue.work.aim.aiming import MeasuredAnswer
from standtrue.work.car.fold import AtCar, folded
from standtrue.work.car.happened import Happened
from standtrue.work.car.questioning import questioned, questions_card
from standtrue.work.car.steps import Handed
from standtrue.work.keep.answers import Said, draft_of, now, saving_now
from standtrue.work.keep.once import Request, once
from standtrue.work.keep.versions import Saved, save_document

Entries = Callable[[Iterable[Kept]], tuple[tuple[Handed, ...], tuple[Happened, ...]]]


@frozen
class Writing:
    """How an order of work, what happened, what was measured and a set-up that was saved are written down; and how
    entries are read again."""

    handed: Callable[[Handed], Said]
    happened: Callable[[Happened], Said]
    measured: Callable[[MeasuredAnswer], Said]
    saved: Callable[[Saved], Said]
    read: Entries


def at_car(store: Store, job: str, writing: Writing) -> AtCar | None:
    """Where a job stands at the car; None where no order of work was handed over. Raises UnansweredError."""
    with store.reading() as connection:
        return folded(*writing.read(journal.entries(connection, job)))


def is_old(store: Store, job: str) -> bool:
    """Whether a document on which the order of work in hand rests has changed since; set-ups are made by it."""
    with store.reading() as connection:
        last = journal.last_of(connection, job, "car-steps")
        if last is None:
            return False
        now_stored = {(one.kind, one.name): one.version for one in latest_versions(connection)}
        rests = journal.documents_of(last.entry.documents)
    return any(now_stored.get((kind, name)) != version for kind, name, version in rests if kind != "setup")


def hand_over(
    place: str, shop: Shop, job: str, handed: Handed, marks: Iterable[DocumentMark], writing: Writing
) -> None:
    """Keep an order of work as the one that is worked by; `marks` are the documents that it rests on.

    Raises UnansweredError where the store cannot be written.
    """
    with open_store(place) as store, store.writing() as connection:
        journal.append(connection, draft_of(connection, shop, job, writing.handed(handed), marks, handed.by), now())


def keep(
    place: str, shop: Shop, job: str, happened: Sequence[Happened], writing: Writing, zone: tzinfo | None = None
) -> int:
    """Keep what happened, each in a transaction of its own, and each once: how many were not there before.

    The same sent again under its key is not kept again. A card that somebody says is wrong is questioned in the same
    transaction; `zone` is the shop's own. Raises UnansweredError for a key that came with something else, and where
    the store cannot be written; what went before is kept.
    """
    new = 0
    for one in happened:
        told = [one.what, one.step, one.name, one.part, one.typed, one.text, list(one.codes), one.to, one.undoes]
        request = Request(f"car {one.device}", one.key, job, canonical(told))
        new += not once(place, request, partial(_append, shop, job, writing, one, zone)).again
    return new


def _append(
    shop: Shop, job: str, writing: Writing, one: Happened, zone: tzinfo | None, connection: Connection
) -> tuple[int, bytes]:
    draft = draft_of(connection, shop, job, writing.happened(one), (), one.by)
    files = (one.digest,) if one.digest else ()
    journal.append(connection, evolve(draft, attachments=files), now())
    if questions_card(one):
        _question(connection, shop, job, writing, one, zone)
    return 201, b""


def _question(
    connection: Connection, shop: Shop, job: str, writing: Writing, one: Happened, zone: tzinfo | None
) -> None:
    """Write into the card of its step that somebody says that it is wrong."""
    told = folded(*writing.read(journal.entries(connection, job)))
    at = None if told is None else told.at(one.step)
    known = shop.written.jobs.get(job)
    order = job if known is None else known.order_number or known.name
    draft = None if at is None else questioned(connection, at.step, one, order, zone)
    if draft is not None:
        save_document(connection, "changed", draft, saving_now(one.by), writing.saved)


def keep_photo(place: str, job: str, file: Path) -> str:
    """Keep a file of a job, bytes as they are; its digest, by which an entry names it. Raises UnansweredError."""
    with open_store(place) as store, store.writing() as connection:
        return attachments.keep(connection, file, job)
