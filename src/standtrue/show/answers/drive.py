"""The answer of `drive`, and what `place --reach` adds to an answer: their shapes, and how they are made."""

from __future__ import annotations

import math
import operator
from typing import Any, Literal

from pydantic import Field

from standtrue.drive.path.found import Outcome
from standtrue.drive.question.answer import Answer, Leg, Nearest, Obstruction
from standtrue.model.basics import Place
from standtrue.show.answers.parts import (
    AnswerShape,
    Coded,
    Shape,
    StanceShape,
    coded,
    envelope,
    ring,
    rounded,
    stance_told,
)
from standtrue.show.words.reader import ENGLISH
from standtrue.work.drive.arrivals import Reached
from standtrue.work.drive.drives import Driven

Searched = Literal["solved", "exhausted", "gave up"]

_SEARCHED: dict[Outcome, Searched] = {
    Outcome.SOLVED: "solved",
    Outcome.EXHAUSTED: "exhausted",
    Outcome.GAVE_UP: "gave up",
}


def _absent(value: object) -> bool:
    return value is None


class LegShape(Shape):
    """A stretch of one gear and one curvature; the rear axle's center moves along it (on skates: the car's middle)."""

    gear: Literal["forward", "reverse", "slide", "turn"]
    length_m: float
    curvature_per_m: float = Field(description="Positive to the left.")
    full_lock: bool = Field(
        default=False, exclude_if=operator.not_, description="The wheel is turned as far as it goes; else left out."
    )
    direction_deg: float | None = Field(
        default=None,
        exclude_if=_absent,
        description="Of a slide, from the car's forward direction, counter-clockwise.",
    )
    turn_deg: float | None = Field(
        default=None, exclude_if=_absent, description="Of a turn on skates about the car's middle."
    )


class NearestShape(Shape):
    """What comes nearest to what on the way."""

    part: str
    thing: str
    gap_m: float
    between: list[tuple[float, float]] = Field(description="From the car to the thing, metres in the site frame.")


class ObstructionShape(Shape):
    """What is in the way."""

    thing: str
    lacking_m: float | None = Field(
        description="So much more room on each side is enough: at most it is missing. At a barred heading, at least."
    )
    why: str
    why_coded: Coded | None = None


class WayShape(Shape):
    """How a car gets from one stance to another, or what is in the way."""

    mode: Literal["drive", "push", "skates"]
    found: bool
    search: Searched = Field(description="How the search ended: exhausted or gave up is no proof; see `proven`.")
    proven: bool = Field(description="That there is no way at all, however finely one searched.")
    none_as_assumed: bool = Field(
        default=False, description="That there is none with the floor assumed outside doors: no proof."
    )
    aprons_assumed: list[str] = Field(
        default=[], description="Doors outside which floor is assumed that nobody entered; the answer rests on it."
    )
    shunts: int | None = Field(description="Changes of direction: an upper bound on the fewest.")
    shunts_at_least: int | None = Field(
        default=None, description="So many changes of direction any way takes: proven. 0: nothing is proven."
    )
    length_m: float | None
    length_at_least_m: float | None = Field(
        default=None, description="No way between these stances is shorter: proven."
    )
    minutes: tuple[float, float] | None
    least_separation_m: float | None = Field(description="Proven between the poses too, not sampled.")
    nearest: NearestShape | None
    doors_open: list[str]
    start: StanceShape | None
    goal: StanceShape | None
    path: list[LegShape]
    turns: list[StanceShape] = Field(description="Where the direction changes.")
    swept: list[list[tuple[float, float]]] = Field(description="What body and mirrors pass over: outer rings.")
    because: list[ObstructionShape]
    resolution_m: float = Field(description="The finest resolution that was searched; 0: worked out without a grid.")
    nodes: int


class DriveAnswer(WayShape, AnswerShape):
    """The answer of `drive`."""


class ReachedShape(Shape):
    """Whether the car can be driven to a stance from a door."""

    door: str = Field(alias="from", description="The door that it comes from.")
    found: bool
    search: Searched
    proven: bool = Field(description="That there is no way at all to the stance chosen, however finely one searched.")
    none_as_assumed: bool = Field(default=False, description="That there is none with the floor assumed: no proof.")
    aprons_assumed: list[str] = Field(default=[], description="Doors outside which floor is assumed; see `warnings`.")
    warnings: list[str] = Field(default=[], description="What the way assumes.")
    warnings_coded: list[Coded] = Field(default=[], description="The same as codes.")
    shunts: int | None
    length_m: float | None
    minutes: tuple[float, float] | None
    least_separation_m: float | None
    doors_open: list[str]
    path: list[LegShape]
    because: list[str]
    because_coded: list[Coded]
    resolution_m: float
    best: bool = Field(description="Whether the way leads to the stance chosen; else to another that fits.")
    tried: int = Field(description="How many stances that fit were tried.")
    stance: StanceShape
    margin_m: float
    taken: list[str] = Field(description="Equipment that must be taken from its store before the car comes.")


DRIVE_ANSWERS: dict[str, type[Shape]] = {"drive": DriveAnswer}


def of_drive(driven: Driven) -> DriveAnswer:
    """The whole answer of `drive`."""
    return DriveAnswer(**envelope(driven.basis), **_way(driven.way))


def of_way(way: Answer) -> WayShape:
    """A move by itself, as a step of an order of work has it."""
    return WayShape(**_way(way))


def of_reached(reached: Reached) -> ReachedShape:
    """Whether a stance can be driven to."""
    way, place = _way(reached.way), reached.answer.place
    if place is None:
        raise ValueError("nothing fits, so there is nowhere to go")
    door: dict[str, Any] = {"from": reached.door}
    kept = ["found", "search", "proven", "none_as_assumed", "aprons_assumed", "shunts", "length_m", "minutes"]
    kept += ["least_separation_m", "doors_open", "path"]
    reasons = [one.why for one in reached.way.obstructions]
    return ReachedShape(
        **door,
        **{name: way[name] for name in kept},
        because=ENGLISH.reasons(reasons),
        because_coded=coded(reasons),
        warnings=ENGLISH.reasons(reached.way.warnings),
        warnings_coded=coded(reached.way.warnings),
        resolution_m=way["resolution_m"],
        best=reached.best,
        tried=reached.tried,
        stance=stance_told(place),
        margin_m=rounded(reached.answer.margin_m or 0.0),
        taken=list(reached.taken),
    )


def _way(way: Answer) -> dict[str, Any]:
    """The fields of `WayShape`."""
    low, high = way.seconds
    return {
        "mode": way.mode,
        "found": way.found,
        "search": _SEARCHED[way.outcome],
        "proven": way.proven,
        "none_as_assumed": way.none_as_assumed,
        "aprons_assumed": [apron.door for apron in way.aprons],
        "shunts": way.shunts if way.found else None,
        "shunts_at_least": way.shunts_at_least if way.found else None,
        "length_m": rounded(way.length_m) if way.found else None,
        "length_at_least_m": rounded(way.length_at_least_m) if way.found else None,
        "minutes": (rounded(low / 60), rounded(high / 60)) if way.found else None,
        "least_separation_m": None if way.nearest is None else rounded(way.nearest.separation_m),
        "nearest": None if way.nearest is None else _nearest(way.nearest),
        "doors_open": list(way.doors_open),
        "start": _stance(way.start),
        "goal": _stance(way.goal),
        "path": [_leg(leg) for leg in way.legs],
        "turns": [stance_told(place) for place in way.cusps],
        "swept": [ring(outline) for outline in way.swept],
        "because": [_obstruction(one) for one in way.obstructions],
        "resolution_m": rounded(way.cell_m),
        "nodes": way.nodes,
    }


def _nearest(nearest: Nearest) -> NearestShape:
    between = ring(nearest.between) if nearest.between is not None else []
    return NearestShape(
        part=nearest.part, thing=ENGLISH.write(nearest.thing), gap_m=rounded(nearest.gap_m), between=between
    )


def _obstruction(one: Obstruction) -> ObstructionShape:
    lacking = None if one.lacking_m is None else rounded(one.lacking_m)
    (why,) = coded([one.why])
    return ObstructionShape(
        thing=ENGLISH.write(one.thing),
        lacking_m=lacking,
        why=ENGLISH.reason(one.why),
        why_coded=why,
    )


def _leg(leg: Leg) -> LegShape:
    return LegShape(
        gear=leg.gear,
        length_m=rounded(leg.length_m),
        curvature_per_m=rounded(leg.curvature_per_m),
        full_lock=leg.full_lock,
        direction_deg=rounded(math.degrees(leg.direction_rad)) if leg.gear == "slide" else None,
        turn_deg=rounded(math.degrees(leg.turn_rad)) if leg.gear == "turn" else None,
    )


def _stance(place: Place | None) -> StanceShape | None:
    return None if place is None else stance_told(place)
