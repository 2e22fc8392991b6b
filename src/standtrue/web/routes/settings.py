"""Settings: how it is read by somebody and by the shop, which instruments there are, whom a tablet is to trust."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from standtrue.model.basics import UnansweredError
from standtrue.model.reader_units import Language, Paper, System
from standtrue.show.answers.exchange import of_saved_alone
from standtrue.show.answers.kept import said_of
from standtrue.show.pages.accounts import trouble_words
from standtrue.show.pages.settings import instruments_page, settings_page, trust_page
from standtrue.show.words.reader import LANGUAGES
from standtrue.web.api.shared import by_of
from standtrue.web.pages import page
from standtrue.web.problems import problem_response
from standtrue.web.roles import require
from standtrue.web.routes.entering import REFUSED
from standtrue.web.state import keep_preference, preference_of, reader_of, state_of
from standtrue.work.settings.instruments import instruments_of
from standtrue.work.settings.reading import Reading, set_reading

router = APIRouter(include_in_schema=False)

Tongue = Annotated[Language, Form(pattern=f"^({'|'.join(LANGUAGES)})$")]
"""A language that has its words here."""


@router.get("/settings", response_class=HTMLResponse, dependencies=[require("reader")])
def settings(request: Request, done: str = "") -> HTMLResponse:
    """The page."""
    return _page(request, done)


@router.post("/settings/mine", dependencies=[require("reader")])
def set_own(units: Annotated[System, Form()], language: Tongue, paper: Annotated[Paper, Form()]) -> Response:
    """On this device."""
    response = RedirectResponse("/settings", 303)
    keep_preference(response, (units, language, paper))
    return response


@router.post("/settings/shop", response_class=HTMLResponse, dependencies=[require("owner")])
def set_shop(  # long: one parameter for each blank
    request: Request,
    site: Annotated[str, Form()],
    units: Annotated[System, Form()],
    language: Tongue,
    paper: Annotated[Paper, Form()],
) -> Response:
    """For whoever has not chosen."""
    try:
        set_reading(
            state_of(request).served,
            site,
            Reading(units, language, paper),
            by_of(request),
            lambda one: said_of(of_saved_alone(one)),
        )
    except UnansweredError as error:
        return _page(request, "", trouble_words(tuple(error.faults), reader_of(request)))
    return RedirectResponse("/settings?done=shop_kept", 303)


@router.get("/instruments", response_class=HTMLResponse, dependencies=[require("reader")])
def instruments(request: Request) -> HTMLResponse:
    """Which there are, and whether they are due for a check."""
    state = state_of(request)
    held = instruments_of(state.served.shop(), state.now().date())
    return page(request, "instruments.html", sheet="settings", instruments=instruments_page(held, reader_of(request)))


@router.get("/trust", response_class=HTMLResponse, dependencies=[require("nobody")])
def trust(request: Request) -> HTMLResponse:
    """How a tablet comes to trust this server."""
    own = state_of(request).authority
    told = ("", "") if own is None else (own.digest, own.address)
    return page(request, "trust.html", sheet="settings", trust=trust_page(*told, reader_of(request)))


@router.get("/trust/authority.crt", dependencies=[require("nobody")])
def authority(request: Request) -> Response:
    """The certificate of the shop's authority, as devices take one."""
    own = state_of(request).authority
    if own is None:
        return problem_response("not-found")
    return Response(own.certificate, media_type="application/x-x509-ca-cert")


def _page(request: Request, done: str, trouble: str = "") -> HTMLResponse:
    shown = settings_page(state_of(request).served.shop(), preference_of(request), reader_of(request), done, trouble)
    return page(request, "settings.html", sheet="settings", status=REFUSED if trouble else 200, settings=shown)
