"""At the car: one step, one screen; everything typed is an entry at once."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Annotated, Any
from urllib.parse import quote

from fastapi import APIRouter, Form, Request
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import HTMLResponse, JSONResponse, RedirectResponse, Response
from starlette.datastructures import UploadFile

from standtrue.model.basics import UnansweredError
from standtrue.model.procedure import Procedure
from standtrue.show.answers.planned import handing_over
from standtrue.show.pages import car as screens
from standtrue.show.pages.car import Reading as Looking
from standtrue.show.pages.car import Screen
from standtrue.show.pages.car_due import Due, due_screens
from standtrue.show.pages.car_verdict import verdict_name
from standtrue.show.words.pages import car as words
from standtrue.show.words.pages.car_read import sign_words
from standtrue.show.words.reader import ENGLISH
from standtrue.web import static
from standtrue.web.car_entries import NAME, PROVEN, Entry, Here, Sent, here, keep_entry, token_of
from standtrue.web.pages import page
from standtrue.web.problems import RefusedError
from standtrue.web.roles import require
from standtrue.web.state import reader_of
from standtrue.web.visitors import address_of
from standtrue.work.accounts.people import people as accounts
from standtrue.work.accounts.pins import Refused, check_pin
from standtrue.work.aim.gate import May
from standtrue.work.car.fold import AtCar, AtStep
from standtrue.work.car.happened import What
from standtrue.work.car.keeping import is_old, keep_photo
from standtrue.work.car.measuring import layout_of, measure, measured_of
from standtrue.work.car.planning import plan_from_here
from standtrue.work.car.typed import proposal, typed_value
from standtrue.work.keep.kinds import is_photo
from standtrue.work.keep.once import Request as Once
from standtrue.work.orders.planned import Handing, hand_over

router = APIRouter()

READS, WORKS = [require("reader")], [require("technician")]

EVERY_MS = 8000
"""How often an open page looks whether somebody asks for its step, and sends what it kept."""

MOST_PHOTO = 20_000_000

Typed = Annotated[str, Form(max_length=2000)]
Field = UploadFile | str | None
"""What a form brought in one of its fields."""


@router.get("/car/worker.js", include_in_schema=False)
def worker() -> Response:
    """The service worker: it answers for the pages at the car alone."""
    return Response(
        static.served()["car-worker.js"],
        media_type="text/javascript; charset=utf-8",
        headers={"Cache-Control": "no-cache"},
    )


@router.get("/orders/{number}/at-the-car", include_in_schema=False, dependencies=READS)
def from_order(number: str) -> Response:
    """To the car, from the page of an order."""
    return RedirectResponse(f"/car/{quote(number, safe='')}", 303)


@router.get("/car/{number}", response_class=HTMLResponse, include_in_schema=False, dependencies=READS)
def show(request: Request, number: str, screen: str = "") -> Response:
    """The page."""
    return _show(here(request, number), screen)


@router.get("/car/{number}/state", include_in_schema=False, dependencies=READS)
def state_now(request: Request, number: str) -> JSONResponse:
    """By what an open page sees that it should be read again."""
    return JSONResponse({"token": token_of(here(request, number))})


@router.post("/car/{number}/kept", include_in_schema=False, dependencies=WORKS)
def take_kept(request: Request, number: str, sent: Sent) -> JSONResponse:
    """What a browser kept: each entry is taken once; what somebody else typed is left there."""
    own = here(request, number)
    drift = own.state.now() - datetime.fromtimestamp(sent.now / 1000, UTC)
    kept, refused = [], []
    for one in sent.entries:
        if one.what in PROVEN:
            refused.append(one.key)
            continue
        if own.others(one):
            continue
        try:
            keep_entry(own, one, drift)
            kept.append(one.key)
        except UnansweredError as error:
            if any(fault.code != "key-taken" for fault in error.faults):
                raise
            refused.append(one.key)
    return JSONResponse({"kept": kept, "refused": refused, "token": token_of(own)})


@router.post("/car/{number}", include_in_schema=False, dependencies=WORKS)
def tell(  # long: one parameter for each field
    request: Request,
    number: str,
    what: Annotated[What, Form()],
    step: Typed = "",
    key: Typed = "",
    name: Typed = "",
    part: Typed = "",
    typed: Typed = "",
    unit: Typed = "",
    sign: Annotated[int, Form(ge=-1, le=1)] = 1,
    planned: Annotated[float, Form()] = 0.0,
    far: Annotated[float, Form()] = 0.0,
    sure: Typed = "",
    text: Typed = "",
    codes: Typed = "",
    to: Typed = "",
    undoes: Typed = "",
    value: Typed = "",
) -> Response:
    """One thing that happened, from a plain form: its verdict is worked out where it asks for that."""
    own = here(request, number)
    figure = " ".join((typed.strip(), unit)).strip() if typed.strip() else value
    if what == "reading":
        meant = proposal(figure, planned, far) if not sure else None
        if typed_value(figure) is None or meant is not None:
            return own.known(_show(own, "read", asked=(name, figure, meant or "")))
    told = own.told()
    at = None if told is None else told.current
    if what == "verdict":
        return _judge(own, at)
    if what in PROVEN:
        raise RefusedError("may-not")
    one = Entry(
        key=key or uuid.uuid4().hex, by=own.who, step=step or ("" if at is None else at.step.key), what=what,
        name=name, part=part, typed=figure, sign=sign, text=text, codes=codes, to=to, undoes=undoes,
    )  # fmt: skip
    keep_entry(own, one, timedelta())
    return own.go("?screen=read" if what == "reading" and sure == "list" else "")


@router.post("/car/{number}/judge", include_in_schema=False, dependencies=WORKS)
def judge(request: Request, number: str) -> Response:
    """Whether it is in tolerance, by all that was read."""
    own = here(request, number)
    told = own.told()
    return _judge(own, None if told is None else told.current)


@router.post("/car/{number}/who", include_in_schema=False, dependencies=WORKS)
def say_who(request: Request, number: str, who: Typed = "") -> Response:
    """Who is at this device, where nobody signed in."""
    own = here(request, number)
    response = own.go()
    response.set_cookie(NAME, quote(who.strip()[:80]), max_age=43200, samesite="strict", httponly=True)
    return response


@router.post("/car/{number}/plan", include_in_schema=False, dependencies=WORKS)
def plan(request: Request, number: str) -> Response:
    """Plan what is left, and hand it over once it is there."""
    own = here(request, number)
    _planning(own)
    return own.go("?screen=planning")


@router.post("/car/{number}/sign", include_in_schema=False, dependencies=WORKS)
def sign(request: Request, number: str, who: Typed = "", pin: Typed = "", key: Typed = "") -> Response:
    """Vouch for the step: a person, told apart by a PIN."""
    own, reader = here(request, number), reader_of(request)
    told = own.told()
    at = None if told is None else told.current
    if told is None or at is None or not _may_be_signed(own, told, at):
        return own.go()
    if not who:
        return own.known(_show(own, "sign", wrong=sign_words(reader)["nobody"]))
    allowed = check_pin(own.state.served.store, who, pin, own.state.now(), address_of(request))
    if isinstance(allowed, Refused):
        return own.known(_show(own, "sign", wrong=reader.reason(allowed.why), chosen=who, status=403))
    one = Entry(key=key or uuid.uuid4().hex, by=allowed.name, step=at.step.key, what="signed", name="PIN")
    keep_entry(own, one, timedelta())
    return own.go()


@router.post("/files/car/{number}/photo", include_in_schema=False, dependencies=WORKS)
async def take_photo(request: Request, number: str) -> Response:
    """A photo of the set-up, kept as the file that it is. It is read only once it is known that its sender may."""
    async with request.form(max_files=1, max_fields=4) as sent:
        return await run_in_threadpool(_take_photo, request, number, sent.get("photo"), sent.get("key"))


def _take_photo(request: Request, number: str, photo: Field, key: Field) -> Response:
    own = here(request, number)
    told = own.told()
    at = None if told is None else told.current
    if at is None:
        return own.go()
    content = b"" if photo is None or isinstance(photo, str) else photo.file.read(MOST_PHOTO + 1)
    with TemporaryDirectory() as folder:
        file = Path(folder) / "photo"
        file.write_bytes(content)
        if len(content) > MOST_PHOTO or not is_photo(file):
            return own.known(_show(own, "photo", refused=True))
        digest = keep_photo(own.state.served.place, own.job.name, file)
    named = key if isinstance(key, str) and key else uuid.uuid4().hex
    keep_entry(own, Entry(key=named, by=own.who, step=at.step.key, what="photo"), timedelta(), digest)
    return own.go()


def _may_be_signed(own: Here, told: AtCar, at: AtStep) -> bool:
    """Whether nothing of the step is open but its signature, and what was measured last may be calibrated."""
    due = Due(_layout(own, at), _card(own, at))
    if _due(own, told, at, due, "", "", "", False)[0].key != "sign":
        return False
    measured = measured_of(own.state.served, own.job, at) if due.names else None
    return not due.names or (measured is not None and measured.gate.verdict is May.YES)


def _judge(own: Here, at: AtStep | None) -> Response:
    """Keep the readings as a set-up, judge it, and say in an entry that it was judged."""
    if at is not None and at.step.card:
        layout = layout_of(own.state.served, own.job, at)
        if not at.unread(Due(layout).names):
            measured = measure(own.state.served, own.job, at, own.who or own.device, own.writing)
            word = verdict_name(measured, ENGLISH)
            keep_entry(own, Entry(key=uuid.uuid4().hex, step=at.step.key, what="verdict", name=word), timedelta())
    return own.go()


def _planning(own: Here) -> Any:
    """The task that plans what is left, begun if it is not."""
    served, told, state = own.state.served, own.told(), own.state
    number = 0 if told is None else told.handed.number
    key = ("car plan", own.job.name, number, len(() if told is None else told.done), served.read().revision)
    shop, job, zone = served.shop(), own.job, state.now().tzinfo
    return state.tasks.ask(key, lambda asking: plan_from_here(shop, job, told, asking, zone))


def _planned(own: Here) -> str:
    """Hand the plan over if it is there: "" then, else what is to be told of it."""
    task, reader = _planning(own), reader_of(own.request)
    if not task.done:
        return words.planning(reader)
    if task.future.exception() is not None or task.future.result().plan is None:
        return words.planning_failed(reader)
    told, who, served = own.told(), own.who or own.device, own.state.served
    number = 0 if told is None else told.handed.number
    once = Once("car", f"plan {own.job.name} {number}", own.job.name, f"{number}".encode())
    handing, how = Handing(who, who, own.state.now(), once), handing_over(own.job.name, own.job.demonstration)
    hand_over(served.store, served.shop(), task.future.result(), handing, how)
    return ""


def _show(
    own: Here,
    screen: str,
    *,
    asked: tuple[str, str, str] = ("", "", ""),
    wrong: str = "",
    chosen: str = "",
    refused: bool = False,
    status: int = 200,
) -> Response:
    """The page as it is due, or one screen of it that somebody wants to see."""
    reader, told = reader_of(own.request), own.told()
    refresh = 0
    shown: tuple[Screen, ...]
    at = None if told is None else told.current
    if screen == "planning":
        doing = _planned(own)
        if not doing:
            return own.go()
        refresh = 2 if doing == words.planning(reader) else 0
        shown = (screens.no_steps_screen(reader, own.address, doing),)
    elif told is None:
        shown = (screens.no_steps_screen(reader, own.address),)
    elif not own.who:
        shown = (screens.who_screen(_people(own), reader, own.address),)
    else:
        due = Due(None if at is None else _layout(own, at), None if at is None else _card(own, at))
        shown = _due(own, told, at, due, screen, wrong, chosen, refused)
    old = is_old(own.state.served.store, own.job.name)
    made = screens.car_page(own.job, told, at, own.who, shown, reader, old=old, device=own.device)
    own.known(response := page(own.request, "car.html", status=status, car=made, here=own.address, asked=asked,
                               refresh=refresh, fresh=lambda: uuid.uuid4().hex, token=token_of(own), every=EVERY_MS,
                               once=bool(screen)))  # fmt: skip
    return response


def _due(
    own: Here, told: AtCar, at: AtStep | None, due: Due, screen: str, wrong: str, chosen: str, refused: bool
) -> tuple[Screen, ...]:
    """Every screen of the step in hand that can be shown without the server, the one that is due first."""
    shop, reader = own.state.served.shop(), reader_of(own.request)
    record = f"/records/{quote(own.job.name, safe='')}"
    site, vehicle = shop.sites[own.job.site], shop.vehicles[own.job.vehicle]
    if at is None:
        own_step = told.steps[-1]
        look = Looking(own.job, site, vehicle, own_step, reader, own.state.now())
        if screen == "signed":
            return (screens.signed_screen(told, look, own.address),)
        return (screens.over_screen(told, reader, record, own.address),)
    look = Looking(own.job, site, vehicle, at, reader, own.state.now())
    stop = screens.stop_screen(look, own.address)
    if screen == "stop":
        return (stop,)
    if screen == "signed":
        return (screens.signed_screen(told, look, own.address),)
    measured = measured_of(own.state.served, own.job, at) if at.step.card and at.verdict is not None else None
    people, address = _people(own), own.address
    due_now = due_screens(
        look, due, measured, screen, own.device, address, people, wrong=wrong, chosen=chosen, refused=refused
    )
    return (*due_now, stop)


def _card(own: Here, at: AtStep) -> Procedure | None:
    """The card of a step."""
    name = at.step.card or (at.step.called[1] if at.step.called[0] in ("card", "drive") else "")
    return next((one for one in own.state.served.shop().written.procedures if one.key == name), None)


def _layout(own: Here, at: AtStep) -> Any:
    """Where the step's targets go; None for a step that places none."""
    card = _card(own, at)
    if not at.step.card or card is None or not card.needs_space or at.step.place is None:
        return None
    layout = layout_of(own.state.served, own.job, at)
    return layout if layout.targets and layout.plan is not None and layout.plan.planned else None


def _people(own: Here) -> Sequence[str]:
    """Whoever works here: those with an account, and those that the site lists."""
    listed = [one.name for one in own.state.served.shop().sites[own.job.site].people]
    known = [one.name for one in accounts(own.state.served.store) if one.role != "reader"]
    return tuple(dict.fromkeys((*known, *listed)))
