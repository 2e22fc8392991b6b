"""Which instruments are due for a check, as the page tells it."""

from __future__ import annotations

import datetime

from standtrue.model.shop import Shop, Written
from standtrue.model.site import Datum, Site, SiteInstrument
from standtrue.show.pages.settings import instruments_page
from standtrue.show.words.reader import ENGLISH, Reader
from standtrue.work.settings.instruments import instruments_of

ON = datetime.date(2026, 3, 2)
FLOOR = ((0.0, 0.0), (9.0, 0.0), (9.0, 9.0), (0.0, 9.0))


def shop(*instruments: SiteInstrument) -> Shop:
    return Shop(Written(sites={"shop": Site("shop", FLOOR, Datum((0.0, 0.0)), instruments=instruments)}))


def tool(name: str, checked: str = "", every: int | None = None) -> SiteInstrument:
    return SiteInstrument(name, "distance", 0.001, serial="S 1", checked_on=checked, check_every_days=every)


OLD = tool("old tape", "2025-03-01", 365)  # held until 2026-03-01, a day before
NEW, HALF, TAPE = tool("new tape"), tool("half-told tape", "2026-01-01"), tool("tape", "2025-03-02", 365)


def test_overdue_ones_come_first_and_unknown_ones_are_never_called_current() -> None:
    shown = instruments_page(instruments_of(shop(TAPE, NEW, OLD, HALF), ON), ENGLISH)
    assert shown.answer == "1 check is overdue: old tape."
    assert [(row.cells[0], row.mark, row.state) for row in shown.rows] == [
        ("old tape", "late", "late since 2026-03-01, 1 day"),
        ("half-told tape", "unsure", "cannot tell"),
        ("new tape", "unsure", "cannot tell"),
        ("tape", "yes", "current until 2026-03-02"),
    ]
    assert shown.rows[0].cells == ("old tape", "distance", "S 1", "2025-03-01")


def test_what_nobody_said_is_told_in_the_answer() -> None:
    def answer(*tools: SiteInstrument) -> str:
        return instruments_page(instruments_of(shop(*tools), ON), ENGLISH).answer

    assert answer(TAPE) == "No check is overdue."
    assert answer(TAPE, NEW).startswith("No check is known to be overdue; of 1 instrument nobody said")
    assert answer() == "No document of a site names an instrument."


def test_it_is_told_in_spanish() -> None:
    shown = instruments_page(instruments_of(shop(OLD), ON), Reader("us", "es"))
    assert shown.answer == "1 revisión está atrasada: old tape."
    assert shown.rows[0].cells[1] == "distancia"
