"""The pages and the API, a file a subject."""

from __future__ import annotations

from collections.abc import Iterator

from fastapi import APIRouter

from standtrue.web.routes import (
    car,
    cards,
    draw,
    entering,
    help,
    me,
    order_changes,
    orders,
    people,
    records,
    room,
    settings,
    shelves,
    start,
    today,
)

ROUTES = (
    today, records, entering, me, people, settings, orders, order_changes, start, draw, cards, room, shelves, help, car,
)  # fmt: skip
"""In the order in which their addresses are looked up."""


def all_routers() -> Iterator[APIRouter]:
    """Every router."""
    for module in ROUTES:
        yield module.router
