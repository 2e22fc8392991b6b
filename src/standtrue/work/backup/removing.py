"""A customer's data taken out: what may go and when is the shop's rule, and that it went is an entry of the record."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from datetime import UTC, datetime, timedelta

from attrs import evolve, frozen
from sqlalchemy import Connection, delete, insert, select

from standtrue.model.basics import Fault, UnansweredError
from standtrue.model.reason import Number, because
from standtrue.model.shop import Shop
from standtrue.seal import Kept
from standtrue.store import journal, rewriting, tables
from standtrue.store.database import open_store
from standtrue.store.documents import Draft, Saving, latest_versions, save
from standtrue.store.journal import append
from standtrue.store.removal import RULE, Taken, take_out
from standtrue.work.keep.answers import SHOP, Said, now, program, saving_now
from standtrue.work.keep.versions import Saved, note_saved
from standtrue.work.records.searching import no_such_job

YEAR = timedelta(days=365.25)


@frozen
class Rule:
    """The shop's rule: a job is kept for so many years after its last entry."""

    years: float
    because: str
    by: str


@frozen
class Removed:
    """What was taken out of a job, by whom and why, under which rule."""

    job: str
    because: str
    by: str
    years: float
    taken: Taken
    saved: tuple[Saved, ...]
    """The versions that say of its documents that they were removed."""
    server: bool
    """Whether it lay on a server, whose own log holds it a while longer."""
    written_over: bool = False
    """Whether the store's files were made anew without it: not yet while somebody else is reading it."""


def set_rule(place: str, years: float, why: str, by: str, said: Callable[[Rule], Said]) -> tuple[Rule, Kept]:
    """Say for how long jobs are kept, as an entry of the shop. Raises UnansweredError."""
    _must_say(why)
    rule = Rule(years, why.strip(), by)
    with open_store(place) as store, store.writing() as connection:
        connection.execute(delete(tables.setting).where(tables.setting.c.name == RULE))
        connection.execute(insert(tables.setting).values(name=RULE, value=repr(years)))
        return rule, append(connection, _draft(SHOP, said(rule), by), now())


def remove(  # long: one parameter for each thing that is told
    place: str, shop: Shop, job: str, why: str, by: str, said: Callable[[Removed], Said]
) -> tuple[Removed, Kept]:
    """Take a job's data out of the store, once the shop's rule allows it. Raises UnansweredError."""
    _must_say(why)
    with open_store(place) as store:
        with store.writing() as connection:
            years = _allowed(connection, job)
            documents = (("job", job), *(("setup", name) for name in _setups(connection, shop, job)))
            saving = saving_now(by)
            saved = tuple(_closed(connection, documents, saving))
            taken = take_out(connection, job, documents)
            removed = Removed(job, why.strip(), by, years, taken, saved, store.engine.name == "postgresql")
            kept = note_saved(connection, saved, said(removed), saving, job)
        with store.reading() as connection:
            left = rewriting.marks(connection)
        done = rewriting.write_over(store.engine, left)
    return evolve(removed, written_over=done), kept


def _setups(connection: Connection, shop: Shop, job: str) -> list[str]:
    """The job's set-ups: those that name it, and those that its entries rest on and that are there no more."""
    own = [setup.name for setup in shop.written.setups.values() if setup.job == job]
    named = [d for one in journal.entries(connection, job) for d in journal.documents_of(one.entry.documents)]
    gone = [name for kind, name, _ in named if kind == "setup" and name not in shop.written.setups]
    return list(dict.fromkeys((*own, *gone)))


def _allowed(connection: Connection, job: str) -> float:
    """The rule's years. Raises UnansweredError: no such job, no rule, or it is not old enough."""
    entry = tables.entry.c
    last = connection.execute(select(entry.at).where(entry.job == job).order_by(entry.number.desc()).limit(1)).scalar()
    if last is None or job == SHOP:
        raise no_such_job(connection, job)
    years = connection.execute(select(tables.setting.c.value).where(tables.setting.c.name == RULE)).scalar()
    if years is None:
        what, remedy = because("no-rule-of-keeping"), because("set-rule-of-keeping", option="--keep-years")
        raise UnansweredError([Fault("not-to-be-removed", what, "", "--job", job, remedy)])
    until = datetime.fromisoformat(last) + float(years) * YEAR
    if datetime.now(UTC) < until:
        what = because("kept-until", job=job, years=Number(float(years)), day=until.date().isoformat())
        remedy = because("set-rule-of-keeping", option="--keep-years")
        raise UnansweredError([Fault("not-to-be-removed", what, "", "--job", job, remedy)])
    return float(years)


def _closed(connection: Connection, documents: Iterable[tuple[str, str]], saving: Saving) -> Iterator[Saved]:
    """Let the documents end: their latest version says that they were removed, and the shop reads without them."""
    wanted = set(documents)
    for one in latest_versions(connection):
        if (one.kind, one.name) in wanted and one.content is not None:
            draft = Draft(one.document, one.version, one.kind, one.name, one.path, None, "")
            yield Saved("removed", save(connection, draft, saving))


def _draft(job: str, said: Said, by: str) -> journal.Draft:
    return journal.Draft(job, said.kind, said.shape, by, program(), said.content)


def _must_say(why: str) -> None:
    if not why.strip():
        what, remedy = because("removal-without-reason"), because("say-why", option="--because")
        raise UnansweredError([Fault("name-missing", what, "", "--because", "", remedy)])
