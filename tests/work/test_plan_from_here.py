"""A job in the middle: what is done is left out unless something since disturbed it, and the rest is planned on."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import datetime, timedelta
from functools import cache
from pathlib import Path

import pytest
from attrs import evolve

from standtrue.demo import demo_files
from standtrue.documents import gather, load_text, read_folder
from standtrue.model.basics import Place
from standtrue.model.job import Done, Event, Job, Stands
from standtrue.model.order import Plan, Step
from standtrue.model.stance import Stance, written
from standtrue.sequence.check import violations
from standtrue.show.answers.plan import of_plan
from standtrue.show.words.plan_first import first_lines
from standtrue.show.words.reader import ENGLISH, Reader
from standtrue.work.ask import UnansweredError
from standtrue.work.drive.drives import read_end
from standtrue.work.needs.jobs import find_job_needs
from standtrue.work.plan.answer import PlanAnswer
from standtrue.work.plan.from_here import Begun, begun_notes, from_here, late_calls
from standtrue.work.plan.plans import find_plan

SHOP = read_folder(Path(__file__).parent / "plan_shop")
CAMERA = "forward camera, one target ahead"
RADAR = "rear corner radar, reflector"
BEGINS = datetime(2026, 3, 2, 8)


def done(what: str, minutes: int) -> Done:
    """Something done so long after eight."""
    return Done(what, (BEGINS + timedelta(minutes=minutes)).isoformat(timespec="seconds"), "A")


def begun(*told: Done, events: Sequence[Event] = (), name: str = "large") -> Begun:
    job = SHOP.jobs[name]
    job = evolve(job, done=told, events=(*job.events, *events))
    shop = SHOP.shop()
    return from_here(find_job_needs(shop, job), shop.sites[job.site], late_calls(shop, job))


def left(found: Begun) -> list[str]:
    return [draft.name for draft in found.drafts]


def codes(found: Begun) -> dict[str, list[str]]:
    return {draft.name: [why.code for why in reasons] for draft, reasons in found.again}


WHOLE = left(begun())


def test_what_is_done_is_left_out() -> None:
    assert {"wheel alignment", CAMERA, f"{RADAR}/left", f"{RADAR}/right"} < set(WHOLE)
    found = begun(done("pre-scan", 5), done("wheel alignment", 60), done(CAMERA, 90))
    assert left(found) == [n for n in WHOLE if n not in ("pre-scan", "wheel alignment", CAMERA)]
    assert not found.again
    # A card that is written for each side is both by its own name.
    assert f"{RADAR}/left" not in left(begun(done("wheel alignment", 1), done(RADAR, 2)))


def test_what_precedes_the_rest_is_still_first() -> None:
    """Whatever named a step by its number names the same step after others are left out."""
    whole, found = begun(), begun(done("pre-scan", 5), done("wheel alignment", 60))
    by_name = {d.name: {whole.drafts[b.task].name for b in d.befores} for d in whole.drafts}
    for draft in found.drafts:
        assert {found.drafts[b.task].name for b in draft.befores} == by_name[draft.name] & set(left(found))


def test_a_calibration_is_planned_again_where_what_it_relies_on_was_done_after_it() -> None:
    found = begun(done(CAMERA, 30), done("wheel alignment", 60))
    assert codes(found) == {CAMERA: ["again-after-work"]}
    assert CAMERA in left(found)
    again = next(d for d in found.drafts if d.name == CAMERA)
    assert again.because[-1].code == "again-after-work"
    # Or is still to be done; and the post-scan after it.
    assert codes(begun(done(CAMERA, 30))) == {CAMERA: ["again-before-work"]}
    assert "post-scan" in codes(begun(done("wheel alignment", 1), done("post-scan", 9)))


def test_an_event_that_came_later_calls_for_it_again() -> None:
    """The bumper was taken off again after the radars: the camera stands."""
    at = (BEGINS + timedelta(minutes=100)).isoformat()
    told = (done("wheel alignment", 60), done(CAMERA, 80), done(f"{RADAR}/left", 90), done(f"{RADAR}/right", 120))
    found = begun(*told, events=[Event("rear bumper removed", at=at)])
    assert codes(found) == {f"{RADAR}/left": ["again-after-event"]}
    ((_, why),) = found.again
    assert ENGLISH.reasons(why) == [
        "it was done Monday, March 2, 09:30, and rear bumper removed came after that, Monday, March 2, 09:40"
    ]
    assert "lunes 2 de marzo, 09:40" in Reader("us", "es").reasons(why)[0]
    assert not begun(*told).again


def test_what_the_job_does_not_call_for_is_told() -> None:
    found = begun(done("wheel alignment", 1), done("polish", 2))
    assert [one.what for one in found.not_called_for] == ["polish"]
    assert left(found) == left(begun(done("wheel alignment", 1)))


@cache
def planned(job: str = "covered") -> PlanAnswer:
    return find_plan(SHOP.shop(), SHOP.jobs[job], alternatives=False)


def rest_after(answer: PlanAnswer, plan: Plan, number: int) -> Job:
    """The job once the step of that number is over: what has been done till then, and how the car stands."""
    told = []
    for step in plan.steps[: number + 1]:
        if step.operation is not None and step.choice is not None:
            name = answer.ordered.problem.operations[step.operation].name
            told.append(done(name, round(step.end_s[1] / 60)))
    stand = plan.steps[number].stand
    place = answer.ordered.places[stand.place - 1].place
    stands = Stands(place, written(stand.carrier), stand.carrier.height_m)
    return evolve(SHOP.jobs[answer.needs.job.name], done=tuple(told), stands=stands)


def bare(plan: Plan, number: int) -> bool:
    """Whether an operation has just ended and nothing is set up."""
    around: dict[str, bool] = {}
    for step in plan.steps[: number + 1]:
        around.update(dict.fromkeys((f.equipment for f in step.fittings), step.kind != "put away"))
    last: Step = plan.steps[number]
    return last.choice is not None and last.stand.place != 0 and not any(around.values())


def test_planning_from_the_middle_of_a_plan_gives_the_rest_of_it() -> None:
    """From where the car stands after a step of the whole plan: no more time nor moves than the plan had left.

    Its places are looked for anew, so that it may be less; for the same places it is the same (`test_begun.py`).
    """
    whole = planned()
    assert whole.plan is not None
    cuts = [n for n in range(len(whole.plan.steps) - 1) if bare(whole.plan, n)]
    assert cuts
    for number in cuts[-1:]:
        found = find_plan(SHOP.shop(), rest_after(whole, whole.plan, number), alternatives=False)
        assert found.ordered.front.proven
        rest = whole.plan.steps[number + 1 :]
        took = whole.plan.elapsed_s[1] - whole.plan.steps[number].end_s[1]
        moves = sum(s.kind in ("enter", "move") for s in rest)
        kept = [(p.elapsed_s[1], p.moves) for p in found.ordered.front.plans]
        assert any(t <= took + 1.0 and m <= moves for t, m in kept)
        assert all(violations(found.ordered.problem, p) == () for p in found.ordered.front.plans)
        assert found.plan is not None
        assert found.plan.steps[0].kind != "enter"
        shape = of_plan(found)
        assert [one.procedure for one in shape.done] == [one.what for one in found.needs.job.done]
        assert shape.begins == found.needs.job.done[-1].at[:16]
        assert not shape.again
        lines = list(first_lines(found, ENGLISH))
        assert any(line.startswith("Done: pre-scan") for line in lines)
        assert any(line.startswith("Hecho:") for line in first_lines(found, Reader("us", "es")))


def test_a_lift_that_the_site_lacks_is_a_fault() -> None:
    job = evolve(SHOP.jobs["large"], stands=Stands(Place(3.0, 3.0, 0.0), "no lift/up"))
    with pytest.raises(UnansweredError):
        find_plan(SHOP.shop(), job, alternatives=False)


@pytest.mark.parametrize(
    "stands",
    [
        Stands(Place(1e308, 3.0, 0.0)),
        Stands(Place(-9.0, 3.0, 0.0)),
        Stands(Place(3.0, 2.4, 0.0), "lift/down", 9.0),
        Stands(Place(3.0, 2.4, 0.0), "lift/up", 0.1),
    ],
)
def test_a_stance_that_is_none_is_a_fault(stands: Stands) -> None:
    """Beyond the floor and what may lie outside its doors; or as high as the lift never is."""
    with pytest.raises(UnansweredError):
        find_plan(SHOP.shop(), evolve(SHOP.jobs["covered"], stands=stands), alternatives=False)


def test_that_the_car_cannot_stand_where_it_is_said_to_is_the_reason() -> None:
    """In a wall: nothing is done, since no way leads from there, and not because the work does not fit."""
    job = evolve(SHOP.jobs["covered"], stands=Stands(Place(4.0, 0.2, 0.0)))
    found = find_plan(SHOP.shop(), job, alternatives=False)
    assert found.plan is None
    assert {why.code for one in found.ordered.undone for why in one.ruled_out_by} == {"no-way-from-here"}


def test_a_cure_that_goes_on_is_waited_for() -> None:
    """An hour to cure, half of it over: the other half is left, and everything comes after its beginning."""
    job = SHOP.jobs["large"]
    works = tuple(evolve(w, wait_s=(3600.0, 3600.0), blocks="all") for w in job.work)
    job = evolve(job, work=works, done=(done("wheel alignment", 0), done("pre-scan", 30)))
    found = find_plan(SHOP.shop(), job, alternatives=False)
    assert found.plan is not None
    first = found.plan.steps[0]
    assert first.operation is not None
    assert found.ordered.problem.operations[first.operation].what.code == "wait-goes-on"
    waits = [s for s in found.plan.steps if s.kind == "wait"]
    assert waits
    assert waits[0].end_s[1] == pytest.approx(1800.0)


def test_the_rest_is_planned_for_the_places_of_the_whole_job() -> None:
    """After the camera, after a radar, and on the way between: what is done does not decide where the rest is."""
    whole = find_plan(SHOP.shop(), SHOP.jobs["covered"], alternatives=False)
    assert whole.plan is not None
    shapes = of_plan(whole).steps
    names = [operation.name for operation in whole.ordered.problem.operations]
    for number in (3, 4, 5):
        finished = [s for s in whole.plan.steps[: number + 1] if s.choice is not None]
        ends = [round(s.end_s[1] / 60) for s in finished]
        told = tuple(done(names[s.operation or 0], at) for s, at in zip(finished, ends, strict=True))
        shape = shapes[number]
        assert shape.stance is not None
        assert shape.carried_by is not None
        place = Place(shape.stance.x_m, shape.stance.y_m, math.radians(shape.stance.heading_deg))
        job = evolve(SHOP.jobs["covered"], done=told, stands=Stands(place, shape.carried_by))
        rest = find_plan(SHOP.shop(), job, alternatives=False)
        assert rest.plan is not None
        assert not rest.ordered.undone
        left = [rest.ordered.problem.operations[turn.operation].name for turn in rest.plan.order]
        assert left == [names[turn.operation] for turn in whole.plan.order][len(finished) :]


def test_what_may_still_stand_about_the_car_is_said_to_be_put_away() -> None:
    """Of what was done; not of what is still to do, nor where the car is outside."""
    own = SHOP.jobs["large"]
    job = evolve(own, work=tuple(evolve(w, equipment=("wheel aligner",)) for w in own.work))

    def told(*finished: Done, stands: Stands | None) -> bool:
        told_job = evolve(job, done=finished, stands=stands)
        begun = from_here(find_job_needs(SHOP.shop(), told_job), SHOP.sites[job.site], {})
        return "taken-to-be-put-away" in [note.code for note in begun_notes(told_job, begun)]

    inside = Stands(Place(4.0, 2.4, 0.0))
    assert told(done("wheel alignment", 1), stands=inside)
    assert not told(done("pre-scan", 1), stands=inside)
    assert not told(done("wheel alignment", 1), stands=None)


def stood(written: str) -> Stance | None:
    """Where a job of the demonstration says that its car stands."""
    files = demo_files()
    files["job-corrow-front.toml"] += f"\n[stands]\n{written}\n".encode()
    folder = gather(load_text(content, name) for name, content in files.items())
    assert not folder.faults
    shop = folder.shop()
    job = shop.jobs["corrow front"]
    return from_here(find_job_needs(shop, job), shop.sites[job.site], {}).stance


@pytest.mark.parametrize("name", ["bay:long bay", "lift:flush lift"])
def test_where_the_car_stands_may_be_said_by_a_bay_or_a_lift(name: str) -> None:
    """As `drive` takes it: the place that is chosen for the car alone, and on the lift as the car drives onto it."""
    shop = gather(load_text(content, file) for file, content in demo_files().items()).shop()
    end = read_end(shop.sites["Tanbark Row"], shop.vehicles["Tavlin Corrow"], name, "--from")
    found = stood(f'at = "{name}"')
    assert found is not None
    assert (found.place, found.carrier) == (end.place, end.carrier)
    raised = stood('at = "lift:flush lift"\non = "flush lift/up"\nheight = "4 ft"')
    assert raised is not None
    assert raised.carrier.state == "up"
    assert raised.carrier.height_m == pytest.approx(4 * 0.3048)


def test_where_the_car_stands_may_be_said_by_a_mark() -> None:
    found = stood('at = "mark:stud west"\nheading = 90')
    assert found is not None
    assert (found.place.x_m, found.place.y_m) == pytest.approx((13 * 0.3048, 8 * 0.3048))
    assert found.place.heading_rad == pytest.approx(math.pi / 2)
    assert found.carrier.is_floor


@pytest.mark.parametrize("name", ["bay:no such bay", "lift:no such lift", "mark:stud wset"])
def test_a_name_of_nothing_is_a_fault(name: str) -> None:
    with pytest.raises(UnansweredError) as refused:
        stood(f'at = "{name}"' + ("\nheading = 0" if name.startswith("mark") else ""))
    assert [fault.code for fault in refused.value.faults] == ["unknown-name"]
