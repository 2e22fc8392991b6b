"""Coming in: signing in, signing up by a code, signing out."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from standtrue.model.basics import UnansweredError
from standtrue.model.reason import Reason, because
from standtrue.show.pages.accounts import Trouble, sign_in_page, sign_up_page
from standtrue.web.pages import own_path, page
from standtrue.web.roles import require
from standtrue.web.state import reader_of, state_of
from standtrue.web.visitors import address_of, caller_of, drop_session, keep_session, session_of
from standtrue.work.accounts import entering
from standtrue.work.accounts.entering import Entered
from standtrue.work.accounts.sessions import sign_out

router = APIRouter(dependencies=[require("nobody")], include_in_schema=False)

Typed = Annotated[str, Form()]

REFUSED = 422


def entered(request: Request, found: Entered, to: str) -> Response:
    """Somebody came in: the browser gets a session of its own, and goes on."""
    response = RedirectResponse(own_path(to), 303)
    keep_session(request, response, found.number)
    return response


def why_not(do: Callable[[], Entered | Reason]) -> Entered | Trouble:
    """Who came in, or why nobody did."""
    try:
        return do()
    except UnansweredError as error:
        return tuple(error.faults)


@router.get("/sign-in", response_class=HTMLResponse)
def sign_in(request: Request, back: str = "/") -> HTMLResponse:
    """The page."""
    return _sign_in(request, own_path(back), "")


@router.post("/sign-in", response_class=HTMLResponse)
def sign_in_now(request: Request, name: Typed = "", password: Typed = "", back: Typed = "/") -> Response:
    """By name and password."""
    found = entering.sign_in(state_of(request).served.store, name, password, caller_of(request))
    if isinstance(found, Entered):
        return entered(request, found, back)
    return _sign_in(request, own_path(back), name, found)


@router.get("/sign-up", response_class=HTMLResponse)
def sign_up(request: Request) -> HTMLResponse:
    """Which code?"""
    return _sign_up(request, "")


@router.post("/sign-up", response_class=HTMLResponse)
def sign_up_with(request: Request, code: Typed = "") -> HTMLResponse:
    """Whom the code lets in."""
    found = entering.invited(state_of(request).served.store, code, caller_of(request))
    if isinstance(found, Reason):
        return _sign_up(request, code, None, found)
    return _sign_up(request, code, found.name)


@router.post("/sign-up/password", response_class=HTMLResponse)
def sign_up_now(  # long: one parameter for each thing that is typed
    request: Request, code: Typed = "", name: Typed = "", password: Typed = "", again: Typed = "", whose: Typed = ""
) -> Response:
    """Choose a password by a code. `whose` is the name that the page told, to tell it again."""
    if password != again:
        return _sign_up(request, code, whose, because("password-repeated-otherwise"), name)
    store, caller = state_of(request).served.store, caller_of(request)
    found = why_not(lambda: entering.sign_up(store, code, name, password, caller))
    if isinstance(found, Entered):
        return entered(request, found, "/me")
    return _sign_up(request, code, None if isinstance(found, Reason) else whose, found, name)


@router.post("/sign-out")
def sign_out_now(request: Request) -> Response:
    """This device only."""
    number = session_of(request)
    if number:
        state = state_of(request)
        sign_out(state.served.store, number, state.now(), address_of(request))
    response = RedirectResponse("/sign-in", 303)
    drop_session(request, response)
    return response


def _sign_in(request: Request, back: str, name: str, trouble: Trouble = None) -> HTMLResponse:
    form = sign_in_page(reader_of(request), trouble)
    return page(
        request, "sign-in.html", sheet="settings", status=REFUSED if trouble else 200, form=form, back=back, name=name
    )


def _sign_up(
    request: Request, code: str, whose: str | None = None, trouble: Trouble = None, name: str = ""
) -> HTMLResponse:
    form = sign_up_page(reader_of(request), whose, trouble)
    status = REFUSED if trouble else 200
    return page(request, "sign-up.html", sheet="settings", status=status, form=form, code=code, whose=whose, name=name)
