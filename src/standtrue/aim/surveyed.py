"""A survey made into a floor: loops adjusted, and what of it looks misread."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from attrs import evolve, frozen

from standtrue.aim.floor import SurveyedFloor
from standtrue.aim.leveling import Closure, Leveled, adjust_loops
from standtrue.aim.survey_blunders import Misread, misread_heights, rough_m
from standtrue.model.survey import Survey, SurveyPoint


@frozen(eq=False)
class Surveyed:
    """A surveyed floor; how its loops close; which heights look misread, and which rest on a loop that does not close,
    by number of the floor's points. `rough_m` is how far the floor between heights lies off straight."""

    floor: SurveyedFloor
    closures: tuple[Closure, ...]
    misread: tuple[Misread, ...]
    unclosed: tuple[int, ...]
    rough_m: float = 0.0

    @property
    def doubtful(self) -> frozenset[int]:
        """Heights on which nothing can rest before they are read again."""
        return frozenset(self.unclosed) | {m.point for m in self.misread}


@lru_cache(maxsize=8)
def read_survey(survey: Survey) -> Surveyed:
    """The floor of a survey: points with a height of their own, and those to which loops carry one.

    Raises ValueError as `SurveyedFloor` does.
    """
    if not survey.loops:
        floor, misread = SurveyedFloor(survey.points), misread_heights(survey.points)
        return Surveyed(floor, (), misread, (), rough_m(survey.points))
    typed = {p.name: p for p in survey.points if p.name}
    found = adjust_loops(survey.loops, typed)
    points = [_adjusted(p, found) for p in survey.points]
    points += [_adjusted(SurveyPoint(at, 0.0, 0.0, name), found) for name, at in survey.leveled if name in found.names]
    covariance = np.diag([p.u_m**2 for p in points])
    passed = [i for i, p in enumerate(points) if p.name in found.names]
    rows = found.rows([points[i].name for i in passed])
    covariance[np.ix_(passed, passed)] = found.heights.covariance[np.ix_(rows, rows)]
    open_loops = {c.loop for c in found.closures if not c.closes}
    doubted = {s.point for loop in survey.loops if loop.name in open_loops for s in loop.sights}
    unclosed = tuple(i for i, p in enumerate(points) if p.name in doubted)
    floor, misread = SurveyedFloor(points, covariance), misread_heights(points)
    return Surveyed(floor, found.closures, misread, unclosed, rough_m(points))


def _adjusted(point: SurveyPoint, found: Leveled) -> SurveyPoint:
    """A point with the height that the loops give it, if one passes it."""
    if point.name not in found.names:
        return point
    i = found.names.index(point.name)
    return evolve(point, height_m=float(found.heights.value[i]), u_m=float(found.heights.u[i]))
