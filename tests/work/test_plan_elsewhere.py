"""A place that no car comes to: the work is done where one does."""

from __future__ import annotations

from pathlib import Path

import pytest
from attrs import evolve
from work_makers import box

from standtrue.documents import read_folder
from standtrue.model.job import Work
from standtrue.model.lift import Obstacle
from standtrue.model.shop import Shop
from standtrue.model.site import Door
from standtrue.work.plan.answer import PlanAnswer
from standtrue.work.plan.plans import find_plan

SHOP = read_folder(Path(__file__).parent / "plan_shop").shop()


def fenced(fence_m: float, wide_m: float) -> PlanAnswer:
    """One work on the floor of a hall of 20 m that a fence divides; its door, so wide, is at the left end."""
    site = evolve(
        SHOP.sites["large floor"],
        outline=box(0.0, 0.0, 20.0, 6.0),
        lifts=(),
        obstacles=(Obstacle("fence", box(fence_m, 0.0, fence_m + 0.1, 6.0), 0.0, 2.0),),
        doors=(Door("door", (0.0, 3.0 - wide_m / 2), (0.0, 3.0 + wide_m / 2), 3.6),),
        bays=(),
    )
    work = Work("mend", (600.0, 900.0), supports=("floor",))
    job = evolve(SHOP.jobs["large"], events=(), work=(work,))
    return find_plan(Shop(evolve(SHOP.written, sites={site.name: site})), job, alternatives=False)


@pytest.mark.parametrize("fence_m", [8.0, 12.0])
def test_what_fits_best_behind_a_fence_is_done_before_it(fence_m: float) -> None:
    answer = fenced(fence_m, 3.0)
    assert answer.plan is not None
    assert not answer.ordered.undone
    place = answer.ordered.places[0].place
    assert place.x_m < fence_m


def test_where_no_car_comes_in_at_all_it_is_not_done() -> None:
    answer = fenced(8.0, 1.2)
    (mend,) = [undone for undone in answer.ordered.undone if undone.draft.name == "mend"]
    assert "no-way-to-place" in {why.code for why in mend.ruled_out_by}
