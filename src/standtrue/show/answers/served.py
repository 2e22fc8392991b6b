"""What only the app's API answers: documents one by one, tasks, files on their way, and problems."""

from __future__ import annotations

import json
from collections.abc import Iterable
from datetime import date, datetime, time
from typing import Any, Literal

from pydantic import Field

from standtrue.model.asking import Progress
from standtrue.model.job import Job
from standtrue.show.answers.faults import FaultShape, fault_shape
from standtrue.show.answers.parts import Coded, Shape, coded_or_none, program
from standtrue.show.words.reader import ENGLISH
from standtrue.store.documents import Version
from standtrue.work.served import Read


class DocumentLine(Shape):
    kind: str
    name: str
    path: str = Field(description="Where its file lies in the shop's folder.")
    version: int = Field(description="From 1.")
    saved_at: str = Field(description="UTC, ISO 8601.")
    saved_by: str


class DocumentsAnswer(Shape):
    documents: list[DocumentLine] = Field(description="In the order of kind and name.")


class DocumentAnswer(DocumentLine):
    content: dict[str, Any] = Field(description="What the document says; dates as texts.")
    faults: list[FaultShape]
    doubts: list[FaultShape]


class StaleAnswer(DocumentLine):
    text: str = Field(description="What is there now, as it was written.")


class JobLine(Shape):
    name: str
    order_number: str
    vehicle: str
    plate: str
    arrives: str
    promised: str


class JobsAnswer(Shape):
    jobs: list[JobLine] = Field(description="In the order of their names.")


class HealthAnswer(Shape):
    program: str
    revision: int = Field(description="How many versions of documents were ever saved.")


class ProgressShape(Shape):
    what: str
    done: int
    total: int = Field(description="0: not known.")
    what_coded: Coded | None = None


class TaskAnswer(Shape):
    number: str
    what: str = Field(description="Which answer is worked out.")
    state: Literal["waiting", "working", "stopping", "answered", "refused", "failed"]
    stopped: bool = Field(description="Somebody stopped it: the answer is the best by then.")
    progress: ProgressShape | None
    best: str | None = Field(default=None, description="What an early stop would give, where that is known.")
    best_coded: Coded | None = None
    answer: dict[str, Any] | None = Field(description="As the command of that name answers with `--json`.")
    faults: list[FaultShape] = Field(description="Why it was refused.")


class UploadAnswer(Shape):
    key: str
    size: int = Field(description="Of the whole file, bytes.")
    received: int = Field(description="So many bytes are here: the next piece begins there.")


class ProblemAnswer(Shape):
    """What is refused (RFC 9457)."""

    type: str
    code: str
    status: int
    title: str
    faults: list[FaultShape] = Field(default=[], description="What is wrong, all of it.")
    where: list[dict[str, Any]] = Field(default=[], description="Fields of the request that cannot be taken.")
    yours: str | None = Field(default=None, description="Of a stale change: what was to be saved.")
    theirs: StaleAnswer | None = Field(default=None, description="Of a stale change: what is there.")
    received: int | None = Field(default=None, description="Of a piece out of turn: so many bytes are here.")


def of_versions(versions: Iterable[Version]) -> DocumentsAnswer:
    """Documents without what they say."""
    return DocumentsAnswer(documents=[document_line(one) for one in versions])


def document_line(one: Version) -> DocumentLine:
    """One document without what it says."""
    return DocumentLine(**_line(one))


def of_document(read: Read, one: Version) -> DocumentAnswer:
    """A document, what is wrong with it, and what can hardly be meant in it."""
    content = next((document.content for document in read.documents if document.file == one.path), {})
    return DocumentAnswer(
        **_line(one),
        content=json.loads(json.dumps(content, default=_written)),
        faults=[fault_shape(fault) for fault in read.folder.faults if fault.file == one.path],
        doubts=[fault_shape(doubt) for doubt in read.folder.doubts if doubt.file == one.path],
    )


def of_stale(latest: Version) -> StaleAnswer:
    """What is there, for somebody who changed an older version."""
    return StaleAnswer(**_line(latest), text=(latest.content or b"").decode("utf-8", "replace"))


def of_jobs(jobs: Iterable[Job]) -> JobsAnswer:
    """Jobs, a line each."""
    return JobsAnswer(
        jobs=[
            JobLine(
                name=job.name,
                order_number=job.order_number,
                vehicle=job.vehicle,
                plate=job.plate,
                arrives=job.arrives,
                promised=job.promised,
            )
            for job in jobs
        ]
    )


def of_health(read: Read) -> HealthAnswer:
    """That the shop can be read."""
    return HealthAnswer(program=program(), revision=read.revision)


def progress_shape(progress: Progress | None) -> ProgressShape | None:
    """How far a task is."""
    if progress is None:
        return None
    what, told = ENGLISH.reason(progress.what), coded_or_none(progress.what)
    return ProgressShape(what=what, done=progress.done, total=progress.total, what_coded=told)


def answered_task(number: str, what: str, answer: Shape, *, stopped: bool) -> TaskAnswer:
    """A task that came to its answer."""
    told = answer.to_json()
    return TaskAnswer(
        number=number, what=what, state="answered", stopped=stopped, progress=None, answer=told, faults=[]
    )


def _line(one: Version) -> dict[str, Any]:
    names = ("kind", "name", "path", "version", "saved_at", "saved_by")
    return {name: getattr(one, name) for name in names}


def _written(value: object) -> str:
    """A date or a time as a text; TOML has nothing else that JSON has not."""
    assert isinstance(value, date | datetime | time)
    return value.isoformat()
