"""The instruments that a set-up uses, and the one of its floor's survey, and whether their checks are overdue."""

from __future__ import annotations

import datetime

from attrs import frozen

from standtrue.model.setup import Setup
from standtrue.model.site import Site, SiteInstrument
from standtrue.model.survey import Survey


@frozen
class Overdue:
    """An instrument whose check is overdue by so many days; where `survey` is named, when that was made."""

    instrument: str
    days: int
    survey: str = ""


def overdue_days(one: SiteInstrument, on: datetime.date) -> int | None:
    """How many days an instrument's check was overdue on a day; 0 where it was not, None where nobody can say."""
    if not one.checked_on or one.check_every_days is None:
        return None
    due = datetime.date.fromisoformat(one.checked_on[:10]) + datetime.timedelta(days=one.check_every_days)
    return max((on - due).days, 0)


def overdue_in(setup: Setup, site: Site, on: datetime.date) -> tuple[Overdue, ...]:
    """The instruments of the site that a set-up uses and whose checks were overdue on a day."""
    known = {one.name: one for one in site.instruments}
    late = [(name, overdue_days(known[name], on)) for name in setup.instrument_names if name in known]
    return tuple(Overdue(name, days) for name, days in late if days)


def overdue_then(survey: Survey | None, site: Site) -> tuple[Overdue, ...]:
    """The instrument of a survey, if its check was overdue on the day of the survey."""
    if survey is None or not survey.on:
        return ()
    known = next((one for one in site.instruments if one.name == survey.instrument), None)
    days = None if known is None else overdue_days(known, datetime.date.fromisoformat(survey.on[:10]))
    return (Overdue(survey.instrument, days, survey.name),) if days else ()
