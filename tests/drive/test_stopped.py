"""A search that is stopped tells what was found by then, and that it was stopped."""

from __future__ import annotations

from attrs import evolve
from drive_makers import CAR, bay, box

from standtrue.drive.path.found import Outcome
from standtrue.model.asking import Asking, Progress
from standtrue.model.lift import Obstacle
from standtrue.model.reason import because
from standtrue.model.shop import Shop, Written
from standtrue.show.answers.drive import DriveAnswer, of_drive
from standtrue.work.drive.drives import Driven, drive_between

PARKED, OUT = "6.975,0.945,0", "6,5.5,180"


def moved(asking: Asking) -> Driven:
    """Out from between two cars, 1 cm from the kerb: a coarse search finds no way."""
    cars = tuple(Obstacle(n, box(x, 1.06, x + 4.7, 2.91), 0.0, 2.0) for n, x in (("van", 1.0), ("truck", 11.0)))
    site = evolve(bay(17.0, 7.0), obstacles=cars, gaps=evolve(bay(9.0).gaps, body_m=0.01))
    shop = Shop(Written(sites={site.name: site}, vehicles={CAR.name: CAR}))
    return drive_between(shop, None, None, PARKED, OUT, asking=asking)


def test_a_stopped_search_says_so() -> None:
    told_of: list[Progress] = []
    driven = moved(Asking(told_of.append, stopped=lambda: True))
    assert told_of[0] == Progress(because("searching-finer"), 1)
    assert not driven.way.found
    assert not driven.way.proven
    assert driven.way.outcome in (Outcome.EXHAUSTED, Outcome.GAVE_UP)
    assert driven.basis.limits == (because("way-search-stopped"),)
    told = of_drive(driven)
    assert DriveAnswer.from_json(told.to_json()) == told
    assert "The search for a way was stopped: a longer one might find a way." in told.warnings


def test_the_answer_names_its_documents_and_its_cautions() -> None:
    driven = moved(Asking())
    assert not driven.basis.limits
    assert driven.way.found
    assert driven.basis.cautions
