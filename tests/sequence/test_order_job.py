"""The order of a job: against trying every order, and against the checker."""

from __future__ import annotations

import random
from functools import partial
from itertools import pairwise

import pytest
from attrs import evolve
from cp_jobs import front_by_cp
from sequence_makers import Costs, brute_front, random_crew_job, random_job, tidied

from standtrue.model.asking import Asking
from standtrue.model.order import OUTSIDE, Choice, Fitting, Front, Handling, Operation, Plan, Problem, Stand, Step
from standtrue.model.reason import because
from standtrue.model.stance import Carrier
from standtrue.sequence.check import violations
from standtrue.sequence.moves import Ledger
from standtrue.sequence.solve import order_job


def told(front: Front) -> list[tuple[float, int]]:
    return [(plan.elapsed_s[1], plan.moves) for plan in front.plans]


@pytest.mark.parametrize("batch", range(4))
def test_fronts_are_those_of_trying_every_order(batch: int) -> None:
    """Two hundred random jobs of up to five operations."""
    for seed in range(50 * batch, 50 * batch + 50):
        problem, costs = random_job(seed)
        front = order_job(problem, costs)
        found, tried = told(front), brute_front(problem, costs)
        assert front.proven
        assert [m for _, m in found] == [m for _, m in tried], seed
        assert [t for t, _ in found] == pytest.approx([t for t, _ in tried]), seed
        for plan in front.plans:
            assert violations(problem, plan) == ()
            assert plan.elapsed_s[0] <= plan.elapsed_s[1] <= plan.elapsed_s[2]


@pytest.mark.parametrize("batch", range(4))
def test_fronts_of_several_people_are_those_of_trying_every_order(batch: int) -> None:
    """A hundred random jobs of up to five operations, work side by side in every way that the rules allow."""
    beside = 0
    for seed in range(25 * batch, 25 * batch + 25):
        problem, costs = random_crew_job(seed)
        front = order_job(problem, costs)
        found, tried = told(front), brute_front(problem, costs)
        assert front.proven or not tried
        assert [m for _, m in found] == [m for _, m in tried], seed
        assert [t for t, _ in found] == pytest.approx([t for t, _ in tried]), seed
        for plan in front.plans:
            assert violations(problem, plan) == (), seed
            beside += any(b.start_s[1] < a.end_s[1] for a, b in pairwise(plan.steps))
    assert beside > 2


def test_people_who_are_not_the_same_work_side_by_side_and_share_the_equipment() -> None:
    """Two of three run together while the third waits for a hand; the frame and the stand are fetched together."""
    both = frozenset({Fitting("frame", (1.0, 2.0)), Fitting("stand", (3.0, 4.0))})
    works = [work(name, 600.0, Stand(1)) for name in "abc"]
    aimed = evolve(work("aim", 300.0, Stand(1), fittings=both), kind="calibration", after=frozenset({0, 1, 2}))
    teams = ((("Ash",),), (("Birch",),), (("Ash",), ("Birch",)), (("Ash",),))
    jobs = tuple(evolve(o, teams=t) for o, t in zip((*works, aimed), teams, strict=True))
    handling = (("frame", Handling((90.0, 90.0), (30.0, 30.0))), ("stand", Handling((60.0, 60.0), (20.0, 20.0))))
    alone = Problem(jobs, 2, handling)
    (plan,) = order_job(alone, flat(2)).plans
    assert plan.elapsed_s[1] == 2 * 90.0 + 3 * 600.0 + 300.0 + 150.0 + 50.0
    (plan,) = order_job(evolve(alone, hands=2), flat(2)).plans
    assert plan.elapsed_s[1] == 2 * 90.0 + 2 * 600.0 + 300.0 + 90.0 + 30.0
    assert violations(evolve(alone, hands=2), plan) == ()
    assert any("overlap" in wrong for wrong in violations(alone, plan))
    moved = [evolve(s, team=("Ash",)) if s.kind == "work" else s for s in plan.steps]
    assert any("two things at once" in w for w in violations(evolve(alone, hands=2), evolve(plan, steps=tuple(moved))))


def test_what_is_wanted_at_another_spot_is_carried_there() -> None:
    """The reflector for the left, then for the right: set up twice, put away once."""
    sides = [frozenset({Fitting("reflector", (1.0, side))}) for side in (1.0, -1.0)]
    jobs = tuple(work(name, 60.0, Stand(1), fittings=side) for name, side in zip("ab", sides, strict=True))
    problem = Problem(jobs, 2, (("reflector", Handling((300.0, 300.0), (100.0, 100.0))),))
    (plan,) = order_job(problem, flat(2)).plans
    assert [s.kind for s in plan.steps] == ["enter", "set up", "work", "carry", "work", "put away", "leave"]
    assert plan.elapsed_s[1] == 2 * 90.0 + 120.0 + 2 * 300.0 + 100.0
    assert violations(problem, plan) == ()


def test_only_moves_that_a_plan_wants_are_found() -> None:
    """Of the moves of all these jobs, most are never asked for."""
    asked = there = 0
    for seed in range(60):
        problem, costs = random_job(seed)
        order_job(problem, costs)
        asked += len(costs.asked)
        there += len(costs.table)
        assert len(costs.asked) == len(set(costs.asked))
    assert 3 * asked < there


def work(name: str, run_s: float, *stands: Stand, fittings: frozenset[Fitting] = frozenset()) -> Operation:
    choices = tuple(Choice((run_s, run_s), stand, fittings) for stand in stands) or (Choice((run_s, run_s)),)
    return Operation(name, because("own-work", name=name), "work", choices)


def flat(places: int, seconds: float = 60.0) -> Costs:
    pairs = [(p, q, d) for p in range(places) for q in range(places) for d in (False, True)]
    return Costs(dict.fromkeys(pairs, (seconds, 2 * seconds)))


def test_a_slower_place_with_fewer_moves_is_on_the_front_too() -> None:
    """Close by it takes longer: whoever counts moves stays, whoever counts minutes goes."""
    here, there = Stand(1), Stand(2)
    slow = evolve(work("b", 500.0, here), choices=(Choice((500.0, 500.0), here), Choice((100.0, 100.0), there)))
    front = order_job(Problem((work("a", 100.0, here), slow), 3), flat(3))
    assert [plan.moves for plan in front.plans] == [1, 0]
    assert front.plans[0].elapsed_s[1] == 90.0 * 3 + 200.0
    assert front.plans[1].elapsed_s[1] == 90.0 * 2 + 600.0


def test_work_goes_on_while_a_wait_blocks_driving_only() -> None:
    """Glass cures for an hour: what can be done where the car stands is done meanwhile, then it moves."""
    glass = evolve(work("glass", 600.0, Stand(1)), wait_s=(3600.0, 3600.0), blocks="drive")
    near = evolve(work("near", 1200.0, Stand(1)), after=frozenset({0}))
    far = evolve(work("far", 600.0, Stand(2)), after=frozenset({0}))
    problem = Problem((glass, near, far), 3)
    (plan,) = order_job(problem, flat(3)).plans
    assert [s.kind for s in plan.steps] == ["enter", "work", "work", "wait", "move", "work", "leave"]
    wait = plan.steps[3]
    assert wait.operation == 0
    assert wait.end_s[1] == 90.0 + 600.0 + 3600.0
    assert violations(problem, plan) == ()


def test_one_frame_stays_for_the_next_calibration_and_another_place_needs_it_again() -> None:
    frame = frozenset({Fitting("frame", (1.0, 2.0))})
    jobs = (work("a", 60.0, Stand(1), fittings=frame), work("b", 60.0, Stand(1), fittings=frame))
    handling = (("frame", Handling((300.0, 300.0), (100.0, 100.0))),)
    (plan,) = order_job(Problem(jobs, 2, handling), flat(2)).plans
    assert [s.kind for s in plan.steps] == ["enter", "set up", "work", "work", "put away", "leave"]
    apart = (jobs[0], work("b", 60.0, Stand(2), fittings=frame))
    (plan,) = order_job(Problem(apart, 3, handling), flat(3)).plans
    assert [s.kind for s in plan.steps].count("set up") == 2


def test_a_car_that_cannot_drive_yet_is_pushed_until_it_can() -> None:
    costs = flat(3)
    costs.table = {key: (60.0, 60.0) if key[2] else (600.0, 600.0) for key in costs.table}
    mend = work("mend", 60.0, Stand(1), Stand(2))
    then = evolve(work("then", 60.0, Stand(2)), after=frozenset({0}))
    problem = Problem((mend, then), 3, drives_after=0)
    (plan,) = order_job(problem, costs).plans[-1:]
    moves = [s.move for s in plan.steps if s.move is not None]
    assert not moves[0].driven
    assert moves[-1].driven
    never = order_job(evolve(problem, never_drives=True), costs).plans[0]
    assert not any(s.move.driven for s in never.steps if s.move is not None)


def test_the_lift_comes_down_before_the_car_moves() -> None:
    up = Stand(1, Carrier("lift", "up", 1.2), (40.0, 60.0))
    problem = Problem((work("under", 60.0, up), work("floor", 60.0, Stand(2))), 3)
    plan = order_job(problem, flat(3)).plans[0]
    assert [s.kind for s in plan.steps].count("lift") == 2
    assert violations(problem, plan) == ()


def test_what_cannot_all_be_done_has_no_plan() -> None:
    costs = flat(3)
    costs.table = {k: (float("inf"),) * 2 if 2 in k[:2] else v for k, v in costs.table.items()}
    front = order_job(Problem((work("a", 60.0, Stand(1)), work("b", 60.0, Stand(2))), 3), costs)
    assert front.plans == ()
    assert front.proven


def test_stopped_early_the_best_so_far_is_told_and_nothing_is_proven() -> None:
    """Whenever it is stopped, what is told can be done and no better than the proven front."""
    told_early = 0
    for seed in range(40):
        problem, costs = random_job(seed)
        whole = order_job(problem, costs)
        needed = len(costs.asked)
        for most in range(needed):
            _, again = random_job(seed)
            front = order_job(problem, again, Asking(stopped=partial(_as_many_as, again, most)))
            assert not front.proven
            for plan in front.plans:
                told_early += 1
                assert all(s.move.exact for s in plan.steps if s.move is not None)
                assert violations(problem, plan) == ()
                assert any(p.elapsed_s[1] <= plan.elapsed_s[1] + 1e-6 for p in whole.plans)
    assert told_early


def test_interrupted_when_the_last_move_is_told_the_plan_is_there_but_not_proven() -> None:
    """The plan of the first round, all of whose moves are known by then, is not lost."""

    heard: list[int] = []
    asking = Asking(lambda progress: heard.append(progress.done), lambda: heard[-1:] == [3])
    front = order_job(Problem((work("a", 60.0, Stand(1)), work("b", 60.0, Stand(2))), 3), flat(3), asking)
    assert heard == [1, 2, 3]
    assert not front.proven
    assert [p.moves for p in front.plans] == [1]


def _as_many_as(costs: Costs, most: int) -> bool:
    """Whether so many moves were found."""
    return len(costs.asked) >= most


def test_cp_sat_comes_to_the_same_fronts() -> None:
    """By other means, with every move known."""
    for seed in range(8):
        problem, costs = random_job(seed, most=4)
        problem = tidied(problem)
        ledger = Ledger(costs)
        for key in costs.table:
            ledger.settle(key)
        found, front = told(front_by_cp(problem, ledger)), told(order_job(problem, costs))
        assert [m for _, m in found] == [m for _, m in front]
        assert [t for t, _ in found] == pytest.approx([t for t, _ in front])


def test_where_not_all_ways_can_be_tried_an_order_is_there_and_nothing_is_proven(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """It can be done, is no better than the proven front, and no quicker than what any order takes at least."""
    fronts = [order_job(*random_crew_job(seed)) for seed in range(60)]
    monkeypatch.setattr("standtrue.sequence.solve.MOST_STATES", 0)
    for seed, whole in enumerate(fronts):
        problem, costs = random_crew_job(seed)
        front = order_job(problem, costs)
        assert not front.proven
        assert bool(front.plans) == bool(whole.plans)
        assert front.least_s is not None
        for plan in front.plans:
            assert violations(problem, plan) == (), seed
            assert any(p.elapsed_s[1] <= plan.elapsed_s[1] + 1e-6 and p.moves <= plan.moves for p in whole.plans)
        assert all(front.least_s <= plan.elapsed_s[1] + 1e-6 for plan in whole.plans), seed


def in_stages(count: int, wide: int) -> Problem:
    """So many pieces of work in stages of so many each, at one of two places each."""
    chance = random.Random(5)
    works = []
    for number in range(count):
        before = frozenset(n for n in range(number) if n // wide < number // wide)
        stands = chance.sample([Stand(1), Stand(2), Stand(3)], 2)
        works.append(evolve(work(f"work {number}", 60.0 * chance.randint(1, 20), *stands), after=before))
    return Problem(tuple(works), 4)


@pytest.mark.parametrize("count", [24, 60])
def test_many_operations_in_stages_are_proven(count: int) -> None:
    """What decides is how many sets of them can be done at all, not how many there are."""
    problem = in_stages(count, 6)
    front = order_job(problem, flat(4))
    assert front.proven
    assert front.plans
    assert all(violations(problem, plan) == () for plan in front.plans)


def test_thirty_operations_in_no_order_at_all_have_an_order_and_a_gap() -> None:
    """Their sets are a thousand million: nothing is proven, and "no order" is never said."""
    problem = in_stages(30, 30)
    front = order_job(problem, flat(4))
    assert not front.proven
    (plan,) = front.plans[-1:]
    assert violations(problem, plan) == ()
    assert front.least_s is not None
    assert front.least_s <= plan.elapsed_s[1] < 1.2 * front.least_s


def broken(plan: Plan, number: int, step: Step) -> Plan:
    steps = list(plan.steps)
    steps[number] = step
    return evolve(plan, steps=tuple(steps))


def test_the_checker_sees_every_kind_of_wrong() -> None:
    """Each change of a sound plan breaks one rule."""
    frame = frozenset({Fitting("frame", (1.0, 2.0))})
    first = evolve(work("a", 60.0, Stand(1), fittings=frame), wait_s=(500.0, 500.0), blocks="drive")
    second = evolve(work("b", 60.0, Stand(2)), after=frozenset({0}))
    problem = Problem((first, second), 3, (("frame", Handling((9.0, 9.0), (9.0, 9.0))),))
    (plan,) = order_job(problem, flat(3)).plans
    kinds = [s.kind for s in plan.steps]
    assert kinds == ["enter", "set up", "work", "put away", "wait", "move", "work", "leave"]
    assert violations(problem, plan) == ()
    steps = plan.steps
    wrong = {
        "another number of moves": evolve(plan, moves=3),
        "an operation left out": evolve(plan, steps=steps[:6] + steps[7:]),
        "an operation twice": evolve(plan, steps=(*steps[:7], steps[6], steps[7])),
        "the wait left out": evolve(plan, steps=steps[:4] + steps[5:]),
        "nothing set up": evolve(plan, steps=(steps[0], *steps[2:])),
        "nothing put away": evolve(plan, steps=steps[:3] + steps[4:]),
        "not gone": evolve(plan, steps=steps[:7]),
        "too short": broken(plan, 2, evolve(steps[2], end_s=steps[2].start_s)),
        "elsewhere": broken(plan, 6, evolve(steps[6], stand=Stand(1))),
        "another way": broken(plan, 2, evolve(steps[2], choice=Choice((1.0, 1.0), Stand(OUTSIDE)))),
    }
    for what, one in wrong.items():
        assert violations(problem, one), what
