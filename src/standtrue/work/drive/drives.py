"""How a car gets from one stance to another: what the command line writes for a stance, and the answer as JSON."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from standtrue.drive.engine import ground_between
from standtrue.drive.question.answer import Answer, End, Leg, Mode, Nearest
from standtrue.drive.question.ends import places_of
from standtrue.model.basics import DocumentMark, Fault, Place
from standtrue.model.cautions import CAUTIONS, Caution, Fact, propulsion_facts
from standtrue.model.ground import LiftSetting
from standtrue.model.shop import Shop
from standtrue.model.site import Site
from standtrue.model.vehicle import Vehicle
from standtrue.show.pictures.drive import Move
from standtrue.work.ask import UnansweredError
from standtrue.work.used import cautions, marks_of

Json = dict[str, Any]

REMEDY = "write x,y,heading in meters and degrees, with @LIFT/STATE where it is not the floor; or door:NAME"


def read_end(site: Site, text: str, option: str) -> End:
    """The end that `x,y,heading_deg`, `x,y,heading_deg@LIFT/STATE` or `door:NAME` means.

    Raises UnansweredError if it is none of these, or names a door, lift or state that the site does not have.
    """

    def refused(code: str, what: str) -> UnansweredError:
        return UnansweredError([Fault(code, what, "", option, text, REMEDY)])

    if text.startswith("door:"):
        name = text.removeprefix("door:")
        if name not in {d.name for d in site.doors}:
            raise refused("no-such-door", f"{site.name} has no door {name}")
        return End(door=name)
    numbers, _, carried = text.partition("@")
    try:
        x, y, heading = (float(part) for part in numbers.split(","))
    except ValueError:
        raise refused("not-a-stance", "this is not a stance") from None
    if not all(math.isfinite(value) for value in (x, y, heading)):
        raise refused("not-a-stance", "this is not a stance")
    place = Place(x, y, math.radians(heading))
    if not carried:
        return End(place)
    lift, _, name = carried.partition("/")
    found = next((p.lift for p in site.lifts if p.name == lift), None)
    state = next((s for s in found.states if s.name == name), None) if found is not None else None
    if state is None:
        raise refused("no-such-state", f"{site.name} has no lift {lift} with a state {name}")
    return End(place, lift, LiftSetting(name, state.deck_height_m[0]))


def pick_mode(mode: str) -> Mode:
    """Raises UnansweredError for anything but drive, push and skates."""
    modes: tuple[Mode, ...] = ("drive", "push", "skates")
    for one in modes:
        if mode == one:
            return one
    raise UnansweredError(
        [Fault("no-such-mode", "this is not a mode", "", "--mode", mode, f"one of {', '.join(modes)}")]
    )


def drive_basis(folder: Shop, site: Site, vehicle: Vehicle) -> tuple[tuple[DocumentMark, ...], tuple[Caution, ...]]:
    """The documents that a move rests on, and the cautions that it calls for."""
    marks = marks_of(folder, sites=[site], vehicles=[vehicle])
    return marks, cautions([frozenset({Fact.CAR_MOVES}) | propulsion_facts(vehicle.propulsion)], marks)


def with_moving(told: Sequence[Caution], vehicle: Vehicle) -> tuple[Caution, ...]:
    """These cautions and those of a car that moves, in the order of the table."""
    moving = cautions([frozenset({Fact.CAR_MOVES}) | propulsion_facts(vehicle.propulsion)], ())
    return tuple(c for c in CAUTIONS if c in told or c in moving)


def move_of(site: Site, vehicle: Vehicle, start: End, goal: End, answer: Answer) -> Move:
    """A move to be drawn, on the ground with the doors open that it needs."""
    at_ends = tuple(end.door for end in (start, goal) if end.door is not None)
    ground = ground_between(site, start, goal, tuple(dict.fromkeys((*at_ends, *answer.doors_open))))
    one, two = places_of(site, start)[0], places_of(site, goal)[0]
    return Move(answer, vehicle, ground, one, two, _name(start), _name(goal))


def _name(end: End) -> str:
    return end.door or end.lift or ""


def drive_json(answer: Answer) -> Json:
    """The answer of the documents contract, without its envelope."""
    low, high = answer.seconds
    nearest = answer.nearest
    return {
        "mode": answer.mode,
        "found": answer.found,
        "search": answer.search,
        "proven": answer.proven,
        "shunts": answer.shunts if answer.found else None,
        "length_m": _round(answer.length_m) if answer.found else None,
        "minutes": [_round(low / 60), _round(high / 60)] if answer.found else None,
        "least_separation_m": None if nearest is None else _round(nearest.separation_m),
        "nearest": None if nearest is None else _nearest(nearest),
        "doors_open": list(answer.doors_open),
        "start": _place(answer.start),
        "goal": _place(answer.goal),
        "path": [_leg(leg) for leg in answer.legs],
        "turns": [_place(place) for place in answer.cusps],
        "swept": [[[_round(x), _round(y)] for x, y in outline] for outline in answer.swept],
        "because": [
            {
                "thing": lack.thing,
                "lacking_m": None if lack.lacking_m is None else _round(lack.lacking_m),
                "why": lack.why,
            }
            for lack in answer.lacks
        ],
        "resolution_m": _round(answer.cell_m),
        "nodes": answer.nodes,
    }


def _nearest(nearest: Nearest) -> Json:
    told: Json = {"part": nearest.part, "thing": nearest.thing, "gap_m": _round(nearest.gap_m)}
    line = nearest.between or ()
    return {**told, "between": [[_round(x), _round(y)] for x, y in line]}


def _leg(leg: Leg) -> Json:
    told: Json = {"gear": leg.gear, "length_m": _round(leg.length_m), "curvature_per_m": _round(leg.curvature_per_m)}
    if leg.gear == "slide":
        told["direction_deg"] = _round(math.degrees(leg.direction_rad))
    if leg.gear == "turn":
        told["turn_deg"] = _round(math.degrees(leg.turn_rad))
    return told


def _place(place: Place | None) -> Json | None:
    if place is None:
        return None
    return {"x_m": _round(place.x_m), "y_m": _round(place.y_m), "heading_deg": _round(place.heading_deg)}


def _round(value: float) -> float:
    return round(value, 9) + 0.0
