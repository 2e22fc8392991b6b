"""Which instruments a shop has, and whether their checks are overdue."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator

from attrs import frozen

from standtrue.model.shop import Shop
from standtrue.model.site import Site, SiteInstrument
from standtrue.work.aim.instruments import overdue_days


@frozen
class Held:
    """An instrument of a site. `due`: when its check ends to hold; `late`: by how many days it is overdue.

    Both are None where nobody said when it was checked, or for how long that holds.
    """

    site: str
    instrument: SiteInstrument
    due: datetime.date | None
    late: int | None


def instruments_of(shop: Shop, on: datetime.date) -> tuple[Held, ...]:
    """Every instrument of every site, overdue ones first, then those of which nobody knows, then the others."""
    return tuple(sorted(_held(shop.written.sites.values(), on), key=_order))


def _held(sites: Iterable[Site], on: datetime.date) -> Iterator[Held]:
    for site in sites:
        for one in site.instruments:
            late, due = overdue_days(one, on), None
            if late is not None and one.check_every_days is not None:
                due = datetime.date.fromisoformat(one.checked_on[:10]) + datetime.timedelta(days=one.check_every_days)
            yield Held(site.name, one, due, late)


def _order(one: Held) -> tuple[int, datetime.date, str]:
    rank = 1 if one.late is None else 0 if one.late else 2
    return rank, one.due or datetime.date.min, one.instrument.name
