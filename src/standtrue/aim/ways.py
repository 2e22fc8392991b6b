"""The ways of what was read: whether a tape can have followed them."""

from __future__ import annotations

from collections.abc import Sequence

from attrs import evolve

from standtrue.aim.bodies import Reading
from standtrue.aim.questions import Question
from standtrue.aim.scene import Scene
from standtrue.aim.setup import SetupAnswer
from standtrue.aim.sight import Sight, View
from standtrue.aim.titles import title_of
from standtrue.model.car_points import point_of
from standtrue.model.reason import Reason, Term, because
from standtrue.model.vehicle import WHEELS
from standtrue.model.verdict import Verdict


def with_ways_questioned(answer: SetupAnswer, readings: Sequence[Reading], sight: Sight) -> SetupAnswer:
    """The answer with a question for every reading that no tape can have followed: it counts, and is not accepted.

    `readings` are all that were typed, as the questions number them.
    """
    asked = {q.reading for q in answer.questions}
    more = [q for q in _questions(answer.scene, readings, sight) if q.reading not in asked]
    if not more:
        return answer
    verdict = Verdict.CANNOT_TELL if answer.verdict is Verdict.ACCEPT else answer.verdict
    return evolve(answer, questions=(*answer.questions, *more), verdict=verdict)


def _questions(scene: Scene, readings: Sequence[Reading], sight: Sight) -> list[Question]:
    network = scene.network(())
    known = [i for i, r in enumerate(readings) if not network.missing([r])]
    views = sight.views([readings[i] for i in known])
    doubts = ((i, _doubted(scene, readings[i], view)) for i, view in zip(known, views, strict=True))
    return [Question(i, why, False) for i, why in doubts if why is not None]


def _doubted(scene: Scene, reading: Reading, view: View) -> Reason | None:
    """Why a reading can hardly have been taken; None where it can."""
    title = title_of(reading, scene)
    wheels = tuple(p for p in reading.points if p in WHEELS)
    if wheels:
        points = tuple(Term(p) for p in wheels)
        there = scene.car_points
        named = [point_of(kind, w) for w in wheels for kind in scene.site.readings.points]
        instead = tuple(Term(p) for p in named if p in there)
        return because("reading-from-wheel", reading=title, points=points, instead=instead)
    return because("reading-through", reading=title, things=view.stopped_by) if view.stopped_by else None
