"""Today: what waits for whom."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from standtrue.show.pages.today import today_page
from standtrue.web.pages import page
from standtrue.web.roles import require
from standtrue.web.state import reader_of, state_of

router = APIRouter()


@router.get("/", response_class=HTMLResponse, include_in_schema=False, dependencies=[require("reader")])
def today(request: Request) -> HTMLResponse:
    """The page."""
    state = state_of(request)
    return page(
        request, "today.html", sheet="today", today=today_page(state.served.shop(), state.now(), reader_of(request))
    )
