"""What cannot be meant of a survey or a set-up. The ranges are common practice, no source."""

from __future__ import annotations

import difflib
import math
from collections.abc import Iterator
from statistics import median

import shapely

from standtrue.documents.doubts.ground import ground_of, outside
from standtrue.documents.doubts.known import Known, Size, tell_sizes
from standtrue.documents.either import amount
from standtrue.documents.parts import Path, Tell
from standtrue.documents.setup import SetupForm, SetupReadingForm
from standtrue.documents.survey import SurveyForm
from standtrue.model.car_points import REACHABLE
from standtrue.model.reason import Angle, Length, because
from standtrue.model.vehicle import WHEELS

MOST_FALL_M = 0.4
"""Between a point of a shop's floor and the middle one of all points."""

FARTHEST_READING_M = 30.0
NEARLY = 0.9
"""How alike two names are of which one is most often the other, mistyped."""

MOST_WHEEL_RAD = {"toe": math.radians(3.0), "camber": math.radians(8.0), "thrust": math.radians(3.0)}


def doubt_survey(form: SurveyForm, known: Known, tell: Tell) -> None:
    """A survey lies on the floor of its site, and the floor is one."""
    if known.is_ahead(form.date):
        tell(("date",), "date-ahead", because("date-ahead", date=form.date), because("look-at-date"))
    site = known.sites.get(form.site)
    if site is not None:
        ground = ground_of(site)
        off = [i for i, point in enumerate(form.points) if outside(shapely.Point(point.at), ground)]
        if off:
            what = because("points-outside-floor", count=len(off), of=len(form.points), first=off[0])
            tell(("points",), "stands-in-wall", what, because("look-at-points-and-units"))
    tell_sizes(_heights(form), tell)


def _heights(form: SurveyForm) -> Iterator[Size]:
    heights = [point.height for point in form.points if point.height is not None]
    middle = median(heights) if heights else 0.0
    for i, point in enumerate(form.points):
        if point.height is not None:
            least, most = middle - MOST_FALL_M, middle + MOST_FALL_M
            yield Size(("points", i, "height"), "height of the floor", Length(point.height), least, most)


def doubt_setup(form: SetupForm, _known: Known, tell: Tell) -> None:
    """Readings that hands can take."""
    for i, reading in enumerate(form.readings):
        if set(reading.start) & set(reading.end):
            what = because("point-to-itself", point=reading.end[0])
            tell(("readings", i, "to"), "reading-to-itself", what, because("write-other-point"))
        for end, names in (("from", reading.start), ("to", reading.end)):
            _points(names, ("readings", i, end), tell)
    tell_sizes(_reading_sizes(form), tell)
    for i, one in enumerate(form.alignment):
        value = None if one.value is None else one.value.angle_rad
        most = next((most for word, most in MOST_WHEEL_RAD.items() if word in one.what), None)
        if value is not None and most is not None and one.diameter is None:
            size = Size(("alignment", i, "value"), "wheel angle", Angle(value), -most, most, because("look-at-value"))
            tell_sizes([size], tell, False)


def _points(names: tuple[str, ...], path: Path, tell: Tell) -> None:
    """A point is called what one of the car's is, or nothing like it: then it is a mark's or a target's."""
    for name in names:
        near = difflib.get_close_matches(name, REACHABLE, n=1, cutoff=NEARLY)
        if near and name not in (*REACHABLE, *WHEELS):
            tell(
                path, "point-unknown", because("point-nearly-known", point=name), because("did-you-mean", near=near[0])
            )


def _reading_sizes(form: SetupForm) -> Iterator[Size]:
    for i, reading in enumerate(form.readings):
        value = amount(reading.value, reading.what)
        if value is not None and _is_length(reading):
            yield Size(("readings", i, "value"), "reading", Length(value), -FARTHEST_READING_M, FARTHEST_READING_M)


def _is_length(reading: SetupReadingForm) -> bool:
    return reading.what in ("distance", "offset", "height")
