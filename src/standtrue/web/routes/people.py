"""Who works here: added, given a role, a code, a PIN; unlocked, signed out, removed. An owner's alone."""

from __future__ import annotations

from collections.abc import Callable

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from standtrue.model.basics import UnansweredError
from standtrue.show.pages.accounts import Trouble, people_page
from standtrue.web.api.shared import by_of
from standtrue.web.pages import page
from standtrue.web.problems import RefusedError
from standtrue.web.roles import require
from standtrue.web.routes.entering import REFUSED, Typed
from standtrue.web.state import State, reader_of, state_of
from standtrue.web.visitors import address_of
from standtrue.work.accounts import entering, people, pins

router = APIRouter(dependencies=[require("owner")], include_in_schema=False)


@router.get("/people", response_class=HTMLResponse)
def everybody(request: Request) -> HTMLResponse:
    """The page."""
    return _page(request)


@router.post("/people/add", response_class=HTMLResponse)
def add(request: Request, name: Typed = "", role: Typed = "") -> Response:
    """A further person; over the network, with a code to sign up with."""

    def change(state: State, by: str, address: str) -> None:
        people.add_person(state.served.store, name, role, state.now(), by, address)

    done = _done(request, change)
    return make_code(request, name) if done.status_code != REFUSED and state_of(request).sign_in else done


@router.post("/people/code", response_class=HTMLResponse)
def make_code(request: Request, name: Typed = "") -> Response:
    """A code, shown once."""
    made: list[str] = []

    def change(state: State, by: str, address: str) -> None:
        made.append(entering.invite(state.served.store, name, state.now(), by, address))

    done = _done(request, change)
    return _page(request, code=(made[0], name)) if made else done


@router.post("/people/role", response_class=HTMLResponse)
def change_role(request: Request, name: Typed = "", role: Typed = "") -> Response:
    """Another role."""
    return _done(
        request,
        lambda state, by, address: people.change_role(state.served.store, name, role, state.now(), by, address),
    )


@router.post("/people/pin", response_class=HTMLResponse)
def set_pin(request: Request, name: Typed = "", pin: Typed = "") -> Response:
    """A first PIN, at the shop's own machine; over the network everybody sets their own, so that no owner knows it."""
    found = people.person(state_of(request).served.store, name)
    if state_of(request).sign_in or (found is not None and found.has_pin):
        raise RefusedError("may-not")
    return _done(
        request, lambda state, by, address: pins.set_pin(state.served.store, name, pin, state.now(), by, address)
    )


@router.post("/people/pin-off", response_class=HTMLResponse)
def remove_pin(request: Request, name: Typed = "") -> Response:
    """A PIN that was forgotten."""
    return _named(request, people.remove_pin, name)


@router.post("/people/lift", response_class=HTMLResponse)
def lift(request: Request, name: Typed = "") -> Response:
    """Let somebody try again."""
    return _named(request, people.lift_locks, name)


@router.post("/people/end", response_class=HTMLResponse)
def end(request: Request, name: Typed = "") -> Response:
    """Sign somebody out everywhere."""
    return _named(request, people.end_sessions, name)


@router.post("/people/remove", response_class=HTMLResponse)
def remove(request: Request, name: Typed = "") -> Response:
    """Somebody who works here no more."""
    return _named(request, people.remove_person, name)


def _named(request: Request, change: Callable[..., None], name: str) -> Response:
    return _done(request, lambda state, by, address: change(state.served.store, name, state.now(), by, address))


def _done(request: Request, change: Callable[[State, str, str], None]) -> Response:
    """Do it, by whoever asks; then the page, which says why where it could not be done."""
    try:
        change(state_of(request), by_of(request), address_of(request))
    except UnansweredError as error:
        return _page(request, tuple(error.faults))
    return RedirectResponse("/people", 303)


def _page(request: Request, trouble: Trouble = None, code: tuple[str, str] | None = None) -> HTMLResponse:
    state, reader = state_of(request), reader_of(request)
    store, network = state.served.store, state.sign_in
    there, events = people.people(store), people.happened(store)
    shown = people_page(there, events, reader, network=network, trouble=trouble, code=code)
    return page(request, "people.html", sheet="settings", status=REFUSED if trouble else 200, people=shown)
