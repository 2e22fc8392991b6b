"""The plan on the job sheet: every page shows the stance that the plan has, and the order of work is told whole."""

from __future__ import annotations

import re
import tomllib
from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest
from attrs import evolve
from paper_makers import read, squeezed

from standtrue.demo import MAIN_JOB, demo_files
from standtrue.documents import Folder, gather, load_text
from standtrue.draw.backends.pdf import PaperSize
from standtrue.model.order import OUTSIDE, Front
from standtrue.model.reader_units import System
from standtrue.model.reason import because
from standtrue.model.stance import written
from standtrue.show.sheets.job.make import make_job_sheet
from standtrue.show.sheets.job.order import OrderOfWork
from standtrue.show.sheets.job.sheet import JobSheet, job_pdf
from standtrue.show.words.plan import span_words, step_words, summary_words, undone_words
from standtrue.show.words.reader import ENGLISH, Reader
from standtrue.work.plan.answer import Alternative, PlanAnswer
from standtrue.work.plan.plans import find_plan
from standtrue.work.sheet.content import CardPart
from standtrue.work.sheet.job import UNPLANNED, find_job_sheet
from standtrue.work.sheet.planned import worth_a_plan

SPRINGS = "dromond alignment"
"""Its wheel alignment cannot be done here, nor what comes after it."""


@cache
def shop() -> Folder:
    return gather(load_text(content, name) for name, content in demo_files().items())


@cache
def plan(job: str = MAIN_JOB) -> PlanAnswer:
    return find_plan(shop().shop(), shop().jobs[job], alternatives=False)


@cache
def sheet(job: str = MAIN_JOB, units: System = "metric") -> JobSheet:
    return made_by(plan(job), job, Reader(units))


def made_by(answer: PlanAnswer, job: str = MAIN_JOB, reader: Reader = ENGLISH) -> JobSheet:
    return make_job_sheet(find_job_sheet(shop().shop(), shop().jobs[job], plan=answer), reader)


def order(job: str = MAIN_JOB) -> OrderOfWork:
    planned = sheet(job).planned
    assert planned is not None
    return planned


def parts(made: JobSheet) -> list[CardPart]:
    return [part for stance in made.stances for part in stance.cards]


@pytest.mark.parametrize("job", [MAIN_JOB, SPRINGS])
def test_each_card_stands_where_the_plan_puts_the_car_for_it(job: str) -> None:
    answer = plan(job)
    assert answer.plan is not None
    assert parts(sheet(job))
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
    left_out = {u.name for u in order(job).left_out}
    chain = {key for need in made.needs.needs for key in need.chain if not need.dropped}
    assert chain <= placed | elsewhere | left_out
    assert not placed & left_out
    assert made.nowhere == ()
    assert not {part.step for part in parts(made)} & {n for u in made.elsewhere for n in u.steps}


def test_every_step_says_what_where_who_with_what_and_when() -> None:
    answer, made = plan(), order()
    assert answer.plan is not None
    told = step_words(answer.ordered, answer.plan, answer.site, ENGLISH)
    assert [(s.number, s.what, s.where, s.people) for s in made.steps] == [
        (t.number, t.what, t.where, t.people) for t in told
    ]
    assert made.sentences[: len(list(summary_words(answer, ENGLISH)))] == tuple(summary_words(answer, ENGLISH))
    aligned = next(s for s in made.steps if s.what == "wheel alignment")
    assert aligned.equipment == ("wheel aligner",)
    assert made.steps[0].starts == "0:00"
    begun = [tuple(map(int, re.split("[:–]", s.starts)[:2])) for s in made.steps]
    assert all(a <= b for a, b in pairwise(begun))
    shown = {s.number for s in made.steps if s.stance is not None or s.picture is not None}
    inside = {t.number for t in told if t.step.stand.place != OUTSIDE or t.step.move is not None}
    assert shown == inside, "each step in the shop is on some picture"
    drawn = [scene.numbers for p in made.pictures for scene in p.scenes]
    assert len(drawn) == len(set(drawn))
    moves = [s for s in made.steps if s.moving]
    scenes = [scene for p in made.pictures for scene in p.scenes if scene.title in [m.what for m in moves]]
    assert len(scenes) == len(moves)
    assert all(any(line.startswith(("Forward", "Reverse")) for line in scene.lines) for scene in scenes)


def test_what_is_left_out_says_why_and_what_would_help() -> None:
    answer, made = plan(SPRINGS), order(SPRINGS)
    assert [u.because for u in made.left_out] == [undone_words(u, ENGLISH) for u in answer.ordered.undone]
    assert len(made.left_out) >= 4
    assert any("comes after what cannot be done here" in said for u in made.left_out for said in u.because)


def test_a_set_up_of_another_stance_is_laid_out_at_the_plans_and_says_what_to_write() -> None:
    part = next(p for p in parts(sheet()) if p.setup)
    setup = shop().setups[part.setup]
    assert part.answer.place is not None
    assert part.answer.place != setup.place
    assert part.readings, "its instruments still make the reading plan"
    (note,) = (n for n in ENGLISH.reasons(part.notes) if n.startswith(f"The set-up {setup.name} has the car elsewhere"))
    assert any(setup.name in said and f"step {part.step}" in said for said in order().sentences)
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
    again = make_job_sheet(find_job_sheet(folder.shop(), folder.jobs[MAIN_JOB], plan=plan()))
    assert not any("has the car elsewhere" in n for p in parts(again) for n in ENGLISH.reasons(p.notes))


def test_what_one_could_do_otherwise_is_a_small_table() -> None:
    answer = plan()
    assert answer.plan is not None
    fewer = evolve(answer.plan, moves=answer.plan.moves - 1)
    other = Alternative(because("on-skates"), evolve(answer.ordered, front=Front((), True)))
    two = evolve(answer, ordered=evolve(answer.ordered, front=Front((answer.plan, fewer), True)), alternatives=(other,))
    assert two.plan is fewer
    took = span_words(answer.plan.elapsed_s[0], answer.plan.elapsed_s[2], ENGLISH)
    made = made_by(two)
    assert made.planned is not None
    assert made.planned.otherwise == (
        ("another order", took, str(answer.plan.moves), "1: surround-view mats"),
        ("on skates", "no order was found", "", "1: surround-view mats"),
    )


def test_a_search_stopped_too_early_makes_the_sheet_without_an_order() -> None:
    stopped = evolve(plan(), ordered=evolve(plan().ordered, front=Front((), False)))
    made = made_by(stopped)
    assert made.planned is None
    assert ENGLISH.reason(UNPLANNED) in made.warnings
    assert made.stances
    assert made.order


def test_a_best_so_far_is_told_as_not_proven() -> None:
    stopped = evolve(plan(), ordered=evolve(plan().ordered, front=evolve(plan().ordered.front, proven=False)))
    made = made_by(stopped)
    assert made.planned is not None
    assert not made.planned.proven
    assert any(s.startswith("Not proven: not every order was looked at.") for s in made.planned.sentences)


def test_if_nothing_can_be_done_there_are_no_stances() -> None:
    none = evolve(plan(), ordered=evolve(plan().ordered, front=Front((), True)))
    made = made_by(none)
    assert not made.stances
    assert not made.elsewhere
    assert made.planned is not None
    assert made.planned.steps == ()
    assert made.planned.sentences[0].startswith("There is no order")


@pytest.mark.parametrize(("paper", "units"), [("letter", "us"), ("a4", "metric")])
def test_on_paper_the_steps_stand_in_order_with_cautions_first(tmp_path: Path, paper: PaperSize, units: System) -> None:
    made = sheet(MAIN_JOB, units)
    assert made.planned is not None
    got = read(tmp_path, job_pdf(made, paper))
    pages = [squeezed(page) for page in got.run("pdftotext", "-raw").split("\f")]
    text = "".join(pages)
    at = text.index("Orderofwork")
    for caution in made.planned.cautions:
        assert at < text.index(squeezed(caution)) < text.index(squeezed(f"1{made.planned.steps[0].what}"))
    for step in made.planned.steps:
        found = text.find(squeezed(f"{step.number}{step.what}"), at)
        assert found >= at, step.what
        at = found
    assert all(any(squeezed(f"Stance {n}: place {s.place}") in page for page in pages)
               for n, s in enumerate(made.stances, start=1))  # fmt: skip
    assert squeezed("does not declare a vehicle safe") in pages[0]
    assert "INVENTEDDEMONSTRATIONDATA" in pages[0]
    assert ("inright" in text) == (units == "us")
    assert ("mright" in text) == (units == "metric")


def test_worth_a_plan() -> None:
    jobs = shop().jobs
    assert worth_a_plan(shop().shop(), jobs[MAIN_JOB])
    alone = evolve(jobs["nib windshield"], work=())
    assert not worth_a_plan(shop().shop(), alone)
