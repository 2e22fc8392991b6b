"""The plan against every order tried, from the documents on: places, forms, work sent out, equipment left standing."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

import pytest
from whole_enumerated import STREET, Enumerated, WaysThere, enumerated
from whole_jobs import all_of_it, random_shop, random_whole_job

from standtrue.model.order import OUTSIDE, Fitting, middle
from standtrue.work.plan.ordered import Ordered


def gone_through(ordered: Ordered, there: WaysThere, tried: Enumerated) -> Iterator[bool]:
    """Each step of its plans can be done so; whether something stands about while what does not use it is aimed."""
    for plan in ordered.front.plans:
        up: set[Fitting] = set()
        for step in plan.steps:
            names = {f.equipment for f in step.fittings}
            up = {f for f in up if f.equipment not in names}
            up |= set(step.fittings) if step.kind != "put away" else set()
            if step.operation is not None and step.choice is not None:
                number, name = step.stand.place, ordered.problem.operations[step.operation].name
                place = STREET if number == OUTSIDE else there.places.index(ordered.places[number - 1].place)
                assert tried.has(name, place, middle(step.choice.run_s), up), name
                yield step.choice.stand is not None and bool(up - step.choice.fittings)


def check(shops: range, jobs: int) -> Counter[str]:
    """How often each thing was seen. The places tried are those of the whole hall and of each bay, put side by side.

    From some of these places alone nothing better is planned.
    """
    seen: Counter[str] = Counter()
    for number in shops:
        shop = random_shop(number)
        ask = all_of_it(shop).question
        own, bays = ask.candidates(), [ask.candidates(bay.name) for bay in shop.site.bays]
        candidates = own.pooled(bays)
        there = WaysThere(shop, list(dict.fromkeys(c.place for some in (own, *bays) for c in some.found)))
        for seed in range(jobs):
            job = random_whole_job(shop, candidates, 1000 * number + seed)
            found = job.question.answer(candidates, send_out=job.sends)
            tried = enumerated(job, there)
            assert {u.draft.name for u in found.undone} == tried.undone, (number, seed)
            assert found.front.proven
            assert [p.moves for p in found.front.plans] == [m for _, m in tried.front], (number, seed)
            assert [p.elapsed_s[1] for p in found.front.plans] == pytest.approx([t for t, _ in tried.front])
            if seed % 5 == 0 and job.stands is None:
                assert not any(job.question.answer(one, send_out=job.sends).beats(found) for one in (own, *bays))
            kinds = {s.kind for p in found.front.plans for s in p.steps}
            moved, stood = any(p.moves for p in found.front.plans), any([*gone_through(found, there, tried)])
            several, inside = len(found.front.plans) > 1, job.stands is not None
            more = {"undone": tried.undone, "moved": moved, "stood": stood, "several": several, "inside": inside}
            seen.update([*kinds, *(name for name, there_is in more.items() if there_is)])
    return seen


def test_three_hundred_plans_are_those_of_trying_every_order() -> None:
    seen = check(range(12), 25)
    assert seen["sent out"] > 30
    assert seen["stood"] > 30
    assert seen["moved"] > 30
    assert seen["inside"] > 50
    assert seen["undone"] > 100
    assert seen["wait"] > 60


@pytest.mark.long
@pytest.mark.parametrize("block", range(12))
def test_three_thousand_plans_are_those_of_trying_every_order(block: int) -> None:
    check(range(100 + 10 * block, 110 + 10 * block), 25)
