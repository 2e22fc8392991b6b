"""What a foreman changes in an order: each a new version of its document, based on the one that was on the page."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from typing import Any
from urllib.parse import quote

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from standtrue.model.basics import UnansweredError
from standtrue.model.job import Event, FittedSensor
from standtrue.model.reason import Text
from standtrue.model.rules import EVENTS, WHERES
from standtrue.show.answers.exchange import of_saved_alone
from standtrue.show.answers.kept import said_of
from standtrue.show.words.pages import order as words
from standtrue.show.words.pages import order_labels as labels
from standtrue.web.pages import page
from standtrue.web.routes.orders import PLANS, Sent, Typed, address, job_of, show_page
from standtrue.web.state import reader_of, state_of, visitor_of
from standtrue.work.keep.once import Request as Once
from standtrue.work.orders import changes
from standtrue.work.orders.changes import Change
from standtrue.work.orders.saving import Desk, SeenOlderError

router = APIRouter()


def _save(request: Request, number: str, sent: Sent, who: str, change: Change, *said: object) -> Response:
    """Save a change and show the page again; or the page with what stands against it. `said` is all that was typed."""
    job, reader = job_of(request, number), reader_of(request)
    once = Once(who, sent.key, job.name, f"{request.url.path} {said!r}".encode())
    try:
        _desk(request, who).change(job.name, sent.seen, change, once)
    except SeenOlderError as error:
        return show_page(request, job, told=(words.changed_meanwhile(error.by, reader),), status=412)
    except UnansweredError as error:
        return show_page(request, job, told=words.fault_words(error.faults, reader), status=422)
    return RedirectResponse(address(job), 303)


def _desk(request: Request, who: str) -> Desk:
    return Desk(state_of(request).served, who, lambda one: said_of(of_saved_alone(one)))


def _who(request: Request, sent: Sent) -> str:
    return visitor_of(request).name or sent.by or state_of(request).served.by


def _event_of(request: Request, said: str) -> str:
    """What was done by the trade's word for it, if it was said in the reader's language."""
    reader, said = reader_of(request), " ".join(said.split())
    return next((name for name in EVENTS if said.lower() in (name, reader.term(name).lower())), said)


@router.post("/orders/{number}/fitted", include_in_schema=False, dependencies=PLANS)
def fitted(request: Request, number: str, sent: Sent, sensor: Typed, has: Typed, side: Typed = "") -> Response:
    """Say whether the car has a sensor."""
    which: Any = side if side in ("left", "right") else None
    change = changes.look(FittedSensor(sensor, which), fitted=has == "yes")
    return _save(request, number, sent, _who(request, sent), change, sensor, side, has)


@router.post("/orders/{number}/decide", include_in_schema=False, dependencies=PLANS)
def decide(
    request: Request, number: str, sent: Sent, verdict: Typed, because: Typed = "", what: Typed = "", event: Typed = ""
) -> Response:
    """Overrule what the rules say, with a reason and a name."""
    job, reader, who = job_of(request, number), reader_of(request), visitor_of(request).name or sent.by
    if not because.strip() or not who or verdict not in ("keep", "drop"):
        missing = words.reason_missing(reader) if who else words.name_missing(reader)
        return show_page(request, job, told=(missing,), status=422)
    named = {"event": event} if event else {"procedure": what}
    on = state_of(request).now().date().isoformat()
    kept: changes.Verdict = "keep" if verdict == "keep" else "drop"
    change = changes.decide(named, kept, because.strip(), who, on)
    return _save(request, number, sent, who, change, verdict, because, what, event)


@router.post("/orders/{number}/take-back", include_in_schema=False, dependencies=PLANS)
def take_back(request: Request, number: str, sent: Sent, what: Typed) -> Response:
    """Take a decision back."""
    return _save(request, number, sent, _who(request, sent), changes.take_back({"procedure": what}), what)


@router.post("/orders/{number}/events", include_in_schema=False, dependencies=PLANS)
def add_event(request: Request, number: str, sent: Sent, event: Typed = "") -> Response:
    """Add something that was done to the car."""
    job, said = job_of(request, number), _event_of(request, event)
    if not said:
        return show_page(request, job, told=(words.event_missing(reader_of(request)),), status=422)
    return _save(request, number, sent, _who(request, sent), changes.add_event(Event(said)), said)


@router.post("/orders/{number}/events/{at}", include_in_schema=False, dependencies=PLANS)
def change_event(  # long: one parameter for each field of the form
    request: Request,
    number: str,
    at: int,
    sent: Sent,
    event: Typed = "",
    where: Typed = "",
    part: Typed = "",
    note: Typed = "",
    remove: Typed = "",
) -> Response:
    """Change what was done to the car, or take it out."""
    place: Any = where if where in WHERES else None
    told = Event(_event_of(request, event), place, part.strip() or None, Text(note.strip()))
    change = changes.remove_event(at) if remove or not told.event else changes.change_event(at, told)
    return _save(request, number, sent, _who(request, sent), change, at, event, where, part, note, remove)


@router.post("/orders/{number}/aside", include_in_schema=False, dependencies=PLANS)
def aside(request: Request, number: str, sent: Sent, because: Typed = "") -> Response:
    """Put the order aside, or with no reason take it up again."""
    change = changes.put_aside(because.strip()) if because.strip() else changes.take_up
    return _save(request, number, sent, _who(request, sent), change, because)


@router.post("/orders/{number}/left", include_in_schema=False, dependencies=PLANS)
def left(request: Request, number: str, sent: Sent, here: Typed = "") -> Response:
    """Say that its car went away, or with `here` that it is here all the same."""
    now = state_of(request).now().replace(tzinfo=None).isoformat(timespec="seconds")
    return _save(request, number, sent, _who(request, sent), changes.car_left("" if here else now), here)


@router.get("/orders", response_class=HTMLResponse, include_in_schema=False, dependencies=PLANS)
def new(request: Request) -> HTMLResponse:
    """The form that starts an order."""
    return _form(request)


def _form(request: Request, told: tuple[str, ...] = (), typed: Mapping[str, str] | None = None) -> HTMLResponse:
    shop = state_of(request).served.shop()
    return page(
        request,
        "order_new.html",
        sheet="today",
        status=422 if told else 200,
        say=labels.begin_labels(reader_of(request)),
        vehicles=tuple(shop.written.vehicles),
        told=told,
        typed=typed or {},
        key=uuid.uuid4().hex,
    )


@router.post("/orders", include_in_schema=False, dependencies=PLANS)
def begin(  # long: one parameter for each field of the form
    request: Request,
    order_number: Typed = "",
    vehicle: Typed = "",
    plate: Typed = "",
    payer: Typed = "",
    arrives: Typed = "",
    promised: Typed = "",
    key: Typed = "",
) -> Response:
    """Start an order."""
    state, reader = state_of(request), reader_of(request)
    shop = state.served.shop()
    fields = {"plate": plate, "payer": payer, "arrives": arrives, "promised": promised}
    who = visitor_of(request).name or state.served.by
    once = Once(who, key or uuid.uuid4().hex, order_number, f"{vehicle} {fields}".encode())
    try:
        if vehicle not in shop.written.vehicles:
            return _form(request, (words.car_missing(reader),), {"order_number": order_number, **fields})
        site = next(iter(shop.written.sites))
        name = _desk(request, who).begin(order_number, site, vehicle, fields, once)
    except UnansweredError as error:
        told = words.fault_words(error.faults, reader)
        return _form(request, told, {"order_number": order_number, "vehicle": vehicle, **fields})
    return RedirectResponse(f"/orders/{quote(name.replace('/', '-'), safe='')}", 303)
