"""A room's year: a study answered as the page is looked at, and its sheet."""

from __future__ import annotations

import time
from urllib.parse import quote

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from standtrue.model.asking import Asking
from standtrue.model.basics import UnansweredError
from standtrue.model.study import Study
from standtrue.show.pages.room import RoomPage, room_at_work, room_failed, room_page
from standtrue.show.words.pages.order import fault_words
from standtrue.web.files import download
from standtrue.web.pages import page
from standtrue.web.problems import RefusedError
from standtrue.web.roles import require
from standtrue.web.state import paper_of, reader_of, state_of
from standtrue.web.tasks import Task
from standtrue.work.study.studies import find_study

router = APIRouter()

READS, ASKS = [require("reader")], [require("technician")]


@router.get("/room/{study}", response_class=HTMLResponse, include_in_schema=False, dependencies=READS)
def room(request: Request, study: str) -> HTMLResponse:
    """What a study comes to, or how far it is."""
    task, asked = _task(request, study)
    return page(
        request, "room.html", sheet="room", room=_page(request, task, asked), here=f"/room/{quote(study, safe='')}"
    )


@router.post("/room/{study}/stop", include_in_schema=False, dependencies=ASKS)
def stop(request: Request, study: str) -> Response:
    """Take what is known by now."""
    task, _ = _task(request, study)
    task.stop()
    return RedirectResponse(f"/room/{quote(study, safe='')}", 303)


@router.get("/room/{study}/sheet.pdf", include_in_schema=False, dependencies=READS)
def sheet(request: Request, study: str, number: int = 0) -> Response:
    """The sheet of one of its rooms."""
    # Loaded where it is asked for: sheets take longer to load than many an answer.
    from standtrue.show.sheets.room.make import make_room_sheet
    from standtrue.show.sheets.room.sheet import adviser_pdf
    from standtrue.work.sheet.room import find_room_sheets

    task, _ = _task(request, study)
    if not task.done or task.future.exception() is not None:
        raise RefusedError("not-found")
    answer = task.future.result()
    found = find_room_sheets(answer, Asking())
    if not 0 <= number < len(found):
        raise RefusedError("not-found")
    day = state_of(request).now().date().isoformat()
    made = make_room_sheet(answer, found[number], reader_of(request), day)
    return download(adviser_pdf(made, paper_of(request)), "room.pdf", "application/pdf", shown=True)


def _task(request: Request, name: str) -> tuple[Task, Study]:
    """The study being answered, on the documents as they are now."""
    state = state_of(request)
    shop, read = state.served.shop(), state.served.read()
    if name not in shop.written.studies:
        raise RefusedError("not-found")
    asked = shop.studies[name]
    task = state.tasks.ask(
        ("study", name, read.revision, read.day), lambda asking: find_study(shop, asked, asking=asking)
    )
    return task, asked


def _page(request: Request, task: Task, asked: Study) -> RoomPage:
    reader = reader_of(request)
    others = tuple(one for one in state_of(request).served.shop().written.studies if one != asked.name)
    if not task.done:
        told = task.progress
        done, of = (0, 0) if told is None else (told.done, told.total)
        return room_at_work(asked, done, of, time.monotonic() - task.begun, others, reader)
    error = task.future.exception()
    if isinstance(error, UnansweredError):
        return room_failed(asked, " ".join(fault_words(error.faults, reader)), others, reader)
    if error is not None:
        raise error
    return room_page(asked, task.future.result(), others, reader)
