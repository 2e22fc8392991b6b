"""The stance that a person would choose, told: what it is parallel to, what it lacks, and what another would gain."""

from __future__ import annotations

import math

from attrs import evolve

from standtrue.model.reason import Angle, Length, Value, because
from standtrue.place.fits.straight import PARALLEL_RAD, QUARTER, nearest_line
from standtrue.place.question.answer import Answer, Chosen

GAIN_M = 1e-3
"""A gain below this is not worth telling: the search knows no better."""


def chosen_at(at: Answer, roomiest: Answer) -> Chosen:
    """The stance chosen, of which `at` is the answer; `roomiest` is that of the largest margin.

    Raises ValueError where either has no stance.
    """
    if at.place is None or roomiest.place is None or at.margin_m is None or at.free_m is None:
        raise ValueError("no stance to choose")
    grounds = at.grounds
    lift = None if at.carrier is None else at.carrier.lift
    line, off = nearest_line(grounds, at.vehicle, lift, at.place)
    parallel, square = off <= PARALLEL_RAD, off >= QUARTER - PARALLEL_RAD
    room = grounds.site.gaps.room_m
    lacks = max(0.0, room - at.free_m)
    told: dict[str, Value] = {"to": line.ref, "spare": Length(at.margin_m)}
    if lacks > 0.0:
        told.update(lacks=Length(lacks), room=Length(room))
    gain = (roomiest.margin_m or 0.0) - at.margin_m
    if gain >= GAIN_M:
        turn = abs(math.remainder(roomiest.place.heading_rad - at.place.heading_rad, math.pi))
        told.update(roomiest=Length(at.margin_m + gain), turn=Angle(turn))
    if parallel:
        why = because("stands-parallel", **told)
    elif square:
        why = because("stands-square", **told)
    else:
        why = because("stands-askew", off=Angle(off), **told)
    return Chosen(
        evolve(at, chosen=None),
        0.0 if parallel else off,
        line.ref if parallel else None,
        lacks,
        why,
    )
