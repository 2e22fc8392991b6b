"""The record: looked through, read a page at a time, handed out."""

from __future__ import annotations

import re
import shutil
import tempfile
from pathlib import Path
from typing import Annotated, Any, Literal

from fastapi import Query, Request, Response
from fastapi.responses import FileResponse
from pydantic import Field
from starlette.background import BackgroundTask

from standtrue.show.answers.record import RecordAnswer
from standtrue.show.answers.recorded import of_record
from standtrue.show.answers.records import AnchorAnswer, RecordsAnswer, of_anchor, of_job_record, of_looked
from standtrue.show.sheets.record.page import MOST_BYTES, photo_digests, record_pdf
from standtrue.show.words.kept import content_words
from standtrue.show.words.reader import ENGLISH
from standtrue.web.api.shared import Limit, answered, json_bytes, new_router, next_page, responses, told
from standtrue.web.problems import RefusedError
from standtrue.web.roles import require
from standtrue.web.state import paper_of, reader_of, state_of
from standtrue.work.records.exporting import hand_out
from standtrue.work.records.gathering import gather_record, read_whole
from standtrue.work.records.searching import look_for, read_page
from standtrue.work.records.verifying import head_of

router = new_router("journal")

Job = Annotated[str, Query(max_length=200, description="The name of a job; empty: what belongs to none.")]
Day = Annotated[str, Query(max_length=10, description="YYYY-MM-DD, UTC.")]
Words = Annotated[list[Annotated[str, Field(max_length=100)]] | None, Query(max_length=10)]


@router.get("/journal", responses=answered(RecordsAnswer), dependencies=[require("reader")])
def search(
    request: Request,
    words: Words = None,
    first: Annotated[Day, Query(alias="from")] = "",
    last: Annotated[Day, Query(alias="to")] = "",
    limit: Limit = 50,
    after: Annotated[str, Query(max_length=300, description="As the link to the next page has it.")] = "",
) -> Response:
    """Jobs in the record by words and days, the last kept first: as `records --json` answers."""
    at, _, job = after.partition(" ")
    behind = (at, job) if at else None
    looked = look_for(state_of(request).served.store, words or (), first, last, most=limit, after=behind)
    more = None if looked.after is None else " ".join(looked.after)
    return told(of_looked(looked), headers=next_page(request, more))


@router.get("/journal/entries", responses=answered(RecordsAnswer), dependencies=[require("reader")])
def list_entries(
    request: Request,
    job: Job = "",
    limit: Limit = 50,
    after: Annotated[int, Query(ge=-1, le=2**31, description="Those behind the entry of this number.")] = -1,
) -> Response:
    """Entries of one job in order, each with what it says in words."""
    page = read_page(state_of(request).served.store, job, after=after, most=limit)
    said = [content_words(one.entry.kind, one.entry.shape, one.content, ENGLISH) for one in page.entries]
    more = page.entries[-1].entry.number if page.more else None
    told_entries = of_job_record(tuple(zip(page.entries, said, strict=True)), None)
    return told(told_entries, headers=next_page(request, more))


@router.get(
    "/journal/content",
    responses={**responses("not-found"), 200: {"content": {"application/json": {"schema": {"type": "object"}}}}},
    dependencies=[require("reader")],
)
def get_content(
    request: Request, number: Annotated[int, Query(ge=0, le=2**31, description="In the job, from 0.")], job: Job = ""
) -> Response:
    """What one entry holds, byte for byte as it was kept: the answer, in the shape that the entry names."""
    page = read_page(state_of(request).served.store, job, after=number - 1, most=1)
    if not page.entries or page.entries[0].content is None:
        raise RefusedError("not-found")
    return json_bytes(page.entries[0].content, 200)


@router.get(
    "/journal/record",
    responses={
        **answered(RecordAnswer),
        200: {
            "model": RecordAnswer,
            "content": {"application/pdf": {"schema": {"type": "string", "format": "binary"}}},
        },
    },
    dependencies=[require("reader")],
)
def get_record(
    request: Request, job: Job, form: Annotated[Literal["json", "pdf"], Query(alias="as")] = "json"
) -> Response:
    """The record of a job, as `record --json` answers, or as PDF."""
    place = state_of(request).served.store
    kept = of_record(gather_record(place, job))
    if form == "json":
        return told(kept)
    photos = read_whole(place, photo_digests(kept), MOST_BYTES)
    made = record_pdf(kept, photos, paper_of(request), reader_of(request))
    return Response(made, media_type="application/pdf", headers=_saved_as(job, "pdf"))


@router.get(
    "/journal/export",
    responses={
        **responses(),
        200: {"content": {"application/zip": {"schema": {"type": "string", "format": "binary"}}}},
    },
    dependencies=[require("reader")],
)
def export(request: Request, job: Job) -> Response:
    """One job, handed out with its proof: as `records --job JOB --out FILE.zip` writes it."""
    folder = Path(tempfile.mkdtemp(prefix="standtrue-"))
    gone = BackgroundTask(shutil.rmtree, folder, ignore_errors=True)
    try:
        file = hand_out(state_of(request).served.store, job, folder / "record.zip").out
    except BaseException:
        shutil.rmtree(folder, ignore_errors=True)
        raise
    return FileResponse(file, media_type="application/zip", headers=_saved_as(job, "zip"), background=gone)


@router.get("/journal/anchor", responses=answered(AnchorAnswer), dependencies=[require("reader")])
def get_anchor(request: Request) -> Response:
    """The head of the log, to hand out daily: as `anchor --json` answers."""
    return told(of_anchor(head_of(state_of(request).served.store)))


def _saved_as(job: str, ending: str) -> dict[str, Any]:
    slug = re.sub(r"[^a-z0-9]+", "-", job.lower()).strip("-")[:60] or "shop"
    return {"Content-Disposition": f'attachment; filename="record-{slug}.{ending}"'}
