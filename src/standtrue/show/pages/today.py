"""Today: what waits for whom."""

from __future__ import annotations

from datetime import datetime

from attrs import frozen

from standtrue.model.shop import Shop
from standtrue.show.words.pages.today import today_question
from standtrue.show.words.reader import Reader


@frozen
class TodayPage:
    """The page."""

    question: str
    orders: tuple[tuple[str, str], ...]


def today_page(shop: Shop, now: datetime, reader: Reader) -> TodayPage:
    """What waits for whom at `now`."""
    del now
    orders = tuple((job.order_number or job.name, job.vehicle) for job in shop.written.jobs.values())
    return TodayPage(today_question(reader), orders)
