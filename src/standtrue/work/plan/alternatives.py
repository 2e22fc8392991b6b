"""What else a foreman would ask about a job: one bay, part sent out, only what is required, on skates, more people."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from concurrent.futures import Executor, Future
from functools import partial
from typing import TypeVar

from attrs import evolve, frozen

from standtrue.model.asking import Asking
from standtrue.model.reason import Reason, Ref, because
from standtrue.model.site import Person, Site
from standtrue.work.needs.jobs import required_alone
from standtrue.work.plan.answer import Alternative
from standtrue.work.plan.from_here import from_here
from standtrue.work.plan.ordered import Ordered, Undone, minutes
from standtrue.work.plan.question import JobQuestion
from standtrue.work.plan.stances import Candidates

T = TypeVar("T")

CALIBRATING = ("calibration", "drive")
NOT_REQUIRED = because("not-required")

NEARLY_S = 300.0
"""An alternative that saves less than this need not be told: ranges are wider. Common practice, no source."""

ONE_MORE = "one more person"
"""The name of somebody whom the site does not list."""


@frozen(eq=False)
class Other:
    """An alternative that is being worked out: what is changed, and what comes of it; None where nothing is better."""

    change: Reason
    found: Future[Ordered | None]


@frozen(eq=False)
class Others:
    """Alternatives worked out beside the plan itself, each by itself: what goes wrong in one harms no other."""

    question: JobQuestion
    pool: Executor

    def in_bays(self, places: Mapping[str, Future[Candidates | None]]) -> Iterator[Other]:
        """The job in each bay alone, from the places there."""
        for name, found in places.items():
            change = because("only-in-bay", bay=Ref("bay", name, of=self.question.site.name))
            yield self._ask(change, partial(self._from, found))

    def _from(self, places: Future[Candidates | None]) -> Ordered | None:
        found = places.result()
        return None if found is None else self.question.answer(found)

    def of(self, candidates: Candidates, ordered: Ordered) -> Iterator[Other]:
        """The others, as far as each applies to what came of the plan."""
        ask = self.question
        yield from self._soonest(ordered)
        if any(u.sent_out is not None for u in ordered.undone):
            yield self._ask(because("part-sent-out"), lambda: ask.answer(candidates, send_out=True))
        if ordered.plan is not None and ordered.plan.moves:
            yield self._ask(because("on-skates"), lambda: ask.answer(candidates, rolling=True))
        if any(candidates.choices(n, any_doors=True) != candidates.choices(n) for n in range(len(candidates.cards))):
            yield self._ask(because("doors-open"), lambda: _if_better(ask.answer(candidates, any_doors=True), ordered))
        yield from self._only_required(candidates, ordered)
        yield from self._with_more_hands(candidates, ordered)

    def _only_required(self, candidates: Candidates, ordered: Ordered) -> Iterator[Other]:
        """Without the calibrations that somebody must look at first, if the plan has any: they are told as not done."""
        ask, needs = self.question, required_alone(self.question.needs)
        less = evolve(ask, needs=needs, drafts=from_here(needs, ask.site, ask.begun.late).drafts)
        kept = {draft.name for draft in less.drafts}
        left = [Undone(d, (NOT_REQUIRED,)) for d in ask.drafts if d.kind in CALIBRATING and d.name not in kept]

        def answer() -> Ordered:
            found = less.answer(candidates)
            return evolve(found, undone=(*found.undone, *left))

        if {one.draft.name for one in left} - {one.draft.name for one in ordered.undone}:
            yield self._ask(because("only-required"), answer)

    def _soonest(self, ordered: Ordered) -> Iterator[Other]:
        """The plan that takes the least time, where by the clock another is ready first."""
        plan, front = ordered.plan, ordered.front
        if plan is not None and minutes(plan.elapsed_s[1]) > minutes(front.plans[0].elapsed_s[1]):
            least = evolve(ordered, front=evolve(front, plans=front.plans[:1]))
            yield self._ask(because("least-time"), lambda: least)

    def _with_more_hands(self, candidates: Candidates, ordered: Ordered) -> Iterator[Other]:
        """With all who are there at work at once, and with one more; each only if it helps."""
        ask, count = self.question, len(self.question.site.people)
        everyone = (
            self._later(lambda: ask.answer(candidates, hands=count)) if count > 1 else self._later(lambda: ordered)
        )

        # What is awaited was begun before, so one worker is enough.
        def all_hands() -> Ordered | None:
            found = everyone.result()
            return None if found is None else _if_better(found, ordered)

        def one_more() -> Ordered | None:
            more = evolve(ask, drafts=from_here(ask.needs, _with_one_more(ask), ask.begun.late).drafts)
            return _if_better(more.answer(candidates, hands=count + 1), everyone.result())

        if count > 1:
            yield self._ask(because("all-hands"), all_hands)
        if count:
            yield self._ask(because("one-more-person"), one_more)

    def _ask(self, change: Reason, ask: Callable[[], Ordered | None]) -> Other:
        return Other(change, self._later(ask))

    def _later(self, ask: Callable[[], Ordered | None]) -> Future[Ordered | None]:
        return later(self.pool, self.question.asking, ask)


def places_in_bays(question: JobQuestion, pool: Executor) -> dict[str, Future[Candidates | None]]:
    """Where the car may stand in each bay alone: being looked for."""
    asking = question.asking
    return {b.name: later(pool, asking, partial(question.candidates, b.name)) for b in question.site.bays}


def later(pool: Executor, asking: Asking, ask: Callable[[], T]) -> Future[T | None]:
    """Work it out aside, unless that was stopped before it began."""
    return pool.submit(lambda: None if asking.stopped() else ask())


def gathered(others: Iterable[Other]) -> tuple[list[Alternative], list[Reason]]:
    """Those that were worked out, and those in which something went wrong."""
    found, failed = [], []
    for other in others:
        error = other.found.exception()
        if error is not None:
            failed.append(because("alternative-failed", alternative=other.change, error=type(error).__name__))
        elif (ordered := other.found.result()) is not None:
            found.append(Alternative(other.change, ordered))
    return found, failed


def _if_better(one: Ordered, other: Ordered | None) -> Ordered | None:
    """An answer for which something speaks: more is done, with fewer moves, or clearly quicker."""
    if other is None:
        return None
    if len(one.undone) != len(other.undone) or one.plan is None or other.plan is None:
        return one if len(one.undone) < len(other.undone) else None
    quicker = one.plan.elapsed_s[1] < other.plan.elapsed_s[1] - NEARLY_S
    return one if one.plan.moves < other.plan.moves or quicker else None


def _with_one_more(question: JobQuestion) -> Site:
    """The site with one more person in it, who can do whatever the job calls for."""
    site, needs = question.site, question.needs
    called = [*(c.skills for c in needs.cards), *(w.skills for w in needs.job.work)]
    skills = dict.fromkeys(skill for own in (*(p.skills for p in site.people), *called) for skill in own)
    return evolve(site, people=(*site.people, Person(ONE_MORE, tuple(skills))))
