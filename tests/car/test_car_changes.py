"""A plan that takes a change of the room to be made says so first to whoever works at the car, and how far it goes."""

from __future__ import annotations

from pathlib import Path

import pytest
from attrs import evolve

from standtrue.demo import write_demo
from standtrue.model.asking import Asking
from standtrue.model.shop import Shop
from standtrue.show.answers.car import handed_again, of_handed
from standtrue.show.words.pages.car import called
from standtrue.show.words.reader import ENGLISH, Reader
from standtrue.show.words.remedies import change_first, remedy_words
from standtrue.work.ask import open_shop
from standtrue.work.car.steps import Handed, handed_of
from standtrue.work.orders.asked import Way, change_id, change_taken, helps, plan_as
from standtrue.work.place.places import find_places
from standtrue.work.plan.answer import PlanAnswer
from standtrue.work.plan.plans import find_plan

SPANISH = Reader("metric", "es")


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Shop:
    folder: Path = tmp_path_factory.mktemp("changes") / "shop"
    write_demo(folder)
    return open_shop(folder)


@pytest.fixture(scope="module")
def known(shop: Shop) -> PlanAnswer:
    """The demonstration's largest job: mats, which the rolling bench stops."""
    return find_plan(shop, shop.jobs["corrow front"], alternatives=False)


def test_what_must_be_moved_comes_first_with_how_far(shop: Shop, known: PlanAnswer) -> None:
    remedy = next(one for one in helps(known) if one.kind == "movable")
    planned = plan_as(shop, shop.jobs["corrow front"], Way(change=change_id(remedy)), known, Asking())
    handed = handed_of(planned.answer, 1, "technician A", "2026-03-02T14:00:00.000Z")
    first, second = handed.steps[:2]
    assert (first.number, first.key, first.kind) == (1, "1.1", "confirm")
    assert second.number == 2
    assert second.change is None
    said = called(first, ENGLISH)
    assert remedy.thing.name in said
    assert said.lower() == remedy_words(remedy, ENGLISH).lower()
    assert called(first, SPANISH).lower() == remedy_words(remedy, SPANISH).lower()
    kept = of_handed("corrow front", handed, demonstration=True)
    again: Handed = handed_again(type(kept).model_validate_json(kept.model_dump_json()))
    assert called(again.steps[0], ENGLISH) == said


def test_a_change_is_told_as_far_as_it_goes_wherever_it_is_told(shop: Shop) -> None:
    mats = [card for card in shop.procedures if card.name == "surround-view mats"]
    site, car = shop.sites["Tanbark Row"], shop.vehicles["Tavlin Corrow"]
    found = find_places(shop, site, car, mats, ("floor",))
    moves = [one for help in found.remedies for one in help.single if one.action == "move"]
    assert len(moves) >= 2
    for one in moves:
        assert change_first(change_taken(one), ENGLISH) == remedy_words(evolve(one, exact=True), ENGLISH)


def test_a_plan_of_the_room_as_it_is_begins_with_the_plan(known: PlanAnswer) -> None:
    handed = handed_of(known, 1, "technician A", "2026-03-02T14:00:00.000Z")
    assert known.plan is not None
    assert len(handed.steps) == len(known.plan.steps)
