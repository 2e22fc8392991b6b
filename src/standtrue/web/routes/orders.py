"""An order: its page, its plan, its sheet, and to whom it is handed."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from typing import Annotated, Any
from urllib.parse import quote, urlencode

from attrs import frozen
from fastapi import APIRouter, Depends, Form, Request
from fastapi.responses import HTMLResponse, JSONResponse, RedirectResponse, Response

from standtrue.model.basics import UnansweredError
from standtrue.model.job import Job
from standtrue.model.rules import EVENTS, WHERES
from standtrue.show.answers.car_kept import read_entries
from standtrue.show.answers.planned import handing_over, planned_of
from standtrue.show.pages.order import Desk as PageDesk
from standtrue.show.pages.order import OrderPage, order_page
from standtrue.show.sheets.job.sheet import job_pdf
from standtrue.show.words.pages import order as words
from standtrue.web.pages import page
from standtrue.web.planning import InHand, Plans
from standtrue.web.problems import RefusedError
from standtrue.web.roles import may, require
from standtrue.web.state import paper_of, reader_of, state_of, visitor_of
from standtrue.work.car.planning import from_here
from standtrue.work.keep.once import Request as Once
from standtrue.work.needs.jobs import find_job_needs
from standtrue.work.orders.asked import Way
from standtrue.work.orders.planned import Entries, Handing, entries_of, hand_over
from standtrue.work.sheet.job import find_job_sheet

router = APIRouter()

READS, PLANS = [require("reader")], [require("planner")]

Typed = Annotated[str, Form()]


@frozen
class Sending:
    """What every form brings: a key by which it is known if it comes again, the version that was seen, and a name."""

    key: str
    seen: str
    by: str


def sending(key: Typed = "", seen: Typed = "", by: Typed = "") -> Sending:
    """It, from the form."""
    return Sending(key or uuid.uuid4().hex, seen, by.strip())


Sent = Annotated[Sending, Depends(sending)]


def job_of(request: Request, number: str) -> Job:
    """The order of a number, or of a name. Raises RefusedError where there is none."""
    jobs = state_of(request).served.shop().written.jobs
    found = next((job for job in jobs.values() if number in (called(job), job.name)), None)
    if found is None:
        raise RefusedError("not-found")
    return found


def called(job: Job) -> str:
    """An order as an address calls it: by its number, else its name; a slash would part the address."""
    return (job.order_number or job.name).replace("/", "-")


def address(job: Job, **way: str) -> str:
    """Where the page of an order is."""
    asked = urlencode({key: value for key, value in way.items() if value})
    return f"/orders/{quote(called(job), safe='')}{'?' if asked else ''}{asked}"


def _kept(request: Request, job: Job) -> Entries:
    return entries_of(state_of(request).served.store, [job.name], read_entries)[job.name]


def _plans(request: Request, job: Job, otherwise: str = "", change: str = "") -> Plans:
    """The plans of what is left of an order: what was done at the car is left out."""
    state = state_of(request)
    here = from_here(job, _kept(request, job).car, state.now().tzinfo)
    return Plans(state, state.served.shop(), here, Way(otherwise, change), reader_of(request))


@router.get("/orders/{number}", response_class=HTMLResponse, include_in_schema=False, dependencies=READS)
def order(request: Request, number: str, otherwise: str = "", change: str = "") -> HTMLResponse:
    """The page."""
    return show_page(request, job_of(request, number), otherwise, change)


def show_page(
    request: Request, job: Job, otherwise: str = "", change: str = "", told: tuple[str, ...] = (), status: int = 200
) -> HTMLResponse:
    """The page; `told` is what stands against what was sent."""
    reader, shop = reader_of(request), state_of(request).served.shop()
    plans = _plans(request, job, otherwise, change)
    in_hand = plans.look()
    made = _made(request, job, in_hand)
    mark = next(mark for mark in shop.written.marks if (mark.kind, mark.name) == ("job", job.name))
    return page(
        request,
        "order.html",
        sheet="today",
        status=status,
        order=made,
        in_hand=in_hand,
        here=address(job),
        asked={"otherwise": otherwise, "change": change},
        seen=mark.digest,
        fresh=lambda: uuid.uuid4().hex,
        told=told,
        plans_it=may(visitor_of(request).role, "planner"),
        by=visitor_of(request).name,
        people=tuple(p.name for p in shop.written.sites[job.site].people),
        events=tuple((name, reader.term(name)) for name in EVENTS),
        wheres=tuple((name, reader.term(name)) for name in WHERES),
        progress=_progress(in_hand, reader),
    )


def _made(request: Request, job: Job, in_hand: InHand) -> OrderPage:
    state, reader, shop = state_of(request), reader_of(request), state_of(request).served.shop()
    desk = PageDesk(
        now=state.now(),
        needs=find_job_needs(shop.anew(), job),
        planned=planned_of(_kept(request, job)),
        planning=in_hand.planning,
        stale=_changed(request, in_hand) if in_hand.old else None,
        story=in_hand.story,
        said=_said(request, in_hand),
    )
    return order_page(job, desk, reader)


def _changed(request: Request, in_hand: InHand) -> tuple[str, ...]:
    """The documents that are not as they were when an old plan was made."""
    assert in_hand.planning is not None
    now = {(m.kind, m.name): m.digest for m in state_of(request).served.shop().written.marks}
    return tuple(m.name for m in in_hand.planning.answer.basis.marks if now.get((m.kind, m.name)) != m.digest)


def _said(request: Request, in_hand: InHand) -> tuple[str, ...]:
    """What is told beside the answer, or in its place."""
    reader = reader_of(request)
    if in_hand.phase == "computing":
        return (words.computing_first(reader),)
    if in_hand.phase == "failed":
        if isinstance(in_hand.error, UnansweredError):
            return words.fault_words(in_hand.error.faults, reader)
        return (words.broken_words(reader),)
    return (words.stopped_words(reader),) if in_hand.task is not None and in_hand.task.stopping else ()


def _progress(in_hand: InHand, reader: Any) -> Mapping[str, Any] | None:
    """What is being worked out: in words, and as a share of the whole where that is known."""
    task = in_hand.task if in_hand.phase == "computing" else in_hand.beside
    if task is None or task.done:
        return None
    told = task.progress
    if told is None:
        return {"said": "", "share": 0, "of": ""}
    share = round(100 * told.done / told.total) if told.total else 0
    of = words.done_of_words(told.done, told.total, reader) if told.total else ""
    return {"said": words.computing_words(reader.reason(told.what), reader), "share": share, "of": of}


@router.get("/orders/{number}/state", include_in_schema=False, dependencies=READS)
def state_now(request: Request, number: str, otherwise: str = "", change: str = "") -> JSONResponse:
    """How far its plan is, for a page that is open."""
    in_hand = _plans(request, job_of(request, number), otherwise, change).look()
    return JSONResponse({"token": in_hand.token, "progress": _progress(in_hand, reader_of(request))})


# What is asked of the plan


@router.post("/orders/{number}/plan", include_in_schema=False, dependencies=PLANS)
def plan_again(request: Request, number: str, otherwise: Typed = "", change: Typed = "") -> Response:
    """Plan it as it is now."""
    job = job_of(request, number)
    _plans(request, job, otherwise, change).ask()
    return RedirectResponse(address(job, otherwise=otherwise, change=change), 303)


@router.post("/orders/{number}/compare", include_in_schema=False, dependencies=PLANS)
def compare(request: Request, number: str) -> Response:
    """Work out the alternatives."""
    job = job_of(request, number)
    _plans(request, job).compare()
    return RedirectResponse(f"{address(job)}#if", 303)


@router.post("/orders/{number}/stop", include_in_schema=False, dependencies=PLANS)
def stop(request: Request, number: str, otherwise: Typed = "", change: Typed = "") -> Response:
    """Stop working it out: what was found by then is told."""
    job = job_of(request, number)
    in_hand = _plans(request, job, otherwise, change).look()
    for task in (in_hand.task, in_hand.beside):
        if task is not None and not task.done:
            task.stop()
    return RedirectResponse(address(job, otherwise=otherwise, change=change), 303)


@router.post("/orders/{number}/hand", include_in_schema=False, dependencies=PLANS)
def hand(
    request: Request, number: str, sent: Sent, to: Typed = "", otherwise: Typed = "", change: Typed = ""
) -> Response:
    """Keep the plan that is shown as an entry, and that it was handed to somebody."""
    job, state = job_of(request, number), state_of(request)
    in_hand = _plans(request, job, otherwise, change).look()
    plan = None if in_hand.planning is None else in_hand.planning.answer.plan
    if in_hand.planning is None or plan is None or in_hand.old or not to.strip():
        return show_page(request, job, otherwise, change, (words.not_to_be_handed(reader_of(request)),), 409)
    who = visitor_of(request).name or sent.by or state.served.by
    once = Once(who, sent.key, job.name, f"hand {job.name} {to.strip()} {otherwise} {change}".encode())
    how = handing_over(job.name, job.demonstration)
    handing = Handing(to.strip(), who, state.now(), once)
    hand_over(state.served.store, state.served.shop(), in_hand.planning.answer, handing, how)
    return RedirectResponse(address(job), 303)


@router.get("/orders/{number}/sheet.pdf", include_in_schema=False, dependencies=READS)
def sheet(request: Request, number: str, otherwise: str = "", change: str = "") -> Response:
    """The sheet of the order as PDF, by the plan that its page shows."""
    job, state = job_of(request, number), state_of(request)
    in_hand = _plans(request, job, otherwise, change).look()
    plan = None if in_hand.planning is None or in_hand.old else in_hand.planning.answer
    shop = state.served.shop()
    content = find_job_sheet(shop, shop.jobs[job.name], plan=plan)
    pdf = job_pdf(content, paper_of(request), reader_of(request))
    told = f"inline; filename*=UTF-8''{quote(f'{job.order_number or job.name}.pdf')}"
    return Response(pdf, media_type="application/pdf", headers={"Content-Disposition": told})
