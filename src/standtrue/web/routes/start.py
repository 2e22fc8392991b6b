"""The first start: two sentences to complete, and the answer as they are."""

from __future__ import annotations

from typing import Annotated

from attrs import evolve
from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from standtrue.model.basics import Fault, UnansweredError
from standtrue.show.answers.exchange import of_taken_in
from standtrue.show.answers.kept import said_of
from standtrue.show.pages.start import start_page, start_picture
from standtrue.show.words.pages.start import first_name
from standtrue.web.files import PICTURE_POLICY
from standtrue.web.pages import page
from standtrue.web.roles import require
from standtrue.web.state import reader_of, state_of, visitor_of
from standtrue.work.start import Asked, First, answer_first, defaults, go_on

router = APIRouter()

FIELDS = ("wide", "long", "high", "door", "wall", "lift", "gap", "body", "sensor")


@router.get("/start", response_class=HTMLResponse, include_in_schema=False, dependencies=[require("planner")])
def start(request: Request) -> HTMLResponse:
    """The sentences, and the answer to them as they stand."""
    asked = _asked(request)
    first, faults = _answered(request, asked)
    shown = start_page(asked, first, faults, reader_of(request))
    return page(request, "start.html", start=shown, query=request.url.query)


@router.get("/start/picture.svg", include_in_schema=False, dependencies=[require("planner")])
def picture(request: Request) -> Response:
    """The room."""
    first, faults = _answered(request, _asked(request))
    if first is None:
        raise UnansweredError(faults)
    svg = start_picture(first, reader_of(request))
    return Response(svg, media_type="image/svg+xml", headers={"Content-Security-Policy": PICTURE_POLICY})


async def _form(request: Request) -> dict[str, str]:
    return {name: value for name, value in (await request.form()).items() if isinstance(value, str)}


Filled = Annotated[dict[str, str], Depends(_form)]
"""The fields of a form, as text."""


@router.post("/start", include_in_schema=False, dependencies=[require("planner")])
def keep(request: Request, filled: Filled) -> Response:
    """Go on with this floor."""
    reader, state = reader_of(request), state_of(request)
    asked = _filled(defaults(reader.units), filled)
    by = visitor_of(request).name or state.served.by
    go_on(state.served.store, asked, reader.units, first_name(reader), by, lambda one: said_of(of_taken_in(one)))
    return RedirectResponse("/", 303)


def _asked(request: Request) -> Asked:
    return _filled(defaults(reader_of(request).units), dict(request.query_params))


def _filled(asked: Asked, given: dict[str, str]) -> Asked:
    return evolve(asked, **{field: given[field] for field in FIELDS if field in given})


def _answered(request: Request, asked: Asked) -> tuple[First | None, tuple[Fault, ...]]:
    reader = reader_of(request)
    try:
        return answer_first(asked, reader.units, first_name(reader)), ()
    except UnansweredError as error:
        return None, tuple(error.faults)
