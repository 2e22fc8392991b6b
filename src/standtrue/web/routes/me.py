"""What a person comes in and signs with: PIN, password, devices. A password is asked for before either is changed."""

from __future__ import annotations

from collections.abc import Callable

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from standtrue.model.reason import Reason, because
from standtrue.show.pages.accounts import Trouble, me_page
from standtrue.web.pages import page
from standtrue.web.problems import RefusedError
from standtrue.web.roles import require
from standtrue.web.routes.entering import REFUSED, Typed, entered, why_not
from standtrue.web.state import reader_of, state_of, visitor_of
from standtrue.web.visitors import address_of, caller_of, session_of
from standtrue.work.accounts import entering, pins
from standtrue.work.accounts.entering import Entered
from standtrue.work.accounts.people import Person, person
from standtrue.work.accounts.sessions import sign_out_others

router = APIRouter(dependencies=[require("reader")], include_in_schema=False)


@router.get("/me", response_class=HTMLResponse)
def me(request: Request, done: str = "") -> Response:
    """The page; who sits at the shop's own machine and signed in as nobody sets PINs where people are."""
    if not visitor_of(request).name:
        return RedirectResponse("/people", 303)
    return _page(request, None, done)


@router.post("/me/pin", response_class=HTMLResponse)
def set_pin(request: Request, pin: Typed = "", again: Typed = "", password: Typed = "") -> Response:
    """Another PIN."""
    own = _own(request)
    if pin != again:
        return _page(request, because("pin-repeated-otherwise"))
    state, caller = state_of(request), caller_of(request)

    def change() -> Entered | Reason:
        pins.check(pin)
        found = entering.sign_in(state.served.store, own.name, password, caller)
        if isinstance(found, Entered):
            pins.set_pin(state.served.store, own.name, pin, state.now(), own.name, caller.address)
        return found

    return _changed(request, change, "pin_kept")


@router.post("/me/password", response_class=HTMLResponse)
def set_password(request: Request, old: Typed = "", password: Typed = "", again: Typed = "") -> Response:
    """Another password."""
    own = _own(request)
    if password != again:
        return _page(request, because("password-repeated-otherwise"))
    store, caller = state_of(request).served.store, caller_of(request)
    return _changed(request, lambda: entering.change_password(store, own.name, old, password, caller), "password_kept")


@router.post("/me/sign-out-others", response_class=HTMLResponse)
def end_others(request: Request) -> Response:
    """Every device but this one."""
    own, state = _own(request), state_of(request)
    sign_out_others(state.served.store, own.name, session_of(request), state.now(), address_of(request))
    return RedirectResponse("/me?done=others_out", 303)


def _changed(request: Request, change: Callable[[], Entered | Reason], done: str) -> Response:
    found = why_not(change)
    return entered(request, found, f"/me?done={done}") if isinstance(found, Entered) else _page(request, found)


def _own(request: Request) -> Person:
    """Whoever asks. Refused where nobody is signed in: at the shop's own machine."""
    name = visitor_of(request).name
    found = person(state_of(request).served.store, name) if name else None
    if found is None:
        raise RefusedError("not-found")
    return found


def _page(request: Request, trouble: Trouble, done: str = "") -> HTMLResponse:
    shown = me_page(_own(request), reader_of(request), trouble, done)
    return page(request, "me.html", sheet="settings", status=REFUSED if trouble else 200, me=shown)
