"""What `plan` says first, and in how few lines: what a foreman asked for, line by line."""

from __future__ import annotations

import io
import math
import re
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from attrs import evolve
from rich.console import Console

from page_browser import planned
from standtrue.cli.output import NARROW, show
from standtrue.demo import MAIN_JOB, write_demo
from standtrue.documents import read_folder
from standtrue.model.basics import Place
from standtrue.model.reason import Ref, because
from standtrue.model.site import Bay, Datum, Door, Person, Site
from standtrue.model.stance import written
from standtrue.show.words.basis import rest_blocks
from standtrue.show.words.plan import short_alternatives, step_words
from standtrue.show.words.plan_first import first_lines
from standtrue.show.words.plan_short import folded, short_who
from standtrue.show.words.plan_tables import plan_told
from standtrue.show.words.reader import ENGLISH, Reader
from standtrue.work.plan.answer import Alternative, PlanAnswer
from standtrue.work.plan.clock import JobClock
from standtrue.work.plan.plans import find_plan
from standtrue.work.plan.whereabouts import Whereabouts, whereabouts

NOTHING_HELPS = "dromond alignment"
"""A job of which part can be done nowhere in the shop."""

STEP = re.compile(r"^ *\d+(–\d+)? +\d\d:\d\d +\S.* +(outside|\d, (floor|lift up|lift down)) +\S?.*$")
"""A line of a step: its numbers, when, what, where, who."""


def printed(answer: PlanAnswer, reader: Reader = ENGLISH, *, why: bool = False, width: int = NARROW) -> list[str]:
    """The lines that a terminal of this width shows."""
    page = io.StringIO()
    told = plan_told(answer, reader)
    blocks = (*told.first, *rest_blocks(told, answer.basis, reader, why=why))
    show(blocks, Console(file=page, width=width, highlight=False))
    return page.getvalue().splitlines()


def first_ten(job: str) -> str:
    return " ".join(" ".join(printed(planned(job))[:10]).split())


def test_the_first_ten_lines_are_the_answer() -> None:
    """How long, what is not done and the least that would help, what was dropped and by whom, where it stands."""
    said = first_ten(MAIN_JOB)
    assert re.search(
        r"Ready, but for what is not done, \w+ \d+:\d+ at the earliest, \w+ \d+:\d+ at the latest; "
        r"promised Friday 16:00: in time",
        said,
    )
    assert re.search(r"Not done: surround-view camera \(look first\)\. It takes: take the rolling bench away", said)
    assert "or send it out (1 h 30 min to 3 h, 280 to 420 USD)" in said
    assert re.search(r"[Dd]ropped by technician A[^:]*: occupant weight sensor \(no airbag fired", said)
    assert re.search(r"Place \d \(lift bay, on the flush lift, nose toward [^)]+\): 4 works, steering-angle", said)


def test_what_only_waits_for_something_undone_is_told_after_it() -> None:
    said = " ".join(first_lines(planned(NOTHING_HELPS), ENGLISH))
    assert re.search(r"Not done: wheel alignment\b.*Not done, since it comes after that: .*steering-angle sensor", said)
    assert "ride height changed: this calls for work that the order does not list: Set and measure the ride" in said
    assert "take the air duct away (ask an engineer first: it may carry the building)" in said


@pytest.mark.parametrize("job", [MAIN_JOB, NOTHING_HELPS])
@pytest.mark.parametrize("reader", [ENGLISH, Reader("us"), Reader("metric", "es")])
def test_a_line_a_step_with_where_and_who_in_80_columns(job: str, reader: Reader) -> None:
    """No column is lost and no line is broken; where more is shown at once, the numbers say so."""
    answer = planned(job)
    assert answer.plan is not None
    lines = printed(answer, reader)
    assert all(len(line) <= NARROW for line in lines)
    steps = step_words(answer.ordered, answer.plan, answer.site, reader)
    groups = folded(steps)
    rows = [line for line in lines if re.match(r"^ *\d+(–\d+)? +\d", line)]
    assert len(rows) == len(groups)
    for row, group in zip(rows, groups, strict=True):
        numbers = [int(n) for n in re.findall(r"\d+", row.split()[0])]
        assert (numbers[0], numbers[-1]) == (group[0].number, group[-1].number)
        assert all(any(p.split()[-1] in row for p in g.people) for g in group if g.people)
    if reader is ENGLISH:
        assert all(STEP.match(row) for row in rows)


def test_it_is_short_and_all_of_it_is_behind_why() -> None:
    answer = planned(MAIN_JOB)
    assert answer.plan is not None
    short, long = printed(answer), " ".join(" ".join(printed(answer, why=True, width=200)).split())
    assert len(short) <= 61
    assert len(printed(planned(NOTHING_HELPS))) <= 60
    assert "--why" in " ".join(short)
    for told in step_words(answer.ordered, answer.plan, answer.site, ENGLISH):
        assert all(reason in long for reason in ENGLISH.reasons(told.because))
    assert all(note in long for note in ENGLISH.reasons(answer.basis.warnings))
    assert all(caution in " ".join(short).replace("  ", " ") for caution in _cautions(answer))


def _cautions(answer: PlanAnswer) -> Iterator[str]:
    yield from (ENGLISH.reason(c.reason) for c in answer.basis.cautions)


def test_no_other_is_quicker_is_said_only_where_it_is_known() -> None:
    answer = planned(MAIN_JOB)
    front, plan = answer.ordered.front, answer.plan
    assert plan is not None
    assert "no other order is quicker" in " ".join(first_lines(answer, ENGLISH))
    quicker = evolve(plan, steps=plan.steps[:-1])
    other = evolve(answer.ordered, front=evolve(front, plans=(quicker,)))
    bay = because("only-in-bay", bay=Ref("bay", "lift bay"))
    beaten = evolve(answer, alternatives=(Alternative(bay, other),))
    assert "no other order is quicker" not in " ".join(first_lines(beaten, ENGLISH))
    open_end = evolve(front, proven=False, least_s=plan.elapsed_s[1] - 1800.0)
    unproven = evolve(answer, ordered=evolve(answer.ordered, front=open_end))
    assert "Not proven: another order may save up to 30 min, not more." in " ".join(first_lines(unproven, ENGLISH))


def test_an_alternative_is_compared_by_when_the_car_is_ready() -> None:
    """The same work, begun a day later; where there is no clock, by what it takes."""
    answer = planned(MAIN_JOB)
    assert answer.clock.begins is not None
    tomorrow = evolve(answer.ordered, clock=evolve(answer.clock, begins=answer.clock.begins + timedelta(days=1)))
    others = tuple(
        Alternative(because(code), one) for code, one in (("on-skates", tomorrow), ("all-hands", answer.ordered))
    )
    told = " ".join(short_alternatives(evolve(answer, alternatives=others), ENGLISH))
    assert told == "on skates (ready 24 h later) all hands (ready as soon)"
    unhurried = evolve(answer, alternatives=others, timed=None)
    assert " ".join(short_alternatives(unhurried, ENGLISH)) == "on skates (as long) all hands (as long)"


def test_the_demonstrations_set_ups_stand_where_their_jobs_plan_puts_them(tmp_path: Path) -> None:
    answer, places = planned(MAIN_JOB), []
    assert answer.plan is not None
    for step in answer.plan.steps:
        if step.operation is not None and step.kind == "calibration":
            card = answer.ordered.problem.operations[step.operation].name
            places.append((card, step.stand.carrier, answer.ordered.places[step.stand.place - 1].place))
    write_demo(tmp_path)
    setups = read_folder(tmp_path).setups.values()
    assert {setup.job for setup in setups} == {MAIN_JOB}
    for setup in setups:
        (at,) = [p for card, on, p in places if card == setup.procedure and written(on) == setup.on]
        assert math.dist((at.x_m, at.y_m), (setup.place.x_m, setup.place.y_m)) < 1e-3
        assert math.remainder(at.heading_rad - setup.place.heading_rad, math.tau) == pytest.approx(0.0, abs=1e-4)


def test_people_are_told_apart_by_as_little_as_does() -> None:
    site = evolve(planned(MAIN_JOB).site, people=(Person("Ann Marie Lopez"), Person("Bo Lopez"), Person("Cy Stone")))
    assert short_who(("Cy Stone",), site) == "Cy Stone"
    assert short_who(("Ann Marie Lopez", "Cy Stone"), site) == "Marie Lopez, Stone"


def test_without_hours_a_duration_and_that_none_were_entered() -> None:
    answer = planned(MAIN_JOB)
    ordered = evolve(answer.ordered, clock=JobClock(untimed=(because("no-opening-hours", site=Ref("site", "S")),)))
    untimed = evolve(answer, ordered=ordered, timed=None)
    said = list(first_lines(untimed, ENGLISH))
    assert re.fullmatch(r"It takes .* h.* to .* h.*: no opening hours entered\.", said[0])
    rows = [line for line in printed(untimed) if re.match(r"^ *\d+(–\d+)? +\d", line)]
    assert re.search(r"\d h \d\d min +post-scan", rows[-1])


def test_a_place_is_told_by_what_one_sees() -> None:
    """The bay that most of the car is in, how far it is turned from that, and what its nose points at."""
    site = Site(
        "shop", ((0.0, 0.0), (20.0, 0.0), (20.0, 10.0), (0.0, 10.0)), Datum((0.0, 0.0)),
        doors=(Door("gate", (20.0, 1.0), (20.0, 4.0), 3.0),),
        bays=(Bay("near bay", ((1.0, 0.5), (19.0, 0.5), (19.0, 4.5), (1.0, 4.5))),
              Bay("far bay", ((1.0, 5.0), (19.0, 5.0), (19.0, 9.0), (1.0, 9.0)))),
    )  # fmt: skip
    answer = planned(MAIN_JOB)
    assert answer.plan is not None
    nothing = evolve(answer.plan, steps=())

    def at(x: float, y: float, degrees: float) -> Whereabouts:
        there = evolve(answer.ordered.places[0], place=Place(x, y, math.radians(degrees)))
        ordered = evolve(answer.ordered, places=(there,))
        return whereabouts(ordered, nothing, 1, site, answer.needs.vehicle)

    straight = at(5.0, 2.5, 0.0)
    assert [bay.name for bay in straight.bays] == ["near bay"]
    assert straight.ahead == Ref("door", "gate")
    assert straight.askew_rad == pytest.approx(0.0)
    turned = at(5.0, 4.0, 15.0)
    assert [bay.name for bay in turned.bays] == ["near bay", "far bay"] or turned.bays[0].name == "far bay"
    assert turned.askew_rad == pytest.approx(math.radians(15.0))
    assert at(5.0, 2.5, 90.0).askew_rad == pytest.approx(0.0, abs=1e-9), "square to the bay is not askew"


def test_floor_that_nobody_surveyed_is_told_with_where_the_car_stands(tmp_path: Path) -> None:
    write_demo(tmp_path)
    (tmp_path / "survey.toml").unlink()
    found = read_folder(tmp_path)
    answer = find_plan(found.shop(), found.jobs["nib windshield"], alternatives=False)
    assert "Level not surveyed: forward camera board." in list(first_lines(answer, ENGLISH))
