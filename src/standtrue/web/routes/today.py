"""Today: what waits for whom."""

from __future__ import annotations

from datetime import datetime

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from standtrue.model.basics import UnansweredError
from standtrue.model.job import Job
from standtrue.model.shop import Shop
from standtrue.show.answers.car_kept import read_entries
from standtrue.show.answers.planned import planned_of
from standtrue.show.pages.today import is_called, today_page
from standtrue.web.pages import page
from standtrue.web.roles import may, require
from standtrue.web.state import State, reader_of, state_of, visitor_of
from standtrue.work.car.planning import from_here
from standtrue.work.needs.jobs import Needs, find_job_needs
from standtrue.work.orders.planned import Entries, entries_of, last_kept_of, plan_marks
from standtrue.work.today.standing import find_today, is_quiet, progress_of
from standtrue.work.today.values import Order, Today

router = APIRouter()

KEPT = 400
"""The needs of so many orders are kept, the latest asked for."""

MOST = 50
"""So many orders of which nothing was heard for long are told at most, where they are looked for."""


@router.get("/", response_class=HTMLResponse, include_in_schema=False, dependencies=[require("reader")])
def today(request: Request, find: str = "") -> Response:
    """The page; where nothing was brought in yet, the first start."""
    state, reader, role = state_of(request), reader_of(request), visitor_of(request).role
    shop = state.served.shop()
    if not state.served.read().versions and may(role, "planner"):
        return RedirectResponse("/start", 303)
    site = next(iter(shop.written.sites.values()), None)
    told = today_page(
        day_of(state, find.strip()),
        site,
        shop.written.vehicles,
        reader,
        decides=may(role, "planner"),
        find=find.strip(),
    )
    return page(request, "today.html", sheet="today", today=told, plans_it=may(role, "planner"))


def day_of(state: State, find: str = "") -> Today:
    """The day as it is now. Of an order whose car went away, or of which nothing was heard for long, nothing is read
    unless it is looked for: there may be thousands."""
    shop = state.served.shop()
    last, now = last_kept_of(state.served.store), _local(state.now())
    every = [job for job in shop.written.jobs.values() if not job.left]
    quiet = {job.name for job in every if is_quiet(job, last.get(job.name, ""), now)}
    found = [job for job in every if job.name in quiet and find and is_called(job, find)][:MOST]
    here = [*(job for job in every if job.name not in quiet), *found]
    kept = entries_of(state.served.store, [job.name for job in here], read_entries)
    orders = [_order(state, shop, job, kept[job.name]) for job in here]
    people = dict.fromkeys(person.name for site in shop.written.sites.values() for person in site.people)
    return find_today(orders, tuple(people), now, len(quiet))


def _local(now: datetime) -> datetime:
    """The shop's own time, as documents have it."""
    return now.replace(tzinfo=None, second=0, microsecond=0)


def _order(state: State, shop: Shop, job: Job, kept: Entries) -> Order:
    job = from_here(job, kept.car, state.now().tzinfo)
    needs = _needs(state, shop, job)
    return Order(
        job,
        None if needs is None else needs.answer,
        () if needs is None else needs.cards,
        planned_of(kept),
        progress_of(job, kept.car),
        kept.signed is not None,
    )


_known: dict[tuple[str, str, str], Needs | None] = {}


def _needs(state: State, shop: Shop, job: Job) -> Needs | None:
    """What an order calls for, as long as its documents are the same; None where they cannot be used together."""
    key = (state.served.place, job.name, plan_marks(shop, job))
    if key not in _known:
        while len(_known) >= KEPT:
            _known.pop(next(iter(_known)))
        try:
            _known[key] = find_job_needs(shop.anew(), job)
        except UnansweredError:
            _known[key] = None
    return _known[key]
