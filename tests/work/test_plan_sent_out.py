"""Work that another firm does: when it is offered, what it takes, and what may follow once the car is back."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
import work_makers as make
from attrs import evolve

from standtrue.model.asking import Asking
from standtrue.model.basis import basis_of
from standtrue.model.job import Event, Job, Work
from standtrue.model.order import OUTSIDE
from standtrue.model.procedure import Minutes, Procedure, Source
from standtrue.model.reason import Text, because
from standtrue.model.rules import Calibrate, Rule, Rules
from standtrue.model.site import SentOut
from standtrue.model.vehicle import Sensor
from standtrue.needs import find_needs, order_of_work
from standtrue.show.words.reader import ENGLISH
from standtrue.work.needs.jobs import Needs
from standtrue.work.place.level import LevelFloors
from standtrue.work.plan.clock import JobClock
from standtrue.work.plan.floors import Floors
from standtrue.work.plan.from_here import Begun
from standtrue.work.plan.moves import Paths
from standtrue.work.plan.operations import draft_operations
from standtrue.work.plan.ordered import Ordered
from standtrue.work.plan.question import JobQuestion
from standtrue.work.plan.stances import Candidates

ALIGNER = SentOut(("Radar",), (3600.0, 7200.0), (80.0, 120.0), work=("alignment",))
STRUT, ALIGN = Work("new strut", (600.0, 600.0), stage="mechanical"), Work("toe in", (1.0, 1.0), stage="alignment")


def asked(
    *offers: SentOut,
    drivable: str = "yes",
    lacking: Sequence[str] = ("toe in",),
    works: tuple[Work, ...] = (STRUT, ALIGN),
) -> JobQuestion:
    """A strut, an alignment and a radar; some of it cannot be done here. Everything else needs no place."""
    car = evolve(make.car(), sensors=(Sensor("front radar", None),))
    cards = (Procedure("Radar", "front radar", "electronic", Source("notes"), minutes=Minutes(run_s=(60.0, 60.0))),)
    rules = (Rules("own", (Rule("minor collision", (Calibrate("front radar"),), "required", Text("Hit.")),)),)
    job = Job("R-1", "shop", "car", events=(Event("minor collision"),), work=works, drivable=drivable)
    answer = find_needs(job, car, cards, rules)
    needs = Needs(job, car, answer, cards, order_of_work(answer, job), basis_of((), (), ()))
    site = evolve(make.site(), sent_out=offers)
    drafts = tuple(
        evolve(d, card=None, wherever_s=(60.0, 60.0), ruled_out_by=(because("no-card"),) if d.name in lacking else ())
        for d in draft_operations(needs, site)
    )
    return JobQuestion(
        needs, site, drafts, Paths(site, car), Floors(LevelFloors(None, site)), Asking(), JobClock(), Begun(drafts, {})
    )


def planned(question: JobQuestion, *, send_out: bool) -> Ordered:
    return question.answer(Candidates((), ()), send_out=send_out)


def order(ordered: Ordered) -> list[str]:
    assert ordered.plan is not None
    return [ordered.problem.operations[turn.operation].name for turn in ordered.plan.order]


def test_what_is_sent_out_is_done_when_it_is_back_and_what_waits_for_it_follows() -> None:
    question = asked(ALIGNER)
    here = planned(question, send_out=False)
    assert {u.draft.name: tuple(map(ENGLISH.write, u.waits_for)) for u in here.undone} == {
        "toe in": (),
        "Radar": ("toe in",),
    }
    assert here.undone[0].sent_out == ALIGNER
    out = planned(question, send_out=True)
    assert out.undone == ()
    assert order(out) == ["pre-scan", "new strut", "toe in", "Radar", "post-scan"]
    assert out.plan is not None
    step = next(s for s in out.plan.steps if s.kind == "sent out")
    assert step.stand.place == OUTSIDE
    assert step.team == ()
    assert step.end_s[0] - step.start_s[0] == pytest.approx(3600.0)
    assert step.end_s[2] - step.start_s[2] == pytest.approx(7200.0)
    operation = out.problem.operations[step.operation or 0]
    assert ENGLISH.reason(operation.because[-1]) == (
        "done elsewhere, the car is driven there: 1 h to 2 h, 80 to 120 USD"
    )


def test_a_car_that_cannot_be_driven_must_be_fetched() -> None:
    assert planned(asked(ALIGNER, drivable="no"), send_out=True).undone[0].sent_out is None
    fetched = evolve(ALIGNER, transport_s=(1800.0, 3600.0))
    out = planned(asked(ALIGNER, fetched, drivable="no"), send_out=True)
    assert out.undone == ()
    assert out.plan is not None
    step = next(s for s in out.plan.steps if s.kind == "sent out")
    assert step.end_s[2] - step.start_s[2] == pytest.approx(7200.0 + 3600.0)
    said = ENGLISH.reason(out.problem.operations[step.operation or 0].because[-1])
    assert said == "done elsewhere: 1 h to 2 h, fetching 30 min to 1 h, 80 to 120 USD"


def test_it_is_driven_there_only_once_it_is_mended() -> None:
    """The radar alone is sent out; what mends the car comes first, and where that is not done it is not sent."""
    question = asked(ALIGNER, drivable="new strut", lacking=("Radar",))
    out = planned(question, send_out=True)
    operations = {o.name: o for o in out.problem.operations}
    mended = next(n for n, o in enumerate(out.problem.operations) if o.name == "new strut")
    assert mended in operations["Radar"].after
    stuck = planned(asked(ALIGNER, drivable="new strut", lacking=("Radar", "new strut")), send_out=True)
    assert {"Radar", "new strut"} <= {u.draft.name for u in stuck.undone}
    itself = evolve(ALIGNER, work=("new strut",))
    assert (
        planned(asked(itself, drivable="new strut", lacking=("new strut",)), send_out=True).undone[0].sent_out is None
    )


def test_what_must_be_done_before_the_car_is_mended_is_not_driven_away() -> None:
    """The car drives only after the strut, which comes after the alignment: it would have to be fetched for that."""
    strut = evolve(STRUT, after=("toe in",))
    stuck = planned(asked(ALIGNER, drivable="new strut", works=(strut, ALIGN)), send_out=True)
    assert {u.draft.name for u in stuck.undone} == {"toe in", "new strut", "Radar", "post-scan"}
    assert stuck.plan is not None
    assert order(stuck) == ["pre-scan"]
    fetched = evolve(ALIGNER, transport_s=(1800.0, 3600.0))
    out = planned(asked(fetched, drivable="new strut", works=(strut, ALIGN)), send_out=True)
    assert order(out) == ["pre-scan", "toe in", "new strut", "Radar", "post-scan"]
