"""Answers: short ones at once, long ones as tasks."""

from __future__ import annotations

import asyncio
import json
from collections.abc import Callable
from typing import Annotated, Any, Literal

from fastapi import Query, Request, Response
from fastapi.responses import JSONResponse

from standtrue.model.asking import Asking
from standtrue.show.answers.kept import is_kept, said_of
from standtrue.show.answers.served import TaskAnswer
from standtrue.web.api.once import do_once
from standtrue.web.api.questions import QUESTIONS, Question
from standtrue.web.api.shared import ADDRESS, Key, answered, as_bytes, by_of, new_router
from standtrue.web.api.tasks import of_task
from standtrue.web.long import ask_once
from standtrue.web.roles import require
from standtrue.web.state import state_of
from standtrue.work.keep.answers import keep_answer_in

router = new_router("answers")

Keep = Annotated[
    Literal["yes", "no"], Query(description="Whether an answer about a job is kept in its record, as commands do.")
]


def _short(question: Question) -> Callable[..., Any]:
    def answer(request: Request, asked: Any, keep: Keep = "yes", key: Key = None) -> Response:
        state = state_of(request)
        found = question.answer(state, asked, Asking())
        content = as_bytes(found.shape)
        if keep == "no" or found.job is None or not is_kept(found.shape):
            return Response(content, media_type="application/json")

        shop, said, by = state.served.shop(), said_of(found.shape), by_of(request)

        def do(connection: Any) -> tuple[int, bytes]:
            assert found.job is not None
            keep_answer_in(connection, shop, found.job, said, found.basis.marks, by)
            return 200, content

        return do_once(request, key, found.job, asked.model_dump_json().encode(), do)

    return answer


def _long(question: Question) -> Callable[..., Any]:
    async def answer(request: Request, asked: Any, keep: Keep = "yes", key: Key = None) -> Response:
        state, by = state_of(request), by_of(request)
        found = await asyncio.to_thread(ask_once, state, question, asked, by, key, keep=keep == "yes")
        task = json.loads(found) if isinstance(found, bytes) else of_task(found).to_json()
        address = f"{ADDRESS}/tasks/{task['number']}"
        return JSONResponse(task, 202, {"Location": address, "Content-Location": address})

    return answer


def _add(question: Question) -> None:
    made = (_long if question.long else _short)(question)
    made.__annotations__["asked"] = question.asked
    made.__name__ = f"ask_{question.name}"
    shape, status = (TaskAnswer, 202) if question.long else (question.shape, 200)
    router.add_api_route(
        f"/answers/{question.name}",
        made,
        methods=["POST"],
        status_code=status,
        summary=f"As `{question.name} --json` answers" + (", as a task." if question.long else "."),
        responses=answered(shape, "used-otherwise", "too-large", "cross-site", "another-kind", status=status),
        dependencies=[require("technician")],
    )


for _question in QUESTIONS:
    _add(_question)
