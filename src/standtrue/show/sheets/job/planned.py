"""The order of work on a job's sheet in words: every step, what is left out, what else could be done, the pictures."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from attrs import evolve

from standtrue.model.order import Plan
from standtrue.show.pictures.plan import Shown, bars_of, scene_of, shown_steps
from standtrue.show.pictures.plan_strip import Scene
from standtrue.show.sheets.job.order import FloorPicture, LeftOut, OrderOfWork, OrderStep, Row, floor_pictures
from standtrue.show.words.drive import legs_words, nearest_words
from standtrue.show.words.place import standing
from standtrue.show.words.plan import StepWords, left_out_words, span_words, summary_words, undone_words
from standtrue.show.words.plan_tables import took
from standtrue.show.words.reader import Reader
from standtrue.show.words.reasons.plan import alternative_name
from standtrue.show.words.sheet_notes import another_order, move_lines, no_order, place_line, takes
from standtrue.work.plan.answer import PlanAnswer

MOST_LEGS = 14
"""How many legs of a move are told beside its picture."""


def order_of_work(
    answer: PlanAnswer, reader: Reader, stances: Mapping[int, int], cautions: Sequence[str], sentences: Sequence[str]
) -> OrderOfWork:
    """The order of work. `stances` are the numbers of the sheet's stances by the step that they show.

    `sentences` are said after what the plan comes to.
    """
    shown = shown_steps(answer, reader)
    drawn = [s for s in shown if s.main.number not in stances]
    scenes = [_scene(answer, s, reader) for s in drawn]
    pictures = floor_pictures(scenes, reader)
    return OrderOfWork(
        sentences=(*summary_words(answer, reader), *sentences),
        steps=tuple(
            step for s in shown for step in _steps(s, stances.get(s.main.number), _picture_of(s, pictures), reader)
        ),
        proven=answer.ordered.front.proven,
        left_out=tuple(
            LeftOut(u.draft.name, reader.reason(u.draft.what), undone_words(u, reader), bool(u.answers))
            for u in answer.ordered.undone
        ),
        otherwise=tuple(_otherwise(answer, reader)),
        places=tuple(_places(answer, reader)),
        pictures=pictures,
        bars=tuple(bars_of(answer, reader)),
        cautions=tuple(cautions),
    )


def _steps(shown: Shown, stance: int | None, picture: int | None, reader: Reader) -> Iterator[OrderStep]:
    for told in shown.told:
        step = told.step
        used = () if step.choice is None else sorted({f.equipment for f in step.choice.fittings})
        yield OrderStep(
            told.number, told.what, told.where, told.people, _clock(step.start_s), _takes(told, reader), tuple(used),
            step.move is not None, stance, picture,
        )  # fmt: skip


def _picture_of(shown: Shown, pictures: Sequence[FloorPicture]) -> int | None:
    numbered = enumerate(pictures, start=1)
    return next((number for number, p in numbered if shown.numbers in [s.numbers for s in p.scenes]), None)


def _clock(span_s: tuple[float, float, float]) -> str:
    """From when to when a step may begin, hours and minutes from the first step's beginning."""
    low, high = (f"{minutes // 60}:{minutes % 60:02d}" for minutes in (round(span_s[0] / 60), round(span_s[2] / 60)))
    return low if low == high else f"{low}–{high}"


def _takes(told: StepWords, reader: Reader) -> str:
    step = told.step
    counted = step.kind != "work" or step.end_s[2] != step.start_s[2]
    return takes(took(told, reader), counted, reader)


def _places(answer: PlanAnswer, reader: Reader) -> Iterator[str]:
    """Where the rear axle's center is at each place that the plan uses."""
    used = {s.stand.place for s in answer.plan.steps} if answer.plan is not None else set()
    for number, candidate in enumerate(answer.ordered.places, start=1):
        if number in used:
            yield place_line(number, standing(candidate.place, answer.site.datum, reader), reader)


def _scene(answer: PlanAnswer, shown: Shown, reader: Reader) -> Scene:
    """A scene of the strip; of a move also how to drive it."""
    scene = scene_of(answer, shown, reader)
    move = shown.main.step.move
    path = None if move is None else answer.ordered.paths.get((move.start, move.goal, move.driven))
    if path is None:
        return scene
    nearest = "" if path.nearest is None else nearest_words(path.nearest, reader)
    told = move_lines(tuple(legs_words(path, reader)), MOST_LEGS, nearest, path.doors_open, reader)
    return evolve(scene, lines=(*scene.lines, *told))


def _otherwise(answer: PlanAnswer, reader: Reader) -> Iterator[Row]:
    """Other plans that nothing beats, and the alternatives."""
    for plan in answer.ordered.front.plans:
        if plan is not answer.plan:
            yield (another_order(reader), *_comes_to(plan, reader), left_out_words(answer.ordered, reader))
    for other in answer.alternatives:
        best = other.ordered.plan
        yield (
            alternative_name(other.change, reader),
            *(_comes_to(best, reader) if best is not None else (no_order(reader), "")),
            left_out_words(other.ordered, reader),
        )


def _comes_to(plan: Plan, reader: Reader) -> tuple[str, str]:
    return span_words(plan.elapsed_s[0], plan.elapsed_s[2], reader), str(plan.moves)
