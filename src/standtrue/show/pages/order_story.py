"""The order of work as chapters of steps, and the picture that plays them."""

from __future__ import annotations

import json
from collections.abc import Sequence
from itertools import groupby

from attrs import asdict, evolve, frozen

from standtrue.draw.lettering import clean
from standtrue.model.order import OUTSIDE, Step
from standtrue.show.pictures.page_floor import draw_floor, swatch_svg
from standtrue.show.pictures.plan import Shown, page_scene, page_steps, rest_drawing
from standtrue.show.words import labels_plan, sheet
from standtrue.show.words.clock import begins_lines, step_moments
from standtrue.show.words.drawing import LEGEND
from standtrue.show.words.pages import order as words
from standtrue.show.words.plan import StepWords, span_words, step_words
from standtrue.show.words.plan_at_step import cautions_told, stance_of
from standtrue.show.words.plan_first import place_words
from standtrue.show.words.plan_short import operation_of, short_what
from standtrue.show.words.reader import Reader
from standtrue.work.plan.answer import PlanAnswer
from standtrue.work.plan.whereabouts import whereabouts


@frozen
class Line:
    """A step: when, the kind of its knot, what, what else to know, and what could hurt somebody."""

    number: int
    begins: str
    until: str
    knot: str
    what: str
    note: str
    cautions: tuple[str, ...]


@frozen
class Chapter:
    """The steps at one place, its title, and when they are."""

    title: str
    span: str
    lines: tuple[Line, ...]


@frozen(eq=False)
class Story:
    """The floor with the car on it, drawn for every step, and what a script plays them by."""

    svg: str
    data: str
    buttons: tuple[tuple[str, str], ...]
    slider: str
    near: str
    away: str
    steps: int
    key: tuple[tuple[str, str, str], ...]


def chapters_of(answer: PlanAnswer, reader: Reader) -> tuple[Chapter, ...]:
    """The chapters of a plan: one for each stay at a place, in order."""
    plan = answer.plan
    if plan is None:
        return ()
    shown = list(enumerate(page_steps(step_words(answer.ordered, plan, answer.site, reader))))
    return tuple(
        _chapter(answer, place, list(group), reader) for place, group in groupby(shown, key=lambda one: _place(one[1]))
    )


def place_name(plan: PlanAnswer, number: int, reader: Reader) -> str:
    """A place by its lift or bay, short."""
    if number == OUTSIDE or plan.plan is None:
        return words.the_road(reader)
    at = whereabouts(plan.ordered, plan.plan, number, plan.site, plan.needs.vehicle)
    named = at.lift or (at.bays[0] if at.bays else at.near)
    return labels_plan.place_name(number, reader) if named is None else reader.write(named)


def _place(shown: Shown) -> int:
    return shown.main.step.stand.place


def _chapter(answer: PlanAnswer, place: int, group: Sequence[tuple[int, Shown]], reader: Reader) -> Chapter:
    assert answer.plan is not None
    title = words.on_the_road(reader) if place == OUTSIDE else place_words(answer, answer.plan, place, reader)
    first, last = group[0][1].told[0].number, group[-1][1].told[-1].number
    began, ended = step_moments(answer, first - 1), step_moments(answer, last - 1)
    span = ""
    if began is not None and ended is not None:
        moments = (words.moment_at(began[0][0], answer, reader), words.moment_at(ended[1][0], answer, reader))
        span = words.chapter_words(str(group[0][0] + 1), str(group[-1][0] + 1), *moments, reader)
    lines, told = [], set[str]()
    for number, shown in group:
        line = _line(answer, number, shown, reader)
        # What holds for the whole stay is told at the first step that it holds for.
        lines.append(evolve(line, cautions=tuple(c for c in line.cautions if c not in told)))
        told.update(line.cautions)
    return Chapter(title, span, tuple(lines))


def _line(answer: PlanAnswer, number: int, shown: Shown, reader: Reader) -> Line:
    main = shown.main
    begins = begins_lines(answer, shown.told[0].number - 1, reader)
    said = short_what(main.step, operation_of(answer.ordered, main.step), reader)
    return Line(
        number,
        begins[0],
        begins[1] if len(begins) > 1 else "",
        _knot(main.step),
        said[:1].upper() + said[1:],
        _note(answer, shown, reader),
        tuple(reader.reasons(cautions_told(answer, shown.told))),
    )


def _knot(step: Step) -> str:
    if step.move is not None:
        return "move"
    knots = {"calibration": "cal", "scan": "check", "confirm": "check", "drive": "road", "sent out": "road"}
    return knots.get(step.kind, "")


def _note(answer: PlanAnswer, shown: Shown, reader: Reader) -> str:
    """Who, how long, what is set up for it and put away after it, and the room to spare."""
    main, first = shown.main, shown.told[0].step
    people = tuple(dict.fromkeys(p for t in shown.told for p in t.people))
    low, high = (max(t.step.end_s[i] for t in shown.told) - first.start_s[i] for i in (0, 2))
    parts = [reader.all_of(people)] if people else []
    parts.append(span_words(low, high, reader))
    parts += [_handled(one, reader) for one in shown.told if one is not main]
    stance = stance_of(answer, main.step)
    if stance is not None and main.step.kind != "wait" and stance.margin_m is not None and stance.margin_m >= 0.0:
        parts.append(words.spare_words(stance.margin_m, reader))
    if main.step.move is not None and (path := answer.ordered.paths.get(_key(main.step))) is not None:
        near = "" if path.nearest is None else sheet.nearest(path.nearest, reader)
        return ". ".join(filter(None, (", ".join(parts), near.rstrip("."))))
    return ", ".join(parts)


def _key(step: Step) -> tuple[int, int, bool]:
    assert step.move is not None
    return step.move.start, step.move.goal, step.move.driven


def _handled(one: StepWords, reader: Reader) -> str:
    return short_what(one.step, None, reader)


def story_of(answer: PlanAnswer, reader: Reader) -> Story | None:
    """The picture of every step; None without a plan. It takes seconds: for work aside."""
    plan = answer.plan
    if plan is None or not plan.steps:
        return None
    shown = page_steps(step_words(answer.ordered, plan, answer.site, reader))
    scenes = [page_scene(answer, one, reader) for one in shown]
    said = labels_plan.played_floor(answer.needs.job.name, reader)
    drawn = [(scene.drawing, scene.path) for scene in scenes]
    floor = draw_floor(answer.needs.vehicle, rest_drawing(answer, reader), drawn, said, reader)
    lines = [line for chapter in chapters_of(answer, reader) for line in chapter.lines]
    told = [
        {
            "title": words.step_of(line.number + 1, len(lines), line.what, reader),
            "cautions": (),
            "said": (clean(f"{' '.join(filter(None, (line.begins, line.until)))}. {line.note}"),),
            **asdict(scene),
        }
        for line, scene in zip(lines, floor.scenes, strict=True)
    ]
    data = json.dumps({"words": labels_plan.play_and_pause(reader), "scenes": told}, ensure_ascii=False)
    return Story(
        floor.svg,
        data.replace("<", "\\u003c"),
        tuple(labels_plan.buttons(reader).items()),
        labels_plan.step(reader),
        labels_plan.near_button(reader),
        labels_plan.car_away(reader),
        len(scenes),
        tuple((role, swatch_svg(role), reader.term(LEGEND[role])) for role in floor.key),
    )
