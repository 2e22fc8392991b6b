"""A plan as pictures: a strip of the floor step by step, a chart of time, and a page that plays it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import accumulate
from typing import Literal

from attrs import evolve, frozen

from standtrue.draw.backends.svg import document, nested, size_of
from standtrue.draw.page import Page
from standtrue.draw.shapes import Drawing, Shape
from standtrue.drive.question.stage import ground_between
from standtrue.model.basics import Place
from standtrue.model.ground import Ground, Grounds, LiftSetting
from standtrue.model.order import OUTSIDE, Stand, Step
from standtrue.show.pictures.car import stance_shapes
from standtrue.show.pictures.drive_shapes import car_shapes, move_shapes
from standtrue.show.pictures.fading import fade_others
from standtrue.show.pictures.floor import floor_shapes
from standtrue.show.pictures.page import OrderPage, PageFact, PageRow, PageScene, order_page
from standtrue.show.pictures.place import paper_of, whole_shapes
from standtrue.show.pictures.plan_chart import bars_of, shift_of
from standtrue.show.pictures.plan_strip import Scene, strip_pages
from standtrue.show.pictures.time_chart import time_chart_svg
from standtrue.show.words import labels, labels_plan, labels_whole
from standtrue.show.words.clock import ready_words, starts_words, untimed_words
from standtrue.show.words.plan import (
    StepWords,
    alternative_words,
    span_words,
    step_words,
    title_of,
    undone_words,
)
from standtrue.show.words.plan_at_step import at_step, cautions_told
from standtrue.show.words.plan_first import first_lines, head_lines, not_done_lines, stand_lines
from standtrue.show.words.plan_short import folded, main_of, operation_of, short_what
from standtrue.show.words.plan_tables import took
from standtrue.show.words.reader import Reader
from standtrue.show.words.sheet_title import picture_cells
from standtrue.work.plan.answer import PlanAnswer


@frozen(eq=False)
class Shown:
    """Some steps with one picture: those of one operation at one place, or one move."""

    told: tuple[StepWords, ...]
    main: StepWords

    @property
    def numbers(self) -> str:
        first, last = self.told[0].number, self.told[-1].number
        return str(first) if first == last else f"{first}–{last}"


def shown_steps(answer: PlanAnswer, reader: Reader) -> tuple[Shown, ...]:
    """The steps in groups that one picture shows: a move; or an operation with its lift travel and equipment.

    What asks for no place goes with the picture before it.
    """
    plan = answer.plan
    groups: list[list[StepWords]] = []
    closed = True
    for told in () if plan is None else step_words(answer.ordered, plan, answer.site, reader):
        step = told.step
        placed = step.choice is not None and step.choice.stand is not None
        follows = step.kind in ("put away", "wait") or (step.choice is not None and not placed)
        if not groups or step.move is not None or (closed and not follows):
            groups.append([])
        groups[-1].append(told)
        closed = placed or step.move is not None or (follows and closed)
    return tuple(Shown(tuple(g), _main(g)) for g in groups)


def _main(group: Sequence[StepWords]) -> StepWords:
    """The step that a group is about."""
    worth = {"wait": 0, "put away": 1, "scan": 3, "enter": 5, "move": 5, "leave": 5}
    worth |= dict.fromkeys(("set up", "carry", "lift", "confirm"), 2)
    return max(group, key=lambda t: worth.get(t.step.kind, 4 if t.step.choice and t.step.choice.stand else 3))


def plan_strip(answer: PlanAnswer, reader: Reader) -> tuple[str, ...]:
    """The plan as pages of floor pictures, an SVG each."""
    title, facts, basis = title_of(answer, reader), tuple(first_lines(answer, reader)), answer.basis
    cells = picture_cells(title, labels_whole.order_question(reader), basis.marks, reader)
    page = Page(
        kind="strip",
        paper=paper_of(answer.site),
        language=reader.language,
        title=title,
        told=" ".join(facts),
        cells=tuple(cell for cell in cells if cell[1]),
        banner=labels.invented_drawing(reader) if basis.demonstration else "",
        verdict=" ".join(facts[:2]),
        cautions_heading=labels.cautions_heading(reader),
        cautions=labels_whole.short_cautions(basis.cautions, reader, moves=True),
    )
    return strip_pages(page, [scene_of(answer, shown, reader) for shown in shown_steps(answer, reader)], reader)


def plan_roll(answer: PlanAnswer, reader: Reader) -> str:
    """The same pages one below another, as one SVG for a screen."""
    pages = plan_strip(answer, reader)
    sizes = [size_of(page) for page in pages]
    tops = list(accumulate((high for _, high in sizes), initial=0.0))
    size = max(wide for wide, _ in sizes), tops[-1]
    return document(size, [nested(page, (0.0, top)) for page, top in zip(pages, tops, strict=False)])


def scene_of(answer: PlanAnswer, shown: Shown, reader: Reader, *, fades: bool = True) -> Scene:
    """A group of steps as a picture of the strip, where what does not matter to it is faded."""
    first = shown.told[0].step
    least, _, most = (max(t.step.end_s[i] for t in shown.told) - first.start_s[i] for i in range(3))
    people = dict.fromkeys(p for t in shown.told for p in t.people)
    takes = span_words(least, most, reader)
    lines = [labels_plan.span(starts_words(answer, shown.told[0].number - 1, reader), takes, reader)]
    lines.append(", ".join([shown.main.where, *people]))
    lines += [f"{t.number} {t.what}" for t in shown.told if t is not shown.main]
    for other in _meanwhile(answer, shown, reader):
        lines.append(labels_plan.meanwhile(other.number, other.what, reader))
    return Scene(shown.numbers, shown.main.what, tuple(lines), scene_drawing(answer, shown, reader, fades=fades))


def _meanwhile(answer: PlanAnswer, shown: Shown, reader: Reader) -> Iterator[StepWords]:
    """The steps that others do while these are done, at the midpoints."""
    begun, done = shown.told[0].step.start_s[1], max(t.step.end_s[1] for t in shown.told)
    own = {t.number for t in shown.told}
    for told in () if answer.plan is None else step_words(answer.ordered, answer.plan, answer.site, reader):
        if told.number not in own and told.step.start_s[1] < done and told.step.end_s[1] > begun:
            yield told


def scene_drawing(answer: PlanAnswer, shown: Shown, reader: Reader, *, fades: bool = True) -> Drawing | None:
    """The floor with what a group of steps does on it; None where the car is not in the shop."""
    step = shown.main.step
    if step.move is None and step.stand.place == OUTSIDE:
        return None
    shapes_of = _work_shapes if step.move is None else _move_shapes
    car = "" if step.move is None else labels_whole.to_here(reader)
    ground, shapes = shapes_of(answer, shown, reader)
    floor = list(floor_shapes(ground, reader))
    return Drawing(
        title=labels_plan.scene_title(shown.numbers, shown.main.what, reader),
        facts=(),
        verdict="",
        datum=answer.site.datum,
        shapes=whole_shapes([*(fade_others(floor, shapes) if fades else floor), *shapes], answer.site, reader, car=car),
    )


def _move_shapes(answer: PlanAnswer, shown: Shown, reader: Reader) -> tuple[Ground, list[Shape]]:
    move = shown.main.step.move
    assert move is not None
    path = answer.ordered.paths.get((move.start, move.goal, move.driven))
    places = answer.ordered.places
    car = answer.needs.vehicle
    if path is None:
        at = places[(move.goal or move.start) - 1].place
        return Grounds(answer.site).at_rest(), list(car_shapes(car, at, labels_plan.car(reader), reader))
    ends = [places[n - 1].end(answer.site) for n in (move.start, move.goal) if n != OUTSIDE]
    crossed = [d.name for d in answer.site.doors if d.name in path.doors_open]
    ground = ground_between(answer.site, car, ends[0], ends[-1], tuple(crossed))
    shapes = list(move_shapes(path, car, reader))
    if path.goal is not None:
        shapes.extend(car_shapes(car, path.goal, labels_plan.car_after_move(reader), reader))
    return ground, shapes


def _work_shapes(answer: PlanAnswer, shown: Shown, reader: Reader) -> tuple[Ground, list[Shape]]:
    step = shown.main.step
    served = step if step.operation is not None else _served(answer, shown.main)
    key = (served.operation, served.choice)
    found = next((a for k, a in answer.stances.items() if k == key), None)
    if found is not None and found.place is not None:
        return found.ground, list(stance_shapes(evolve(found, touches=()), found.place, reader))
    ground = ground_of(answer, step.stand)
    place = answer.ordered.places[step.stand.place - 1].place
    return ground, list(car_shapes(answer.needs.vehicle, place, labels_plan.car(reader), reader))


def _served(answer: PlanAnswer, words: StepWords) -> Step:
    """The step that equipment is set up for; the step itself where there is none."""
    steps = () if answer.plan is None else answer.plan.steps
    after = (s for s in steps[words.number :] if s.choice is not None and set(words.step.fittings) <= s.choice.fittings)
    return next(after, words.step) if words.step.kind in ("set up", "carry") else words.step


def ground_of(answer: PlanAnswer, stand: Stand) -> Ground:
    """The shop while the car stands so: its lift raised, every other at rest."""
    on = stand.carrier
    return Grounds(answer.site).resolve({} if on.lift is None else {on.lift: LiftSetting(on.state, on.height_m)})


def plan_html(answer: PlanAnswer, reader: Reader) -> str:
    """The plan as one self-contained page that plays it."""
    steps = () if answer.plan is None else step_words(answer.ordered, answer.plan, answer.site, reader)
    title = title_of(answer, reader)
    named, bars = labels_plan.chart_title(title, reader), bars_of(answer, reader)
    chart = time_chart_svg(named, bars, reader, shift=shift_of(answer))
    kinds: dict[str, Literal["", "undone", "late"]] = dict.fromkeys(not_done_lines(answer, reader), "undone")
    if answer.late in ("yes", "may be"):
        kinds[ready_words(answer, reader)] = "late"
    page = OrderPage(
        title,
        tuple(PageFact(said, kinds.get(said, "")) for said in head_lines(answer, reader)),
        tuple(stand_lines(answer, reader)),
        answer.needs.vehicle,
        rest_drawing(answer, reader),
        tuple(page_scene(answer, s, reader) for s in page_steps(steps)),
        tuple(_page_row(answer, words, reader) for words in steps),
        chart,
        tuple((reader.reason(u.draft.what), undone_words(u, reader)) for u in answer.ordered.undone),
        tuple(alternative_words(answer.alternatives, reader)),
        tuple(reader.reasons(c.reason for c in answer.basis.cautions)),
        answer.basis.demonstration,
        untimed_words(answer, reader),
    )
    return order_page(page, reader)


def page_steps(steps: Sequence[StepWords]) -> tuple[Shown, ...]:
    """The steps in groups of the page: every operation, wait, lift travel and move by itself, with its equipment."""
    return tuple(Shown(tuple(group), main_of(group)) for group in folded(steps))


def rest_drawing(answer: PlanAnswer, reader: Reader) -> Drawing:
    """The shop at rest, without a car."""
    site, rest = answer.site, Grounds(answer.site).at_rest()
    return Drawing(site.name, (), "", site.datum, whole_shapes(floor_shapes(rest, reader), site, reader))


def page_scene(answer: PlanAnswer, shown: Shown, reader: Reader) -> PageScene:
    """A group of steps as a picture of the page."""
    # On a page every step has the one floor, and shows what it adds to it: nothing of it is drawn otherwise.
    scene, main = scene_of(answer, shown, reader, fades=False), shown.main
    operation = operation_of(answer.ordered, main.step)
    because = [b for t in shown.told for b in t.because if t.step.choice is not None]
    why = [labels_plan.scene_why(b, reader) for b in reader.reasons(because)]
    equipment = [(t.number, f"{t.number} {t.what}") for t in shown.told if t is not main]
    first = [said for number, said in equipment if number < main.number]
    return PageScene(
        f"{scene.numbers} {scene.title}",
        f"{scene.numbers} {short_what(main.step, operation, reader)}",
        (
            *first,
            *at_step(answer, main, reader),
            *(line for line in scene.lines[2:] if line not in first),
            *scene.lines[:2],
            *why,
        ),
        tuple(reader.reasons(cautions_told(answer, shown.told))),
        scene.drawing,
        _page_path(answer, shown),
    )


def _page_path(answer: PlanAnswer, shown: Shown) -> tuple[Place, ...]:
    """Where the car goes in a scene, or stands."""
    step = shown.main.step
    if step.move is not None:
        path = answer.ordered.paths.get((step.move.start, step.move.goal, step.move.driven))
        if path is not None:
            return path.poses
    place = step.stand.place
    return () if place == OUTSIDE else (answer.ordered.places[place - 1].place,)


def _page_row(answer: PlanAnswer, words: StepWords, reader: Reader) -> PageRow:
    return PageRow(
        words.number,
        words.what,
        starts_words(answer, words.number - 1, reader),
        took(words, reader),
        words.where,
        ", ".join(words.people),
        " ".join([*at_step(answer, words, reader), *reader.reasons(words.because)]),
    )
