"""The plan on the job sheet: every page shows the stance that the plan has, and the order of work is told whole."""

from __future__ import annotations

import math
import re
import tomllib
from functools import cache
from typing import Any

import pytest
from attrs import evolve

from kept_answers import kept
from standtrue.demo import MAIN_JOB, demo_files
from standtrue.documents import Folder, gather, load_text
from standtrue.model.basics import Place
from standtrue.model.order import Front
from standtrue.model.stance import written
from standtrue.show.sheets.job.first import first_page
from standtrue.show.sheets.job.lines import BEFORE, lines_of
from standtrue.show.words.plan_first import undone_name
from standtrue.show.words.reader import ENGLISH
from standtrue.work.plan.answer import PlanAnswer
from standtrue.work.plan.plans import find_plan
from standtrue.work.sheet.content import CardPart, SheetContent
from standtrue.work.sheet.job import UNPLANNED, find_job_sheet
from standtrue.work.sheet.planned import worth_a_plan

pytestmark = pytest.mark.usefixtures("asked_once")

SPRINGS = "dromond alignment"
"""Its wheel alignment cannot be done here, nor what comes after it."""


@cache
def shop() -> Folder:
    return gather(load_text(content, name) for name, content in demo_files().items())


@cache
def plan(job: str = MAIN_JOB) -> PlanAnswer:
    return kept(find_plan)(shop().shop(), shop().jobs[job], alternatives=False)


@cache
def sheet(job: str = MAIN_JOB) -> SheetContent:
    return made_by(plan(job), job)


def made_by(answer: PlanAnswer, job: str = MAIN_JOB) -> SheetContent:
    return find_job_sheet(shop().shop(), shop().jobs[job], plan=answer)


def first(made: SheetContent) -> dict[str, Any]:
    return dict(first_page(made, ENGLISH, "Standtrue"))


def parts(made: SheetContent) -> list[CardPart]:
    return [part for stance in made.stances for part in stance.cards]


@pytest.mark.parametrize("job", [MAIN_JOB, SPRINGS])
def test_each_card_stands_where_the_plan_puts_the_car_for_it(job: str) -> None:
    answer = plan(job)
    assert answer.plan is not None
    placed = {draft.name for draft in answer.question.drafts} - {u.draft.name for u in answer.ordered.undone}
    assert {part.card.key for part in parts(sheet(job))} == {
        c.key for c in answer.needs.cards if c.key in placed and c.needs_space
    }
    for stance in sheet(job).stances:
        for part in stance.cards:
            assert part.step is not None
            step = answer.plan.steps[part.step - 1]
            assert step.operation is not None
            assert answer.ordered.problem.operations[step.operation].name == part.card.key
            assert step.stand.place == stance.place
            there = answer.ordered.places[step.stand.place - 1].place
            assert part.answer.place == stance.answer.place == there
            assert (part.answer.carried_by, part.answer.height_m) == (
                written(step.stand.carrier),
                step.stand.carrier.height_m,
            )
            assert any(part.answer is one for one in answer.stances.values())
    numbers = [part.step or 0 for stance in sheet(job).stances for part in stance.cards[:1]]
    assert numbers == sorted(numbers), "the stances stand in the order of work"


@pytest.mark.parametrize("job", [MAIN_JOB, SPRINGS])
def test_every_card_is_on_a_page_or_runs_without_a_place_or_is_left_out(job: str) -> None:
    made = sheet(job)
    placed = {part.card.key for part in parts(made)}
    elsewhere = {u.card.key for u in made.elsewhere}
    left_out = {u.draft.name for u in plan(job).ordered.undone}
    chain = {key for need in made.needs.answer.needs for key in need.chain if not need.dropped}
    assert chain <= placed | elsewhere | left_out
    assert not placed & left_out
    assert made.nowhere == ()
    assert not {part.step for part in parts(made)} & {n for u in made.elsewhere for n in u.steps}


@pytest.mark.parametrize("job", [MAIN_JOB, SPRINGS])
def test_every_step_is_told_once_in_its_line_or_in_that_of_what_it_is_for(job: str) -> None:
    answer = plan(job)
    assert answer.plan is not None
    lines = lines_of(answer, ENGLISH)
    told = [one.number for line in lines for one in (*line.before, line.own, *line.after)]
    assert sorted(told) == list(range(1, len(answer.plan.steps) + 1))
    assert [line.own.number for line in lines] == sorted(line.own.number for line in lines)
    assert not any(line.own.step.kind in (*BEFORE, "put away") for line in lines)
    rows = [row for place in first(sheet(job))["places"] for row in place["steps"]]
    assert len(rows) == len(lines)
    for row, line in zip(rows, lines, strict=True):
        assert row["number"] == str(line.own.number)
        crew = {p for one in (*line.before, line.own, *line.after) for p in one.people}
        assert set(filter(None, row["who"].split(", "))) == {person.split()[-1] for person in crew}
        equipment = {f.equipment for one in (*line.before, *line.after) for f in one.step.fittings}
        assert all(name in row["more"] for name in equipment)
        assert row["begins"][0]
    assert answer.clock.begins is not None
    assert rows[0]["begins"][0] == f"{answer.clock.begins:%A %H:%M}"


def test_what_is_left_out_says_why_and_what_would_help() -> None:
    decided = first(sheet(SPRINGS))["decided"]
    undone = plan(SPRINGS).ordered.undone
    reasons = [row for row in decided if row[0].startswith("Not done here:")]
    (waiting,) = (what for what, _ in decided if what.startswith("Not done, since it comes after that: "))
    assert len(reasons) == sum(not u.waits_for for u in undone) >= 2
    assert all(why for _, why in reasons)
    for one in undone:
        if one.waits_for:
            assert undone_name(one, ENGLISH) in waiting


def test_a_set_up_of_another_stance_is_laid_out_at_the_plans_and_says_what_to_write() -> None:
    name = next(p.setup for p in parts(sheet()) if p.setup)
    setup = evolve(shop().setups[name], place=Place(15.24, 2.743, math.pi))
    folder = evolve(shop(), setups={**shop().setups, name: setup})
    moved = find_job_sheet(folder.shop(), folder.jobs[MAIN_JOB], plan=plan())
    part = next(p for p in parts(moved) if p.setup)
    assert part.answer.place is not None
    assert part.answer.place != setup.place
    assert part.readings, "its instruments still make the reading plan"
    (note,) = (n for n in ENGLISH.reasons(part.notes) if n.startswith(f"The set-up {setup.name} has the car elsewhere"))
    assert any(setup.name in said and f"step {part.step}" in said for said in first(moved)["notes"])
    written = re.search(r"\[stance\]: (.*)\.$", note)
    assert written is not None
    stance = tomllib.loads("\n".join(re.split(r", (?=heading|on)", written[1])))
    x, y = (float(text.removesuffix(" m")) for text in stance["at"])
    assert (x, y) == pytest.approx((part.answer.place.x_m, part.answer.place.y_m), abs=6e-4)
    assert stance["heading"] == pytest.approx(part.answer.place.heading_deg, abs=6e-3)
    assert stance["on"] == part.answer.carried_by


def test_a_set_up_of_the_plans_own_stance_is_as_it_is() -> None:
    part = next(p for p in parts(sheet()) if p.setup)
    assert part.answer.place is not None
    place = part.answer.place
    typed = evolve(place, x_m=round(place.x_m, 3), y_m=round(place.y_m, 3))
    moved = evolve(shop().setups[part.setup], place=typed, on=part.answer.carried_by)
    folder = evolve(shop(), setups={**shop().setups, moved.name: moved})
    again = find_job_sheet(folder.shop(), folder.jobs[MAIN_JOB], plan=plan())
    assert not any("has the car elsewhere" in n for p in parts(again) for n in ENGLISH.reasons(p.notes))


def test_a_search_stopped_too_early_makes_the_sheet_without_an_order() -> None:
    made = made_by(evolve(plan(), ordered=evolve(plan().ordered, front=Front((), False))))
    assert made.plan is None
    assert UNPLANNED in made.basis.warnings
    assert made.stances
    assert first(made)["places"]


def test_a_best_so_far_is_told_as_not_proven() -> None:
    stopped = evolve(plan(), ordered=evolve(plan().ordered, front=evolve(plan().ordered.front, proven=False)))
    assert any("not proven to be the best" in said for said in first(made_by(stopped))["notes"])
    assert not any("not proven to be the best" in said for said in first(sheet())["notes"])


def test_if_nothing_can_be_done_there_are_no_stances() -> None:
    made = made_by(evolve(plan(), ordered=evolve(plan().ordered, front=Front((), True))))
    assert not made.stances
    assert not made.elsewhere
    assert first(made)["places"] == []


def test_worth_a_plan() -> None:
    jobs = shop().jobs
    assert worth_a_plan(shop().shop(), jobs[MAIN_JOB])
    alone = evolve(jobs["nib windshield"], work=())
    assert not worth_a_plan(shop().shop(), alone)


def test_the_demonstrations_set_up_stands_where_its_jobs_plan_puts_it() -> None:
    part = next(p for p in parts(sheet()) if p.setup)
    assert sheet().differing == ()
    assert not any(note.code.startswith("set-up-elsewhere") for note in part.notes)
