"""The jobs of the shop, and whether it can be read at all."""

from __future__ import annotations

from typing import Annotated

from fastapi import Query, Request, Response

from standtrue.show.answers.served import HealthAnswer, JobsAnswer, of_health, of_jobs
from standtrue.web.api.shared import Limit, answered, new_router, next_page, told
from standtrue.web.roles import require
from standtrue.web.state import state_of

router = new_router("jobs")


@router.get("/health", responses=answered(HealthAnswer), dependencies=[require("nobody")])
def get_health(request: Request) -> Response:
    """That the server runs and reads its store."""
    return told(of_health(state_of(request).served.read()))


@router.get("/jobs", responses=answered(JobsAnswer), dependencies=[require("reader")])
def list_jobs(
    request: Request,
    limit: Limit = 100,
    after: Annotated[str, Query(max_length=200, description="Those behind the job of this name.")] = "",
) -> Response:
    """Every job that can be read. What a job says is its document; what was kept of it is in the journal."""
    jobs = sorted(state_of(request).served.shop().written.jobs.values(), key=lambda job: job.name)
    behind = [job for job in jobs if job.name > after]
    more = behind[limit - 1].name if len(behind) > limit else None
    return told(of_jobs(behind[:limit]), headers=next_page(request, more))
