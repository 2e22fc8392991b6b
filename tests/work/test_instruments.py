"""Checks of instruments that are overdue."""

from __future__ import annotations

import datetime

from attrs import evolve

from standtrue.model.basics import Place
from standtrue.model.setup import Setup
from standtrue.model.site import Datum, Site, SiteInstrument
from standtrue.model.survey import Survey
from standtrue.work.aim.instruments import Overdue, overdue_days, overdue_in, overdue_then

RULE = SiteInstrument("steel rule", "offset", 0.0005, checked_on="2026-01-15", check_every_days=365)


def test_a_check_is_overdue_from_the_day_after_it_was_due() -> None:
    assert overdue_days(RULE, datetime.date(2027, 1, 15)) == 0
    assert overdue_days(RULE, datetime.date(2027, 1, 18)) == 3
    assert overdue_days(evolve(RULE, checked_on="2026-01-15T08:30"), datetime.date(2027, 1, 18)) == 3


def test_nobody_can_say_without_a_day_or_a_time() -> None:
    assert overdue_days(evolve(RULE, checked_on=""), datetime.date(2027, 1, 18)) is None
    assert overdue_days(evolve(RULE, check_every_days=None), datetime.date(2027, 1, 18)) is None


def test_only_what_the_set_up_uses_is_told() -> None:
    corners = ((0.0, 0.0), (6.0, 0.0), (6.0, 12.0), (0.0, 12.0))
    site = Site("shop", corners, Datum((0.0, 0.0)), instruments=(RULE, evolve(RULE, name="tape")))
    setup = Setup("set-up", "job", "card", Place(1.0, 1.0, 0.0), instrument_names=("tape", "its own"))
    assert overdue_in(setup, site, datetime.date(2027, 1, 18)) == (Overdue("tape", 3),)
    assert overdue_in(setup, site, datetime.date(2026, 6, 1)) == ()


def test_a_survey_is_told_whose_instrument_was_overdue_when_it_was_made() -> None:
    corners = ((0.0, 0.0), (6.0, 0.0), (6.0, 12.0), (0.0, 12.0))
    site = Site("shop", corners, Datum((0.0, 0.0)), instruments=(evolve(RULE, name="level"),))
    survey = Survey("floor", "shop", (), instrument="level", on="2027-01-18")
    assert overdue_then(survey, site) == (Overdue("level", 3, "floor"),)
    assert overdue_then(evolve(survey, on="2026-06-01"), site) == ()
    assert overdue_then(evolve(survey, on=""), site) == overdue_then(None, site) == ()
