"""An order on its page: the answer, what must be decided, the story, the reasons, what was done, what if."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from attrs import frozen

from standtrue.model.job import Job
from standtrue.needs import NeedsAnswer
from standtrue.show.pages.order_decide import Question, questions_of
from standtrue.show.pages.order_lists import Column, Done, Reasons, columns_of, done_of, reasons_of
from standtrue.show.pages.order_story import Chapter, Story, chapters_of, place_name
from standtrue.show.words.clock import ready_words, untimed_words
from standtrue.show.words.pages import order as words
from standtrue.show.words.pages import order_labels as labels
from standtrue.show.words.plan import step_words
from standtrue.show.words.plan_first import known_line, ready_lines, size_words
from standtrue.show.words.reader import Reader
from standtrue.show.words.remedies import remedy_words
from standtrue.work.needs.jobs import Needs
from standtrue.work.orders.asked import Planning
from standtrue.work.orders.planned import Planned
from standtrue.work.plan.answer import PlanAnswer


@frozen
class Said:
    """A sentence; `strong` ones are what is looked for."""

    text: str
    strong: bool = False


@frozen(eq=False)
class OrderHead:
    """What stands above everything: number, car, question, answer, three lines at a glance, and who takes it."""

    number: str
    over: str
    question: str
    answer: tuple[Said, ...]
    glance: tuple[tuple[str, str], ...]
    decide: str
    notices: tuple[str, ...]
    hand_to: str
    hand_button: str
    handed: str
    aside: str
    left: str


@frozen(eq=False)
class OrderPage:
    """The page. `columns` are empty until the alternatives were worked out, `story` until the steps are drawn."""

    head: OrderHead
    labels: dict[str, str]
    questions: tuple[Question, ...]
    chapters: tuple[Chapter, ...]
    known: str
    reasons: Reasons
    done: tuple[Done, ...]
    scan: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, str], ...]
    story: Story | None
    rests: tuple[tuple[str, str], ...]


@frozen(eq=False)
class Desk:
    """What the page is made from, beside the order: the moment, what was handed over, and the plan that is shown.

    `stale` are the documents that changed since that plan; `story` its picture, once it is drawn; `said` is told
    instead of an answer where there is no plan yet.
    """

    now: datetime
    needs: Needs
    planned: Planned | None = None
    planning: Planning | None = None
    stale: tuple[str, ...] | None = None
    story: Story | None = None
    said: tuple[str, ...] = ()


def order_page(job: Job, desk: Desk, reader: Reader) -> OrderPage:
    """The page of an order."""
    plan = None if desk.planning is None else desk.planning.answer
    questions = questions_of(desk.needs, plan, reader) if job.events else ()
    columns = () if plan is None or not plan.alternatives else columns_of(plan, reader)
    scan = next((one.findings for one in job.scans if one.when == "before" and one.findings), ())
    return OrderPage(
        head=_head(job, desk, plan, len(questions), reader),
        labels=dict(labels.order_labels(reader)),
        questions=questions,
        chapters=() if plan is None else chapters_of(plan, reader),
        known=" ".join(_known(plan, reader)),
        reasons=reasons_of(desk.needs, plan, reader),
        done=done_of(job, reader),
        scan=words.scan_words(scan, reader) if scan else "",
        columns=columns,
        rows=tuple(labels.what_if_rows(reader).items()),
        story=desk.story,
        rests=_rests(desk, plan, reader),
    )


def _head(job: Job, desk: Desk, plan: PlanAnswer | None, open_now: int, reader: Reader) -> OrderHead:
    to = _first_hand(plan)
    handed = ""
    notices = []
    if desk.planned is not None:
        at = datetime.fromisoformat(desk.planned.at).astimezone(desk.now.tzinfo)
        handed = words.handed_words(desk.planned.to, at, desk.now, reader)
        if desk.planned.changed:
            notices.append(words.handed_stale(tuple(name for _, name in desk.planned.changed), reader))
    if desk.stale is not None:
        notices.append(words.stale_words(desk.stale, reader))
    aside = reader.text(job.put_aside)
    came = words.came_words(job, desk.now.replace(tzinfo=None), reader)
    return OrderHead(
        number=job.order_number or job.name,
        over=f"{words.over_words(job, reader)}. {came}",
        question=words.order_question(reader),
        answer=tuple(_answer(job, desk, plan, reader)),
        glance=tuple(_glance(desk.needs.answer, plan, reader)),
        decide=words.decide_first(open_now, reader) if open_now else "",
        notices=tuple(notices),
        hand_to=to,
        hand_button=words.hand_words(to, reader),
        handed=handed,
        aside=words.aside_words(aside, reader) if aside else "",
        left=words.left_words(job.left, reader) if job.left else "",
    )


def _answer(job: Job, desk: Desk, plan: PlanAnswer | None, reader: Reader) -> list[Said]:
    if not job.events and plan is None:
        return [Said(words.nothing_done_words(reader))]
    if plan is None or desk.planning is None:
        called = sum(1 for need in desk.needs.answer.needs if not need.dropped)
        return [*(Said(one) for one in desk.said), Said(words.so_far_words(called, reader))]
    told = []
    if desk.planning.change is not None:
        told.append(Said(words.with_change_words(remedy_words(desk.planning.change, reader), reader)))
    if plan.plan is None:
        told += [Said(line) for line in ready_lines(plan, reader)]
    else:
        told.append(Said(size_words(plan.plan, reader)))
        ready = ready_words(plan, reader)
        told.append(Said(ready or untimed_words(plan, reader), strong=bool(ready)))
    return [*told, *(Said(one) for one in desk.said)]


def _glance(needs: NeedsAnswer, plan: PlanAnswer | None, reader: Reader) -> list[tuple[str, str]]:
    calibrate, stands, people = words.glance_names(reader)
    dropped = sum(1 for need in needs.needs if need.dropped)
    required = sum(1 for need in needs.needs if need.how == "required" and not need.dropped)
    counted = words.glance_words(required, len(needs.needs) - required - dropped, dropped, reader)
    told = [(calibrate, counted)]
    if plan is not None and plan.plan is not None:
        numbers = dict.fromkeys(step.stand.place for step in plan.plan.steps)
        told.append((stands, words.then_words(tuple(place_name(plan, n, reader) for n in numbers), reader)))
        crew = dict.fromkeys(p for w in step_words(plan.ordered, plan.plan, plan.site, reader) for p in w.people)
        told += [(people, reader.all_of(crew))] if crew else []
    return told


def _first_hand(plan: PlanAnswer | None) -> str:
    """Who has the first step that anybody is named for."""
    if plan is None or plan.plan is None:
        return ""
    return next((step.team[0] for step in plan.plan.steps if step.team), "")


def _known(plan: PlanAnswer | None, reader: Reader) -> Sequence[str]:
    return () if plan is None or plan.plan is None else (known_line(plan, plan.plan, reader),)


def _rests(desk: Desk, plan: PlanAnswer | None, reader: Reader) -> tuple[tuple[str, str], ...]:
    names = labels.block_words(reader)
    if plan is None:
        return ((names["state"], names["computing"]),)
    state = names["current"] if desk.stale is None else names["stale"]
    return ((names["rests"], words.documents_words(len(plan.basis.marks), reader)), (names["state"], state))
