"""A plan as pictures: a strip of the floor step by step, a chart of time, and a page that plays it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from attrs import evolve, frozen

from standtrue.draw.shapes import Drawing, Shape
from standtrue.drive.engine import ground_between
from standtrue.model.basics import Place
from standtrue.model.ground import Ground, Grounds, LiftSetting
from standtrue.model.order import OUTSIDE, Stand
from standtrue.model.reader_units import System
from standtrue.show.pictures.car import stance_shapes
from standtrue.show.pictures.drive_shapes import car_shapes, move_shapes
from standtrue.show.pictures.floor import floor_shapes
from standtrue.show.pictures.page import PagePlan, PageRow, PageScene, plan_page
from standtrue.show.pictures.place import in_order
from standtrue.show.pictures.plan_strip import Scene, strip_svg
from standtrue.show.pictures.time_chart import Bar, time_chart_svg
from standtrue.show.words.plan import Told, alternative_words, span_words, summary_words, told_steps, undone_words
from standtrue.show.words.reader import ENGLISH
from standtrue.work.plan.answer import PlanAnswer


@frozen(eq=False)
class Shown:
    """Some steps with one picture: those of one operation at one place, or one move."""

    told: tuple[Told, ...]
    main: Told

    @property
    def numbers(self) -> str:
        first, last = self.told[0].number, self.told[-1].number
        return str(first) if first == last else f"{first}–{last}"


def shown_steps(answer: PlanAnswer, units: System = "metric") -> tuple[Shown, ...]:
    """The steps in groups that one picture shows: a move; or an operation with its lift travel and equipment.

    What asks for no place goes with the picture before it.
    """
    plan = answer.plan
    groups: list[list[Told]] = []
    closed = True
    for told in () if plan is None else told_steps(answer.ordered, plan, answer.site, units):
        step = told.step
        placed = step.choice is not None and step.choice.stand is not None
        follows = step.kind in ("put away", "wait") or (step.choice is not None and not placed)
        if not groups or step.move is not None or (closed and not follows):
            groups.append([])
        groups[-1].append(told)
        closed = placed or step.move is not None or (follows and closed)
    return tuple(Shown(tuple(g), _main(g)) for g in groups)


def _main(group: Sequence[Told]) -> Told:
    """The step that a group is about."""
    worth = {"wait": 0, "put away": 1, "set up": 2, "carry": 2, "lift": 2, "scan": 3, "enter": 5, "move": 5, "leave": 5}
    return max(group, key=lambda t: worth.get(t.step.kind, 4 if t.step.choice and t.step.choice.stand else 3))


def plan_strip(answer: PlanAnswer, units: System = "metric") -> str:
    """The plan as a strip of floor pictures, as one SVG."""
    return strip_svg(
        title_of(answer),
        [scene_of(answer, shown, units) for shown in shown_steps(answer, units)],
        units=units,
        facts=tuple(summary_words(answer)),
        cautions=[ENGLISH.reason(c.reason) for c in answer.cautions],
        demonstration=answer.demonstration,
    )


def plan_chart(answer: PlanAnswer, units: System = "metric") -> str:
    """The plan as a time chart by place and person, as one SVG."""
    return time_chart_svg(f"When: {title_of(answer)}", bars_of(answer, units), demonstration=answer.demonstration)


def title_of(answer: PlanAnswer) -> str:
    """What every picture of the plan is called."""
    otherwise = f" ({answer.otherwise.name})" if answer.otherwise is not None else ""
    return f"{answer.needs.job.name}{otherwise}: {answer.needs.vehicle.name}, {answer.site.name}"


def bars_of(answer: PlanAnswer, units: System) -> list[Bar]:
    """Every step as a bar of the chart."""
    steps = () if answer.plan is None else told_steps(answer.ordered, answer.plan, answer.site, units)
    return [
        Bar(
            t.number,
            t.step.kind,
            t.what,
            t.step.start_s[1],
            t.step.end_s[1],
            "outside" if t.step.stand.place == OUTSIDE else f"place {t.step.stand.place}",
            t.people,
        )
        for t in steps
    ]


def scene_of(answer: PlanAnswer, shown: Shown, units: System) -> Scene:
    """A group of steps as a picture of the strip."""
    first = shown.told[0].step
    took = [max(t.step.end_s[i] for t in shown.told) - first.start_s[i] for i in range(3)]
    people = dict.fromkeys(p for t in shown.told for p in t.people)
    lines = [f"After {span_words(first.start_s[0], first.start_s[2])}; takes {span_words(took[0], took[2])}"]
    lines.append(", ".join([shown.main.where, *people]))
    lines += [f"{t.number} {t.what}" for t in shown.told if t is not shown.main]
    lines += [f"At the same time: {t.number} {t.what}" for t in _meanwhile(answer, shown, units)]
    return Scene(shown.numbers, shown.main.what, tuple(lines), scene_plan(answer, shown, units))


def _meanwhile(answer: PlanAnswer, shown: Shown, units: System) -> Iterator[Told]:
    """The steps that others do while these are done, at the midpoints."""
    begun, done = shown.told[0].step.start_s[1], max(t.step.end_s[1] for t in shown.told)
    own = {t.number for t in shown.told}
    for told in () if answer.plan is None else told_steps(answer.ordered, answer.plan, answer.site, units):
        if told.number not in own and told.step.start_s[1] < done and told.step.end_s[1] > begun:
            yield told


def scene_plan(answer: PlanAnswer, shown: Shown, units: System) -> Drawing | None:
    """The floor with what a group of steps does on it; None where the car is not in the shop."""
    step = shown.main.step
    if step.move is None and step.stand.place == OUTSIDE:
        return None
    ground, shapes = _move_shapes(answer, shown, units) if step.move is not None else _work_shapes(answer, shown, units)
    return Drawing(
        title=f"Step {shown.numbers}: {shown.main.what}",
        facts=(),
        verdict="",
        datum=answer.site.datum,
        shapes=in_order([*floor_shapes(ground, units), *shapes]),
    )


def _move_shapes(answer: PlanAnswer, shown: Shown, units: System) -> tuple[Ground, list[Shape]]:
    move = shown.main.step.move
    assert move is not None
    path = answer.ordered.paths.get((move.start, move.goal, move.driven))
    places = answer.ordered.places
    car = answer.needs.vehicle
    if path is None:
        at = places[(move.goal or move.start) - 1].place
        return Grounds(answer.site).at_rest(), list(car_shapes(car, at, "the car"))
    ends = [places[n - 1].end(answer.site) for n in (move.start, move.goal) if n != OUTSIDE]
    crossed = [d.name for d in answer.site.doors if d.name in path.doors_open]
    ground = ground_between(answer.site, ends[0], ends[-1], tuple(crossed))
    shapes = [s for s in move_shapes(path, car, units) if s.role != "nearest"]
    if path.goal is not None:
        shapes.extend(car_shapes(car, path.goal, "the car where the move ends"))
    return ground, shapes


def _work_shapes(answer: PlanAnswer, shown: Shown, units: System) -> tuple[Ground, list[Shape]]:
    step = shown.main.step
    key = (step.operation, step.choice)
    found = next((a for k, a in answer.stances.items() if k == key), None)
    if found is not None and found.place is not None:
        return found.ground, list(stance_shapes(evolve(found, touches=()), found.place, units))
    ground = ground_of(answer, step.stand)
    place = answer.ordered.places[step.stand.place - 1].place
    return ground, list(car_shapes(answer.needs.vehicle, place, "the car"))


def ground_of(answer: PlanAnswer, stand: Stand) -> Ground:
    """The shop while the car stands so: its lift raised, every other at rest."""
    name, _, state = stand.carried_by.partition("/")
    raised = {name: LiftSetting(state, stand.height_m)} if state else {}
    return Grounds(answer.site).resolve(raised)


def plan_html(answer: PlanAnswer, units: System = "metric") -> str:
    """The plan as one self-contained page that plays it."""
    shown = shown_steps(answer, units)
    told = () if answer.plan is None else told_steps(answer.ordered, answer.plan, answer.site, units)
    rest = Grounds(answer.site).at_rest()
    return plan_page(
        PagePlan(
            title_of(answer),
            tuple(summary_words(answer)),
            answer.needs.vehicle,
            Drawing(answer.site.name, (), "", answer.site.datum, in_order(floor_shapes(rest, units))),
            tuple(_page_scene(answer, s, units) for s in shown),
            tuple(_page_row(t) for t in told),
            time_chart_svg(f"When: {title_of(answer)}", bars_of(answer, units), bare=True),
            tuple((u.draft.what, undone_words(u, units)) for u in answer.ordered.undone),
            tuple(alternative_words(answer)),
            tuple(ENGLISH.reason(c.reason) for c in answer.cautions),
            answer.demonstration,
        )
    )


def _page_scene(answer: PlanAnswer, shown: Shown, units: System) -> PageScene:
    scene = scene_of(answer, shown, units)
    because = [b for t in shown.told for b in t.because if t.step.choice is not None]
    why = [f"Why: {b}" for b in dict.fromkeys(because)]
    title = f"{scene.numbers} {scene.title}"
    return PageScene(title, (title, *scene.lines, *why), scene.plan, _page_path(answer, shown))


def _page_path(answer: PlanAnswer, shown: Shown) -> tuple[Place, ...]:
    """Where the car goes in a scene, or stands."""
    step = shown.main.step
    if step.move is not None:
        path = answer.ordered.paths.get((step.move.start, step.move.goal, step.move.driven))
        if path is not None:
            return path.poses
    place = step.stand.place
    return () if place == OUTSIDE else (answer.ordered.places[place - 1].place,)


def _page_row(told: Told) -> PageRow:
    step = told.step
    takes = sorted((step.end_s[0] - step.start_s[0], step.end_s[2] - step.start_s[2]))
    return PageRow(
        told.number,
        told.what,
        span_words(step.start_s[0], step.start_s[2]),
        span_words(takes[0], takes[1]),
        told.where,
        ", ".join(told.people),
        " ".join(told.because),
    )
