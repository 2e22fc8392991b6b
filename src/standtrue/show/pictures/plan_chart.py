"""A plan as a chart of time: which step runs when, by place and by person."""

from __future__ import annotations

from collections.abc import Iterator

from standtrue.draw.page import Page
from standtrue.model.reader_units import Paper
from standtrue.show.pictures.time_axis import Shift
from standtrue.show.pictures.time_chart import Bar, Listed, time_page_svg
from standtrue.show.words import labels, labels_charts, labels_plan
from standtrue.show.words.clock import ready_words, step_span, untimed_words
from standtrue.show.words.plan import StepWords, step_words, title_of
from standtrue.show.words.plan_short import folded, main_of, operation_of, short_what
from standtrue.show.words.reader import Reader
from standtrue.show.words.sheet_title import picture_cells
from standtrue.work.plan.answer import PlanAnswer
from standtrue.work.plan.clock import MONDAY


def plan_chart(answer: PlanAnswer, reader: Reader) -> str:
    """The plan as a time chart by place and person, as one SVG."""
    title = title_of(answer, reader)
    paper: Paper = answer.site.reader.paper or "letter"
    page = Page(
        kind="chart",
        paper=paper,
        language=reader.language,
        title=labels_plan.chart_title(title, reader),
        told="",
        cells=picture_cells(title, labels_charts.time_question(reader), answer.basis.marks, reader),
        banner=labels.invented_drawing(reader) if answer.basis.demonstration else "",
        verdict=" ".join(
            said
            for said in (ready_words(answer, reader), labels_charts.time_note(untimed_words(answer, reader), reader))
            if said
        ),
        wide=True,
        widest_scale=labels_charts.as_long(reader),
    )
    return time_page_svg(page, bars_of(answer, reader), tuple(_listed(answer, reader)), reader, shift=shift_of(answer))


def _listed(answer: PlanAnswer, reader: Reader) -> Iterator[Listed]:
    """What the numbers are: setting up and putting away in the entry of what they are for."""
    for group in folded(_steps(answer, reader)):
        first, last, step = group[0].number, group[-1].number, main_of(group).step
        numbers = str(first) if first == last else f"{first}–{last}"
        yield numbers, short_what(step, operation_of(answer.ordered, step), reader)


def _steps(answer: PlanAnswer, reader: Reader) -> tuple[StepWords, ...]:
    return () if answer.plan is None else step_words(answer.ordered, answer.plan, answer.site, reader)


def bars_of(answer: PlanAnswer, reader: Reader) -> list[Bar]:
    """Every step as a bar of the chart."""
    return [
        Bar(
            t.number,
            t.step.kind,
            t.what,
            *_span(answer, t),
            labels_plan.place_name(t.step.stand.place, reader),
            t.people,
            step_span(answer, t.number - 1, reader),
        )
        for t in _steps(answer, reader)
    ]


def _span(answer: PlanAnswer, told: StepWords) -> tuple[float, float]:
    """When a step runs at the midpoints, as its chart has it: seconds of the calendar, or since the beginning."""
    if answer.timed is None:
        return told.step.start_s[1], told.step.end_s[1]
    clock = answer.timed.steps[told.number - 1]
    return clock.start_s[1], clock.end_s[1]


def shift_of(answer: PlanAnswer) -> Shift | None:
    """The hours of a plan's chart; None without clock times."""
    spans = answer.shop_spans()
    return None if spans is None else Shift(MONDAY, spans)
