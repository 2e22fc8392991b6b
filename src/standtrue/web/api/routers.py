"""Every router of the API."""

from __future__ import annotations

from fastapi import APIRouter

from standtrue.web.api import answers, attachments, documents, jobs, journal, tasks


def api_routers() -> tuple[APIRouter, ...]:
    """Every router of the API."""
    return tuple(module.router for module in (jobs, documents, answers, tasks, journal, attachments))
