"""What a plan leaves out, and what it says would help: obeyed, each of it helps."""

from __future__ import annotations

from pathlib import Path

from attrs import evolve

from standtrue.documents import read_folder
from standtrue.model.job import Job, Work
from standtrue.model.shop import Shop
from standtrue.model.site import Equipment, Person, Site
from standtrue.place.change.remedies import changed
from standtrue.show.words.plan_first import not_done_lines
from standtrue.show.words.reader import ENGLISH
from standtrue.work.plan.answer import PlanAnswer
from standtrue.work.plan.plans import find_plan

SHOP = read_folder(Path(__file__).parent / "plan_shop").shop()
PIT = SHOP.sites["bay with an open pit"]
LARGE = SHOP.sites["large floor"]


def planned(site: Site, job: Job) -> PlanAnswer:
    shop = Shop(evolve(SHOP.written, sites={**SHOP.written.sites, site.name: site}))
    return find_plan(shop, job, alternatives=False)


def done(answer: PlanAnswer) -> set[str]:
    return {operation.name for operation in answer.ordered.problem.operations}


def test_a_change_that_is_told_makes_it_done() -> None:
    """To close one cover of this pit makes room for the alignment, but leaves no way in: that is no help."""
    job = SHOP.jobs["open"]
    undone = {u.draft.name: u.least for u in planned(PIT, job).ordered.undone if u.answers}
    (least,) = {str(remedy): remedy for remedy in undone.values()}.values()
    assert least is not None
    assert set(undone) <= done(planned(changed(PIT, least), job))


def test_a_change_that_leaves_no_way_in_is_not_told_as_help() -> None:
    """A door through which no car goes: whatever makes room, nothing is done."""
    narrow = evolve(PIT, doors=tuple(evolve(d, start=(0.0, 0.6), end=(0.0, 1.6)) for d in PIT.doors))
    answer = planned(narrow, SHOP.jobs["open"])
    shut = [u for u in answer.ordered.undone if u.answers]
    assert shut
    assert all(u.shut_in and u.least is None for u in shut)
    told = list(not_done_lines(answer, ENGLISH))
    assert any("but then no way in was found, either." in line for line in told)
    assert not any("It takes" in line for line in told)


def test_a_drive_waits_for_what_mends_the_car() -> None:
    """Nobody can mend it: what is driven comes after that, and is not told as something to be looked into."""
    people = (Person("A", ("scan tool", "calibration")),)
    mend = Work("mend the axle", (600.0, 600.0), skills=("mechanical",))
    job = evolve(SHOP.jobs["large"], work=(*SHOP.jobs["large"].work, mend), drivable=mend.name)
    drives = tuple(evolve(c, method="drive", zones=(), targets=()) for c in SHOP.procedures)
    shop = Shop(evolve(SHOP.written, sites={LARGE.name: evolve(LARGE, people=people)}, procedures=drives))
    answer = find_plan(shop, job, alternatives=False)
    driven = [u for u in answer.ordered.undone if u.draft.kind == "drive"]
    assert driven
    assert all(u.waits_for for u in driven)
    assert not any("not looked for" in line for line in not_done_lines(answer, ENGLISH))


def test_all_that_a_shop_lacks_is_told_together_and_once() -> None:
    """Somebody and something is not somebody or something."""
    work = [Work(f"work {n}", (600.0, 600.0), skills=("body",), equipment=("frame rack",)) for n in (1, 2)]
    job = evolve(SHOP.jobs["large"], work=(*SHOP.jobs["large"].work, *work))
    answer = planned(evolve(LARGE, people=(Person("A"),), equipment=(Equipment("jack", "jack"),)), job)
    first, *_ = [line for line in not_done_lines(answer, ENGLISH) if "work 1" in line]
    assert first == (
        "Not done: work 1 and work 2. "
        "It takes: somebody with the skill body and equipment that the site does not list: frame rack."
    )
