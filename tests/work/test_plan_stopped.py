"""A plan that is stopped early tells the best so far; an alternative that goes wrong is left out, and that is told."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from standtrue.documents import Folder, read_folder
from standtrue.model.asking import Asking, Progress
from standtrue.model.reason import Reason, Ref
from standtrue.sequence.check import violations
from standtrue.work.plan.answer import PlanAnswer
from standtrue.work.plan.plans import find_plan
from standtrue.work.plan.question import JobQuestion
from standtrue.work.plan.stances import Candidates

JOB = "covered"


@cache
def folder() -> Folder:
    return read_folder(Path(__file__).parent / "plan_shop")


def plan(asking: Asking) -> PlanAnswer:
    return find_plan(folder().shop(), folder().jobs[JOB], asking=asking)


def limits(answer: PlanAnswer) -> list[str]:
    return [limit.code for limit in answer.basis.limits if isinstance(limit, Reason)]


@cache
def whole() -> PlanAnswer:
    return plan(Asking(workers=2))


def test_what_was_not_stopped_is_whole() -> None:
    assert whole().ordered.front.proven
    assert limits(whole()) == []
    assert whole().alternatives


def test_stopped_at_once_there_is_no_plan_and_nothing_is_proven() -> None:
    answer = plan(Asking(stopped=lambda: True))
    assert answer.plan is None
    assert not answer.ordered.front.proven
    assert answer.alternatives == ()
    assert limits(answer) == ["order-not-proven", "alternatives-stopped"]
    assert answer.basis.marks == whole().basis.marks


def test_stopped_in_the_middle_what_is_told_can_be_done() -> None:
    """Stopped after so many moves: what comes of it keeps the rules and is no better than the whole answer."""
    best = whole().plan
    assert best is not None
    for most in (1, 4):
        heard: list[Progress] = []

        def stopped(most: int = most, heard: list[Progress] = heard) -> bool:
            return sum(p.what.code == "finding-moves" for p in heard) >= most

        answer = plan(Asking(heard.append, stopped))
        assert "alternatives-stopped" in limits(answer)
        assert all(a.ordered.front.proven for a in answer.alternatives)
        for front in answer.ordered.front.plans:
            assert violations(answer.ordered.problem, front) == ()
            assert front.elapsed_s[1] >= whole().ordered.front.plans[0].elapsed_s[1] - 1e-6


def test_an_alternative_that_goes_wrong_is_left_out_and_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """One bay alone cannot be worked out: the plan and every other alternative are as they were."""
    candidates = JobQuestion.candidates

    def broken(self: JobQuestion, bay: str | None = None) -> Candidates:
        if bay is not None:
            raise ArithmeticError("not to be told")
        return candidates(self, bay)

    monkeypatch.setattr(JobQuestion, "candidates", broken)
    answer = plan(Asking())
    assert answer.plan == whole().plan
    assert limits(answer) == ["alternative-failed"]
    (failed,) = answer.left_out
    changed = failed["alternative"]
    assert isinstance(changed, Reason)
    assert (changed.code, changed["bay"]) == ("only-in-bay", Ref("bay", "the bay", of=answer.site.name))
    assert [a.change for a in answer.alternatives] == [a.change for a in whole().alternatives if a.change != changed]


def test_what_goes_wrong_in_the_plan_itself_stops_what_is_worked_out_beside_it(monkeypatch: pytest.MonkeyPatch) -> None:
    told: list[Progress] = []

    def broken(*_: object, **__: object) -> None:
        raise ArithmeticError("the plan itself")

    monkeypatch.setattr(JobQuestion, "answer", broken)
    with pytest.raises(ArithmeticError, match="the plan itself"):
        plan(Asking(told.append))
