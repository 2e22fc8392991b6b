"""The records: looked for, opened, printed, handed out."""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response

from standtrue.show.answers.recorded import of_record
from standtrue.show.pages.records import record_page, records_page
from standtrue.show.sheets.record.page import MOST_BYTES, photo_digests, record_pdf
from standtrue.web.files import download
from standtrue.web.pages import page
from standtrue.web.roles import require
from standtrue.web.state import paper_of, reader_of, state_of
from standtrue.work.records.exporting import hand_out
from standtrue.work.records.gathering import gather_record, read_whole
from standtrue.work.records.searching import look_for

router = APIRouter(dependencies=[require("reader")])

A_PAGE = 50


@router.get("/records", response_class=HTMLResponse, include_in_schema=False)
def records(
    request: Request, words: str = "", first: str = "", last: str = "", behind: str = "", job: str = ""
) -> HTMLResponse:
    """Looking for one."""
    place = state_of(request).served.store
    after = (behind, job) if behind else None
    looked = look_for(place, words.split(), first, last, most=A_PAGE, after=after)
    return page(request, "records.html", sheet="records", records=records_page(looked, reader_of(request)))


@router.get("/records/{job:path}/record.pdf", include_in_schema=False)
def printed(request: Request, job: str) -> Response:
    """It on paper."""
    place = state_of(request).served.store
    record = of_record(gather_record(place, job))
    photos = read_whole(place, photo_digests(record), MOST_BYTES)
    pdf = record_pdf(record, photos, paper_of(request), reader_of(request))
    return download(pdf, f"{job}.pdf", "application/pdf", shown=True)


@router.get("/records/{job:path}/record.zip", include_in_schema=False)
def handed_out(request: Request, job: str) -> Response:
    """It as a file that others can check."""
    with TemporaryDirectory() as folder:
        out = Path(folder) / "record.zip"
        hand_out(state_of(request).served.store, job, out)
        return download(out.read_bytes(), f"{job}.zip", "application/zip")


@router.get("/records/{job:path}", response_class=HTMLResponse, include_in_schema=False)
def record(request: Request, job: str) -> HTMLResponse:
    """One of them, proven as it is opened."""
    gathered = gather_record(state_of(request).served.store, job)
    shown = record_page(of_record(gathered), gathered.entries, reader_of(request))
    return page(request, "record.html", sheet="records", record=shown)
