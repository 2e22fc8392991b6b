"""What people in the trade know about one bay, put to the whole planner. Common practice, no source."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest
from attrs import evolve

from standtrue.demo import demo_files
from standtrue.documents import gather, load_text, read_folder
from standtrue.model.basics import Place
from standtrue.model.order import OUTSIDE
from standtrue.sequence.check import violations
from standtrue.show.words.plan import step_words, undone_words
from standtrue.show.words.reader import ENGLISH
from standtrue.work.needs.jobs import find_job_needs
from standtrue.work.plan.answer import PlanAnswer
from standtrue.work.plan.operations import draft_operations
from standtrue.work.plan.plans import find_plan

SHOP = read_folder(Path(__file__).parent / "plan_shop")


@cache
def answer(job: str) -> PlanAnswer:
    assert not SHOP.faults
    return find_plan(SHOP.shop(), SHOP.jobs[job], alternatives=False)


def places(job: str) -> list[tuple[str, Place]]:
    """Where the car stands for each operation, in order."""
    found = answer(job)
    assert found.plan is not None
    told = []
    for step in found.plan.steps:
        if step.operation is not None and step.stand.place:
            name = found.ordered.problem.operations[step.operation].name
            told.append((name, found.ordered.places[step.stand.place - 1].place))
    return told


@pytest.mark.parametrize("job", ["covered", "open", "large"])
def test_every_plan_keeps_the_rules_and_is_proven(job: str) -> None:
    ordered = answer(job).ordered
    assert ordered.front.proven
    for plan in ordered.front.plans:
        assert violations(ordered.problem, plan) == ()


def test_in_a_single_bay_with_covers_closed_the_car_never_leaves_the_bay() -> None:
    """Alignment and camera on the lift, then the first radar's place, then one shift sideways for the other."""
    found = answer("covered")
    assert found.ordered.undone == ()
    assert found.plan is not None
    assert found.plan.moves == 2
    kinds = [s.kind for s in found.plan.steps]
    assert kinds.count("enter") == kinds.count("leave") == 1
    assert kinds.index("enter") == 0
    where = dict(places("covered"))
    lift = where["wheel alignment"]
    assert where["forward camera, one target ahead"] == lift
    left, right = (where[f"rear corner radar, reflector/{side}"] for side in ("left", "right"))
    assert abs(left.heading_rad - right.heading_rad) < 0.1
    assert abs(left.y_m - right.y_m) > 0.6
    assert abs(left.x_m - right.x_m) < 0.05


def test_with_the_pit_open_the_plan_says_what_must_go_elsewhere_and_what_would_make_room() -> None:
    undone = {u.draft.name: " ".join(undone_words(u, ENGLISH)) for u in answer("open").ordered.undone}
    assert "wheel alignment" in undone
    assert "pit" in undone["wheel alignment"]
    assert "close" in undone["wheel alignment"]
    assert {"rear corner radar, reflector/left", "rear corner radar, reflector/right"} <= set(undone)


def test_on_a_large_floor_no_move_is_needed_between_the_calibrations() -> None:
    found = answer("large")
    assert found.ordered.undone == ()
    assert found.plan is not None
    assert found.plan.moves == 0
    assert len({place for _, place in places("large")}) == 1


def test_every_step_is_told_with_its_place() -> None:
    found = answer("covered")
    assert found.plan is not None
    told = step_words(found.ordered, found.plan, found.site, ENGLISH)
    assert [t.number for t in told] == list(range(1, len(found.plan.steps) + 1))
    assert told[0].what == "drive in to place 1"
    assert told[-1].where == "outside"
    assert all(t.what and t.where for t in told)


def test_what_asks_for_equipment_that_the_site_does_not_list_is_left_out() -> None:
    shop = gather(load_text(content, name) for name, content in demo_files().items()).shop()
    job = shop.jobs["nib windshield"]
    needs, site = find_job_needs(shop, job), shop.sites[job.site]
    assert not any(d.ruled_out_by for d in draft_operations(needs, site))
    without = evolve(site, equipment=tuple(e for e in site.equipment if e.name != "target frame"))
    lacking = {d.name: ENGLISH.reasons(d.ruled_out_by) for d in draft_operations(needs, without) if d.ruled_out_by}
    assert lacking == {"forward camera board": ["the site does not list this equipment: target frame"]}


@pytest.mark.parametrize("job", ["covered", "open", "large"])
def test_places_are_numbered_as_the_car_comes_to_them(job: str) -> None:
    found = answer(job).ordered
    assert found.plan is not None
    used = dict.fromkeys(s.stand.place for s in found.plan.steps if s.stand.place != OUTSIDE)
    assert list(used) == list(range(1, len(used) + 1))
    assert not violations(found.problem, found.plan)
    moves = [s.move for s in found.plan.steps if s.move is not None]
    assert all((m.start, m.goal, m.driven) in found.paths for m in moves)
