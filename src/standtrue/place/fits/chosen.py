"""The stance that a person would choose, told: what it is parallel to, what it lacks, and what another would gain."""

from __future__ import annotations

import math

from attrs import evolve, frozen

from standtrue.model.basics import Place
from standtrue.model.ground import Grounds
from standtrue.model.reason import Angle, Length, Reason, Ref, Value, because
from standtrue.model.vehicle import Vehicle
from standtrue.place.fits.straight import nearest_line
from standtrue.place.question.answer import PARALLEL_RAD, QUARTER_RAD, Answer, Chosen

GAIN_M = 1e-3
"""A gain below this is not worth telling: the search knows no better."""


@frozen
class Aligned:
    """How a car stands to what there is to be parallel to: as `Chosen` has it."""

    off_parallel_rad: float
    parallel_to: Ref | None
    lacks_m: float
    because: Reason


def aligned(
    grounds: Grounds,
    vehicle: Vehicle,
    lift: str | None,
    place: Place,
    room: tuple[float, float],
    roomiest: tuple[Place, float],
) -> Aligned:
    """How a car stands on the floor or a lift, with the margin and the free margin that it has there (`room`).

    `roomiest` is the place of the largest margin, and that margin: what it would gain is told.
    """
    margin, free = room
    line, off = nearest_line(grounds, vehicle, lift, place)
    parallel = off <= PARALLEL_RAD
    wanted = grounds.site.gaps.room_m
    lacks = max(0.0, wanted - free)
    told: dict[str, Value] = {"to": line.ref, "spare": Length(margin)}
    if lacks > 0.0:
        told.update(lacks=Length(lacks), room=Length(wanted))
    if roomiest[1] - margin >= GAIN_M:
        turn = abs(math.remainder(roomiest[0].heading_rad - place.heading_rad, math.pi))
        told.update(roomiest=Length(roomiest[1]), turn=Angle(turn))
    if parallel:
        why = because("stands-parallel", **told)
    elif off >= QUARTER_RAD:
        why = because("stands-square", **told)
    else:
        why = because("stands-askew", off=Angle(off), **told)
    return Aligned(0.0 if parallel else off, line.ref if parallel else None, lacks, why)


def chosen_at(at: Answer, roomiest: Answer) -> Chosen:
    """The stance chosen, of which `at` is the answer; `roomiest` is that of the largest margin.

    Raises ValueError where either has no stance.
    """
    if at.place is None or at.margin_m is None or at.free_m is None:
        raise ValueError("no stance to choose")
    if roomiest.place is None or roomiest.margin_m is None:
        raise ValueError("no roomiest stance")
    lift = None if at.carrier is None else at.carrier.lift
    best = roomiest.place, roomiest.margin_m
    told = aligned(at.grounds, at.vehicle, lift, at.place, (at.margin_m, at.free_m), best)
    return Chosen(evolve(at, chosen=None), told.off_parallel_rad, told.parallel_to, told.lacks_m, told.because)
