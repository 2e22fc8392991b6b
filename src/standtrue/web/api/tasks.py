"""Long answers while they are worked out: how far, to listen to it, to stop it and take the best so far."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator
from typing import Annotated

from fastapi import Path, Request, Response
from fastapi.responses import StreamingResponse

from standtrue.model.basics import UnansweredError
from standtrue.show.answers.faults import fault_shape
from standtrue.show.answers.parts import coded_or_none
from standtrue.show.answers.served import TaskAnswer, progress_shape
from standtrue.show.words.reader import ENGLISH
from standtrue.web.api.questions import Found
from standtrue.web.api.shared import answered, as_bytes, json_bytes, new_router, told
from standtrue.web.problems import RefusedError
from standtrue.web.roles import require
from standtrue.web.state import state_of
from standtrue.web.tasks import Task
from standtrue.work.keep.once import kept_answered

router = new_router("tasks")

LOOKED_S = 0.1
"""How often a listener is told what changed, seconds."""

QUIET_S = 15.0
"""After so long without news a listener is told that somebody is there, seconds."""

WAITED_S = 20.0
"""How long one waits for what a stopped task comes to, seconds."""

Number = Annotated[str, Path(pattern="^[0-9a-f]{32}$")]


@router.get("/tasks/{number}", responses=answered(TaskAnswer, "no-such-task"), dependencies=[require("reader")])
def get_task(request: Request, number: Number) -> Response:
    """How far a task is; once it is answered, its answer, also where another server gave it."""
    found = _task(request, number)
    return json_bytes(found, 200) if isinstance(found, bytes) else told(of_task(found))


@router.delete("/tasks/{number}", responses=answered(TaskAnswer, "no-such-task"), dependencies=[require("technician")])
async def stop_task(request: Request, number: Number) -> Response:
    """Stop a task, and give the best so far: at the end of the step in hand."""
    task = await asyncio.to_thread(_task, request, number)
    if isinstance(task, bytes):
        return json_bytes(task, 200)
    task.stop()
    waited = 0.0
    while not task.done and waited < WAITED_S:
        await asyncio.sleep(LOOKED_S)
        waited += LOOKED_S
    return told(await asyncio.to_thread(of_task, task))


@router.get(
    "/tasks/{number}/events",
    responses={
        **answered(TaskAnswer, "no-such-task"),
        200: {
            "description": "`progress` whenever a step is done; `best` when something better is found; then `end`, "
            "each with a task as its data.",
            "content": {"text/event-stream": {"schema": {"type": "string"}}},
        },
    },
    response_class=StreamingResponse,
    dependencies=[require("reader")],
)
async def listen(request: Request, number: Number) -> StreamingResponse:
    """A task's progress as server-sent events (WHATWG HTML, 9.2), until it is answered."""
    task = await asyncio.to_thread(_task, request, number)
    return StreamingResponse(
        _events(request, task), media_type="text/event-stream", headers={"X-Accel-Buffering": "no"}
    )


async def _events(request: Request, task: Task | bytes) -> AsyncIterator[str]:
    if isinstance(task, bytes):
        yield _event("end", task.decode())
        return
    seen, best, quiet = object(), task.best, 0.0
    while not task.done:
        if task.progress is not seen:
            seen, quiet = task.progress, 0.0
            yield _event("progress" if task.best is best else "best", _said(task))
            best = task.best
        elif quiet >= QUIET_S:
            quiet = 0.0
            yield ": here\n\n"
        await asyncio.sleep(LOOKED_S)
        quiet += LOOKED_S
        if await request.is_disconnected():
            return
    yield _event("end", await asyncio.to_thread(_said, task))


def _said(task: Task) -> str:
    return as_bytes(of_task(task)).decode()


def _event(name: str, told: str) -> str:
    return f"event: {name}\ndata: {told}\n\n"


def _task(request: Request, number: str) -> Task | bytes:
    """A task in hand, or what it came to. Raises RefusedError for one that nobody works out any more."""
    state = state_of(request)
    found = state.tasks.find(number) or kept_answered(state.served.store, number)
    if found is None:
        raise RefusedError("no-such-task")
    return found


def of_task(task: Task) -> TaskAnswer:
    """A task as it is now."""
    done, error = task.done, task.future.exception() if task.done else None
    faults = error.faults if isinstance(error, UnansweredError) else ()
    found = task.future.result() if done and error is None else None
    waiting = "stopping" if task.stopping else "working" if task.at_work else "waiting"
    ended = "answered" if error is None else "refused" if faults else "failed"
    return TaskAnswer(
        number=task.number,
        what=str(task.key[0]) if isinstance(task.key, tuple) else "",
        state=ended if done else waiting,  # type: ignore[arg-type]  # each is one of the shape's words
        stopped=found.stopped if isinstance(found, Found) else done and task.stopping,
        progress=progress_shape(task.progress),
        best=None if task.best is None else ENGLISH.reason(task.best),
        best_coded=coded_or_none(task.best),
        answer=found.shape.to_json() if isinstance(found, Found) else None,
        faults=[fault_shape(fault) for fault in faults],
    )
