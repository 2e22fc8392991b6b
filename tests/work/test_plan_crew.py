"""Who does each step by the clock: nobody is named for an hour at which they are not there."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from attrs import evolve

from standtrue.documents import read_folder
from standtrue.model.shop import Shop
from standtrue.model.site import Pace, Person, Site
from standtrue.show.answers.plan import PlanShape, of_plan
from standtrue.work.plan.plans import find_plan

SHOP = read_folder(Path(__file__).parent / "plan_shop").shop()
WEEK = tuple((day, "08:00", "17:00") for day in ("monday", "tuesday", "wednesday", "thursday", "friday"))
MORNINGS = tuple((day, "08:00", "12:00") for day, *_ in WEEK)


def planned(*people: Person, guide: bool = True) -> PlanShape:
    """The large floor's job for these people, from Monday at ten."""
    site = evolve(SHOP.sites["large floor"], people=people, hours=WEEK, pace=Pace(guide=guide))
    job = evolve(SHOP.jobs["large"], arrives="2026-03-02T10:00:00")
    return of_plan(find_plan(with_site(site), job, alternatives=False))


def with_site(site: Site) -> Shop:
    return Shop(evolve(SHOP.written, sites={**SHOP.written.sites, site.name: site}))


def named(shape: PlanShape) -> dict[str, set[str]]:
    """Whom the steps name, by kind of step."""
    found: dict[str, set[str]] = {}
    for step in shape.steps:
        found.setdefault(step.kind, set()).update(step.people)
    return found


def test_who_is_away_is_not_named_for_what_another_does() -> None:
    shape = planned(Person("A", away_on=("2026-03-02", "2026-03-03")), Person("B"), guide=False)
    assert shape.ready is not None
    assert shape.ready.latest.startswith("2026-03-02")
    assert set().union(*named(shape).values()) == {"B"}


def test_who_guides_is_there() -> None:
    """A works all day, B and C in the mornings: what ends in the afternoon waits for a guide until the next morning."""
    people = Person("A"), Person("B", hours=MORNINGS), Person("C", hours=MORNINGS, away_on=("2026-03-03",))
    shape = planned(*people)
    enters, leaves = (next(s for s in shape.steps if s.kind == kind) for kind in ("enter", "leave"))
    assert enters.people == ["A", "B"]
    assert leaves.people == ["A", "B"]
    assert leaves.starts is not None
    assert datetime.fromisoformat(leaves.starts[1]).hour < 12
    assert shape.ready is not None
    assert shape.ready.latest.startswith("2026-03-03")
    # Without the house's rule the car leaves as soon as it is done.
    alone = planned(*people, guide=False)
    assert alone.ready is not None
    assert alone.ready.latest.startswith("2026-03-02")


def test_one_person_cannot_be_guided() -> None:
    assert "too-few-to-guide" in {warning.code for warning in planned(Person("A")).warnings_coded}
    assert "too-few-to-guide" not in {w.code for w in planned(Person("A"), Person("B")).warnings_coded}
