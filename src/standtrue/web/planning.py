"""An order's plan as work in hand: asked for once, found again by the documents that it rests on, drawn aside."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Literal

from attrs import evolve, frozen

from standtrue.model.asking import Asking
from standtrue.model.job import Job
from standtrue.model.shop import Shop
from standtrue.show.pages.order_story import Story, story_of
from standtrue.show.words.reader import Reader
from standtrue.web.state import State
from standtrue.web.tasks import Task
from standtrue.work.orders.asked import Planning, Way, plan_as
from standtrue.work.orders.planned import plan_marks
from standtrue.work.plan.answer import PlanAnswer

Phase = Literal["nothing", "computing", "failed", "drawing", "whole"]


@frozen(eq=False)
class InHand:
    """How far an order's plan is. `task` works it out; `planning` is what is known; `old`: it rests on documents as
    they were; `beside` works out the alternatives; `error` is what went wrong."""

    phase: Phase
    task: Task | None = None
    planning: Planning | None = None
    old: bool = False
    story: Story | None = None
    beside: Task | None = None
    error: BaseException | None = None

    @property
    def token(self) -> str:
        """By it an open page sees that it should be read again."""
        beside = "" if self.beside is None or self.beside.done else "+"
        stopped = "!" if self.task is not None and self.task.stopping else ""
        return f"{self.phase}{beside}{stopped}{'-old' if self.old else ''}"


@frozen(eq=False)
class Plans:
    """The plans of one order, asked one way, for one reader."""

    state: State
    shop: Shop
    job: Job
    way: Way
    reader: Reader

    def look(self) -> InHand:
        """How far it is. Begun where nobody planned the order yet; not where an older plan is known: that is told."""
        tasks = self.state.tasks
        task = tasks.known(self._key(self.way))
        if task is None and not self.job.events:
            return InHand("nothing")
        if task is None:
            older = tasks.latest(("plan", self.job.name), _answered)
            if older is not None:
                return self._told(older, old=True)
            task = self.ask()
        return self._told(task)

    def ask(self) -> Task:
        """Plan it, unless that is being done."""
        shop, job, way, known = self.shop.anew(), self.job, self.way, self._known()
        shop.jobs[job.name]  # the plan rests on the order's own document, too
        return self.state.tasks.ask(self._key(way), lambda asking: plan_as(shop, job, way, known, asking))

    def compare(self) -> Task:
        """Work out the alternatives, too."""
        return evolve(self, way=Way(beside=True)).ask()

    def _told(self, task: Task, *, old: bool = False) -> InHand:
        if not task.done:
            return InHand("computing", task)
        error = task.future.exception()
        if error is not None:
            return InHand("failed", task, error=error)
        planning: Planning = task.future.result()
        beside = self.state.tasks.known(self._key(Way(beside=True)))
        if beside is not None and _answered(beside) and planning.way == Way() and not old:
            planning = beside.future.result()
        drawn = self._drawn(planning)
        story = drawn.future.result() if _answered(drawn) else None
        phase: Phase = "whole" if drawn.done else "drawing"
        return InHand(phase, task, planning, old, story, beside)

    def _drawn(self, planning: Planning) -> Task:
        answer, reader = planning.answer, self.reader
        draw: Callable[[Asking], Any] = lambda _: story_of(answer, reader)  # noqa: E731, a task takes how it is asked
        key = ("story", self.job.name, id(answer), reader.units, reader.language)
        return self.state.tasks.ask(key, draw)

    def _known(self) -> PlanAnswer | None:
        """The plan as it is, with its alternatives if they are known."""
        every = (self.state.tasks.known(self._key(way)) for way in (Way(beside=True), Way()))
        found = next((task for task in every if task is not None and _answered(task)), None)
        return None if found is None else found.future.result().answer

    def _key(self, way: Way) -> tuple[object, ...]:
        return ("plan", self.job.name, plan_marks(self.shop, self.job), way)


def _answered(task: Task) -> bool:
    return task.done and task.future.exception() is None
